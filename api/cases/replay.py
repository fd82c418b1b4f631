"""Go through a case again: reason anew after each of its answers and compare with what was found at the time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from api.cases.knowledge_digest import knowledge_digest, program_digest
from api.cases.reason import OpenCases, diagnose_state, summary
from api.cases.state import CaseEvent, CaseState, after
from api.dependencies import Service
from diag.errors import DiagError


@dataclass(frozen=True, slots=True)
class Replayed:
    """One event reasoned about again: with which knowledge then and now, and whether the same came out."""

    seq: int
    kind: str
    says: str
    then_version: str
    now_version: str
    then_leading: str
    now_leading: str
    is_same: bool

    @property
    def is_defect(self) -> bool:
        """Say whether the same knowledge and reasoning gave another result, which must not be."""
        return not self.is_same and self.then_version == self.now_version


def replay(service: Service, org: str, events: Sequence[CaseEvent]) -> Iterator[Replayed]:
    """Yield each event that was reasoned about, reasoned about again by itself."""
    state = CaseState()
    for event in events:
        state = after(state, event)
        if "then" in event.data:
            yield _again(service, org, state, event)


def _again(service: Service, org: str, state: CaseState, event: CaseEvent) -> Replayed:
    then = event.data["then"]
    try:
        now = summary(diagnose_state(service, OpenCases(), org, state), state.site_version)
    except DiagError as error:
        version = service.desk.reasoner.knowledge.version
        told = {"knowledge_digest": knowledge_digest(), "program": program_digest(), "digest": str(error)}
        now = {"knowledge_version": version, **told}
    return Replayed(
        seq=event.seq,
        kind=event.kind,
        says=_says(event),
        then_version=_version(then),
        now_version=_version(now),
        then_leading=_leading(then),
        now_leading=_leading(now),
        is_same=then["digest"] == now["digest"],
    )


def _version(found: Mapping[str, object]) -> str:
    return f"{found['knowledge_version']}, {found['knowledge_digest']}, {found.get('program', 'earlier reasoning')}"


def _says(event: CaseEvent) -> str:
    data = event.data
    if event.kind == "answer":
        part = f"@{data['part']}" if data.get("part") else ""
        return f"{data['check']}{part} = {data['outcome']}"
    return str(data.get("cause") or data.get("site") or "")


def _leading(found: Mapping[str, object]) -> str:
    leading = found.get("leading")
    if not isinstance(leading, list) or not leading:
        return "nothing"
    return f"{leading[0]['cause']} {leading[0]['probability']:.1%}"
