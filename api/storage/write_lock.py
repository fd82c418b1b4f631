"""One writer at a time on an SQLite file, over threads and processes.

SQLite 3.7.0 to 3.51.2 can corrupt a write-ahead log when one connection resets it while another writes (fixed in
3.51.3, 3.50.7 and 3.44.6; SQLite's page on write-ahead logging). Checkpoints run inside commits here and every commit
holds this lock, so the two never meet.
"""

from __future__ import annotations

import fcntl
import os
from pathlib import Path
from threading import RLock
from types import TracebackType
from typing import Self

CLOSED = -1


class WriteLock:
    """A lock that threads of this process and other processes on the same file wait for; it ends with its process."""

    def __init__(self, path: Path) -> None:
        self._file = os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
        self._threads = RLock()
        self._depth = 0

    def __enter__(self) -> Self:
        self._threads.acquire()
        self._depth += 1
        if self._depth == 1:
            fcntl.flock(self._file, fcntl.LOCK_EX)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._depth -= 1
        if self._depth == 0:
            fcntl.flock(self._file, fcntl.LOCK_UN)
        self._threads.release()

    def close(self) -> None:
        """Let go of the lock file; again does nothing, because its number may be another file's by then."""
        file, self._file = self._file, CLOSED
        if file != CLOSED:
            os.close(file)
