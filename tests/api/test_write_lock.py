"""One writer at a time: the lock on an SQLite file."""

from __future__ import annotations

import os
from pathlib import Path

from api.storage.write_lock import WriteLock


def test_closing_it_twice_closes_nobody_elses_file(tmp_path: Path) -> None:
    lock = WriteLock(tmp_path / "lock")
    lock.close()
    others = os.open(tmp_path / "other", os.O_RDWR | os.O_CREAT)  # takes the number that has just become free

    lock.close()

    assert os.write(others, b"kept") == 4
    os.close(others)
