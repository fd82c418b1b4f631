"""Mains, power unit, battery and charger give what their condition lets them give."""

from __future__ import annotations

import pytest

from diag.virtual.faults import Fault
from diag.virtual.fitted import ControllerCondition
from diag.virtual.supply import battery_after_load, battery_rest_voltage, battery_voltage, unit_voltage
from tests.diag.virtual.sites import virtual


def test_a_power_unit_holds_its_voltage_up_to_its_current_and_gives_way_above() -> None:
    unit = ControllerCondition()
    assert unit_voltage(unit, 24.0, 10.0, 10.0) == 24.0
    assert unit_voltage(unit, 24.0, 10.0, 12.5) == pytest.approx(19.2)


def test_without_mains_the_battery_carries_the_controller() -> None:
    site = virtual()
    site.fitted.controllers["c1"].isolator_on = False
    bus = site.bus("c1")
    assert (bus.mains, bus.on_battery, bus.alive) == (False, True, True)
    assert bus.voltage_v == pytest.approx(25.6, abs=0.1)


def test_without_mains_and_battery_it_is_dark() -> None:
    site = virtual(Fault("battery-disconnected", "c1"))
    site.fitted.controllers["c1"].isolator_on = False
    assert not site.bus("c1").alive


def test_on_battery_comfort_is_kept_back_and_smoke_still_opens() -> None:
    site = virtual()
    site.fitted.controllers["c1"].isolator_on = False
    assert site.press("sw-a", "open").moved == ()
    assert len(site.command(("za",), "open", "smoke").moved) == 6


def test_an_aged_battery_rests_well_and_sags_under_load() -> None:
    aged = ControllerCondition(has_battery=True, battery_health=0.1)
    sound = ControllerCondition(has_battery=True)
    assert battery_rest_voltage(aged, 24.0) > 24.0
    assert battery_voltage(sound, 24.0, 8.0) - battery_voltage(aged, 24.0, 8.0) > 5.0


def test_charging_brings_back_an_empty_battery_and_not_a_worn_one() -> None:
    empty = ControllerCondition(has_battery=True, battery_charge=0.1)
    worn = ControllerCondition(has_battery=True, battery_health=0.1)
    assert battery_after_load(empty, 24.0, charged=True) > battery_after_load(empty, 24.0, charged=False) + 1.0
    assert battery_after_load(worn, 24.0, charged=True) == battery_after_load(worn, 24.0, charged=False)


def test_an_overloaded_power_unit_fails_only_when_much_runs() -> None:
    site = virtual(Fault("power-unit-overloaded", "c1", 1.0), name="workshop")
    assert site.bus("c1").alive
    assert not site.bus("c1", 9.0).alive


def test_a_battery_steps_in_for_a_power_unit_that_gives_way() -> None:
    bus = virtual(Fault("power-unit-overloaded", "c1", 1.0)).bus("c1", 14.0)
    assert (bus.on_battery, bus.alive) == (True, True)
