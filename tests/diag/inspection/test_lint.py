"""Faults of inspection rules are found, each with its place and what would be right."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag.inspection.lint import check_inspections
from knowledge.load import FOLDER, BadKnowledge, Knowledge, load_inspections

SOUND = """\
- id: output-overloaded
  severity: error
  title: The output is overloaded
  at: $o
  field: rated_current_a
  when:
    - output: {part: $o, loading: over}
  reason: $o draws {drawn_a} of {rated_current_a}.
  remedy: Move a drive.
  source: judgement
  cause: output-overloaded
  cautions: [crush]
  cases:
    - name: 3 A on 2 A
      site: {outputs: {o1: {rated_current_a: 2}}, drives: {d1: {output: o1, running_current_a: 3}}}
      finds: [o1]
    - name: 1 A on 2 A
      changes: {drives.d1.running_current_a: 1}
      finds: []
"""


def faults_of(text: str, folder: Path, knowledge: Knowledge) -> list[str]:
    """Return the faults of a rule file."""
    (folder / "inspection/rules").mkdir(parents=True)
    vocabulary = (FOLDER / "inspection/facts.yaml").read_text(encoding="utf-8")
    (folder / "inspection/facts.yaml").write_text(vocabulary, encoding="utf-8")
    (folder / "inspection/rules/made.yaml").write_text(text, encoding="utf-8")
    return [str(it) for it in check_inspections(load_inspections(folder), knowledge)]


def test_a_sound_rule_has_no_fault(tmp_path: Path, knowledge: Knowledge) -> None:
    assert faults_of(SOUND, tmp_path, knowledge) == []


@pytest.mark.parametrize(
    ("sound", "faulty", "line", "says"),
    [
        ("loading: over}", "loading: ovr}", 7, "output loading is never ovr. Did you mean over?"),
        ("loading: over}", "lading: over}", 7, "output has no field lading. Did you mean loading?"),
        ("- output:", "- outputs:", 7, "there is no fact outputs. Did you mean output?"),
        ("loading: over}", "loading: {above: 2}}", 7, "output loading is a word; it is not above or below a number"),
        ("loading: over}", "drawn_a: over}", 7, "output drawn_a holds no words; compare it as a number or bind it"),
        ("{drawn_a}", "{drawn}", 8, "output-overloaded says {drawn}, which its facts do not have"),
        ("reason: $o", "reason: $p", 8, "output-overloaded says $p, which no condition names"),
        ("at: $o", "at: $p", 4, "output-overloaded is found at $p, which no condition names"),
        ("field: rated_current_a", "field: rated_a", 5, "no output has a field rated_a"),
        ("cause: output-", "cause: outputs-", 11, "there is no cause outputs-overloaded. Did you mean"),
        ("[crush]", "[crash]", 12, "there is no caution crash. Did you mean crush?"),
        ("finds: [o1]", "finds: [o2]", 16, "“3 A on 2 A” was to find o2 and found o1"),
        ("finds: []", "finds: [o1]", 19, "cases need one that finds something and one that finds nothing"),
    ],
)
def test_a_fault_is_told_with_its_line(
    tmp_path: Path, knowledge: Knowledge, sound: str, faulty: str, line: int, says: str
) -> None:
    text = SOUND.replace(sound, faulty, 1)
    assert text != SOUND
    try:
        (told,) = faults_of(text, tmp_path, knowledge)
    except BadKnowledge as error:
        (told,) = (str(it) for it in error.faults)
        line = 1

    assert told.startswith(f"inspection/rules/made.yaml:{line}:")
    assert says in told


def test_two_conditions_on_one_fact_are_refused(tmp_path: Path, knowledge: Knowledge) -> None:
    text = SOUND.replace("loading: over}", "loading: over}\n    - output: {part: $o, fuse: under}")
    (told,) = faults_of(text, tmp_path, knowledge)

    assert "asks twice for the same fact" in told


def test_a_first_case_without_a_site_is_refused(tmp_path: Path, knowledge: Knowledge) -> None:
    text = SOUND.replace("      site: {outputs", "      changes: {outputs")

    with pytest.raises(BadKnowledge, match="the first case needs a site"):
        faults_of(text, tmp_path, knowledge)
