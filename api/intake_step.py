"""Turn a request into a case: understand its text, place times on the site's clock, find its site."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from api.schemas import DiagnosisIn
from diag.case_text import read_event, read_now
from diag.hearing import meant
from diag.intake import Intake, understand
from diag.observations import Case, Event, Finding, Observed
from diag.site import Site
from diag.topology import Topology
from diag.words.understood import SaidTime, Understood


@dataclass(frozen=True)
class Heard:
    """A case and what its text was understood to mean; None when there was no text."""

    case: Case
    understood: Understood | None


def hear(request: DiagnosisIn, site: Site, topology: Topology, intake: Intake, now: datetime) -> Heard:
    """Return the case of a request; `now` stands in for a time that is not given.

    Symptoms given by id replace those the text means.
    """
    at = read_now(request.at, now.date(), site.time_zone) or now
    understood = understand(intake, request.text, topology) if request.text else None
    case = Case(
        symptoms=tuple(Observed(it.id, it.part) for it in request.symptoms),
        told=frozenset(request.told),
        findings=tuple(Finding(it.check, it.outcome, it.part) for it in request.findings),
        events=tuple(_event(it.at, it.command, it.part, at) for it in request.events),
        at=at,
        repaired=tuple((it.cause, it.part) for it in request.repaired),
    )
    return Heard(_with_text(case, understood, at), understood)


def _event(when: str, command: str, part: str | None, at: datetime) -> Event:
    return read_event(f"{when}={command}" + (f"@{part}" if part else ""), at)


def _with_text(case: Case, understood: Understood | None, at: datetime) -> Case:
    if understood is None:
        return case
    said = said_events(understood, at)
    symptoms = case.symptoms or meant(understood)
    return replace(case, symptoms=symptoms, told=case.told | understood.told, events=case.events + said)


def said_events(understood: Understood, at: datetime) -> tuple[Event, ...]:
    """Return the commands a text says were given, at their times before `at`."""
    return tuple(_event(_when(it), it.command, it.part, at) for it in understood.said_times)


def _when(said: SaidTime) -> str:
    return said.clock or f"{said.minutes_ago or 0:.0f} min ago"
