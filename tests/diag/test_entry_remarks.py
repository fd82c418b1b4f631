"""What the author of a cause is asked to look at again though nothing of it is wrong."""

from __future__ import annotations

from pathlib import Path

from diag.entry_remarks import remarks
from knowledge.load import Knowledge, load_knowledge
from tests.diag.tiny_knowledge import CHECKS, write_knowledge


def remarked(knowledge: Knowledge, cause: str) -> list[str]:
    """Return the remarks on a cause, as they are printed."""
    return [str(it) for it in remarks(knowledge, knowledge.causes[cause])]


def test_a_decisive_outcome_that_healthy_parts_show_too_is_remarked_on(tmp_path: Path) -> None:
    seldom = CHECKS.replace("means: The core is broken., healthy: never", "means: The core is broken., healthy: seldom")
    knowledge = load_knowledge(write_knowledge(tmp_path, {"checks/measure.yaml": seldom}))

    assert (
        "causes/wiring/core-open.yaml:25:15: checks.1.decisive: open of ohms-core is seen seldom where nothing is"
        " wrong, which weakens the decisive check; if only a fault can show it, write `healthy: never` there"
    ) in remarked(knowledge, "core-open")


def test_few_checks_are_remarked_on(tmp_path: Path) -> None:
    knowledge = load_knowledge(write_knowledge(tmp_path))

    assert remarked(knowledge, "core-open") == [
        "causes/wiring/core-open.yaml:19:3: checks: 2 checks; a check left out is taken to show what a healthy part"
        " shows, so name every one whose outcome it changes"
    ]


def test_a_cause_with_many_checks_and_a_sure_decisive_one_gets_no_remarks(knowledge: Knowledge) -> None:
    assert remarked(knowledge, "core-open") == []
    assert remarked(knowledge, "guard-contact-open") == []
