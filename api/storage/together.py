"""Let changes of several threads share one commit: it is the writing through to the disk that takes the time.

A thread that comes while nobody commits does so at once and alone. Those that come meanwhile wait, and the first of
them commits for all. Each change is kept whole or not at all, whatever becomes of the others, and nobody is told of
a change before the commit that holds it is on the disk.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from threading import Lock
from typing import Any

from sqlalchemy import Connection

MOST_AT_ONCE = 32
"""Changes in one commit, so that nobody waits for ever more others."""

Work = Callable[[Connection], Any]
"""What a change does; it may be done again when the transaction it was in came to nothing."""


class Together:
    """Commits changes, several at once where several wait; safe to use from several threads."""

    def __init__(self, writing: Callable[[], AbstractContextManager[Connection]]) -> None:
        self._writing = writing
        self._waiting: deque[_Change] = deque()
        self._turn = Lock()

    def run(self, work: Work) -> Any:
        """Return what the work returns once it is kept; raise what it or its commit raises, and then nothing is."""
        mine = _Change(work)
        self._waiting.append(mine)
        with self._turn:
            while not mine.is_done:
                self._commit(self._next())
        return mine.outcome()

    def _next(self) -> list[_Change]:
        return [self._waiting.popleft() for _ in range(min(len(self._waiting), MOST_AT_ONCE))]

    def _commit(self, changes: Sequence[_Change]) -> None:
        if len(changes) > 1 and self._commit_all(changes):
            return
        for it in changes:
            self._commit_one(it)

    def _commit_all(self, changes: Sequence[_Change]) -> bool:
        """Keep those changes that can be, and return True; False when they came to nothing and each is worth a try."""
        began = False
        try:
            with self._writing() as connection:
                began = True
                for it in changes:
                    it.try_within(connection)
        except Exception as error:
            if began:  # the disk is full, say; alone each hears what became of it
                return False
            for it in changes:
                it.error = error
        for it in changes:
            it.is_done = True
        return True

    def _commit_one(self, change: _Change) -> None:
        try:
            with self._writing() as connection:
                change.result = change.work(connection)
            change.error = None
        except Exception as error:
            change.error = error
        change.is_done = True


class _Change:
    """A change, and what became of it."""

    __slots__ = ("error", "is_done", "result", "work")

    def __init__(self, work: Work) -> None:
        self.work = work
        self.result: Any = None
        self.error: Exception | None = None
        self.is_done = False

    def try_within(self, connection: Connection) -> None:
        """Do it beside others; when it fails, what it did is undone and theirs stays."""
        self.error = None
        part = connection.begin_nested()
        try:
            self.result = self.work(connection)
        except Exception as error:
            part.rollback()
            self.error = error
            return
        part.commit()

    def outcome(self) -> Any:
        """Return the result or raise the error."""
        if self.error is not None:
            raise self.error
        return self.result
