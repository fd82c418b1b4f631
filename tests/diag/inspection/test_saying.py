"""Reasons name parts as people do and give figures with three digits and a unit."""

from __future__ import annotations

import pytest

from diag.inspection.saying import name_part, say, say_figure
from tests.diag.inspection.builders import view_of


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("drawn_a", 2.7000000000000002, "2.7 A"),
        ("needed_ah", 22.65, "22.6 Ah"),
        ("running_v", 20.4432, "20.4 V"),
        ("end_of_line_ohm", 10000.0, "10000 ohm"),
        ("stroke_mm", 600.0, "600 mm"),
        ("smoke_speed_mm_s", 12.0, "12 mm/s"),
        ("area_mm2", 0.75, "0.75 mm2"),
        ("length_m", 1500.0, "1500 m"),
        ("run_time_s", 37.5, "37.5 s"),
        ("hold_off_minutes", 1800.0, "1800 minutes"),
        ("temperature_c", 85.0, "85 degrees"),
        ("lost_share", 0.1482, "15 %"),
        ("free_share", 0.0027, "0.27 %"),
        ("address", 12.0, "12"),
        ("trunk", "main cable", "main cable"),
    ],
)
def test_a_figure_carries_the_unit_its_name_ends_with(name: str, value: float | str, said: str) -> None:
    assert say_figure(name, value) == said


def test_a_part_is_called_by_its_name_and_id_or_by_its_id() -> None:
    topology = view_of(drives={"d1": {"name": "left drive"}, "d2": {}}).topology

    assert name_part(topology, "d1") == "left drive (d1)"
    assert name_part(topology, "d2") == "d2"
    assert name_part(topology, "site") == "the site"


def test_a_sentence_begins_with_a_capital_but_an_id_stays_as_it_is_written() -> None:
    topology = view_of(drives={"d1": {"name": "left drive"}, "d2": {}}).topology
    figures = {"drawn_a": 2.0}

    assert say("$d draws {drawn_a}.", {"$d": "d1"}, figures.__getitem__, topology) == "Left drive (d1) draws 2 A."
    assert say("$d draws {drawn_a}.", {"$d": "d2"}, figures.__getitem__, topology) == "d2 draws 2 A."
