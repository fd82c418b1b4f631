"""What a process and those it started cost: processor time and memory, as the kernel of Linux counts them."""

from __future__ import annotations

import os
from pathlib import Path


def cpu_seconds(pid: int) -> float:
    """Return the processor time that a process and those it started took so far, those that ended included."""
    return _cpu_seconds(pid, ended=True) + sum(_cpu_seconds(it) for it in children(pid))


def memory_kb(pid: int) -> int:
    """Return the resident memory of a process."""
    lines = Path(f"/proc/{pid}/status").read_text(encoding="ascii").splitlines()
    return next(int(it.split()[1]) for it in lines if it.startswith("VmRSS"))


def children(pid: int) -> list[int]:
    """Return the living processes that any thread of a process started."""
    found: list[int] = []
    for task in Path(f"/proc/{pid}/task").iterdir():
        found += [int(it) for it in (task / "children").read_text(encoding="ascii").split()]
    return sorted(found)


def _cpu_seconds(pid: int, ended: bool = False) -> float:
    fields = Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
    return sum(int(it) for it in fields[11 : 15 if ended else 13]) / os.sysconf("SC_CLK_TCK")
