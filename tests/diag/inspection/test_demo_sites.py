"""The demo sites are clean, faults put into them are found, and nothing left out is taken for a fault."""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy

import pytest

from diag.demo import load_demo
from diag.errors import BadSite
from diag.inspection.cases import change, described
from diag.inspection.run import Inspector, inspect
from tests.diag.inspection.builders import TODAY, demo_data, findings_of, found

SMOKE_LATE = ["maintenance", "smoke", "wind", "rain", "manual", "link", "schedule", "automatic"]
ALL_ZONES = {("automatic-off-at-controller", zone) for zone in ("zn", "zs", "za", "zd")}
SEEDED: Mapping[str, tuple[dict[str, object], set[tuple[str, str]]]] = {
    "an output too small for its drives": ({"outputs.out1.rated_current_a": 2}, {("output-overloaded", "out1")}),
    "a trunk far too long": (
        {"cables.k14.length_m": 240},
        {("voltage-too-low", "d11"), ("voltage-too-low", "d12")},
    ),
    "a smoke line without supervision": (
        {"outputs.out3.supervised": False},
        {("smoke-line-unsupervised", "out3"), ("end-of-line-unwatched", "out3")},
    ),
    "one drive more expected than fitted": (
        {"outputs.out2.expected_drives": 4},
        {("expected-count-differs", "out2")},
    ),
    "an address used twice": ({"drives.d2.address": 1}, {("address-used-twice", "d2")}),
    "a low window without protection": (
        {"openings.w3.closing_protection": []},
        {("closing-edge-unprotected", "w3")},
    ),
    "a tap that does not stop": ({"inputs.sw-n.tap_does": "nothing"}, {("tap-without-stop", "sw-n")}),
    "a hold-off of 30 hours": ({"zones.zs.hold_off_minutes": 1800}, {("hold-off-over-a-day", "zs")}),
    "a bus with one resistor": ({"links.bl1.termination": "one-end"}, {("termination-missing", "bl1")}),
    "a battery of 12 Ah": ({"controllers.c1.supply.battery.capacity_ah": 12}, {("battery-too-small", "c1")}),
    "a run time shorter than the travel": ({"outputs.out5.run_time_s": 60}, {("run-time-too-short", "out5")}),
    "rain that opens": ({"inputs.rain.active_does": "open"}, {("weather-opens", "rain")}),
    "maintenance above smoke": ({"precedence": SMOKE_LATE}, {("smoke-not-strongest", "site")}),
    "a switch for no zone": ({"inputs.sw-s.zones": []}, {("input-without-zone", "sw-s")}),
    "a CO2 set point of outdoor air": ({"inputs.co2.set_point": 400}, {("co2-set-point-low", "co2")}),
    "a wind limit in a breeze": (
        {"lockouts.lo-wind.limit": 3},
        {("wind-limit-low", "lo-wind"), ("wind-limits-disagree", "lo-wind")},
    ),
    "a positioner for another signal": ({"drives.d13.signal": "4-20ma"}, {("signal-of-another-kind", "d13")}),
    "unequal drives on one vent": ({"drives.d8.stroke_mm": 500}, {("pair-differs", "rv1")}),
    "a smoke vent that takes 75 s": (
        {"drives.d11.smoke_speed_mm_s": 8, "drives.d12.smoke_speed_mm_s": 8},
        {("smoke-too-slow", "d11"), ("smoke-too-slow", "d12")},
    ),
    "an overload below the motor": ({"fans.f1.overload_a": 0.8}, {("overload-below-motor", "f1")}),
    "two programmes at one minute": ({"schedules.purge-off.at": "23:00"}, {("schedules-clash", "purge-on")}),
    "a lead without data core": ({"cables.k6.data_core": False}, {("data-core-missing", "k6")}),
    "automatic off at the controller": ({"controllers.c1.automatic_enabled": False}, ALL_ZONES),
    "a link that writes at life safety": ({"links.bl1.write_priority": 1}, {("write-priority-reserved", "bl1")}),
    "a detector line with equal resistors": (
        {"inputs.sd1.alarm_resistor_ohm": 10000},
        {("detector-line-ambiguous", "sd1")},
    ),
}


def test_the_medium_site_and_the_campus_are_clean(inspector: Inspector) -> None:
    for name in ("medium", "campus"):
        assert inspect(inspector, load_demo(name), TODAY).findings == ()


def test_all_that_is_found_at_the_small_site_is_that_its_battery_is_not_described(inspector: Inspector) -> None:
    (only,) = inspect(inspector, load_demo("small"), TODAY).findings

    assert (only.severity, only.rule) == ("note", "not-described")
    assert only.reason == "What rests on these was not inspected: whether c1 has a battery."


@pytest.mark.parametrize("fault", SEEDED)
def test_one_fault_in_the_medium_site_is_found_and_nothing_else(inspector: Inspector, fault: str) -> None:
    changes, expected = SEEDED[fault]
    data = demo_data("medium")
    for path, value in changes.items():
        change(data, path, value)

    assert found(inspector, data) == expected


def test_twenty_five_faults_at_once_are_all_found_and_nothing_else(inspector: Inspector) -> None:
    data, expected = demo_data("medium"), set()
    for changes, consequences in SEEDED.values():
        expected |= consequences
        for path, value in changes.items():
            change(data, path, value)

    assert len(SEEDED) == 25
    assert found(inspector, data) == expected


@pytest.mark.parametrize("name", ["small", "medium"])
def test_leaving_out_any_one_field_is_never_an_error_or_a_warning(inspector: Inspector, name: str) -> None:
    data = demo_data(name)
    tried = 0
    for path in described(data):
        less = deepcopy(data)
        change(less, path, None)
        try:
            findings = findings_of(inspector, less)
        except BadSite:
            continue
        tried += 1

        assert [(path, it.rule, it.part) for it in findings if it.severity != "note"] == []

    assert tried > 300


def test_a_site_of_which_only_the_name_is_known_has_nothing_but_that(inspector: Inspector) -> None:
    (only,) = findings_of(inspector, {"name": "Test hall"})

    assert only.rule == "not-described"
    assert only.reason.endswith("all controllers, all outputs, all drives, all cables and 3 more.")
