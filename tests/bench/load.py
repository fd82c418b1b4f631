"""Load the service as a day of call-outs does: many live cases, each watched, and answers at a steady rate.

`python -m tests.bench.load` prints the time of an answer when idle and under load, and the memory at the start and the
end. `--minutes 30` for the long run, `--database URL` for PostgreSQL, `--kill-workers` to crash engine workers too.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import signal
import statistics
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import httpx2

from tests.api.serving import Node

ANSWERS = ("none", "0.2 V", "22.8 V", "cannot", "not-sure")
SITES = ("small", "medium")
IDLE_TRIES = 60
KILL_EVERY_S = 10.0


@dataclass
class Measured:
    """Milliseconds of each answer, how many were refused, and what watchers saw."""

    idle_ms: list[float] = field(default_factory=list)
    loaded_ms: list[float] = field(default_factory=list)
    refused: int = 0
    seen: int = 0
    memory_kb: list[int] = field(default_factory=list)


async def load(node: Node, cases: int, rate: float, seconds: float, kill_workers: bool) -> Measured:
    """Open the cases, watch each, answer at the rate, and return what was measured."""
    measured = Measured()
    limits = httpx2.Limits(max_connections=cases + 100, max_keepalive_connections=cases + 100)
    async with httpx2.AsyncClient(base_url=node.address, timeout=60, limits=limits) as client:
        opened = [await _open(client, number) for number in range(cases)]
        for number in range(IDLE_TRIES):
            measured.idle_ms.append(await _answer(client, opened[number % cases], number, measured))
        watchers = [asyncio.create_task(_watch(client, it, measured)) for it in opened]
        await asyncio.sleep(1)
        await _answer_at_rate(client, opened, node, rate, seconds, kill_workers, measured)
        for it in watchers:
            it.cancel()
        await asyncio.gather(*watchers, return_exceptions=True)
    return measured


async def _open(client: Any, number: int) -> str:
    request = {"site": SITES[number % 2], "symptoms": [{"id": "drive-dead"}], "at": f"2026-05-04T{number % 24:02}:00"}
    response = await client.post("/v1/cases", json=request)
    case_id: str = response.json()["case"]["id"]
    return case_id


async def _answer(client: Any, case_id: str, number: int, measured: Measured) -> float:
    event = {"kind": "answer", "check": "volts-drive", "outcome": ANSWERS[number % len(ANSWERS)]}
    started = time.perf_counter()
    response = await client.post(
        f"/v1/cases/{case_id}/events",
        json={"events": [event]},
        headers={"If-Match": "*", "Idempotency-Key": f"load-{case_id}-{number}"},
    )
    if response.status_code != 201:
        measured.refused += 1
    return (time.perf_counter() - started) * 1000


async def _watch(client: Any, case_id: str, measured: Measured) -> None:
    async with client.stream("GET", f"/v1/cases/{case_id}/stream", timeout=None) as stream:
        async for line in stream.aiter_lines():
            measured.seen += line.startswith("id: ")


async def _answer_at_rate(
    client: Any, opened: list[str], node: Node, rate: float, seconds: float, kill_workers: bool, measured: Measured
) -> None:
    async def one(number: int) -> None:
        # Each case is worked on by one person, so its answers follow each other with seconds between.
        measured.loaded_ms.append(await _answer(client, opened[number % len(opened)], IDLE_TRIES + number, measured))

    started, tasks, killed = time.perf_counter(), set(), 0.0
    for number in range(int(rate * seconds)):
        due = started + number / rate
        await asyncio.sleep(max(0.0, due - time.perf_counter()))
        task = asyncio.create_task(one(number))
        tasks.add(task)
        task.add_done_callback(tasks.discard)
        if number % int(rate * 2) == 0:
            measured.memory_kb.append(memory_kb(node.process.pid))
        if kill_workers and time.perf_counter() - killed > KILL_EVERY_S:
            killed = time.perf_counter()
            for pid in children(node.process.pid):
                os.kill(pid, signal.SIGSEGV)
    await asyncio.gather(*tasks)


def memory_kb(pid: int) -> int:
    """Return the resident memory of a process."""
    lines = Path(f"/proc/{pid}/status").read_text(encoding="ascii").splitlines()
    return next(int(it.split()[1]) for it in lines if it.startswith("VmRSS"))


def children(pid: int) -> list[int]:
    """Return the processes a process started, which are its engine workers."""
    found = Path(f"/proc/{pid}/task/{pid}/children").read_text(encoding="ascii").split()
    return [int(it) for it in found]


def percentile(values: list[float], share: float) -> float:
    """Return the value that this share of them does not exceed."""
    return sorted(values)[min(len(values) - 1, int(share * len(values)))]


def print_measured(it: Measured, seconds: float) -> None:
    """Print the figures."""
    idle, loaded = statistics.median(it.idle_ms), it.loaded_ms
    print(f"load of the machine {os.getloadavg()[0]:.1f}, processors {os.cpu_count()}")
    print(f"idle     median {idle:7.1f} ms   p95 {percentile(it.idle_ms, 0.95):7.1f} ms   of {len(it.idle_ms)} answers")
    print(
        f"loaded   median {statistics.median(loaded):7.1f} ms   p95 {percentile(loaded, 0.95):7.1f} ms   "
        f"p99 {percentile(loaded, 0.99):7.1f} ms   of {len(loaded)} answers, {len(loaded) / seconds:.0f} a second"
    )
    print(f"p95 under load is {percentile(loaded, 0.95) / idle:.1f} x the idle median (aim: within 6)")
    print(f"refused  {it.refused}   events seen by watchers {it.seen}")
    print(f"memory   {it.memory_kb[0] / 1000:.0f} MB at the start, {it.memory_kb[-1] / 1000:.0f} MB at the end")


def main() -> None:
    """Run and print."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--cases", type=int, default=200)
    words.add_argument("--rate", type=float, default=100.0, help="answers a second")
    words.add_argument("--minutes", type=float, default=1.0)
    words.add_argument("--database", help="address of PostgreSQL; SQLite if left out")
    words.add_argument("--kill-workers", action="store_true")
    asked = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        node = Node(asked.database or folder, "--rate", "1000000").wait()
        try:
            seconds = asked.minutes * 60
            measured = asyncio.run(load(node, asked.cases, asked.rate, seconds, asked.kill_workers))
        finally:
            node.stop()
    print_measured(measured, seconds)


if __name__ == "__main__":
    main()
