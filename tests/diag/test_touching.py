"""What touches an entry is found from all sides."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag.touching import KINDS, Touch, UnknownEntry, kinds_of, touches
from knowledge.entries import Story
from knowledge.load import Knowledge, load_knowledge
from tests.diag.tiny_knowledge import write_knowledge

STORY = Story.model_validate(
    {
        "name": "The far window",
        "site": "small",
        "symptoms": ["drive-dead@d1"],
        "told": ["suddenly"],
        "findings": ["volts-drive@d1=none"],
        "leads": "core-open",
        "because": "No voltage gets there.",
    }
)


@pytest.fixture
def tiny(tmp_path: Path) -> Knowledge:
    """Return the small knowledge base with one retired check."""
    retired = "- id: volts-motor\n  status: retired\n  replaced-by: volts-drive\n"
    return load_knowledge(write_knowledge(tmp_path, {"checks/old.yaml": retired}))


def ties(knowledge: Knowledge, kind: str, entry: str) -> set[tuple[str, str]]:
    """Return how and by what an entry is touched, the story included."""
    return {(it.how, it.other) for it in touches(knowledge, kind, entry, {"far-window": STORY})}


def test_a_symptom_is_touched_by_rules_cautions_and_stories(tiny: Knowledge) -> None:
    assert ties(tiny, "Symptom", "drive-dead") == {
        ("suspected (usually) by", "core-open/own-cable"),
        ("suspected (often) by", "drive-motor-failed/dead"),
        ("warned of with", "crush"),
        ("met in the story", "far-window"),
    }


def test_a_cause_is_touched_by_its_rules_checks_rivals_and_stories(tiny: Knowledge) -> None:
    assert ties(tiny, "Cause", "core-open") == {
        ("suspected (usually) by", "core-open/own-cable"),
        ("shown by", "volts-drive"),
        ("shown by", "ohms-core"),
        ("rival of", "drive-motor-failed"),
        ("warned of with", "electric-shock"),
        ("warned of with", "height"),
        ("warned of with", "life-safety"),
        ("met in the story", "far-window"),
    }


def test_a_check_is_touched_by_causes_and_by_the_id_it_replaced(tiny: Knowledge) -> None:
    found = ties(tiny, "Check", "volts-drive")

    assert {("used by", "core-open"), ("used by", "drive-motor-failed"), ("took the place of", "volts-motor")} <= found


def test_a_caution_is_touched_by_all_that_show_it(tiny: Knowledge) -> None:
    assert ties(tiny, "Caution", "falling-sash") == {("shown with", "drive-motor-failed")}


def test_each_tie_names_its_file_and_line(tiny: Knowledge) -> None:
    found = touches(tiny, "Check", "ohms-core", {})

    assert Touch("used by", "core-open", "causes/wiring/core-open.yaml:22", "open always (decisive)") in found


def test_every_entry_is_touched_by_something(knowledge: Knowledge) -> None:
    alone = [
        (kind, entry)
        for kind, field in KINDS.items()
        for entry in getattr(knowledge, field)
        if kind in ("Symptom", "Cause", "Check", "Deduction") and not touches(knowledge, kind, entry, {})
    ]

    assert alone == []


def test_an_id_that_stands_for_nothing_is_refused_with_the_nearest(knowledge: Knowledge) -> None:
    with pytest.raises(UnknownEntry, match="core-open"):
        kinds_of(knowledge, "core-opn")
