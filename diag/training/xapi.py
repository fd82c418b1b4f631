"""Write answers as xAPI statements (Experience API 1.0.3), which learning record stores take.

Actors are accounts, never mail addresses. A statement's id is made from what it tells, so that sending it twice
stores it once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any
from uuid import UUID, uuid5

from diag.training.export.qti21 import response_values
from diag.training.item import Item, Quiz

SPACE = UUID("6f0a3a52-6f7e-5f0e-9d0a-2b8b6f1f7c11")
"""The space of names of our statements; drawn once."""

ANSWERED = {"id": "http://adlnet.gov/expapi/verbs/answered", "display": {"en-GB": "answered"}}
COMPLETED = {"id": "http://adlnet.gov/expapi/verbs/completed", "display": {"en-GB": "completed"}}
INTERACTION = "http://adlnet.gov/expapi/activities/cmi.interaction"
ASSESSMENT = "http://adlnet.gov/expapi/activities/assessment"
TYPES = {"choice": "choice", "order": "sequencing", "match": "matching"}
BETWEEN, WITHIN = "[,]", "[.]"
"""What stands between the answers of one response, and between the two of a pair."""

LANGUAGES = {"en": "en-GB", "de": "de", "da": "da"}


@dataclass(frozen=True, slots=True)
class Attempt:
    """One answer of one learner: the sitting it belongs to, an account name, what was given, and when."""

    sitting: str
    learner: str
    given: tuple[str, ...]
    at: datetime


def answered_statement(quiz: Quiz, item: Item, attempt: Attempt, home: str) -> dict[str, Any]:
    """Return the statement of one answer; `home` is the address of the service, the home of accounts and activities."""
    is_right = item.is_right(attempt.given)
    return {
        "id": str(uuid5(SPACE, f"{attempt.sitting}/{item.id}/{'/'.join(attempt.given)}")),
        "actor": _actor(attempt.learner, home),
        "verb": ANSWERED,
        "object": {
            "objectType": "Activity",
            "id": f"{home}/quizzes/{quiz.id}/items/{item.id}",
            "definition": _definition(item),
        },
        "result": {"success": is_right, "response": _response(item, attempt.given), "score": _score(int(is_right), 1)},
        "context": _context(quiz, home),
        "timestamp": _time(attempt.at),
    }


def completed_statement(quiz: Quiz, sitting: str, learner: str, right: int, at: datetime, home: str) -> dict[str, Any]:
    """Return the statement that a quiz was taken to its end with so many right."""
    language = LANGUAGES[quiz.language]
    return {
        "id": str(uuid5(SPACE, f"{sitting}/completed")),
        "actor": _actor(learner, home),
        "verb": COMPLETED,
        "object": {
            "objectType": "Activity",
            "id": f"{home}/quizzes/{quiz.id}",
            "definition": {"type": ASSESSMENT, "name": {language: quiz.site}},
        },
        "result": {"completion": True, "score": _score(right, len(quiz.items))},
        "context": {"platform": "Ventsleuth", "language": language},
        "timestamp": _time(at),
    }


def _actor(learner: str, home: str) -> dict[str, Any]:
    return {"objectType": "Agent", "account": {"homePage": home, "name": learner}}


def _definition(item: Item) -> dict[str, Any]:
    language = LANGUAGES[item.language]
    choices = [{"id": item.letters[it.id], "description": {language: it.text}} for it in item.choices]
    listed: Mapping[str, Any] = {"choices": choices}
    if item.response == "match":
        prompts = [{"id": f"P{number}", "description": {language: it}} for number, it in enumerate(item.prompts, 1)]
        listed = {"source": prompts, "target": choices}
    return {
        "type": INTERACTION,
        "name": {language: item.lead_in},
        "description": {language: " ".join((*item.stem, item.lead_in))},
        "interactionType": TYPES[item.response],
        "correctResponsesPattern": [_response(item, item.answer)],
        **listed,
    }


def _response(item: Item, given: tuple[str, ...]) -> str:
    return BETWEEN.join(it.replace(" ", WITHIN) for it in response_values(item, given))


def _score(right: int, asked: int) -> dict[str, Any]:
    return {"raw": right, "min": 0, "max": asked, "scaled": right / asked}


def _context(quiz: Quiz, home: str) -> dict[str, Any]:
    parent = {"objectType": "Activity", "id": f"{home}/quizzes/{quiz.id}"}
    return {"platform": "Ventsleuth", "language": LANGUAGES[quiz.language], "contextActivities": {"parent": [parent]}}


def _time(at: datetime) -> str:
    return at.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
