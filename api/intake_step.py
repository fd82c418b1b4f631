"""Turn a request into a case: understand its text, place times on the site's clock, find its site."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from api.schemas import CrewIn, DiagnosisIn, EventIn, FindingIn
from diag.case_text import read_event, read_now
from diag.crew import Crew
from diag.errors import UnknownPart
from diag.hearing import meant
from diag.intake import Intake, understand
from diag.observations import THINK_SO, Case, Event, Finding, Observed
from diag.site import Site
from diag.topology import SITE_PART, Topology
from diag.words.understood import SaidTime, Understood


@dataclass(frozen=True)
class Heard:
    """A case and what its text was understood to mean; None when there was no text."""

    case: Case
    understood: Understood | None


def hear(request: DiagnosisIn, site: Site, topology: Topology, intake: Intake, now: datetime) -> Heard:
    """Return the case of a request; `now` stands in for a time that is not given.

    Symptoms given by id replace those the text means. Raises UnknownPart for a finding about a part that is not there.
    """
    for finding in request.findings:
        check_part(topology, finding.part)
    at = read_now(request.at, now.date(), site.time_zone) or now
    understood = understand(intake, request.text, topology) if request.text else None
    case = Case(
        symptoms=tuple(Observed(it.id, it.part) for it in request.symptoms),
        told=frozenset(request.told),
        findings=tuple(_finding(it) for it in request.findings),
        events=tuple(read_command(it, at) for it in request.events),
        at=at,
        repaired=tuple((it.cause, it.part) for it in request.repaired),
        remote=request.remote,
        crew=crew_of(request.crew),
    )
    return Heard(_with_text(case, understood, at), understood)


def check_part(topology: Topology, part: str | None) -> None:
    """Raise UnknownPart unless the site has the part; nothing named and the site itself will do."""
    if part not in (None, SITE_PART) and part not in topology.kinds:
        raise UnknownPart(part or "", topology.kinds)


def crew_of(it: CrewIn | None) -> Crew:
    """Return who is there; a full crew in daylight where nothing was said."""
    if it is None:
        return Crew()
    return Crew(frozenset(it.competences), is_dark=it.dark, without=frozenset(it.without), alone=it.alone)


def certainty_of(word: str) -> float:
    """Return how far an answer is taken that was given as `sure` or `think-so`."""
    return THINK_SO if word == "think-so" else 1.0


def _finding(it: FindingIn) -> Finding:
    return Finding(it.check, it.outcome, it.part, certainty_of(it.certainty))


def read_command(it: EventIn, at: datetime) -> Event:
    """Return a command with its time on the site's clock, told at that moment; raise BadTime or BadCaseText."""
    return _event(it.at, it.command, it.part, at)


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
