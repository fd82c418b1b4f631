"""The endpoints of what recurs over all cases and sites."""

from __future__ import annotations

import csv
from datetime import date
from io import StringIO
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Depends, Query, Response

from api.csv_response import CsvResponse
from api.dependencies import ServiceDep
from api.fleet.chart import bar_chart
from api.fleet.count import Fleet, Recurring, count_fleet
from api.inspections import InspectorDep
from api.routes import PROBLEM
from api.schemas import Out
from api.strict_query import refuse_unknown_query
from api.who import CaseReader, SiteReader
from diag.inspection.run import inspect
from diag.site import DayDate

What = Literal["causes", "parts", "sites", "symptoms"]
Day = Annotated[DayDate | None, Query(description="A day such as 2026-05-04, in UTC.")]
SVG = "image/svg+xml"
SITES_AT_ONCE = 20
FORMULA = ("=", "+", "-", "@", "\t", "\r")

router = APIRouter(prefix="/v1/fleet", tags=["fleet"], responses=PROBLEM, dependencies=[Depends(refuse_unknown_query)])


class RecurringOut(Out):
    """Something that recurs, and the mean minutes from opening to closing."""

    id: str
    name: str
    cases: int
    mean_minutes: float | None


class FleetOut(Out):
    """What recurs, most frequent first; rates are null where there is nothing to take them of."""

    cases: int
    closed: int
    confirmed: int
    mean_minutes: float | None
    first_visit_rate: float | None
    causes: list[RecurringOut]
    parts: list[RecurringOut]
    sites: list[RecurringOut]
    symptoms: list[RecurringOut]


class SiteFindingsOut(Out):
    """How many findings of each severity a site's description has."""

    site: str
    name: str
    findings: dict[str, int]


class FleetInspectionOut(Out):
    """Sites inspected; `next` is the address of those that follow, absent at the end."""

    sites: list[SiteFindingsOut]
    next: str | None = None


@router.get("")
def read_fleet(service: ServiceDep, who: CaseReader, since: Day = None, until: Day = None) -> FleetOut:
    """Return which causes, parts, sites and symptoms recur, in cases opened from one day until before another."""
    fleet, names = _count(service, who.org, since, until), _names(service)
    lists = {it: [_named(one, names) for one in getattr(fleet, it)] for it in ("causes", "parts", "sites", "symptoms")}
    return FleetOut(
        cases=fleet.cases,
        closed=fleet.closed,
        confirmed=fleet.confirmed,
        mean_minutes=fleet.mean_minutes,
        first_visit_rate=fleet.first_visit_rate,
        **lists,
    )


@router.get("/{what}.csv", response_class=CsvResponse)
def read_fleet_table(
    what: What, service: ServiceDep, who: CaseReader, since: Day = None, until: Day = None
) -> Response:
    """Return one list as a table."""
    found: tuple[Recurring, ...] = getattr(_count(service, who.org, since, until), what)
    names, table = _names(service), StringIO()
    writer = csv.writer(table, lineterminator="\r\n")
    writer.writerow(("id", "name", "cases", "mean_minutes"))
    writer.writerows((_cell(it.id), _cell(names.get(it.id, it.id)), it.cases, it.mean_minutes) for it in found)
    headers = {"content-disposition": f'attachment; filename="{what}.csv"'}
    return CsvResponse(table.getvalue(), headers=headers)


@router.get("/{what}.svg", response_class=Response, responses={200: {"description": "Bars.", "content": {SVG: {}}}})
def read_fleet_chart(
    what: What, service: ServiceDep, who: CaseReader, since: Day = None, until: Day = None
) -> Response:
    """Return one list as a picture of bars, whose description says the same in words."""
    found: tuple[Recurring, ...] = getattr(_count(service, who.org, since, until), what)
    names = _names(service)
    named = [Recurring(names.get(it.id, it.id), it.cases, it.mean_minutes) for it in found]
    return Response(bar_chart(f"Cases by {what.removesuffix('s')}", named), media_type=SVG)


@router.get("/inspections")
def inspect_fleet(
    service: ServiceDep,
    _: SiteReader,
    inspector: InspectorDep,
    after: Annotated[str | None, Query(max_length=80, description="The site to go on after.")] = None,
) -> FleetInspectionOut:
    """Inspect all stored sites, so many at a time in order of id."""
    sites = service.store.sites_after(after, SITES_AT_ONCE + 1)
    today = service.now().date()
    found = []
    for it in sites[:SITES_AT_ONCE]:
        counts: dict[str, int] = {}
        for finding in inspect(inspector, service.shelf.site(it.id), today).findings:
            counts[finding.severity] = counts.get(finding.severity, 0) + 1
        found.append(SiteFindingsOut(site=it.id, name=it.name, findings=counts))
    more = len(sites) > SITES_AT_ONCE
    return FleetInspectionOut(sites=found, next=f"/v1/fleet/inspections?after={found[-1].site}" if more else None)


def _count(service: ServiceDep, org: str, since: date | None, until: date | None) -> Fleet:
    first, last = (it.isoformat() if it else None for it in (since, until))
    return count_fleet(service.store.database, org, first, last)


def _names(service: ServiceDep) -> dict[str, str]:
    knowledge = service.desk.reasoner.knowledge
    sites = {it.id: it.name for it in service.store.headings()}
    entries: dict[str, Any] = {**knowledge.symptoms, **knowledge.causes}
    return {**{it: entry.name for it, entry in entries.items()}, **sites}


def _named(it: Recurring, names: dict[str, str]) -> RecurringOut:
    return RecurringOut(id=it.id, name=names.get(it.id, it.id), cases=it.cases, mean_minutes=it.mean_minutes)


def _cell(text: str) -> str:
    """Return a text that no table program takes for a formula."""
    return f"'{text}" if text.startswith(FORMULA) else text
