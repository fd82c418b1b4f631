"""An inspection tells each finding once, worst first, with figures, place, remedy and source, and always the same."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from diag.demo import load_demo
from diag.inspection.chapter import compile_inspections
from diag.inspection.findings import Inspection
from diag.inspection.run import Inspector, inspect, prepare_inspector
from diag.site_file import load_site, read_site, site_from_data
from diag.workers import EnginePool
from knowledge.load import load_inspections
from knowledge.located import read_located_file
from tests.diag.inspection.builders import TODAY, demo_data, findings_of

FAULTY = """\
name: Gym
controllers:
  c1:
    name: gym panel
    supply:
      standing_current_a: 0.25
      battery: {capacity_ah: 18, required_standby_hours: 72}
outputs:
  o1: {controller: c1}
openings:
  rv1: {smoke: true}
drives:
  d1: {output: o1, opening: rv1, running_current_a: 2.4}
zones:
  z1: {openings: [rv1], hold_off_minutes: 1800}
"""


def test_a_finding_holds_figures_part_remedy_and_source(inspector: Inspector) -> None:
    """0.25 A x 72 h and 2.4 A x 3 min make 18.12 Ah; with a margin of 25 % they make 22.65 Ah."""
    found = {it.rule: it for it in inspect(inspector, read_site(FAULTY), TODAY).findings}
    battery = found["battery-too-small"]

    assert battery.severity == "error"
    assert battery.part_name == "gym panel (c1)"
    assert battery.reason.startswith("Gym panel (c1) needs 22.7 Ah for 72 hours of standby")
    assert battery.remedy == "Fit a battery of at least 22.7 Ah, and check the charger for it."
    assert battery.source.startswith("NFPA 72-2022 10.6.10.1")
    assert battery.cautions == ("battery",)


def test_lines_lead_to_the_field_or_to_its_part(inspector: Inspector, tmp_path: Path) -> None:
    file = tmp_path / "gym.yaml"
    file.write_text(FAULTY, encoding="utf-8")
    inspection = inspect(inspector, load_site(file), TODAY, read_located_file(file))
    lines = {it.rule: (it.line, it.column) for it in inspection.findings}

    assert lines["battery-too-small"] == (7, 17)
    assert lines["hold-off-over-a-day"] == (15, 25)
    assert lines["not-described"] == (1, 1)


def test_without_a_file_there_is_no_line(inspector: Inspector) -> None:
    assert {it.line for it in inspect(inspector, read_site(FAULTY), TODAY).findings} == {None}


def test_errors_come_before_warnings_and_notes_and_drives_in_order_of_number(inspector: Inspector) -> None:
    drives = {
        f"d{n}": {"running_current_a": 1, "cut_off_current_a": 0.5, "starting_current_a": 0.6} for n in (10, 2, 1)
    }
    findings = findings_of(inspector, {"name": "Gym", "drives": drives})

    assert [it.severity for it in findings] == ["error"] * 3 + ["warning"] * 6 + ["note"]
    assert [it.part for it in findings if it.rule == "cut-off-below-running"] == ["d1", "d2", "d10"]


def test_the_same_site_gives_the_same_findings_whatever_the_order_of_its_file(inspector: Inspector) -> None:
    data = demo_data("medium")
    data["outputs"]["out1"]["rated_current_a"] = 2
    turned = {
        name: dict(reversed(section.items())) if isinstance(section, dict) else section
        for name, section in reversed(data.items())
    }
    first = inspect(inspector, site_from_data(data), TODAY)

    assert first.findings
    assert inspect(inspector, site_from_data(turned), TODAY) == first


def test_ages_are_left_alone_when_the_day_is_not_known(inspector: Inspector) -> None:
    old = {"name": "Gym", "controllers": {"c1": {"supply": {"battery": {"installed": "2019-01-01"}}}}}

    assert "battery-old" in {it.rule for it in inspect(inspector, site_from_data(old), TODAY).findings}
    assert "battery-old" not in {it.rule for it in inspect(inspector, site_from_data(old), None).findings}
    assert "battery-old" not in {it.rule for it in inspect(inspector, site_from_data(old), date(2020, 1, 1)).findings}


@pytest.mark.parametrize(("level", "fails"), [("error", False), ("warning", True), ("note", True)])
def test_an_inspection_fails_at_a_level_or_worse(inspector: Inspector, level: str, fails: bool) -> None:
    data = {"name": "Gym", "zones": {"z1": {"hold_off_minutes": 480}}}
    inspection = Inspection("Gym", findings_of(inspector, data))

    assert inspection.fails(level) == fails  # type: ignore[arg-type]
    assert (inspection.count("error"), inspection.count("warning")) == (0, 1)


def test_the_worker_processes_of_a_service_find_the_same(inspector: Inspector) -> None:
    site = read_site(FAULTY)
    inspections = load_inspections()
    with EnginePool(compile_inspections(inspections.rules.values())) as pool:
        pooled = prepare_inspector(inspections, pool.run)

        assert inspect(pooled, site, TODAY) == inspect(inspector, site, TODAY)
        assert inspect(pooled, load_demo("medium"), TODAY).findings == ()
