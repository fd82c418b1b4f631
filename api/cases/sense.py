"""Refuse events that speak of what is not there: causes, parts, and numbers of events."""

from __future__ import annotations

from api.cases.errors import BadEvent
from api.cases.events import Answer, CauseConfirmed, Noted, Reading, RepairMade, TookBack
from api.cases.state import CaseState
from api.dependencies import Service
from api.intake_step import check_part
from diag.likelihoods import SOMETHING_ELSE
from diag.topology import read_topology
from knowledge.faults import nearest, suggestion


def check_sense(service: Service, org: str, state: CaseState, event: Noted) -> None:
    """Raise BadEvent or UnknownPart when the event cannot be about this case."""
    if isinstance(event, CauseConfirmed | RepairMade):
        _check_cause(service, event.cause)
    if isinstance(event, Answer | CauseConfirmed | RepairMade | Reading) and event.part is not None:
        _check_part(service, org, state, event.part)
    if isinstance(event, TookBack):
        _check_number(state, event.seq)


def _check_cause(service: Service, cause: str) -> None:
    knowledge = service.desk.reasoner.knowledge
    if cause != SOMETHING_ELSE and knowledge.current("Cause", cause) not in knowledge.causes:
        raise BadEvent(f"There is no cause “{cause}”{suggestion(nearest(cause, knowledge.causes)) or '.'}")


def _check_part(service: Service, org: str, state: CaseState, part: str) -> None:
    check_part(read_topology(service.shelf.of(org).find(state.site, state.site_version).site), part)


def _check_number(state: CaseState, seq: int) -> None:
    numbers = sorted(it["seq"] for it in (*state.answers, *state.repairs, *state.proofs))
    if seq not in numbers:
        there = ", ".join(str(it) for it in numbers) or "none"
        raise BadEvent(f"Event {seq} is no answer, repair or proof that holds now; those are: {there}.")
