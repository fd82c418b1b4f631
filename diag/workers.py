"""Runs evaluations in worker processes, so that a crash of the engine package costs a restart and not a request."""

from __future__ import annotations

import contextlib
import json
import marshal
import pickle
import queue
import socket
import subprocess
import sys
import threading
import time
import zlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from types import TracebackType
from typing import Any, Self

from diag.engine import Engine, plan_chapters
from diag.engine_errors import EngineUnavailable
from diag.engine_plans import Plan
from diag.engine_values import normal_fact
from diag.rules import Fact, Firing, Rule
from diag.worker_process import FAILED, UNAVAILABLE, packed_facts, receive, send, unpacked_firings

Chapters = Mapping[str, Sequence[Rule]]
BUILD_LIMIT_S = 30.0
_PROGRAM = (
    "import json, sys; sys.path[:] = json.loads(sys.argv[1]); "
    "from diag.worker_process import serve; serve(int(sys.argv[2]))"
)


class WorkerLost(Exception):
    """The worker died, broke or took too long, and is no more."""


class Worker:
    """One process with an engine in it, and the line to it; it is one request's at a time."""

    def __init__(self, order: bytes) -> None:
        self._line, far = socket.socketpair()
        with far:
            command = [sys.executable, "-c", _PROGRAM, json.dumps(sys.path), str(far.fileno())]
            self._process = subprocess.Popen(command, stdin=subprocess.DEVNULL, pass_fds=[far.fileno()])
        self.pid = self._process.pid
        self._ready = False
        with contextlib.suppress(OSError):
            self._line.settimeout(BUILD_LIMIT_S)
            send(self._line, order)

    def ask(self, request: bytes, limit_s: float) -> Any:
        """Return the answer to one request; raise WorkerLost, or EngineUnavailable if no worker could do better."""
        try:
            if not self._ready:
                self._exchange(None, BUILD_LIMIT_S)
                self._ready = True
            return self._exchange(request, limit_s)
        except TimeoutError as error:
            self.kill()
            raise WorkerLost(f"the engine took longer than {limit_s:g} s") from error
        except OSError as error:
            self.kill()
            raise WorkerLost(f"the engine's process ended with code {self._process.returncode}") from error

    def _exchange(self, request: bytes | None, limit_s: float) -> Any:
        deadline = time.monotonic() + limit_s
        if request is not None:
            self._line.settimeout(limit_s)
            send(self._line, request)
        word, content = marshal.loads(receive(self._line, deadline))
        if word == UNAVAILABLE:
            raise EngineUnavailable(content)
        if word == FAILED:
            self.kill()
            raise WorkerLost(content)
        return content

    def is_alive(self) -> bool:
        """Whether the process still runs."""
        return self._process.poll() is None

    def kill(self) -> None:
        """End the process now, whatever it does."""
        self._line.close()
        self._process.kill()
        self._process.wait()


def _shared(chapters: Chapters) -> dict[str, tuple[Rule, ...]]:
    """Return the chapters with equal rules made one object, which then crosses to a worker once."""
    known: dict[Rule, Rule] = {}
    return {name: tuple(known.setdefault(rule, rule) for rule in rules) for name, rules in chapters.items()}


def _kinds_asked(plans: Iterable[Plan]) -> frozenset[str]:
    return frozenset(pattern.kind for plan in plans for pattern in plan.patterns)


class EnginePool:
    """An engine that outlives its own death: `workers` processes, each replaced when it dies or takes too long.

    Safe to use from several threads. `build` makes the engine inside the worker and has to be importable there.
    Building raises RulesRefused; a worker that cannot build its engine is reported by the first run.
    """

    def __init__(
        self,
        chapters: Chapters,
        workers: int = 1,
        *,
        limit_s: float = 10.0,
        build: Callable[[Chapters], Engine] = Engine,
    ) -> None:
        self._kinds = {name: _kinds_asked(plans) for name, plans in plan_chapters(chapters).items()}
        self._limit_s = limit_s
        self._order = zlib.compress(pickle.dumps((build, _shared(chapters))), level=1)
        self._lock = threading.Lock()
        self._closed = False
        self._workers = {Worker(self._order) for _ in range(workers)}
        self._idle: queue.LifoQueue[Worker] = queue.LifoQueue()
        for worker in self._workers:
            self._idle.put(worker)

    def run(self, chapter: str, facts: Iterable[Fact]) -> tuple[Firing, ...]:
        """Return what Engine.run returns; try a second worker when the first is lost, then EngineUnavailable."""
        kinds = self._kinds[chapter]
        asked = [given for given in map(normal_fact, facts) if given.kind in kinds]
        request = marshal.dumps((chapter, packed_facts(asked)))
        worker = self._take()
        try:
            try:
                answer = worker.ask(request, self._limit_s)
            except WorkerLost:
                worker = self._replace(worker)
                answer = self._ask_again(worker, request)
        finally:
            self._put_back(worker)
        return unpacked_firings(answer)

    def _take(self) -> Worker:
        if self._closed:
            raise EngineUnavailable("the engine is closed")
        try:
            worker = self._idle.get(timeout=self._limit_s)
        except queue.Empty:
            raise EngineUnavailable("every engine is busy; try again in a moment") from None
        if worker.is_alive():
            return worker
        try:
            return self._replace(worker)
        except EngineUnavailable:
            self._idle.put(worker)
            raise

    def _ask_again(self, worker: Worker, request: bytes) -> Any:
        try:
            return worker.ask(request, self._limit_s)
        except WorkerLost as error:
            raise EngineUnavailable(f"the engine failed twice on this request: {error}") from error

    def _put_back(self, worker: Worker) -> None:
        """Make the worker, or a fresh one in its place, free for the next request."""
        if not worker.is_alive():
            with contextlib.suppress(EngineUnavailable):
                worker = self._replace(worker)
        self._idle.put(worker)

    def _replace(self, lost: Worker) -> Worker:
        with self._lock:
            if self._closed:
                raise EngineUnavailable("the engine is closed")
            try:
                fresh = Worker(self._order)
            except OSError as error:
                raise EngineUnavailable(f"no process can be started for the engine: {error}") from error
            self._workers.discard(lost)
            self._workers.add(fresh)
        lost.kill()
        return fresh

    @property
    def pids(self) -> tuple[int, ...]:
        """Process numbers of the workers, for a health page."""
        return tuple(sorted(worker.pid for worker in self._workers))

    def close(self) -> None:
        """End all workers; requests under way raise EngineUnavailable."""
        with self._lock:
            self._closed = True
        for worker in self._workers:
            worker.kill()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()
