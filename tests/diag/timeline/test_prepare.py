"""What playing needs, worked out from the description, and what is taken where it is silent."""

from __future__ import annotations

import pytest

from diag.demo import load_demo
from diag.timeline.prepare import prepare
from tests.diag.timeline.told import medium, plan_of


@pytest.mark.parametrize(
    ("lockout", "classes"),
    [
        ("kind: rain, refuses_manual: true", {"manual", "link", "schedule", "automatic"}),
        ("kind: rain, refuses_manual: false", {"link", "schedule", "automatic"}),
        ("kind: wind", {"rain", "manual", "link", "schedule", "automatic"}),
        ("kind: season", {"link", "schedule", "automatic"}),
        ("kind: night, refuses_manual: true", {"manual", "link", "schedule", "automatic"}),
    ],
)
def test_a_lockout_refuses_weaker_classes_and_hands_as_it_says(lockout: str, classes: set[str]) -> None:
    plan = plan_of(f"lockouts: {{lo: {{{lockout}, zones: [z1], refuses: open}}}}\n")

    assert plan.lockouts["lo"].classes == classes


def test_no_lockout_of_weather_or_time_refuses_smoke_in_the_usual_order() -> None:
    for demo in ("small", "medium"):
        assert all("smoke" not in it.classes for it in prepare(load_demo(demo)).lockouts.values())


def test_a_wind_lockout_without_limit_acts_at_the_set_point_of_its_input() -> None:
    plan = plan_of("inputs: {w: {kind: wind, set_point: 9}}\nlockouts: {lo: {kind: wind, input: w, zones: [z1]}}\n")

    assert plan.lockouts["lo"].threshold.limit == 9


def test_the_link_writes_at_its_own_priority_or_else_at_the_last() -> None:
    assert medium().inputs["bms"].write_level == 9
    assert plan_of("links: {bl: {zones: [z1]}}\n").inputs["bl"].write_level == 16


def test_a_controller_with_automatic_off_keeps_it_off_in_the_zones_of_its_sensors() -> None:
    plan = plan_of(
        "controllers: {c: {automatic_enabled: false}}\ninputs: {th: {kind: thermostat, controller: c, zones: [z1]}}\n"
    )

    assert plan.zones["z1"].automatic_off_by == "c"


def test_an_input_without_class_has_the_usual_one_of_its_kind() -> None:
    plan = plan_of("inputs: {a: {kind: call-point}, b: {kind: key-switch}, c: {kind: co2}}\n")

    assert [it.command_class for it in plan.inputs.values()] == ["smoke", "maintenance", "automatic"]
    assert [it.active_does for it in plan.inputs.values()] == ["open", "stop", "open"]
