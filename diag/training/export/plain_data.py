"""A quiz as plain data for JSON, and back."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from diag.errors import DiagError
from diag.training.item import Choice, Item, Quiz, Reference

VERSION = 1


class UnreadableQuiz(DiagError):
    """A quiz that is not of the form written here."""

    def __init__(self, reason: str) -> None:
        super().__init__(f"This is no quiz that can be read: {reason}. Make it anew with “ventsleuth quiz”.")


def quiz_data(quiz: Quiz) -> dict[str, Any]:
    """Return all of a quiz, answers and evidence included, as lists, texts and numbers."""
    return {"form": VERSION, "id": quiz.id, **asdict(quiz), "items": [item_data(it) for it in quiz.items]}


def item_data(item: Item) -> dict[str, Any]:
    """Return all of a question; references carry the address of their page."""
    references = [{**asdict(it), "address": it.address} for it in item.references]
    return {"id": item.id, **asdict(item), "evidence": dict(item.evidence), "references": references}


def quiz_json(quiz: Quiz) -> str:
    """Return a quiz as JSON text; the same quiz gives the same text."""
    return json.dumps(quiz_data(quiz), ensure_ascii=False, indent=2) + "\n"


def quiz_from_json(text: str) -> Quiz:
    """Return the quiz of a JSON text; raise UnreadableQuiz."""
    try:
        data = json.loads(text)
        return Quiz(
            site=data["site"],
            seed=data["seed"],
            level=data["level"],
            language=data["language"],
            knowledge_version=data["knowledge_version"],
            items=tuple(map(item_from_data, data["items"])),
            topics=tuple(data["topics"]),
        )
    except (ValueError, KeyError, TypeError) as error:
        raise UnreadableQuiz(f"{type(error).__name__}, {error}") from None


TUPLES = ("stem", "answer", "prompts", "in_english")


def item_from_data(data: Mapping[str, Any]) -> Item:
    """Return the question of plain data; raise KeyError or TypeError where it is none."""
    fields = {name: value for name, value in data.items() if name != "id"}
    return Item(
        **fields
        | {name: tuple(fields[name]) for name in TUPLES}
        | {
            "choices": tuple(Choice(**it) for it in fields["choices"]),
            "references": tuple(Reference(it["kind"], it["entry"]) for it in fields["references"]),
            "evidence": {name: tuple(it) if isinstance(it, list) else it for name, it in fields["evidence"].items()},
        }
    )
