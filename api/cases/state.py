"""The state of a case, rebuilt from its events and nothing else."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import reduce
from typing import Any

Data = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class CaseEvent:
    """One event: its number from 1, its kind, when and by whom it came, and the fields of its kind."""

    seq: int
    kind: str
    at: str
    by: str
    data: Data


@dataclass(frozen=True, slots=True)
class CaseState:
    """What holds in a case after its events so far; lists hold the fields of events with their number under `seq`."""

    version: int = 0
    status: str = "open"
    site: str | Data | None = None
    site_version: int | None = None
    at: str | None = None
    """The time asked about, on the site's clock; it moves on when a command is told that was given later."""

    at_told: str | None = None
    """When that time was told, by the service's clock."""

    language: str = "en"
    rates: int = 0
    """The version of the learned rates that the case is reasoned with, from its opening to its end."""

    texts: tuple[Data, ...] = ()
    symptoms: tuple[Data, ...] = ()
    told: tuple[str, ...] = ()
    commands: tuple[Data, ...] = ()
    answers: tuple[Data, ...] = ()
    readings: tuple[Data, ...] = ()
    notes: tuple[Data, ...] = ()
    repairs: tuple[Data, ...] = ()
    proofs: tuple[Data, ...] = ()
    attachments: tuple[Data, ...] = ()
    confirmed: Data | None = None
    handed_to: str | None = None
    remote_mode: bool = False
    crew: Data | None = None
    """Who is there, in the fields of the event that said so; None for a full crew in daylight."""

    outcome: str | None = None
    visits: int = 1
    then: Data = field(default_factory=dict)
    """What the last reasoning found: its leading causes, digest, when automatic resumes, and with which knowledge."""


def fold(events: Iterable[CaseEvent]) -> CaseState:
    """Return the state after these events, from the first on."""
    return reduce(after, events, CaseState())


def after(state: CaseState, event: CaseEvent) -> CaseState:
    """Return the state after one more event."""
    changed = STEPS[event.kind](state, event)
    found = event.data.get("then")
    return replace(changed, version=event.seq, then=found if found is not None else changed.then)


def kept(event: CaseEvent) -> dict[str, Any]:
    """Return the fields of an event with its number, time and author."""
    fields = {name: value for name, value in event.data.items() if name != "then"}
    return {**fields, "seq": event.seq, "at": event.at, "by": event.by}


def _opened(state: CaseState, event: CaseEvent) -> CaseState:
    data = event.data
    return replace(
        _meant(state, event),
        site=data.get("site"),
        site_version=data.get("site_version"),
        at=data.get("at"),
        at_told=event.at,
        language=data.get("language", "en"),
        rates=data.get("rates", 0),
    )


def _meant(state: CaseState, event: CaseEvent) -> CaseState:
    data = event.data
    if data.get("at"):
        state = replace(state, at=data["at"], at_told=event.at)
    return replace(
        state,
        symptoms=tuple(data.get("symptoms", ())),
        told=tuple(data.get("told", ())),
        commands=tuple(data.get("events", ())),
    )


def _took_back(state: CaseState, event: CaseEvent) -> CaseState:
    first = event.data["seq"]
    confirmed = state.confirmed if state.confirmed and state.confirmed["seq"] < first else None
    return replace(
        state,
        answers=tuple(it for it in state.answers if it["seq"] < first),
        repairs=tuple(it for it in state.repairs if it["seq"] < first),
        proofs=tuple(it for it in state.proofs if it["seq"] < first),
        confirmed=confirmed,
    )


def _site(state: CaseState, event: CaseEvent) -> CaseState:
    return replace(state, site=event.data["site"], site_version=event.data.get("site_version"))


def _adding(name: str) -> Callable[[CaseState, CaseEvent], CaseState]:
    """Return the step that adds the event to the list of this name."""

    def step(state: CaseState, event: CaseEvent) -> CaseState:
        longer: dict[str, Any] = {name: (*getattr(state, name), kept(event))}
        return replace(state, **longer)

    return step


STEPS: Mapping[str, Callable[[CaseState, CaseEvent], CaseState]] = {
    "opened": _opened,
    "text": _adding("texts"),
    "understood": _meant,
    "answer": _adding("answers"),
    "took-back": _took_back,
    "reading": _adding("readings"),
    "note": _adding("notes"),
    "attachment": _adding("attachments"),
    "hand-over": lambda state, event: replace(state, handed_to=event.data["to"]),
    "remote-mode": lambda state, event: replace(state, remote_mode=event.data["on"]),
    "crew": lambda state, event: replace(state, crew=kept(event)),
    "cause-confirmed": lambda state, event: replace(state, confirmed=kept(event)),
    "repair": _adding("repairs"),
    "proof": _adding("proofs"),
    "site": _site,
    "closed": lambda state, event: replace(state, status="closed", outcome=event.data["outcome"], remote_mode=False),
    "reopened": lambda state, _: replace(state, status="open", outcome=None, visits=state.visits + 1),
}
"""What each kind of event does to the state."""
