"""Sensors read what is there where they sit, as their condition and settings let them."""

from __future__ import annotations

import pytest

from diag.virtual.faults import Fault
from diag.virtual.sensing import at_sensor, demand, is_wet, reading
from diag.virtual.site import VirtualSite
from tests.diag.virtual.sites import virtual


def reads(site: VirtualSite, part: str) -> float:
    """Return the value the controller shows."""
    return reading(site.topology, site.fitted, site.around, part)


def test_sound_sensors_read_the_truth() -> None:
    site = virtual()
    assert (reads(site, "th1"), reads(site, "co2"), reads(site, "wind")) == (21.5, 700.0, 2.0)


def test_a_thermometer_beside_a_badly_placed_sensor_agrees_with_it() -> None:
    site = virtual(Fault("sensor-badly-placed", "th1", 1.0))
    assert reads(site, "th1") == pytest.approx(at_sensor(site.topology, site.fitted, site.around, "th1"))
    assert abs(reads(site, "th1") - site.around.room_c) > 3.0


def test_a_drifted_sensor_differs_from_what_is_beside_it() -> None:
    site = virtual(Fault("co2-sensor-drifted", "co2", 1.0))
    assert abs(reads(site, "co2") - 700.0) > 500.0


def test_a_sheltered_wind_sensor_reads_little_of_the_wind() -> None:
    site = virtual(Fault("weather-sensor-sheltered", "wind"))
    site.around.wind_m_s = 20.0
    assert reads(site, "wind") == pytest.approx(4.0)


def test_a_wrong_scale_shifts_by_a_factor() -> None:
    site = virtual(Fault("sensor-scaled-wrong", "wind"))
    assert reads(site, "wind") in (1.0, 3.6)


def test_a_set_point_too_high_keeps_a_hot_room_closed() -> None:
    site = virtual(Fault("thermostat-set-point", "th1", 1.0), seed=2)
    site.fitted.inputs["th1"].set_point = 28.0
    site.around.room_c = 26.0
    assert not demand(site.topology, site.fitted, site.around, "th1")


@pytest.mark.parametrize(("raining", "told"), [(True, True), (False, False)])
def test_a_sound_rain_sensor_tells_the_weather(raining: bool, told: bool) -> None:
    site = virtual()
    site.around.raining = raining
    assert is_wet(site.topology, site.fitted, site.around, "rain") is told


def test_a_sheltered_rain_sensor_misses_rain_and_not_a_wet_cloth() -> None:
    site = virtual(Fault("weather-sensor-sheltered", "rain"))
    site.around.raining = True
    assert not is_wet(site.topology, site.fitted, site.around, "rain")
    assert is_wet(site.topology, site.fitted, site.around, "rain", wetted=True)
