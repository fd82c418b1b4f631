"""The causes of a site as events."""

from __future__ import annotations

from datetime import timedelta

from diag.sheet.scenarios import is_quiet, quiet_moment, scenarios
from diag.site import Site
from tests.diag.sheet.builders import demo_part, demo_with, described, plan_of


def says(site: Site | str) -> list[str]:
    """Return the words of all causes."""
    return [it.says for it in scenarios(plan_of(site))]


def test_the_strongest_causes_come_first() -> None:
    order = plan_of("medium").order
    places = [order.index(it.command_class) for it in scenarios(plan_of("medium"))]

    assert places == sorted(places)


def test_every_input_lockout_and_programme_of_a_demo_site_is_a_cause() -> None:
    plan = plan_of("medium")
    causes = {it.part for it in scenarios(plan)}
    by_input = {part for part, it in plan.lockouts.items() if it.input}

    assert causes == (set(plan.site.inputs) | set(plan.lockouts) | set(plan.schedules)) - by_input


def test_the_quiet_moment_lies_outside_every_calendar() -> None:
    plan = plan_of(demo_part("medium", "lockouts", "lo-season", from_day="05-01", until_day="08-31"))
    calendar = plan.lockouts["lo-season"].calendar

    assert calendar is not None
    assert not calendar.has(quiet_moment(plan), plan.time_zone)


def test_the_quiet_moment_lies_outside_every_programme() -> None:
    """Open from 06:00 to 18:00 every day: noon is not quiet, the small hours are."""
    programmes = {
        "s1": {"zones": ["z1"], "at": "06:00", "does": "open"},
        "s2": {"zones": ["z1"], "at": "18:00", "does": "close"},
    }
    plan = plan_of(described(zones={"z1": {}}, schedules=programmes))

    assert quiet_moment(plan).hour == 4
    assert is_quiet(plan, quiet_moment(plan))


def test_a_programme_that_never_closes_leaves_no_moment_quiet() -> None:
    plan = plan_of(described(zones={"z1": {}}, schedules={"s1": {"zones": ["z1"], "at": "06:00", "does": "open"}}))

    assert not is_quiet(plan, quiet_moment(plan))


def test_a_sensor_is_played_at_the_highest_limit_that_hangs_on_it() -> None:
    """The wind input asks at 10.8 m/s, its lockout at 14; one reading makes both."""
    site = demo_part("medium", "lockouts", "lo-wind", limit=14)

    assert "Wind sensor: 14 m/s or more" in says(site)


def test_a_lockout_that_acts_on_cold_is_a_cause_of_its_own() -> None:
    cold = {"kind": "temperature", "input": "t1", "zones": ["z1"], "refuses": "open", "limit": 5}
    site = described(
        zones={"z1": {}},
        inputs={"t1": {"kind": "temperature", "zones": ["z1"], "set_point": 23, "dead_band": 2, "unit": "C"}},
        lockouts={"l1": cold},
    )

    assert sorted(says(site)) == ["T1: 23 °C or more", "T1: 5 °C or less", "T1: back at 21 °C or less"]


def test_a_lockout_at_night_is_looked_at_just_after_it_begins() -> None:
    night = {"kind": "night", "zones": ["z1"], "refuses": "open", "from_time": "22:00", "until_time": "06:00"}
    plan = plan_of(described(zones={"z1": {}}, lockouts={"l1": night}))
    found = scenarios(plan)[0]

    assert found.says == "L1: 22:00 to 06:00"
    assert found.seen_at.astimezone(plan.time_zone).strftime("%H:%M") == "22:01"


def test_a_switch_that_does_nothing_on_close_is_not_played_on_close() -> None:
    site = demo_part("small", "inputs", "sw-a", close_does="nothing")

    assert not [it for it in says(site) if it.startswith("Window switch: held on close")]


def test_an_input_without_zones_is_no_cause() -> None:
    site = demo_part("small", "inputs", "sw-a", zones=None)

    assert not [it for it in says(site) if it.startswith("Window switch")]


def test_a_sensor_is_looked_at_after_its_delay() -> None:
    found = next(it for it in scenarios(plan_of("medium")) if it.says == "CO2 sensor: 1000 ppm or more")

    assert found.seen_at - found.given_at == timedelta(minutes=6)


def test_the_same_site_gives_the_same_causes_whatever_the_day() -> None:
    assert scenarios(plan_of("medium")) == scenarios(plan_of(demo_with("medium")))
