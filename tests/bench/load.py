"""Load the service as a day of call-outs does: many live cases, each watched, and answers at a steady rate.

`python -m tests.bench.load` prints the time of an answer when idle and under load, the processor time that an
answer costs, and the memory. `--minutes 30` for the long run, `--database URL` for PostgreSQL, `--kill-workers` to
crash engine workers too.

The client is this process, the service another; both share the machine. Idle is one answer at a time while every
case is watched. Under load an answer is due every so often, whether the earlier ones have come or not, and its time
counts from when it was due. Each case answers the check that the service offers next with an outcome drawn at
random, and is closed after 30 answers; another call-out takes its place.
"""

from __future__ import annotations

import argparse
import asyncio
import json
import os
import re
import signal
import statistics
import tempfile
import time
from contextlib import suppress
from dataclasses import dataclass, field
from random import Random

from tests.api.serving import Node
from tests.bench.keep_alive import Answered, Lines
from tests.bench.processes import children, cpu_seconds, memory_kb

SITES = ("small", "medium")
IDLE_TRIES = 100
IDLE_PAUSE_S = 0.02
ANSWERS_A_CASE = 30
ANSWERS_BESIDE_CRASHES = 4
"""Answers of a case while workers are crashed: it is the opening of a case that needs them."""

KILL_EVERY_S = 10.0
LOOK_EVERY_S = 2.0

CASE_ID = re.compile(rb'"case":\{"id":"([0-9A-Z]{26})"', re.IGNORECASE)
NEXT = re.compile(rb'"next":\[\{"check":"([^"]+)","part":(null|"[^"]+")')
OUTCOME = re.compile(rb'\{"id":"([^"]+)","label"')
UNSURE = (b"volts-drive", b"null", b"not-sure")
"""What is answered when nothing is worth checking any more."""


@dataclass
class Measured:
    """Milliseconds of each answer, how many were refused by status, what watchers saw, memory and processor time."""

    idle_ms: list[float] = field(default_factory=list)
    loaded_ms: list[tuple[float, float]] = field(default_factory=list)
    """When each answer came, in seconds from the start, and how long after it was due."""

    refused: dict[int, int] = field(default_factory=dict)
    seen: int = 0
    opened_s: list[float] = field(default_factory=list)
    """When each case was opened, in seconds of the clock, then from the start."""

    memory_kb: list[tuple[float, int]] = field(default_factory=list)
    kills_s: list[float] = field(default_factory=list)
    idle_cpu_ms: float = 0.0
    cpu_ms: float = 0.0
    client_cpu_ms: float = 0.0
    seconds: float = 0.0


@dataclass
class CallOut:
    """A case with its watcher, and what is answered next."""

    id: str = ""
    answers: int = 0
    number: int = 0
    check: tuple[bytes, bytes, bytes] = UNSURE
    at_work: asyncio.Lock = field(default_factory=asyncio.Lock)
    watcher: asyncio.Task[None] | None = None


@dataclass
class Day:
    """All call-outs of one run."""

    lines: Lines
    measured: Measured
    random: Random
    cases: list[CallOut]
    answers: int

    async def open(self, case: CallOut, number: int) -> None:
        """Open another case in a place, and watch it."""
        at = f"2026-05-04T{number // 60 % 24:02}:{number % 60:02}"
        request = {"site": SITES[number % 2], "symptoms": [{"id": "drive-dead"}], "at": at}
        answered = await self.lines.post("/v1/cases", json.dumps(request).encode())
        found = CASE_ID.search(answered.body)
        if found is None:
            self._refused(answered)
            return
        self.measured.opened_s.append(time.perf_counter())
        case.id, case.answers, case.check = found[1].decode(), 0, choose(answered.body, self.random)
        case.watcher = asyncio.create_task(self._watch(case.id))

    async def answer(self, case: CallOut) -> None:
        """Answer the check that a case offers."""
        check, part, outcome = case.check
        case.answers += 1
        case.number += 1
        event = b'{"events":[{"kind":"answer","check":"%b","part":%b,"outcome":"%b"}]}' % (check, part, outcome)
        headers = {"If-Match": "*", "Idempotency-Key": f"load-{case.id}-{case.number}"}
        answered = await self.lines.post(f"/v1/cases/{case.id}/events", event, headers)
        if answered.status == 201:
            case.check = choose(answered.body, self.random)
        else:
            self._refused(answered)

    async def renew(self, case: CallOut) -> None:
        """Close a case and open another in its place."""
        body = b'{"events":[{"kind":"closed","outcome":"not-found"}]}'
        await self.lines.post(f"/v1/cases/{case.id}/events", body, {"If-Match": "*"})
        await self.unwatch(case)
        await self.open(case, len(self.measured.opened_s))

    async def unwatch(self, case: CallOut) -> None:
        """End the watching of a case."""
        if case.watcher:
            case.watcher.cancel()
            await asyncio.gather(case.watcher, return_exceptions=True)

    async def _watch(self, case_id: str) -> None:
        async with self.lines.stream(f"/v1/cases/{case_id}/stream") as reader:
            while line := await reader.readline():
                self.measured.seen += line.startswith(b"id: ")

    def _refused(self, answered: Answered) -> None:
        self.measured.refused[answered.status] = self.measured.refused.get(answered.status, 0) + 1


def choose(body: bytes, random: Random) -> tuple[bytes, bytes, bytes]:
    """Return the check that an answer offers first, its part as JSON, and one of its outcomes at random."""
    offered = NEXT.search(body)
    if offered is None:
        return UNSURE
    outcomes = OUTCOME.findall(body, offered.end(), body.index(b"]", body.index(b'"outcomes":[', offered.end())))
    return offered[1], offered[2], random.choice(outcomes)


async def load(node: Node, cases: int, rate: float, seconds: float, kill_workers: bool = False) -> Measured:
    """Open the cases, watch each, answer at the rate, and return what was measured."""
    measured, lines = Measured(), Lines("127.0.0.1", node.port)
    answers = ANSWERS_BESIDE_CRASHES if kill_workers else ANSWERS_A_CASE
    day = Day(lines, measured, Random(1), [CallOut() for _ in range(cases)], answers)
    for number, case in enumerate(day.cases):
        await day.open(case, number)
    await asyncio.sleep(1)
    await _answer_when_idle(day, node)
    for case in day.cases:
        case.answers = day.random.randrange(day.answers)  # so that they do not all end at once
    await _answer_at_rate(day, node, rate, seconds, kill_workers)
    for case in day.cases:
        await day.unwatch(case)
    lines.close()
    return measured


async def _answer_when_idle(day: Day, node: Node) -> None:
    before = cpu_seconds(node.process.pid)
    for number in range(IDLE_TRIES):
        started = time.perf_counter()
        await day.answer(day.cases[number % len(day.cases)])
        day.measured.idle_ms.append((time.perf_counter() - started) * 1000)
        await asyncio.sleep(IDLE_PAUSE_S)
    day.measured.idle_cpu_ms = (cpu_seconds(node.process.pid) - before) * 1000 / IDLE_TRIES


async def _answer_at_rate(day: Day, node: Node, rate: float, seconds: float, kill_workers: bool) -> None:
    measured, started, tasks = day.measured, time.perf_counter(), set()
    looking = asyncio.create_task(_look(node, measured, started, kill_workers))
    cpu, own = cpu_seconds(node.process.pid), time.process_time()

    async def one(case: CallOut, due: float) -> None:
        async with case.at_work:  # one person works on a case, one answer after the other
            await day.answer(case)
            now = time.perf_counter()
            measured.loaded_ms.append((now - started, (now - due) * 1000))
            if case.answers >= day.answers:
                await day.renew(case)

    for number in range(int(rate * seconds)):
        due = started + number / rate
        await asyncio.sleep(max(0.0, due - time.perf_counter()))
        task = asyncio.create_task(one(day.cases[number % len(day.cases)], due))
        tasks.add(task)
        task.add_done_callback(tasks.discard)
    await asyncio.gather(*tasks)
    looking.cancel()
    measured.seconds = time.perf_counter() - started
    measured.opened_s = [it - started for it in measured.opened_s]
    measured.cpu_ms = (cpu_seconds(node.process.pid) - cpu) * 1000 / len(measured.loaded_ms)
    measured.client_cpu_ms = (time.process_time() - own) * 1000 / len(measured.loaded_ms)


async def _look(node: Node, measured: Measured, started: float, kill_workers: bool) -> None:
    """Note the memory every so often, and crash all engine workers every so often if asked to."""
    killed = started
    while True:
        now = time.perf_counter()
        measured.memory_kb.append((now - started, memory_kb(node.process.pid)))
        if kill_workers and now - killed > KILL_EVERY_S:
            killed = now
            measured.kills_s.append(now - started)
            for pid in children(node.process.pid):
                with suppress(ProcessLookupError):
                    os.kill(pid, signal.SIGSEGV)
        await asyncio.sleep(LOOK_EVERY_S)


def percentile(values: list[float], share: float) -> float:
    """Return the value that this share of them does not exceed."""
    return sorted(values)[min(len(values) - 1, int(share * len(values)))]


def growth_kb_a_minute(memory: list[tuple[float, int]]) -> float:
    """Return the slope of a line through the second half of the measurements, when all caches are full."""
    later = memory[len(memory) // 2 :]
    if len(later) < 2:
        return 0.0
    slope = statistics.linear_regression([at for at, _ in later], [float(it) for _, it in later]).slope
    return slope * 60


def print_measured(it: Measured) -> None:
    """Print the figures."""
    idle, loaded = statistics.median(it.idle_ms), [took for _, took in it.loaded_ms]
    print(f"load of the machine {os.getloadavg()[0]:.1f}, processors {os.cpu_count()}")
    print(f"idle     median {idle:7.1f} ms   p95 {percentile(it.idle_ms, 0.95):7.1f} ms   of {len(it.idle_ms)} answers")
    print(
        f"loaded   median {statistics.median(loaded):7.1f} ms   p95 {percentile(loaded, 0.95):7.1f} ms   "
        f"p99 {percentile(loaded, 0.99):7.1f} ms   of {len(loaded)} answers, {len(loaded) / it.seconds:.0f} a second"
    )
    print(f"p95 under load is {percentile(loaded, 0.95) / idle:.1f} x the idle median (aim: within 6)")
    print(
        f"processor time of an answer: idle {it.idle_cpu_ms:.1f} ms, loaded {it.cpu_ms:.1f} ms of the service with all "
        f"that comes with it, {it.client_cpu_ms:.1f} ms of the client"
    )
    told = ", ".join(f"{times} by {status}" for status, times in sorted(it.refused.items())) or "none"
    print(f"refused  {told}   cases opened {len(it.opened_s)}   events seen by watchers {it.seen}")
    first, last = it.memory_kb[0][1], it.memory_kb[-1][1]
    print(f"memory   {first / 1000:.0f} MB at the start, {last / 1000:.0f} MB at the end, ", end="")
    print(f"{growth_kb_a_minute(it.memory_kb):+.0f} kB a minute over the second half")
    for killed in it.kills_s:
        print(f"engine workers crashed at {killed:5.1f} s; cases opened in each half second from 1 s before:", end="")
        print("".join(f" {sum(killed + at <= when < killed + at + 0.5 for when in it.opened_s)}" for at in HALVES))


HALVES = (-1.0, -0.5, 0.0, 0.5, 1.0, 1.5, 2.0, 2.5)


def main() -> None:
    """Run and print."""
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--cases", type=int, default=200)
    words.add_argument("--rate", type=float, default=100.0, help="answers a second")
    words.add_argument("--minutes", type=float, default=1.0)
    words.add_argument("--database", help="address of PostgreSQL; SQLite if left out")
    words.add_argument("--kill-workers", action="store_true")
    asked = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        node = Node(asked.database or folder, "--rate", "1000000").wait()
        try:
            measured = asyncio.run(load(node, asked.cases, asked.rate, asked.minutes * 60, asked.kill_workers))
        finally:
            node.stop()
    print_measured(measured)


if __name__ == "__main__":
    main()
