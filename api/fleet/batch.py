"""Inspect very many sites at once, spread over the processes of this machine or over a Dask cluster."""

from __future__ import annotations

import json
import multiprocessing
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import (
    FIRST_COMPLETED,
    BrokenExecutor,
    CancelledError,
    Executor,
    Future,
    ProcessPoolExecutor,
    wait,
)
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from itertools import chain, islice
from typing import Any

from diag.engine_errors import EngineError
from diag.errors import BadSite, DiagError
from diag.inspection.chapter import compile_inspections
from diag.inspection.run import Inspector, inspect, prepare_inspector
from diag.site_file import site_from_data
from diag.workers import EnginePool
from knowledge.load import load_inspections

AT_ONCE = 25
"""Sites in one piece of work: so many that sending it costs little, so few that none waits long for the last."""

AHEAD = 200
"""Pieces that are under way or wait their turn; more are read only then, so that any number of sites fits in memory."""

TRIES = 3
"""How often processes may be lost before it is given up."""

RETRIES = 3
"""How often Dask sends a piece again whose worker is lost."""

Described = tuple[str, str]
"""A site's id, and its description as JSON text, which is small to keep and to send."""

Piece = Sequence[Described]
OpenExecutor = Callable[[], AbstractContextManager[Executor]]


class NoCluster(DiagError):
    """A cluster was named and cannot be used here."""


class BatchLost(DiagError):
    """Processes were ended again and again, by whom is not known."""

    def __init__(self) -> None:
        super().__init__(
            "Processes that inspect were ended from outside several times; most often memory ran out. "
            "Next: fewer --processes."
        )


@dataclass(frozen=True, slots=True)
class Inspected:
    """A site, how many findings of each severity and of each rule it has; `refused` says why it was not inspected."""

    site: str
    findings: Mapping[str, int]
    rules: Mapping[str, int] = field(default_factory=dict)
    refused: str | None = None


def inspect_many(open_executor: OpenExecutor, sites: Iterable[Described], today: date) -> Iterator[Inspected]:
    """Yield what was found of each site, as it comes; each exactly once.

    Sites whose process was lost are inspected again in others; raises BatchLost when that goes on.
    """
    pieces = _pieces(sites)
    for _ in range(TRIES):
        lost: list[Piece] = []
        with open_executor() as executor:
            yield from _inspect_on(executor, pieces, today, lost)
        if not lost:
            return
        pieces = chain(lost, pieces)
    raise BatchLost


def inspect_piece(sites: Piece, today: date) -> list[Inspected]:
    """Inspect a few sites, in whichever process this is called."""
    return [_inspect(site, description, today) for site, description in sites]


@contextmanager
def local_executor(processes: int) -> Iterator[Executor]:
    """Yield processes of this machine."""
    # Spawned, because a fork of a process with threads may hold a lock that nobody lets go of.
    with ProcessPoolExecutor(processes, mp_context=multiprocessing.get_context("spawn")) as executor:
        yield executor


@contextmanager
def dask_executor(address: str, wait_s: float = 10.0) -> Iterator[Executor]:
    """Yield a Dask cluster whose workers have Ventsleuth installed; raise NoCluster."""
    if find_spec("distributed") is None:
        raise NoCluster("Dask is not installed here. Next: pip install 'ventsleuth[spread]', here and on its workers.")
    distributed: Any = import_module("distributed")
    try:
        client = distributed.Client(address, timeout=wait_s)
    except (OSError, ValueError) as error:
        raise NoCluster(f"There is no Dask scheduler at {address}: {error}") from None
    lost = (distributed.KilledWorker, CancelledError, OSError)
    with client, client.get_executor(pure=False, retries=RETRIES) as executor:
        try:
            yield executor
        except lost as error:
            raise NoCluster(f"The Dask cluster at {address} went away: {type(error).__name__}.") from None


def _inspect_on(executor: Executor, pieces: Iterator[Piece], today: date, lost: list[Piece]) -> Iterator[Inspected]:
    """Yield what was found; pieces that were under way when a process was lost go into `lost`."""
    under_way: dict[Future[list[Inspected]], Piece] = {}
    while not lost:
        for piece in islice(pieces, AHEAD - len(under_way)):
            under_way[_submit(executor, piece, today)] = piece
        if not under_way:
            return
        for future in wait(under_way, return_when=FIRST_COMPLETED).done:
            piece = under_way.pop(future)
            if isinstance(future.exception(), BrokenExecutor):
                lost.append(piece)
            else:
                yield from future.result()
    lost.extend(under_way.values())


def _submit(executor: Executor, piece: Piece, today: date) -> Future[list[Inspected]]:
    """Hand a piece over; processes that were lost meanwhile are told by the future."""
    try:
        return executor.submit(inspect_piece, piece, today)
    except BrokenExecutor as error:
        future: Future[list[Inspected]] = Future()
        future.set_exception(error)
        return future


def _pieces(sites: Iterable[Described]) -> Iterator[Piece]:
    rest = iter(sites)
    while piece := list(islice(rest, AT_ONCE)):
        yield piece


def _inspect(site: str, description: str, today: date) -> Inspected:
    try:
        found = inspect(_inspector(), site_from_data(json.loads(description), site), today).findings
    except (BadSite, EngineError) as error:
        return Inspected(site, {}, refused=str(error))
    return Inspected(site, Counter(it.severity for it in found), Counter(it.rule for it in found))


@cache
def _inspector() -> Inspector:
    """Return the inspector of this process; its engine runs in a process of its own, so that a crash is retried."""
    inspections = load_inspections()
    pool = EnginePool(compile_inspections(inspections.rules.values()), workers=1)
    return prepare_inspector(inspections, pool.run)
