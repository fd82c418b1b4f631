"""Ids are permanent: saved cases, quizzes and integrations refer to them."""

from __future__ import annotations

from pathlib import Path

from knowledge.load import Knowledge

RELEASED = Path(__file__).with_name("ids.txt")


def present_ids(knowledge: Knowledge) -> set[str]:
    """Return every id of the knowledge base, written as in the list of released ones."""
    checks = knowledge.checks.values()
    return {
        *retired_ids(knowledge),
        *(f"symptom {it}" for it in knowledge.symptoms),
        *(f"cause {it}" for it in knowledge.causes),
        *(f"check {it.id}" for it in checks),
        *(f"check {it.id} outcome {outcome.id}" for it in checks for outcome in it.outcomes),
    }


def retired_ids(knowledge: Knowledge) -> set[str]:
    """Return the ids that were retired and lead to another."""
    return {f"{kind.lower()} {old}" for kind, found in knowledge.redirects.items() for old in found}


def test_no_released_id_is_lost(knowledge: Knowledge) -> None:
    released = set(RELEASED.read_text(encoding="utf-8").split("\n")) - {""}
    lost = {
        it for it in released - present_ids(knowledge) if it.partition(" outcome ")[0] not in retired_ids(knowledge)
    }

    assert lost == set()


def test_every_id_is_on_the_list_of_released_ones(knowledge: Knowledge) -> None:
    """A new id is added to ids.txt with the entry, so that it is never lost afterwards."""
    released = set(RELEASED.read_text(encoding="utf-8").split("\n"))

    assert present_ids(knowledge) - released == set()
