"""Open a case and add to it: understand, reason, and keep it all in one transaction."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from sqlalchemy import Connection

from api.cases.done import Answer, DoneMeanwhile, Request, done_before, find_done, keep_answer
from api.cases.errors import BadEvent, CaseClosed, StaleCase
from api.cases.events import CaseIn, Noted, TextSaid, event_data, kind_of
from api.cases.events import Understood as Corrected
from api.cases.found import cause_found
from api.cases.ids import new_id
from api.cases.live import Live
from api.cases.reason import OpenCases, diagnose_state, summary
from api.cases.record import NEW, AlsoDone, CaseRow, Change, Records, find_case
from api.cases.sense import check_sense
from api.cases.state import CaseEvent, CaseState, after
from api.cases.states import States
from api.cases.understanding import corrected, meaning, opening, understand_text
from api.cases.views import ChangedOut, describe_case, describe_event
from api.cases.words import features_of, searched_text, title_of
from api.dependencies import Service
from api.rates import count_case
from api.schemas import DiagnosisOut
from api.storage.clock import now_text
from api.who import Who
from diag.words.understood import Understood

REASONED = frozenset({"opened", "understood", "answer", "took-back", "repair", "site", "remote-mode", "crew"})
"""Kinds of events after which it is reasoned anew."""

SEARCHED = (REASONED | {"text", "note", "reading", "proof", "cause-confirmed"}) - {"answer", "remote-mode", "crew"}
"""Kinds of events that change the words of a case."""

COMPARED = frozenset({"opened", "understood", "answer", "took-back"})
"""Kinds of events that change what it is alike to."""

LEARNED_FROM = frozenset({"closed", "reopened"})
"""Kinds of events after which a case may count for a cause, or count no more."""

AFTER_CLOSING = frozenset({"note", "reopened", "attachment"})
ATTEMPTS = 5

Outbox = Callable[[Connection, Who, CaseRow, Sequence[CaseEvent]], None]


@dataclass(frozen=True)
class Cases:
    """What working on cases needs, for as long as the service lives."""

    service: Service
    records: Records
    opened: OpenCases
    states: States
    live: Live
    outbox: Outbox


@dataclass(frozen=True)
class Draft:
    """A case as it will be: its state, the events to append, and the last diagnosis."""

    state: CaseState
    events: tuple[CaseEvent, ...] = ()
    diagnosis: DiagnosisOut | None = None


def open_new_case(cases: Cases, who: Who, request: CaseIn, keyed: Request | None) -> Answer:
    """Open a case and return the answer to send; raise what a wrong site, symptom or part raises."""
    if before := done_before(cases.records.database, keyed):
        return before
    drafting = Drafting(cases, who)
    if request.text:
        cases.service.store.of(who.org).hear(request.text, request.site if isinstance(request.site, str) else None)
    data, understood = opening(cases.service, who.org, request)
    draft = drafting.add(Draft(CaseState()), "opened", data, None if request.text else understood)
    if request.text:
        draft = drafting.add(draft, "text", {"text": request.text})
        draft = drafting.add(draft, "understood", meaning(cases.service, draft.state, understood), understood)
    try:
        return _keep(cases, who, new_id(), NEW, draft, keyed, 201)
    except DoneMeanwhile:
        return _done_now(cases, keyed)


def add_events(
    cases: Cases,
    who: Who,
    case_id: str,
    events: Sequence[Noted],
    expected: int | None,
    keyed: Request | None,
) -> Answer:
    """Append events and return the answer to send; `expected` None takes the case as it is.

    Raises UnknownCase, StaleCase, CaseClosed, BadEvent, or what a wrong part, check or outcome raises.
    """
    return _append(cases, who, case_id, expected, keyed, lambda draft: _drafted(cases, who, draft, events))


def add_made(
    cases: Cases, who: Who, case_id: str, keyed: Request | None, kind: str, data: Mapping[str, Any], file: Any
) -> Answer:
    """Append one event of our own making with the file that belongs to it."""
    drafting = Drafting(cases, who)
    return _append(cases, who, case_id, None, keyed, lambda draft: drafting.add(draft, kind, data), (file,))


def _append(
    cases: Cases,
    who: Who,
    case_id: str,
    expected: int | None,
    keyed: Request | None,
    draft: Callable[[Draft], Draft],
    files: Sequence[Mapping[str, Any]] = (),
) -> Answer:
    for attempt in range(ATTEMPTS):
        with cases.records.database.reading() as connection:
            if before := find_done(connection, keyed):
                return before
            found = find_case(connection, who.org, case_id)
        row, state = cases.states.of(cases.records, who.org, found)
        if expected is not None and expected != row.version:
            raise StaleCase(row.version)
        try:
            drafted = draft(Draft(state))
            return _keep(cases, who, case_id, row.version, drafted, keyed, 201, files)
        except DoneMeanwhile:
            return _done_now(cases, keyed)
        except StaleCase:
            if attempt == ATTEMPTS - 1:
                raise
    raise AssertionError


def _drafted(cases: Cases, who: Who, draft: Draft, events: Sequence[Noted]) -> Draft:
    drafting = Drafting(cases, who)
    for event in events:
        if draft.state.status == "closed" and kind_of(event) not in AFTER_CLOSING:
            raise CaseClosed
        if draft.state.status != "closed" and kind_of(event) == "reopened":
            raise BadEvent("The case is open; there is nothing to reopen.")
        check_sense(cases.service, who.org, draft.state, event)
        draft = drafting.add(draft, kind_of(event), _fields(cases, draft.state, event))
        if isinstance(event, TextSaid):
            draft = drafting.understand(draft, event.text, event.noted_at)
    return draft


def _fields(cases: Cases, state: CaseState, event: Noted) -> Mapping[str, Any]:
    return corrected(cases.service, state, event) if isinstance(event, Corrected) else event_data(event)


@dataclass(frozen=True)
class Drafting:
    """Adds events to drafts on behalf of somebody."""

    cases: Cases
    who: Who

    def understand(self, draft: Draft, text: str, noted: datetime | None) -> Draft:
        """Return the draft with what was understood of a text; what was understood before stays too."""
        service, org = self.cases.service, self.who.org
        site = draft.state.site
        service.store.of(org).hear(text, site if isinstance(site, str) else None)
        understood = understand_text(service, service.shelf.of(org).find(site, draft.state.site_version).site, text)
        return self.add(draft, "understood", meaning(service, draft.state, understood, noted), understood)

    def add(self, draft: Draft, kind: str, data: Mapping[str, Any], understood: Understood | None = None) -> Draft:
        """Return the draft with one more event, reasoned about where that can change what is thought."""
        if kind == "site":
            data = {**data, "site_version": self.cases.service.shelf.of(self.who.org).find(data["site"]).version}
        event = CaseEvent(draft.state.version + 1, kind, now_text(), self.who.id, data)
        state = after(draft.state, event)
        if kind not in REASONED:
            return Draft(state, (*draft.events, event), draft.diagnosis)
        diagnosis = diagnose_state(self.cases.service, self.cases.opened, self.who.org, state, understood)
        event = replace(event, data={**data, "then": summary(diagnosis, state.site_version)})
        return Draft(after(draft.state, event), (*draft.events, event), diagnosis)


def _keep(
    cases: Cases,
    who: Who,
    case_id: str,
    expected: int,
    draft: Draft,
    keyed: Request | None,
    status: int,
    files: Sequence[Mapping[str, Any]] = (),
) -> Answer:
    kept: list[Answer] = []
    change = _change(cases.service, who, case_id, expected, draft, files)

    def answer(connection: Connection, row: CaseRow) -> None:
        changed = ChangedOut(
            case=describe_case(cases.service, who.org, row, draft.state),
            events=[describe_event(it) for it in draft.events],
            diagnosis=draft.diagnosis,
        )
        kept.append(Answer(status, changed.model_dump_json().encode()))
        keep_answer(connection, keyed, kept[0])
        cases.outbox(connection, who, row, draft.events)

    cases.records.append(who.org, change, answer, *_learning(cases.service, who.org, draft))
    cases.states.keep(case_id, draft.state)
    cases.live.changed(case_id, draft.events)
    return kept[0]


def _learning(service: Service, org: str, draft: Draft) -> list[AlsoDone]:
    """Return what is to be done so that the case counts for the cause that was found, or for none."""
    state = draft.state
    if not LEARNED_FROM & {it.kind for it in draft.events}:
        return []
    kind = service.shelf.of(org).find(state.site, state.site_version).site.kind
    return [lambda connection, row: count_case(connection, org, row.id, cause_found(state), kind)]


def _change(
    service: Service, who: Who, case_id: str, expected: int, draft: Draft, files: Sequence[Mapping[str, Any]]
) -> Change:
    state, knowledge = draft.state, service.desk.reasoner.knowledge
    first = knowledge.symptoms.get(knowledge.current("Symptom", state.symptoms[0]["id"])) if state.symptoms else None
    kinds = {it.kind for it in draft.events}
    named = service.shelf.of(who.org).find(state.site, state.site_version).site.name if state.site else ""
    return Change(
        case_id=case_id,
        expected=expected,
        events=draft.events,
        state=state,
        title=title_of(state, first.name if first else None),
        body=searched_text(state, named, first.name if first else "") if kinds & SEARCHED else None,
        features=features_of(state) if kinds & COMPARED else None,
        files=files,
    )


def _done_now(cases: Cases, keyed: Request | None) -> Answer:
    answer = done_before(cases.records.database, keyed)
    assert answer is not None
    return answer
