"""Serve what a phone keeps for the time without a signal."""

from __future__ import annotations

import gzip
import json
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from hashlib import sha256
from threading import Lock
from typing import Annotated

from fastapi import APIRouter, Body, Depends, Request, Response

from api.dependencies import Service, ServiceDep
from api.examples import DIAGNOSIS_EXAMPLES
from api.intake_step import hear
from api.pack import case_pack, site_pack
from api.pack_chapter import Json
from api.pack_words import words_pack
from api.routes import PROBLEM, SiteId
from api.schemas import DiagnosisIn, Out
from api.strict_query import refuse_unknown_query
from diag.reasoning import open_case
from diag.site import Site

KEPT = timedelta(minutes=15)
"""How long a pack that was worked out is handed out again; judgement: lockouts by the clock change slowly."""
MOST_KEPT = 8
NO_SITE = "no-site"

router = APIRouter(prefix="/v1", responses=PROBLEM, dependencies=[Depends(refuse_unknown_query)])


class PositionOut(Out):
    """Where a site is, in degrees (WGS 84)."""

    id: str
    latitude: float
    longitude: float


class PositionsOut(Out):
    """Where the sites are whose descriptions say so."""

    positions: list[PositionOut]


@dataclass(frozen=True, slots=True)
class Packed:
    """A pack as it is sent: compressed, with its tag; `at` is when it was worked out, by the service's clock."""

    content: bytes
    tag: str
    at: datetime
    source: tuple[object, ...] = ()
    """What it was worked out from; another object, another pack."""


@dataclass
class PackShelf:
    """Packs that were worked out lately, by name; who asks for one that is being made waits for that one."""

    _kept: dict[str, Packed] = field(default_factory=dict)
    _making: dict[str, Lock] = field(default_factory=dict)
    _lock: Lock = field(default_factory=Lock)

    def get(self, key: str, source: tuple[object, ...], now: datetime, make: Callable[[], Json]) -> Packed:
        """Return the pack of that name, worked out anew when the one kept is too old or from another source."""
        with self._lock:
            making = self._making.setdefault(key, Lock())
        with making:
            kept = self._kept.get(key)
            if kept is None or not _same(kept.source, source) or not timedelta(0) <= now - kept.at < KEPT:
                kept = replace(pack_up(make(), now), source=source)
                self._keep(key, kept)
        return kept

    def _keep(self, key: str, pack: Packed) -> None:
        with self._lock:
            self._kept.pop(key, None)
            self._kept[key] = pack
            while len(self._kept) > MOST_KEPT:
                oldest = next(iter(self._kept))
                del self._kept[oldest]
                self._making.pop(oldest, None)


def pack_up(content: Json, now: datetime) -> Packed:
    """Return the pack compressed, with a tag that changes when it does."""
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":")).encode()
    return Packed(gzip.compress(text, mtime=0), f'"{sha256(text).hexdigest()[:20]}"', now)


@router.get("/pack/words", tags=["knowledge"])
def read_words_pack(request: Request, service: ServiceDep) -> Response:
    """Return texts and numbers that every pack needs: symptoms, causes, checks and cautions in all languages."""
    knowledge = service.desk.reasoner.knowledge
    packs, words = _shelf(request), service.translations
    return _sent(request, packs.get("words", (knowledge,), service.now(), lambda: words_pack(knowledge, words)))


@router.get("/pack/positions", tags=["sites"])
def list_positions(service: ServiceDep) -> PositionsOut:
    """Return where each site is whose description says so, for a phone to tell by itself which are near."""
    described = ((it.id, it.description.get("position")) for it in service.store.each_site())
    return PositionsOut(positions=[PositionOut(id=site, **position) for site, position in described if position])


@router.get("/pack/no-site", tags=["sites"])
def read_pack_without_site(request: Request, service: ServiceDep) -> Response:
    """Return the pack of a site that nobody described."""
    return _sent(request, _of_site(request, service, NO_SITE, service.shelf.site(None)))


@router.get("/sites/{site_id}/pack", tags=["sites"])
def read_site_pack(site_id: SiteId, request: Request, service: ServiceDep) -> Response:
    """Return every case with one symptom on this site, opened: its causes, checks, chances, readings and reasons."""
    return _sent(request, _of_site(request, service, site_id, service.shelf.site(site_id)))


@router.post("/pack/case", tags=["diagnoses"])
def create_case_pack(
    asked: Annotated[DiagnosisIn, Body(openapi_examples=DIAGNOSIS_EXAMPLES)],
    request: Request,
    service: ServiceDep,
) -> Response:
    """Return this one case opened, so that its answers can be weighed without a signal. Nothing is stored."""
    now = service.now()
    site = service.shelf.site(asked.site)
    heard = hear(asked, site, service.desk.prepared(site, now.date()).topology, service.intake, now)
    prepared = service.desk.prepared(site, heard.case.at.date() if heard.case.at else None)
    reasoner = service.taught(site)
    return _sent(request, pack_up(case_pack(reasoner, open_case(reasoner, prepared, heard.case)), now))


def _same(one: tuple[object, ...], other: tuple[object, ...]) -> bool:
    return len(one) == len(other) and all(mine is theirs for mine, theirs in zip(one, other, strict=True))


def _of_site(request: Request, service: Service, site_id: str, site: Site) -> Packed:
    now = service.now()
    reasoner = service.taught(site)

    def make() -> Json:
        return {
            "site": site_id,
            "name": site.name,
            **site_pack(reasoner, service.desk.prepared(site, now.date()), now),
        }

    return _shelf(request).get(f"{service.store.org} site {site_id}", (site, reasoner), now, make)


def _shelf(request: Request) -> PackShelf:
    state = request.app.state
    if not hasattr(state, "packs"):
        state.packs = PackShelf()
    shelf: PackShelf = state.packs
    return shelf


def _sent(request: Request, pack: Packed) -> Response:
    if pack.tag in request.headers.get("if-none-match", ""):
        return Response(status_code=304, headers={"etag": pack.tag})
    tagged = {"etag": pack.tag, "vary": "accept-encoding"}
    if "gzip" not in request.headers.get("accept-encoding", ""):
        return Response(gzip.decompress(pack.content), media_type="application/json", headers=tagged)
    return Response(pack.content, media_type="application/json", headers={**tagged, "content-encoding": "gzip"})
