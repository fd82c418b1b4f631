"""What each cause does to each zone, and what still moves it."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

import pytest

from diag.sheet.matrix import COLUMNS, Effect, cause_and_effect, classes_that
from diag.site import Site
from diag.timeline.levels import DEFAULT_ORDER
from tests.diag.sheet.builders import demo_part, demo_with, described, plan_of


def effect(site: Site | str, cause: str, zone: str) -> Effect:
    """Return the effect of the cause of these words on a zone."""
    rows = [row for matrix in cause_and_effect(plan_of(site)) for row in matrix.rows]
    return next(row.effects[zone] for row in rows if row.scenario.says == cause)


def test_rain_closes_against_everyone_where_it_comes_first() -> None:
    found = effect("small", "Rain sensor: wet", "za")

    assert (found.says, found.against, found.passes) == ("closes", "open", ())


def test_a_hand_command_is_passed_by_rain_alone_where_only_rain_is_stronger() -> None:
    assert effect("small", "Window switch: held on open", "za").passes == ("rain",)


def test_the_matrix_follows_the_order_of_the_site_and_is_not_typed() -> None:
    """With the hand first and no lockout, rain closes no more against it, and a hand opens against rain."""
    site = demo_with("small", precedence=["manual", "rain", "automatic"], lockouts={})

    assert effect(site, "Window switch: held on open", "za").passes == ()
    assert effect(site, "Rain sensor: wet", "za").passes == ("manual",)


@pytest.mark.parametrize("seed", range(30))
def test_without_lockouts_exactly_the_stronger_classes_pass_a_standing_command(seed: int) -> None:
    """The rule of any priority array: a lower number wins. Every order of the classes is as good as another."""
    order = Random(seed).sample(list(DEFAULT_ORDER), len(DEFAULT_ORDER))
    plan = plan_of(one_zone_with_every_class(order))
    rows = [row for matrix in cause_and_effect(plan) for row in matrix.rows if row.scenario.lasts]

    for row in rows:
        found = row.effects["z1"]
        stronger = order[: order.index(row.scenario.command_class)]
        assert found.passes == tuple(it for it in classes_that(plan, "z1", found.against) if it in stronger)


def one_zone_with_every_class(order: Sequence[str]) -> Site:
    """Return a site whose one zone every class can command."""
    kinds = {"smoke": "call-point", "maintenance": "key-switch", "wind": "wind", "rain": "rain", "automatic": "co2"}
    inputs = {name: {"kind": kind, "zones": ["z1"], "command_class": name} for name, kind in kinds.items()}
    inputs |= {
        "hand": {"kind": "switch", "zones": ["z1"], "command_class": "manual"},
        "bus": {"kind": "link", "zones": ["z1"], "command_class": "link"},
    }
    return described(
        precedence=list(order),
        zones={"z1": {"hold_off_minutes": 30}},
        inputs=inputs,
        schedules={
            "s1": {"zones": ["z1"], "at": "07:00", "does": "open"},
            "s2": {"zones": ["z1"], "at": "08:00", "does": "close"},
        },
    )


def test_a_lockout_that_lets_the_hand_pass_says_so() -> None:
    site = demo_part("small", "lockouts", "lo-rain", refuses_manual=False)

    assert effect(site, "Rain sensor: wet", "za").passes == ("manual",)


def test_a_hand_keeps_automatic_from_closing_for_its_hold_off() -> None:
    assert "automatic" in classes_that(plan_of("small"), "za", "close")
    assert "automatic" not in (effect("small", "Window switch: held on open", "za").passes or ())


def test_smoke_opens_and_nothing_closes_against_it() -> None:
    found = effect("medium", "Atrium smoke detectors: in alarm", "za")

    assert (found.says, found.passes) == ("opens", ())


def test_smoke_opens_where_service_has_stopped_everything_else() -> None:
    assert effect("medium", "Service key switch: turned", "za").passes == ("smoke",)
    assert effect("medium", "Service key switch: turned", "zn").passes == ()


def test_an_alarm_that_is_over_stays_until_it_is_reset_and_then_leaves_the_opening_open() -> None:
    assert effect("medium", "Atrium smoke detectors: alarm over, not reset", "za").says == "stays open"
    assert effect("medium", "Atrium smoke detectors: alarm over and reset", "za").says == "stays open"


def test_a_season_bars_opening_by_itself_and_not_by_hand() -> None:
    found = effect("medium", "Winter lockout: 1 November to 28 February", "zn")

    assert (found.says, found.action) == ("no opening", "barred")
    assert "manual" in (found.passes or ())
    assert "automatic" not in (found.passes or ())


def test_a_short_press_stops_and_a_sensor_cooled_down_closes() -> None:
    assert effect("medium", "North switch: short press while it opens", "zn").says == "stops"
    assert effect("medium", "Room thermostat: back at 21 °C or less", "zn").says == "closes"


def test_a_delay_is_waited_for() -> None:
    """The thermostat asks after three minutes; looked at earlier it would do nothing."""
    assert effect("medium", "Room thermostat: 23 °C or more", "zn").says == "opens"


def test_a_time_programme_acts_at_its_time() -> None:
    assert effect("medium", "Archive airing opens: 07:00 on Tue, Fri", "zd").says == "opens"
    assert effect("medium", "Archive airing closes: 07:45 on Tue, Fri", "zd").says == "closes"


def test_automatic_switched_off_shows_no_effect() -> None:
    site = demo_part("small", "zones", "za", automatic_enabled=False)

    found = effect(site, "Room thermostat: 23 °C or more", "za")

    assert (found.says, found.action, found.passes) == ("–", "none", None)


def test_wind_does_nothing_to_a_zone_it_is_not_assigned_to() -> None:
    rows = [row for matrix in cause_and_effect(plan_of("medium")) for row in matrix.rows]
    wind = next(row for row in rows if row.scenario.part == "wind")

    assert set(wind.effects) == {"zn", "zs", "za"}


def test_a_zone_without_hold_off_still_moves_on_a_press() -> None:
    site = demo_part("small", "zones", "za", hold_off_minutes=0)

    assert effect(site, "Window switch: held on open", "za").says == "opens"


def test_many_zones_are_put_into_several_matrices() -> None:
    zones = {f"z{number}": {} for number in range(COLUMNS + 2)}
    switches = {f"s{zone}": {"kind": "switch", "zones": [zone]} for zone in zones}
    matrices = cause_and_effect(plan_of(described(zones=zones, inputs=switches)))

    assert [len(it.zones) for it in matrices] == [COLUMNS, 2]
    assert {row.scenario.part for row in matrices[1].rows} == {f"sz{COLUMNS}", f"sz{COLUMNS + 1}"}


def test_a_site_nobody_described_has_no_matrix() -> None:
    assert cause_and_effect(plan_of(described())) == ()
