"""Turn what was said at the opening of a case, or later, into what is meant."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

from api.cases.events import CaseIn, event_data
from api.cases.events import Understood as Corrected
from api.cases.state import CaseState
from api.dependencies import Service
from api.intake_step import Heard, hear, read_command, said_events
from api.schemas import DiagnosisIn
from diag.hearing import meant
from diag.intake import understand
from diag.observations import Event, Observed
from diag.site import Site
from diag.words.understood import Understood


def opening(service: Service, org: str, request: CaseIn) -> tuple[dict[str, Any], Understood | None]:
    """Return the fields of the event that opens a case, and what its text was understood to mean."""
    shelved = service.shelf.of(org).find(request.site)
    now = service.now()
    topology = service.desk.prepared(shelved.site, now.date()).topology
    asked = DiagnosisIn(**request.model_dump(exclude={"language"}))
    heard: Heard = hear(asked, shelved.site, topology, service.intake, now)
    given = hear(asked.model_copy(update={"text": None}), shelved.site, topology, service.intake, now).case
    at = heard.case.at.replace(second=0, microsecond=0) if heard.case.at else None
    data = {
        "site": request.site,
        "site_version": shelved.version,
        "at": at.isoformat(timespec="minutes") if at else None,
        "language": request.language,
        "rates": service.rates.version(org),
        **_meant(given.symptoms, given.told, given.events),
    }
    return data, heard.understood


def meaning(
    service: Service, state: CaseState, understood: Understood | None, noted: datetime | None = None
) -> dict[str, Any]:
    """Return the fields of the event that says what is meant: what was said before and what the text adds.

    Symptoms given when the case was opened stand for those of its first text; later texts add theirs.
    """
    knowledge_version = service.desk.reasoner.knowledge.version
    if understood is None:
        return {**_as_before(state), "knowledge_version": knowledge_version}
    now = clock_of(service, state, noted)
    given = {it["id"] for it in state.symptoms}
    adding = not given or len(state.texts) > 1
    more = [it for it in _symptoms(meant(understood)) if adding and it["id"] not in given]
    commands = [*state.commands, *_commands(said_events(understood, now))]
    return {
        "symptoms": [*state.symptoms, *more],
        "told": sorted({*state.told, *understood.told}),
        "events": [it for place, it in enumerate(commands) if it not in commands[:place]],
        **_moved_on(state, commands, now),
        "unrecognised": understood.unrecognised,
        "knowledge_version": knowledge_version,
    }


def corrected(service: Service, state: CaseState, event: Corrected) -> dict[str, Any]:
    """Return the fields of a correction with its commands at their times; raise BadTime or BadCaseText."""
    now = clock_of(service, state, event.noted_at)
    commands = _commands(read_command(it, now) for it in event.events)
    return {**event_data(event), "events": commands, **_moved_on(state, commands, now)}


def clock_of(service: Service, state: CaseState, noted: datetime | None = None) -> datetime:
    """Return what the clock says in the case now, or when something was noted: it goes on from the time asked about."""
    if state.at is None or state.at_told is None:
        return service.now()
    gone = (noted or datetime.now(UTC)) - datetime.fromisoformat(state.at_told)
    return datetime.fromisoformat(state.at) + max(gone, timedelta(0))


def _moved_on(state: CaseState, commands: Iterable[Mapping[str, Any]], now: datetime) -> dict[str, Any]:
    """Return the later time to ask about where a command was given after the one asked about so far."""
    if state.at is None or not any(it["at"] > state.at for it in commands):
        return {}
    return {"at": now.isoformat(timespec="minutes")}


def understand_text(service: Service, site: Site, text: str) -> Understood:
    """Return what a text means on a site."""
    return understand(service.intake, text, service.desk.prepared(site, service.now().date()).topology)


def _as_before(state: CaseState) -> dict[str, Any]:
    return {"symptoms": list(state.symptoms), "told": list(state.told), "events": list(state.commands)}


def _meant(symptoms: Iterable[Observed], told: Iterable[str], events: Iterable[Event]) -> dict[str, Any]:
    return {"symptoms": _symptoms(symptoms), "told": sorted(told), "events": _commands(events)}


def _symptoms(found: Iterable[Observed]) -> list[dict[str, Any]]:
    return [{"id": it.symptom, "part": it.part, "score": round(it.score, 4)} for it in found]


def _commands(found: Iterable[Event]) -> list[dict[str, Any]]:
    return [{"at": it.at.isoformat(timespec="minutes"), "command": it.command, "part": it.part} for it in found]
