"""Volts along trees of cables are those of the circuit solver."""

from __future__ import annotations

import pytest

from diag.calculators.conductors import voltage_drop_v
from diag.demo import load_demo
from diag.inspection.view import View
from diag.site_circuits import drive_supplies
from diag.topology import read_topology
from tests.diag.inspection.builders import view_of


@pytest.mark.parametrize("name", ["small", "medium", "campus"])
def test_volts_are_those_of_the_circuit_solver(name: str) -> None:
    topology = read_topology(load_demo(name))
    solved = {
        drive: supply.together_v
        for output in topology.of_kind("output")
        for drive, supply in drive_supplies(topology, output).items()
    }

    assert View(topology).running_v == pytest.approx(solved, rel=1e-12)


def test_one_drive_on_one_cable_loses_what_the_conductor_table_says() -> None:
    """60 m of 2.5 mm2 at 4 A: 2 x 60 x 4 x 7.41 / 1000 = 3.557 V (IEC 60228)."""
    view = one_drive(area_mm2=2.5)

    assert 24 - view.running_v["d1"] == pytest.approx(voltage_drop_v(4, 60, 2.5), rel=1e-12)
    assert 24 - view.running_v["d1"] == pytest.approx(3.557, abs=0.001)


@pytest.mark.parametrize("left_out", ["length_m", "area_mm2", "from"])
def test_a_cable_not_fully_described_leaves_the_volts_unknown(left_out: str) -> None:
    assert one_drive(**{left_out: None}).running_v == {}


def test_an_area_that_no_cable_has_leaves_the_volts_unknown() -> None:
    assert one_drive(area_mm2=1.2).running_v == {}


def test_a_drive_that_a_hopeless_cable_cannot_feed_gets_nothing() -> None:
    assert one_drive(area_mm2=0.5, length_m=3000).running_v == {"d1": 0.0}


def one_drive(**cable: object) -> View:
    """Return the view of one drive at the end of one cable."""
    fields = {"from": "o1", "to": "d1", "length_m": 60, "area_mm2": 2.5, "conductor_class": 2, "temperature_c": 20}
    return view_of(
        controllers={"c1": {"supply": {"rated_voltage_v": 24}}},
        outputs={"o1": {"controller": "c1", "kind": "reversing-24v"}},
        drives={"d1": {"output": "o1", "running_current_a": 4}},
        cables={"k1": {name: value for name, value in {**fields, **cable}.items() if value is not None}},
    )
