"""Keep quizzes, the classes that take them, what learners answered, and practice call-outs."""

from __future__ import annotations

import json
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Column, Connection, delete, insert, select, update

from api.storage.clock import later, now_text
from api.storage.database import Database
from api.storage.tables import ANSWERS, CLASSES, PRACTICES, QUIZZES, SITTINGS
from diag.training.export.plain_data import quiz_from_json, quiz_json
from diag.training.item import Quiz

CODE_LETTERS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
"""No letters or digits that look alike."""

CODE_LENGTH = 6
CLASS_HOURS = 12


@dataclass(frozen=True, slots=True)
class QuizClass:
    """A class that takes a quiz: its code, whether answers are told at once, and until when it is open."""

    code: str
    org: str
    quiz: str
    feedback: str
    opened_at: str
    ends_at: str
    closed_at: str | None

    @property
    def is_open(self) -> bool:
        """Return whether learners may still answer."""
        return self.closed_at is None and self.ends_at > now_text()


@dataclass(frozen=True, slots=True)
class Sitting:
    """One learner in a class; nothing is known of them but a number."""

    id: str
    code: str
    learner: str
    began_at: str
    finished_at: str | None
    answers: Mapping[str, tuple[str, ...]]
    answered_at: Mapping[str, str]


class QuizStore:
    """Quizzes and classes of one organisation; safe to use from several threads."""

    def __init__(self, database: Database, org: str) -> None:
        self.database, self.org = database, org

    def add_quiz(self, quiz: Quiz, by: str) -> None:
        """Keep a quiz under its own id; one that is kept already stays."""
        values = {"site": quiz.site, "body": quiz_json(quiz), "made_at": now_text(), "made_by": by}
        with self.database.writing() as connection:
            if connection.execute(self._quiz(quiz.id, QUIZZES.c.id)).first() is None:
                connection.execute(insert(QUIZZES).values(org=self.org, id=quiz.id, **values))

    def quiz(self, quiz_id: str) -> Quiz | None:
        """Return a quiz, or None."""
        with self.database.reading() as connection:
            body = connection.execute(self._quiz(quiz_id, QUIZZES.c.body)).scalar()
        return quiz_from_json(body) if body else None

    def quizzes(self, most: int = 100) -> list[tuple[str, Quiz]]:
        """Return when each quiz was made and the quiz, newest first."""
        columns = select(QUIZZES.c.made_at, QUIZZES.c.body).where(QUIZZES.c.org == self.org)
        with self.database.reading() as connection:
            rows = connection.execute(columns.order_by(QUIZZES.c.made_at.desc(), QUIZZES.c.id).limit(most)).all()
        return [(row.made_at, quiz_from_json(row.body)) for row in rows]

    def _quiz(self, quiz_id: str, column: Column[Any]) -> Any:
        return select(column).where(QUIZZES.c.org == self.org, QUIZZES.c.id == quiz_id)

    def open_class(self, quiz_id: str, feedback: str) -> QuizClass:
        """Open a class for a quiz under a code that no other class has."""
        values = {"quiz": quiz_id, "feedback": feedback, "opened_at": now_text(), "ends_at": later(hours=CLASS_HOURS)}
        with self.database.writing() as connection:
            taken = set(connection.execute(select(CLASSES.c.code)).scalars())
            code = next(it for it in iter(_new_code, "") if it not in taken)
            connection.execute(insert(CLASSES).values(code=code, org=self.org, **values))
        return QuizClass(code, self.org, closed_at=None, **values)

    def own_class(self, code: str) -> QuizClass | None:
        """Return a class of this organisation, or None."""
        found = find_class(self.database, code)
        return found if found and found.org == self.org else None

    def close_class(self, code: str) -> None:
        """Let nobody answer in a class any more."""
        of_code = update(CLASSES).where(CLASSES.c.code == code, CLASSES.c.org == self.org)
        with self.database.writing() as connection:
            connection.execute(of_code.values(closed_at=now_text()))
            _tell_other_nodes(connection, self.database, code)

    def classes_of(self, quiz_id: str) -> list[str]:
        """Return the codes of the classes that took a quiz."""
        wanted = select(CLASSES.c.code).where(CLASSES.c.org == self.org, CLASSES.c.quiz == quiz_id)
        with self.database.reading() as connection:
            return list(connection.execute(wanted.order_by(CLASSES.c.opened_at)).scalars())

    def put_practice(self, practice_id: str, site: str, body: Mapping[str, Any]) -> None:
        """Keep a practice call-out as it stands now."""
        text = json.dumps(body)
        with self.database.writing() as connection:
            changed = connection.execute(self._practice(update(PRACTICES), practice_id).values(body=text))
            if not changed.rowcount:
                values = {"id": practice_id, "org": self.org, "site": site, "body": text, "began_at": now_text()}
                connection.execute(insert(PRACTICES).values(values))

    def practice(self, practice_id: str) -> tuple[str, dict[str, Any]] | None:
        """Return the site of a practice call-out and how it stands, or None."""
        wanted = self._practice(select(PRACTICES.c.site, PRACTICES.c.body), practice_id)
        with self.database.reading() as connection:
            row = connection.execute(wanted).first()
        return (row.site, json.loads(row.body)) if row else None

    def _practice(self, statement: Any, practice_id: str) -> Any:
        return statement.where(PRACTICES.c.org == self.org, PRACTICES.c.id == practice_id)


def find_class(database: Database, code: str) -> QuizClass | None:
    """Return the class of a code, whosever it is, or None."""
    with database.reading() as connection:
        row = connection.execute(select(CLASSES).where(CLASSES.c.code == code.strip().upper())).first()
    return QuizClass(**row._mapping) if row else None


def begin_sitting(database: Database, code: str) -> str:
    """Let another learner into a class; return the id that is theirs alone, which nobody can guess."""
    sitting = secrets.token_hex(16)
    with database.writing() as connection:
        number = len(connection.execute(select(SITTINGS.c.id).where(SITTINGS.c.code == code)).all()) + 1
        values = {"id": sitting, "code": code, "learner": f"Learner {number}", "began_at": now_text()}
        connection.execute(insert(SITTINGS).values(values))
        _tell_other_nodes(connection, database, code)
    return sitting


def find_sitting(database: Database, sitting_id: str) -> Sitting | None:
    """Return a sitting with its answers, or None."""
    return next(iter(_sittings(database, SITTINGS.c.id == sitting_id)), None)


def sittings_of(database: Database, codes: list[str]) -> list[Sitting]:
    """Return the sittings of classes, in order of beginning."""
    return _sittings(database, SITTINGS.c.code.in_(codes))


def _sittings(database: Database, which: Any) -> list[Sitting]:
    with database.reading() as connection:
        rows = connection.execute(select(SITTINGS).where(which).order_by(SITTINGS.c.began_at, SITTINGS.c.id)).all()
        given = connection.execute(
            select(ANSWERS).join(SITTINGS, SITTINGS.c.id == ANSWERS.c.sitting).where(which).order_by(ANSWERS.c.at)
        ).all()
    by_sitting: dict[str, dict[str, tuple[str, ...]]] = {row.id: {} for row in rows}
    times: dict[str, dict[str, str]] = {row.id: {} for row in rows}
    for answer in given:
        by_sitting[answer.sitting][answer.item] = tuple(json.loads(answer.given))
        times[answer.sitting][answer.item] = answer.at
    return [
        Sitting(row.id, row.code, row.learner, row.began_at, row.finished_at, by_sitting[row.id], times[row.id])
        for row in rows
    ]


def put_answer(database: Database, sitting: Sitting, item_id: str, given: tuple[str, ...]) -> None:
    """Keep an answer, in place of one given before."""
    is_it = (ANSWERS.c.sitting == sitting.id, ANSWERS.c.item == item_id)
    values = {"sitting": sitting.id, "item": item_id, "given": json.dumps(given), "at": now_text()}
    with database.writing() as connection:
        connection.execute(delete(ANSWERS).where(*is_it))
        connection.execute(insert(ANSWERS).values(values))
        _tell_other_nodes(connection, database, sitting.code)


def finish_sitting(database: Database, sitting: Sitting) -> None:
    """Note that a learner is done; the first time counts."""
    done = update(SITTINGS).where(SITTINGS.c.id == sitting.id, SITTINGS.c.finished_at.is_(None))
    with database.writing() as connection:
        connection.execute(done.values(finished_at=now_text()))
        _tell_other_nodes(connection, database, sitting.code)


def watch_name(code: str) -> str:
    """Return the name under which changes of a class are told within this process and between nodes."""
    return f"class-{code}"


def _tell_other_nodes(connection: Connection, database: Database, code: str) -> None:
    if not database.is_sqlite:
        connection.exec_driver_sql("SELECT pg_notify('ventsleuth_case', %s)", (watch_name(code),))


def _new_code() -> str:
    return "".join(secrets.choice(CODE_LETTERS) for _ in range(CODE_LENGTH))
