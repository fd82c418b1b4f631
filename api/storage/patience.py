"""Wait for PostgreSQL only so long: a server that hangs, or a line that was cut silently, is as good as away."""

from __future__ import annotations

import time
from collections.abc import Generator
from typing import Any, TypeVar

import psycopg

ANSWER_WITHIN_S = 25.0
"""Longer than the server itself lets a statement take, so that this ends only what the server no longer can."""

KEEP_ALIVE = {"keepalives_idle": 20, "keepalives_interval": 5, "keepalives_count": 3, "tcp_user_timeout": 20_000}
"""For libpq: a line over which nothing comes back is closed after half a minute and not after hours."""

Answer = TypeVar("Answer")


class PatientConnection(psycopg.Connection[Any]):
    """A connection that is given up when the server says nothing for too long."""

    def wait(self, gen: Generator[Any, Any, Answer], *args: Any, **options: Any) -> Answer:
        """Return what comes of an exchange with the server; close the line and raise OperationalError when late."""
        deadline = time.monotonic() + ANSWER_WITHIN_S
        try:
            return super().wait(_until(deadline, gen), *args, **options)
        except _Late:
            self.pgconn.finish()
            raise psycopg.OperationalError(f"the server did not answer within {ANSWER_WITHIN_S:g} s") from None


class _Late(Exception):
    """The server did not answer in time."""


def _until(deadline: float, gen: Generator[Any, Any, Answer]) -> Generator[Any, Any, Answer]:
    """Pass an exchange on step by step; the driver takes a step at least every tenth of a second."""
    try:
        wanted = next(gen)
        while True:
            ready = yield wanted
            if not ready and time.monotonic() > deadline:
                raise _Late
            wanted = gen.send(ready)
    except StopIteration as ended:
        answer: Answer = ended.value
        return answer
