"""The endpoints of what use teaches: learned base rates, and typed texts that nobody understood."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Query
from pydantic import Field

from api.access.desk import AccessDeskDep
from api.dependencies import Service, ServiceDep
from api.routes import PROBLEM
from api.schemas import Out
from api.strict_query import refuse_unknown_query
from api.unheard import unheard_groups
from api.who import Admin, Author, CaseReader
from diag.learning import counted_now, learned_rates, seen_at
from diag.site import SiteKind

LATEST, MOST = 300, 2_000
"""Texts that are looked through when nothing is said, and at most: each takes a few milliseconds."""

router = APIRouter(prefix="/v1", tags=["knowledge"], responses=PROBLEM, dependencies=[Depends(refuse_unknown_query)])


class RateOut(Out):
    """In how many of 1,000 call-outs a cause is taken to be: by its entry, and with closed cases; how often seen."""

    cause: str
    name: str
    given: float
    learned: float
    seen: int
    seen_at_kind: int


class RatesOut(Out):
    """The base rates of all causes, those moved most first."""

    version: int = Field(description="Counts each change of what was learned; 0 when nothing was.")
    cases: int = Field(description="Closed cases with a confirmed cause that count.")
    site_kind: str | None
    rates: list[RateOut]


class UnheardOut(Out):
    """Texts that are alike: the first one said, all that differ from it, and how many there were."""

    count: int
    text: str
    others: list[str]


class UnheardListOut(Out):
    """What was typed and not understood among the latest texts, most frequent first."""

    texts: int
    unheard: int
    groups: list[UnheardOut]


@router.get("/rates")
def read_rates(
    service: ServiceDep,
    who: CaseReader,
    site_kind: Annotated[SiteKind | None, Query(description="As they are at this kind of site.")] = None,
) -> RatesOut:
    """Return how common each cause is taken to be here, beside what its entry says, those moved most first."""
    return _rates(service, who.org, site_kind)


@router.delete("/rates")
def forget_rates(service: ServiceDep, who: Admin, access: AccessDeskDep) -> RatesOut:
    """Begin anew with the rates of the entries; cases that were opened before keep theirs."""
    version = service.rates.forget(who.org)
    access.audit.note(who, "rates-forgotten", str(version))
    return _rates(service, who.org, None)


@router.get("/unheard")
def read_unheard(
    service: ServiceDep,
    who: Author,
    latest: Annotated[int, Query(ge=1, le=MOST, description="How many texts to look through.")] = LATEST,
) -> UnheardListOut:
    """Return what was typed lately and not understood, texts that are alike together."""
    texts = service.store.of(who.org).heard(latest)
    groups = unheard_groups(service.intake, texts)
    return UnheardListOut(
        texts=len(texts),
        unheard=sum(len(it) for it in groups),
        groups=[_group(it) for it in groups],
    )


def _group(texts: list[str]) -> UnheardOut:
    first, *others = texts
    return UnheardOut(count=len(texts), text=first, others=[it for it in dict.fromkeys(others) if it != first])


def _rates(service: Service, org: str, site_kind: str | None) -> RatesOut:
    version = service.rates.version(org)
    knowledge = service.desk.reasoner.knowledge
    counts = counted_now(knowledge, service.rates.counts(org, version))
    learned, seen, here = learned_rates(knowledge, counts, site_kind), seen_at(counts), seen_at(counts, site_kind)
    rates = [
        RateOut(
            cause=it.id,
            name=it.name,
            given=it.base_rate.per_thousand,
            learned=round(learned[it.id], 6),
            seen=seen[it.id],
            seen_at_kind=here[it.id] if site_kind else 0,
        )
        for it in knowledge.causes.values()
    ]
    rates.sort(key=lambda it: (-abs(it.learned - it.given), -it.given, it.cause))
    return RatesOut(version=version, cases=counts.total(), site_kind=site_kind, rates=rates)
