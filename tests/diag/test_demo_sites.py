"""The demo sites hold what they promise and give an inspector nothing to complain of."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import jsonschema
import pytest

from diag.calculators.conductors import loop_resistance_ohm
from diag.demo import demo_names, demo_path, load_demo
from diag.errors import UnknownSite
from diag.site import Site
from diag.site_file import dump_site, read_site, site_schema
from knowledge.located import read_located_file

HAND_WRITTEN = ("small", "medium")
SMOKE_OPEN_WITHIN_S = 60  # EN 12101-2, from memory
UNREACHABLE_ABOVE_M = 2.5  # ASR A1.6
LOWEST_SHARE_OF_VOLTAGE = 0.85  # IEC 61131-2: 24 V DC -15 %, from memory


@pytest.fixture(params=HAND_WRITTEN)
def site(request: pytest.FixtureRequest) -> Site:
    return load_demo(request.param)


def drives_of(site: Site, output: str) -> list[str]:
    return [name for name, drive in site.drives.items() if drive.output == output]


def most_current_a(site: Site, drive: str) -> float:
    described = site.drives[drive]
    currents = (described.running_current_a, described.starting_current_a, described.cut_off_current_a)
    return max(current for current in currents if current is not None)


def fed_by(site: Site, start: str) -> Iterator[str]:
    """Yield every part that hangs on the start by cables."""
    for cable in site.cables.values():
        if cable.from_ == start and cable.to:
            yield cable.to
            yield from fed_by(site, cable.to)


def drop_v(site: Site, part: str, currents_a: dict[str, float]) -> float:
    """Return the voltage lost from the output to the part, with these currents drawn."""
    cable = next((cable for cable in site.cables.values() if cable.to == part), None)
    if cable is None:
        return 0.0
    assert cable.from_ is not None
    assert cable.length_m is not None
    assert cable.area_mm2 is not None
    assert cable.conductor_class is not None
    behind = {part, *fed_by(site, part)}
    current_a = sum(current for drive, current in currents_a.items() if drive in behind)
    loop_ohm = loop_resistance_ohm(
        length_m=cable.length_m,
        area_mm2=cable.area_mm2,
        conductor_class=cable.conductor_class,
        temperature_c=50.0 if cable.temperature_c is None else cable.temperature_c,
    )
    return drop_v(site, cable.from_, currents_a) + loop_ohm * current_a


def zone_of(site: Site, opening: str | None) -> str:
    return next(name for name, zone in site.zones.items() if opening in (zone.openings or ()))


def test_three_sites_are_offered_by_name_and_no_other() -> None:
    assert demo_names() == ("small", "medium", "campus")
    with pytest.raises(UnknownSite, match=r'There is no site "smal". Did you mean small\?'):
        load_demo("smal")


@pytest.mark.parametrize("name", HAND_WRITTEN)
def test_the_files_pass_the_published_schema(name: str) -> None:
    data = read_located_file(demo_path(name)).data

    assert jsonschema.Draft202012Validator(site_schema()).is_valid(data)


def test_the_files_survive_being_written_and_read(site: Site) -> None:
    assert read_site(dump_site(site)) == site


def test_small_is_a_reading_room_with_five_drives_of_which_four_are_addressable() -> None:
    small = load_demo("small")

    assert (len(small.controllers), len(small.outputs), len(small.zones)) == (1, 3, 2)
    assert Counter(drive.addressable for drive in small.drives.values()) == {True: 4, False: 1}
    assert Counter(it.kind for it in small.inputs.values()) == {"switch": 2, "thermostat": 1, "rain": 1}
    assert {zone.hold_off_minutes for zone in small.zones.values()} == {30}


def test_small_leaves_the_battery_unknown() -> None:
    supply = load_demo("small").controllers["c1"].supply

    assert supply is not None
    assert (supply.has_battery, supply.battery) == (None, None)


def test_medium_has_fourteen_drives_of_three_kinds_in_four_zones() -> None:
    medium = load_demo("medium")
    kinds = Counter(medium.outputs[drive.output].kind for drive in medium.drives.values() if drive.output)

    assert kinds == {"data-24v": 6, "reversing-24v": 6, "positioner-0-10v": 2}
    assert (len(medium.zones), len(medium.fans), len(medium.links), len(medium.schedules)) == (4, 1, 1, 4)
    assert Counter(opening.kind for opening in medium.openings.values())["damper"] == 2
    assert {"season", "rain", "wind", "maintenance"} == {it.kind for it in medium.lockouts.values()}
    assert {it.kind for it in medium.inputs.values()} == {
        "switch", "key-switch", "thermostat", "co2", "rain", "wind", "detector-line", "call-point", "link",
    }  # fmt: skip


def test_every_zone_has_openings_with_drives_and_a_switch_that_a_tap_stops(site: Site) -> None:
    switches = [it for it in site.inputs.values() if it.kind == "switch"]
    driven = {drive.opening for drive in site.drives.values()}

    assert {zone for it in switches for zone in it.zones or ()} == set(site.zones)
    assert {(it.tap_does, it.hold_does, it.contact) for it in switches} == {("stop", "run-to-end", "normally-open")}
    assert {opening for zone in site.zones.values() for opening in zone.openings or ()} == driven


def test_every_input_does_something_and_automatic_can_be_reached_in_every_zone(site: Site) -> None:
    acting = ("open_does", "close_does", "active_does")
    automatic = {zone for it in site.inputs.values() if it.command_class == "automatic" for zone in it.zones or ()}

    assert all(any(getattr(it, name) for name in acting) and it.zones for it in site.inputs.values())
    assert automatic == set(site.zones)
    assert all(part.automatic_enabled for part in (*site.zones.values(), *site.controllers.values()))


def test_every_command_class_used_has_a_rank_in_the_precedence(site: Site) -> None:
    used = {it.command_class for it in site.inputs.values()} | ({"schedule"} if site.schedules else set())

    assert used == set(site.precedence or ())


def test_rain_closes_every_zone_with_a_roof_opening_and_refuses_to_open_it(site: Site) -> None:
    roof_zones = {zone_of(site, name) for name, it in site.openings.items() if it.kind == "roof-vent"}
    closing = {zone for it in site.inputs.values() if it.kind == "rain" for zone in it.zones or ()}
    refused = {zone for it in site.lockouts.values() if it.kind == "rain" for zone in it.zones or ()}

    assert roof_zones
    assert roof_zones <= closing & refused


def test_one_kind_of_drive_hangs_on_each_output_in_the_number_expected_with_addresses_of_their_own(
    site: Site,
) -> None:
    for name, output in site.outputs.items():
        drives = [site.drives[drive] for drive in drives_of(site, name)]
        addresses = [drive.address for drive in drives if drive.addressable]

        assert len({(drive.addressable, drive.supply_voltage_v, drive.signal) for drive in drives}) <= 1
        assert len(drives) == (output.expected_drives or 0)
        assert len(set(addresses)) == len(addresses)
        assert all(drive.addressable is (output.kind == "data-24v") for drive in drives)


def test_outputs_and_supply_carry_their_drives_even_when_all_start_at_once(site: Site) -> None:
    for name, output in site.outputs.items():
        needed_a = sum(most_current_a(site, drive) for drive in drives_of(site, name))

        assert output.rated_current_a is not None
        assert needed_a <= output.rated_current_a
        assert output.trip_current_a is None or output.rated_current_a < output.trip_current_a
    for controller in site.controllers.values():
        assert controller.supply is not None
        assert controller.supply.rated_current_a is not None
        total_a = sum(most_current_a(site, drive) for drive in site.drives)
        assert total_a + (controller.supply.standing_current_a or 0) <= controller.supply.rated_current_a


def test_every_drive_keeps_enough_voltage_with_all_of_its_output_at_their_most_current(site: Site) -> None:
    currents_a = {drive: most_current_a(site, drive) for drive in site.drives}
    left_v = {drive: 24 - drop_v(site, drive, currents_a) for drive in site.drives}

    assert all(left_v[name] > (drive.min_voltage_v or 0) for name, drive in site.drives.items())
    assert min(left_v.values()) > 24 * LOWEST_SHARE_OF_VOLTAGE
    assert max(left_v.values()) < 24


def test_every_drive_is_at_the_end_of_cables_from_its_output(site: Site) -> None:
    for output in site.outputs:
        assert {it for it in fed_by(site, output) if it in site.drives} == set(drives_of(site, output))


def test_run_times_are_longer_than_the_slowest_travel(site: Site) -> None:
    for drive in site.drives.values():
        output = site.outputs[drive.output or ""]
        slowest = drive.full_travel_s
        if drive.stroke_mm and drive.automatic_speed_mm_s and drive.manual_speed_mm_s:
            slowest = drive.stroke_mm / min(drive.automatic_speed_mm_s, drive.manual_speed_mm_s)
            assert drive.automatic_speed_mm_s < drive.manual_speed_mm_s
        assert slowest is not None
        assert output.run_time_s is not None
        assert slowest < output.run_time_s


def test_openings_within_reach_carry_closing_protection(site: Site) -> None:
    low = [it for it in site.openings.values() if (it.height_above_floor_m or 0) < UNREACHABLE_ABOVE_M]

    assert all(it.closing_protection for it in low)


def test_smoke_openings_hang_on_supervised_lines_and_open_in_time() -> None:
    medium = load_demo("medium")
    smoke = [drive for drive in medium.drives.values() if medium.openings[drive.opening or ""].smoke]

    assert len(smoke) == 6
    for drive in smoke:
        output = medium.outputs[drive.output or ""]
        assert (output.supervised, output.end_of_line_ohm) == (True, 10_000)
        assert drive.stroke_mm is not None
        assert drive.smoke_speed_mm_s is not None
        assert drive.stroke_mm / drive.smoke_speed_mm_s < SMOKE_OPEN_WITHIN_S


def test_the_battery_of_medium_lasts_its_standby_and_a_half_hour_of_alarm() -> None:
    # BS 5839-1, public calculator: 1.25 x (T1 x I1 + 1.75 x I2 x 0.5 h); the vents need far less than the half hour.
    medium = load_demo("medium")
    supply = medium.controllers["c1"].supply
    assert supply is not None
    assert supply.battery is not None
    alarm_a = sum(
        drive.running_current_a or 0 for drive in medium.drives.values() if medium.openings[drive.opening or ""].smoke
    )
    standby_ah = (supply.standing_current_a or 0) * (supply.battery.required_standby_hours or 0)
    needed_ah = 1.25 * (standby_ah + 1.75 * alarm_a * 0.5)

    assert alarm_a == pytest.approx(7.2)
    assert supply.battery.capacity_ah is not None
    assert supply.battery.capacity_ah > needed_ah
    recharge_ah = 24 * (supply.battery.charger_current_a or 0)
    assert recharge_ah * 0.8 > 0.8 * supply.battery.capacity_ah


def test_links_are_terminated_at_both_ends(site: Site) -> None:
    assert {link.termination for link in site.links.values()} <= {"both-ends"}


def test_every_place_can_be_walked_to_from_every_other(site: Site) -> None:
    ways = {(start, end) for start, place in site.places.items() for end in place.walk_minutes}
    reached, edge = set(), {next(iter(site.places))}
    while edge:
        reached |= edge
        edge = {end for way in ways for start, end in (way, way[::-1]) if start in reached} - reached

    assert reached == set(site.places)


def test_every_drive_input_output_and_controller_says_where_it_is(site: Site) -> None:
    parts = (*site.drives.values(), *site.inputs.values(), *site.outputs.values(), *site.controllers.values())

    assert all(part.place for part in parts)


def test_names_are_told_apart(site: Site) -> None:
    names = Counter(
        part.name
        for section in (site.drives, site.openings, site.outputs, site.zones, site.inputs, site.cables)
        for part in section.values()
    )

    assert None not in names
    assert [name for name, count in names.items() if count > 1] == []
