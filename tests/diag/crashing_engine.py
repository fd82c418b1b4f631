"""An engine that misbehaves on request, inside a worker process, where only real crashes count."""

from __future__ import annotations

import ctypes
import os
import signal
import time
from collections.abc import Iterable
from pathlib import Path

from diag.engine import Engine
from diag.engine_errors import EngineFailed
from diag.rules import Fact, Firing


class CrashingEngine(Engine):
    """Does what a fact of the kind `crash` asks for: `how`, and `once` a file that marks it as done."""

    def run(self, chapter: str, facts: Iterable[Fact]) -> tuple[Firing, ...]:
        given = list(facts)
        for one in given:
            if one.kind == "crash" and first_time(str(one.get("once", ""))):
                crash(str(one["how"]))
        return super().run(chapter, given)


def first_time(mark: str) -> bool:
    """Whether the crash is still due: always without a mark, else the first time only."""
    if not mark:
        return True
    if Path(mark).exists():
        return False
    Path(mark).touch()
    return True


def crash(how: str) -> None:
    """End this process, or its usefulness, in one of several ways."""
    if how == "segfault":
        ctypes.string_at(0)
    if how == "killed":
        os.kill(os.getpid(), signal.SIGKILL)
    if how == "hangs":
        time.sleep(60)
    if how == "fails":
        raise EngineFailed("the engine failed while firing: error code: 303")
    if how == "raises":
        raise RuntimeError("something nobody thought of")
    if how == "exhausts":
        bytearray(2 << 30)
