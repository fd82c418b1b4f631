"""Voltages that drives of a described output should see."""

from __future__ import annotations

import pytest

from diag.demo import load_demo
from diag.site import Site
from diag.site_circuits import drive_supplies
from diag.topology import read_topology

# IEC 60228 class 2, 1.5 mm2: 12.1 ohm/km; class 5, 0.75 mm2: 26.0 ohm/km, both at 20 degrees.
TRUNK_LOOP_OHM = 2 * 14 * 12.1 / 1000
LEAD_LOOP_OHM = 2 * 3 * 26.0 / 1000


def test_a_drive_alone_loses_its_current_times_the_loop_of_its_path() -> None:
    supply = drive_supplies(read_topology(load_demo("small")), "out1")["d1"]

    assert supply.alone_v == pytest.approx(24 - 0.9 * (TRUNK_LOOP_OHM + LEAD_LOOP_OHM), rel=1e-9)


def test_a_neighbour_running_lowers_the_voltage_by_its_share_of_the_trunk() -> None:
    supply = drive_supplies(read_topology(load_demo("small")), "out1")["d1"]

    assert supply.together_v == pytest.approx(24 - 1.8 * TRUNK_LOOP_OHM - 0.9 * LEAD_LOOP_OHM, rel=1e-9)
    assert supply.margin == "ok"


def test_a_cable_of_unknown_size_leaves_the_voltage_unknown_and_says_why() -> None:
    site = load_demo("small").model_copy(deep=True)
    cables = {
        name: it.model_copy(update={"area_mm2": None}) if name == "k2" else it for name, it in site.cables.items()
    }
    supplies = drive_supplies(read_topology(site.model_copy(update={"cables": cables})), "out1")

    assert supplies["d1"].alone_v is None
    assert supplies["d1"].missing == ("k2: length and area",)
    assert supplies["d2"].alone_v is not None
    assert supplies["d2"].together_v is None


def test_what_was_taken_for_an_unknown_temperature_is_said() -> None:
    supply = drive_supplies(read_topology(load_demo("small")), "out3")["d3"]

    assert supply.taken == ("20 degrees",)


def test_a_long_thin_cable_leaves_too_little_voltage() -> None:
    site = Site.model_validate(
        {
            "name": "long run",
            "controllers": {"c1": {"supply": {"rated_voltage_v": 24}}},
            "outputs": {"o1": {"controller": "c1", "kind": "reversing-24v"}},
            "drives": {"d1": {"output": "o1", "running_current_a": 2.5, "min_voltage_v": 20.4}},
            "cables": {"k1": {"from": "o1", "to": "d1", "length_m": 60, "area_mm2": 1.0, "conductor_class": 2}},
        }
    )

    assert drive_supplies(read_topology(site), "o1")["d1"].margin == "short"


def test_a_cable_size_the_standard_does_not_list_is_unknown_not_an_error() -> None:
    site = load_demo("small")
    cables = {
        name: it.model_copy(update={"area_mm2": 0.22}) if name == "k2" else it for name, it in site.cables.items()
    }
    supplies = drive_supplies(read_topology(site.model_copy(update={"cables": cables})), "out1")

    assert supplies["d1"].missing == ("k2: an area that the conductor table has",)
