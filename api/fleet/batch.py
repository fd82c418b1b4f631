"""Inspect very many sites at once, spread over the processes of this machine or over a Dask cluster."""

from __future__ import annotations

import multiprocessing
from collections.abc import Iterable, Iterator, Mapping
from concurrent.futures import Executor, ProcessPoolExecutor, as_completed
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from itertools import islice
from typing import Any

from diag.errors import BadSite, DiagError
from diag.inspection.chapter import compile_inspections
from diag.inspection.run import Inspector, inspect, prepare_inspector
from diag.site_file import site_from_data
from diag.workers import EnginePool
from knowledge.load import load_inspections

AT_ONCE = 25
"""Sites in one piece of work: so many that sending it costs little, so few that none waits long for the last."""

Described = tuple[str, Mapping[str, Any]]


class NoCluster(DiagError):
    """A cluster was named and cannot be used here."""


@dataclass(frozen=True, slots=True)
class Inspected:
    """A site and how many findings of each severity it has; `refused` says why it could not be inspected."""

    site: str
    findings: Mapping[str, int]
    refused: str | None = None


def inspect_many(executor: Executor, sites: Iterable[Described], today: date) -> Iterator[Inspected]:
    """Yield what was found of each site, as it comes; each exactly once."""
    pieces = [executor.submit(inspect_piece, piece, today) for piece in _pieces(sites)]
    for piece in as_completed(pieces):
        yield from piece.result()


def inspect_piece(sites: list[Described], today: date) -> list[Inspected]:
    """Inspect a few sites, in whichever process this is called."""
    return [_inspect(site, description, today) for site, description in sites]


@contextmanager
def local_executor(processes: int) -> Iterator[Executor]:
    """Yield processes of this machine."""
    # Spawned, because a fork of a process with threads may hold a lock that nobody lets go of.
    with ProcessPoolExecutor(processes, mp_context=multiprocessing.get_context("spawn")) as executor:
        yield executor


@contextmanager
def dask_executor(address: str) -> Iterator[Executor]:
    """Yield a Dask cluster whose workers have Ventsleuth installed; raise NoCluster."""
    if find_spec("distributed") is None:
        raise NoCluster("Dask is not installed here. Next: pip install 'ventsleuth[spread]', here and on its workers.")
    distributed: Any = import_module("distributed")
    try:
        client = distributed.Client(address, timeout=10)
    except (OSError, ValueError) as error:
        raise NoCluster(f"There is no Dask scheduler at {address}: {error}") from None
    with client, client.get_executor(pure=False) as executor:
        yield executor


def _pieces(sites: Iterable[Described]) -> Iterator[list[Described]]:
    rest = iter(sites)
    while piece := list(islice(rest, AT_ONCE)):
        yield piece


def _inspect(site: str, description: Mapping[str, Any], today: date) -> Inspected:
    try:
        found = inspect(_inspector(), site_from_data(description, site), today).findings
    except BadSite as error:
        return Inspected(site, {}, str(error))
    counts: dict[str, int] = {}
    for finding in found:
        counts[finding.severity] = counts.get(finding.severity, 0) + 1
    return Inspected(site, counts)


@cache
def _inspector() -> Inspector:
    """Return the inspector of this process; its engine runs in a process of its own, so that a crash is retried."""
    inspections = load_inspections()
    pool = EnginePool(compile_inspections(inspections.rules.values()), workers=1)
    return prepare_inspector(inspections, pool.run)
