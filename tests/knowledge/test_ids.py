"""Ids are permanent: saved cases, quizzes and integrations refer to them."""

from __future__ import annotations

from pathlib import Path

from knowledge.load import Knowledge

RELEASED = Path(__file__).with_name("ids.txt")


def present_ids(knowledge: Knowledge) -> set[str]:
    """Return every id of the knowledge base, written as in the list of released ones."""
    checks = knowledge.checks.values()
    return {
        *(f"symptom {it}" for it in knowledge.symptoms),
        *(f"cause {it}" for it in knowledge.causes),
        *(f"check {it.id}" for it in checks),
        *(f"check {it.id} outcome {outcome.id}" for it in checks for outcome in it.outcomes),
    }


def test_no_released_id_is_lost(knowledge: Knowledge) -> None:
    released = set(RELEASED.read_text(encoding="utf-8").split("\n")) - {""}

    assert released - present_ids(knowledge) == set()


def test_every_id_is_on_the_list_of_released_ones(knowledge: Knowledge) -> None:
    """A new id is added to ids.txt with the entry, so that it is never lost afterwards."""
    released = set(RELEASED.read_text(encoding="utf-8").split("\n"))

    assert present_ids(knowledge) - released == set()
