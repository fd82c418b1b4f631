"""Which cautions a check at a roof vent, or at any opening, and a repair there must name."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.diag.tiny_knowledge import MOTOR, faults_in, write_knowledge

AT_OPENING = """\
- id: look-guard
  kind: look
  name: The guard
  question: Does the guard sit home?
  how: Look at it from close by.
  at: opening
  where: {kind: [window, unknown]}
  stand: part
  minutes: 5
  competence: skilled
  hazards: [crush, height]
  outcomes:
    - {id: askew, label: Askew, means: It is not home., healthy: never}
    - {id: home, label: Home, means: It is home., healthy: usually}
  expect-text: It sits home
"""
LOOK = "  - check: look-guard\n    outcomes: {askew: always}\n    because: It is askew.\n"
ON_ROOF = ("height", "fragile-roof", "weather")


def faults_of_check(folder: Path, text: str) -> list[str]:
    """Return the faults of the small knowledge base with this check named by its motor."""
    motor = MOTOR.replace("remedy:\n", f"{LOOK}remedy:\n", 1)
    changed = {"checks/look.yaml": text, "causes/drive/drive-motor-failed.yaml": motor}
    return faults_in(write_knowledge(folder, changed))


def test_a_look_at_a_window_with_its_cautions_has_no_faults(tmp_path: Path) -> None:
    assert faults_of_check(tmp_path, AT_OPENING) == []


def test_every_check_at_an_opening_warns_of_crushing(tmp_path: Path) -> None:
    assert faults_of_check(tmp_path, AT_OPENING.replace("[crush, height]", "[height]")) == [
        "checks/look.yaml:11:12: 0.hazards: look-guard names no caution although it is made where an opening can move;"
        " add crush"
    ]


@pytest.mark.parametrize(
    ("found", "written"),
    [
        ("kind: [window, unknown]", "kind: [roof-vent, unknown]"),
        ("Look at it from close by.", "Look at the roof vent from close by."),
        ("Look at it from close by.", "Stay on the walkway. Look at it."),
    ],
)
@pytest.mark.parametrize("caution", ON_ROOF)
def test_a_check_at_a_roof_vent_warns_of_height_roof_and_weather(
    tmp_path: Path, found: str, written: str, caution: str
) -> None:
    named = [it for it in ("crush", *ON_ROOF) if it != caution]
    text = AT_OPENING.replace(found, written).replace("[crush, height]", f"[{', '.join(named)}]")

    assert any(it.endswith(f"add {caution}") for it in faults_of_check(tmp_path, text))
    assert faults_of_check(tmp_path, text.replace("[crush,", f"[crush, {caution},")) == []


def test_a_repair_at_an_opening_and_at_a_roof_vent_names_all_of_it(tmp_path: Path) -> None:
    motor = MOTOR.replace("and renew the drive.", "and renew the drive of the roof vent.")
    faults = faults_in(write_knowledge(tmp_path, {"causes/drive/drive-motor-failed.yaml": motor}))

    assert [it.rsplit(" ", 1)[1] for it in faults] == ["fragile-roof", "weather"]


def test_a_check_away_from_openings_needs_none_of_it(tmp_path: Path) -> None:
    at_controller = AT_OPENING.replace("at: opening\n  where: {kind: [window, unknown]}", "at: controller")
    quiet = at_controller.replace("stand: part", "stand: controller").replace("hazards: [crush, height]", "hazards: []")

    assert "hazards: []" in quiet
    assert faults_of_check(tmp_path, quiet) == []
