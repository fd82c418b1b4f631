"""Inspect very many stored sites at once: `python -m tests.bench.fleet --sites 10000`.

Sites drawn from a seed are stored in a new database; every third has an output that expects a drive more than it has,
and every hundredth names an output that is not there. They are inspected on the processes of this machine and on a Dask
cluster of as many workers; while each works, one of its processes is killed. It is printed whether every site came back
once, whether what was planted was found, whether both say the same, and what it cost. `--database URL` for PostgreSQL.
"""

from __future__ import annotations

import argparse
import json
import os
import signal
import tempfile
import threading
import time
from collections.abc import Collection, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import date
from functools import partial
from importlib import import_module
from pathlib import Path
from random import Random
from typing import Any

from sqlalchemy import insert

from api.app import describe_site
from api.fleet.batch import Inspected, OpenExecutor, dask_executor, inspect_many, local_executor
from api.storage.tables import LOCAL, SITES
from api.store import Store, open_store
from tests.bench.callouts import random_site
from tests.bench.processes import children, memory_kb

DAY = date(2026, 5, 4)
SHORT_EVERY, BROKEN_EVERY = 3, 100
STORED_AT_ONCE = 500
KILL_AFTER = 0.3
"""The part of the sites after which a process is killed."""


@dataclass(frozen=True)
class Run:
    """One inspection of all sites."""

    found: dict[str, Inspected]
    doubled: int
    seconds: float
    memory_mb: float


def planted(number: int) -> str | None:
    """Say what is wrong with a site: `short` of a drive, `broken`, or nothing."""
    if number % BROKEN_EVERY == 0:
        return "broken"
    return "short" if number % SHORT_EVERY == 0 else None


def described(number: int, dice: Random) -> dict[str, Any]:
    """Return the description of a site with what is planted in it."""
    site = describe_site(random_site(dice))
    if planted(number) == "broken":
        site["drives"]["d1"]["output"] = "o-none"
    if planted(number) == "short":
        site["outputs"]["o1-1"]["expected_drives"] += 1
    return site


def seed_sites(store: Store, count: int, seed: int) -> None:
    """Store so many sites."""
    dice = Random(seed)
    for start in range(0, count, STORED_AT_ONCE):
        rows = [_row(number, dice) for number in range(start, min(start + STORED_AT_ONCE, count))]
        with store.database.writing() as connection:
            connection.execute(insert(SITES), rows)


def run(where: OpenExecutor, store: Store, count: int, spared: Collection[int] | None = None) -> Run:
    """Inspect all sites, and kill a process on the way that is none of those spared; None: kill nothing."""
    found: dict[str, Inspected] = {}
    doubled, started, memory = 0, time.perf_counter(), 0
    for it in inspect_many(where, store.each_description(), DAY):
        doubled += it.site in found
        found[it.site] = it
        if spared is not None and len(found) == max(1, int(count * KILL_AFTER)):
            threading.Thread(target=kill_one, args=(spared,)).start()
        if len(found) % STORED_AT_ONCE == 0:
            memory = max(memory, memory_kb(os.getpid()))
    return Run(found, doubled, time.perf_counter() - started, memory / 1000)


def kill_one(spared: Collection[int]) -> None:
    """Kill the process of this one's children that worked most, but for those that are there for something else."""
    busy = max(set(children(os.getpid())).difference(spared), key=_ticks, default=None)
    if busy is not None:
        os.kill(busy, signal.SIGKILL)


def judge(it: Run, count: int) -> str:
    """Say in a line what came of a run."""
    numbers = {number: it.found.get(f"site-{number:05}") for number in range(count)}
    missing = sum(found is None for found in numbers.values())
    wrong = [number for number, found in numbers.items() if found and not _is_right(number, found)]
    return (
        f"{len(it.found)} sites in {it.seconds:.1f} s ({len(it.found) / it.seconds:.0f}/s), missing {missing}, "
        f"doubled {it.doubled}, wrongly judged {len(wrong)} {wrong[:5] or ''}, this process {it.memory_mb:.0f} MB"
    )


def main() -> None:
    """Print a line for each way."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--sites", type=int, default=10_000)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--processes", type=int, default=os.cpu_count())
    words.add_argument("--database", help="a new PostgreSQL database; SQLite in a folder of its own otherwise")
    asked = words.parse_args()
    with (
        tempfile.TemporaryDirectory() as folder,
        closing(open_store(asked.database or Path(folder) / "fleet.db")) as store,
    ):
        seed_sites(store, asked.sites, asked.seed)
        others = children(os.getpid())
        here = run(partial(local_executor, asked.processes), store, asked.sites, others)
        print(f"processes, one killed: {judge(here, asked.sites)}", flush=True)
        with cluster(asked.processes) as address:
            spread = run(partial(dask_executor, address), store, asked.sites, others)
        print(f"Dask, one killed: {judge(spread, asked.sites)}")
        print(f"the same result: {here.found == spread.found}")


@contextmanager
def cluster(workers: int) -> Iterator[str]:
    """Yield the address of a Dask cluster on this machine."""
    distributed: Any = import_module("distributed")
    options = {
        "n_workers": workers,
        "threads_per_worker": 1,
        "dashboard_address": ":0",
        "processes": True,
        "silence_logs": 50,
    }
    with distributed.LocalCluster(**options) as made:
        yield made.scheduler_address


def _is_right(number: int, found: Inspected) -> bool:
    expected = planted(number)
    if expected == "broken":
        return found.refused is not None and "o-none" in found.refused
    has_it = found.findings.get("error", 0) > 0
    return found.refused is None and has_it == (expected == "short")


def _ticks(pid: int) -> int:
    fields = Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
    return int(fields[11]) + int(fields[12])


def _row(number: int, dice: Random) -> dict[str, Any]:
    site = described(number, dice)
    text = json.dumps(site, ensure_ascii=False, sort_keys=True)
    named = {"org": LOCAL, "id": f"site-{number:05}", "name": site["name"]}
    return {**named, "description": text, "demo": False, "version": 1}


if __name__ == "__main__":
    main()
