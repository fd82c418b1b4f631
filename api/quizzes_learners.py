"""Keep the cards of learners, each under a code that is theirs alone; nothing else is known of them."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass

from sqlalchemy import insert, select, update

from api.quiz_store import CODE_LETTERS
from api.storage.clock import now_text
from api.storage.database import Database
from api.storage.tables import LEARNERS
from diag.training.deck import Deck, deck_from, deck_text

GROUPS, LETTERS = 3, 4
"""A code of twelve letters in groups: 59 bits, which nobody can guess, and which can be written down."""


@dataclass(frozen=True, slots=True)
class Learner:
    """One learner: their code, the organisation that gave it out, and their cards."""

    code: str
    org: str
    deck: Deck


def add_learner(database: Database, org: str, deck: Deck) -> Learner:
    """Keep the cards of a new learner under a new code."""
    code = "".join(secrets.choice(CODE_LETTERS) for _ in range(GROUPS * LETTERS))
    values = {"code": code, "org": org, "body": deck_text(deck), "began_at": now_text(), "seen_at": now_text()}
    with database.writing() as connection:
        connection.execute(insert(LEARNERS).values(values))
    return Learner(code, org, deck)


def find_learner(database: Database, code: str) -> Learner | None:
    """Return the learner of a code, typed with or without its dashes; None without one."""
    wanted = select(LEARNERS.c.code, LEARNERS.c.org, LEARNERS.c.body).where(LEARNERS.c.code == plain_code(code))
    with database.reading() as connection:
        row = connection.execute(wanted).first()
    return Learner(row.code, row.org, deck_from(row.body)) if row else None


def change_learner(database: Database, code: str, change: Callable[[Deck], None]) -> Learner | None:
    """Change the cards of a learner, one change at a time; return them as they are then, or None without such a one."""
    mine = LEARNERS.c.code == plain_code(code)
    with database.writing() as connection:
        row = connection.execute(select(LEARNERS.c.org, LEARNERS.c.body).where(mine).with_for_update()).first()
        if row is None:
            return None
        deck = deck_from(row.body)
        change(deck)
        connection.execute(update(LEARNERS).where(mine).values(body=deck_text(deck), seen_at=now_text()))
    return Learner(plain_code(code), row.org, deck)


def plain_code(typed: str) -> str:
    """Return a code as it is kept."""
    return typed.replace("-", "").strip().upper()


def shown_code(code: str) -> str:
    """Return a code in groups, as people write it down."""
    return "-".join(code[at : at + LETTERS] for at in range(0, len(code), LETTERS))
