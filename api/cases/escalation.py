"""The packet that goes with a case to whoever is asked for help: one page, and the same as data."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterator, Mapping
from hashlib import sha256
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, select_autoescape

from api.cases.reason import OpenCases, diagnose_state, plan_state
from api.cases.record import CaseRow
from api.cases.state import CaseEvent, CaseState, fold
from api.cases.views import CaseOut, describe_case
from api.dependencies import Service
from api.plan_shapes import PlanOut
from api.schemas import CauseOut, CheckOut, Out
from api.storage.clock import now_text
from diag.classify import NO_OUTCOME
from diag.likelihoods import SOMETHING_ELSE
from diag.topology import read_topology
from knowledge.load import Knowledge

TEMPLATES = Path(__file__).parent / "templates"
CAUSES_SHOWN, CHECKS_SHOWN = 5, 3
NO_RESULT = {"cannot": "could not be made", "not-sure": "not clear"}
FAILED_REPAIRS = 3
"""After so many repairs that did not help, help is wanted (judgement)."""


class SiteFactsOut(Out):
    """What a stranger to the site needs first."""

    id: str | None
    name: str
    version: int | None
    parts: dict[str, int]


class CheckMadeOut(Out):
    """A check that was made, in words, and what it showed."""

    check: str
    part: str | None
    found: str


class EscalationOut(Out):
    """All that a helper far away needs to go on with a case."""

    made_at: str
    recommended: bool
    because: str
    case: CaseOut
    site: SiteFactsOut
    noticed: list[str]
    asked: list[CheckMadeOut]
    causes: list[CauseOut]
    checks: list[CheckOut]
    not_done: list[str]
    knowledge_version: str


def escalation_packet(
    service: Service, opened: OpenCases, org: str, row: CaseRow, events: list[CaseEvent]
) -> EscalationOut:
    """Return the packet of a case as it is."""
    state = fold(events)
    diagnosis = diagnose_state(service, opened, org, state)
    shelved = service.shelf.of(org).find(state.site, state.site_version)
    recommended, because = advice(diagnosis.causes, state, plan_state(service, opened, org, state))
    knowledge = service.desk.reasoner.knowledge
    return EscalationOut(
        made_at=now_text(),
        recommended=recommended,
        because=because,
        case=describe_case(service, org, row, state),
        site=SiteFactsOut(
            id=state.site if isinstance(state.site, str) else None,
            name=shelved.site.name,
            version=shelved.version,
            parts=_counted(list(read_topology(shelved.site).kinds.values())),
        ),
        noticed=list(_noticed(knowledge, state)),
        asked=[_asked(knowledge, it) for it in state.answers],
        causes=diagnosis.causes[:CAUSES_SHOWN],
        checks=diagnosis.next[:CHECKS_SHOWN],
        not_done=list(dict.fromkeys(_asked(knowledge, it).check for it in _never_made(state))),
        knowledge_version=diagnosis.knowledge_version,
    )


def _noticed(knowledge: Knowledge, state: CaseState) -> Iterator[str]:
    for it in state.symptoms:
        symptom = knowledge.symptoms.get(knowledge.current("Symptom", it["id"]))
        name = symptom.name if symptom else it["id"]
        yield f"{name}, at {it['part']}" if it.get("part") else name
    for told in state.told:
        yield knowledge.conditions[told].name if told in knowledge.conditions else told


def _never_made(state: CaseState) -> Iterator[Mapping[str, Any]]:
    """Yield the answers that a check could not be made, without those that were made before or after all."""
    made = {(it["check"], it.get("part")) for it in state.answers if it["outcome"] not in NO_OUTCOME}
    return (it for it in state.answers if it["outcome"] == "cannot" and (it["check"], it.get("part")) not in made)


def _asked(knowledge: Knowledge, it: Mapping[str, Any]) -> CheckMadeOut:
    check = knowledge.checks.get(knowledge.current("Check", it["check"]))
    labels = {outcome.id: outcome.label for outcome in check.outcomes} if check else {}
    found = {**labels, **NO_RESULT}.get(it["outcome"], it["outcome"])
    if it.get("certainty") == "think-so" and it["outcome"] not in NO_RESULT:
        found = f"{found} (not quite sure)"
    return CheckMadeOut(check=check.name if check else it["check"], part=it.get("part"), found=found)


def escalation_page(packet: EscalationOut) -> str:
    """Return the packet as a page that prints on one sheet of A4."""
    templates = Environment(loader=FileSystemLoader(TEMPLATES), autoescape=select_autoescape(), trim_blocks=True)
    return templates.get_template("escalation.html").render(packet=packet, case=packet.case, style=_style())


def page_policy() -> str:
    """Return what the page may use: its own style, known by its digest, and nothing else."""
    digest = b64encode(sha256(_style().encode()).digest()).decode()
    return (
        f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    )


def _style() -> str:
    return (TEMPLATES / "escalation.css").read_text(encoding="utf-8")


def advice(causes: list[CauseOut], state: CaseState, plan: PlanOut | None = None) -> tuple[bool, str]:
    """Return whether help is wanted, and why or why not."""
    if not causes:
        return True, "Nothing that was noticed is known here, so no cause can be ranked."
    if causes[0].id == SOMETHING_ELSE:
        return True, "“Something else” leads: what was found fits none of the known causes well."
    if sum(it.get("helped") is False for it in state.repairs) >= FAILED_REPAIRS:
        return True, "Several repairs did not help. Change no more parts on a guess."
    if state.answers and all(it["outcome"] in NO_OUTCOME for it in state.answers):
        return True, "No check could be made so far."
    if plan and plan.step.kind == "call":
        return True, plan.step.says
    return False, f"“{causes[0].name}” leads with {causes[0].probability:.0%}; the next check is worth making first."


def _counted(kinds: list[str]) -> dict[str, int]:
    return {it: kinds.count(it) for it in sorted(set(kinds)) if it != "site"}
