"""Reason about the state of a case, and say in short what was found so that it can be compared later."""

from __future__ import annotations

import hashlib
import json
from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from threading import Lock
from typing import Any

from api.cases.knowledge_digest import knowledge_digest, program_digest
from api.cases.state import CaseState
from api.dependencies import Service
from api.intake_step import certainty_of, crew_of
from api.languages import translated
from api.plan_shapes import PlanOut
from api.plans import plan_of
from api.reports import report, rounded
from api.schemas import CrewIn, DiagnosisOut
from api.site_shelf import Shelved
from diag.diagnose import answer
from diag.observations import Case, Event, Finding, Observed
from diag.reasoner import Reasoner
from diag.reasoning import Reasoning, open_case
from diag.words.understood import Understood

OPEN_KEPT = 256
"""Opened cases kept ready in memory, so that an answer does not run the rules again."""

SHOWN = 3


class OpenCases:
    """The reasonings of the cases used last: what their later answers do not change."""

    def __init__(self) -> None:
        self._kept: OrderedDict[tuple[Any, ...], Reasoning] = OrderedDict()
        self._lock = Lock()

    def reasoning(
        self, service: Service, reasoner: Reasoner, rates: tuple[str, int], shelved: Shelved, case: Case
    ) -> Reasoning:
        """Return the reasoning of a case without its findings, from those kept if it is the same."""
        bare = replace(case, findings=())
        key = (rates, shelved.key, bare)
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]
        prepared = service.desk.prepared(shelved.site, bare.at.date() if bare.at else None)
        opened = open_case(reasoner, prepared, bare)
        with self._lock:
            self._kept[key] = opened
            while len(self._kept) > OPEN_KEPT:
                self._kept.popitem(last=False)
        return opened


def diagnose_state(
    service: Service, opened: OpenCases, org: str, state: CaseState, understood: Understood | None = None
) -> DiagnosisOut:
    """Return the diagnosis of a case as it is; raise what a wrong symptom, part, check or outcome raises."""
    case = case_of(state)
    reasoner, reasoning = _reasoned(service, opened, org, state, case)
    answered = report(reasoner.knowledge, case, answer(reasoner, reasoning, case.findings), understood=understood)
    return answered if state.language == "en" else translated(answered, service.translations[state.language])


def plan_state(service: Service, opened: OpenCases, org: str, state: CaseState) -> PlanOut | None:
    """Return the best step now of a case as it is, with doubts and pairs; None where nothing is left to do or known."""
    if state.status == "closed":
        return None
    case = case_of(state)
    reasoner, reasoning = _reasoned(service, opened, org, state, case)
    return plan_of(reasoner, reasoning, case.findings, service.translations.get(state.language))


def _reasoned(
    service: Service, opened: OpenCases, org: str, state: CaseState, case: Case
) -> tuple[Reasoner, Reasoning]:
    shelved = service.shelf.of(org).find(state.site, state.site_version)
    reasoner = service.rates.reasoner(org, state.rates, shelved.site)
    taught_by = (org, state.rates) if state.rates else ("", 0)
    return reasoner, opened.reasoning(service, reasoner, taught_by, shelved, case)


def case_of(state: CaseState) -> Case:
    """Return what is known of the case in the form that is reasoned over."""
    return Case(
        symptoms=tuple(Observed(it["id"], it.get("part"), it.get("score", 1.0)) for it in state.symptoms),
        told=frozenset(state.told),
        findings=tuple(_finding(it) for it in state.answers),
        events=tuple(_command(it) for it in state.commands),
        at=datetime.fromisoformat(state.at) if state.at else None,
        repaired=tuple((it["cause"], it.get("part")) for it in state.repairs if it.get("helped") is False),
        remote=state.remote_mode,
        crew=crew_of(crew_said(state)),
    )


def crew_said(state: CaseState) -> CrewIn | None:
    """Return who is there as it was said last; None when nobody said."""
    if state.crew is None:
        return None
    return CrewIn.model_validate({name: it for name, it in state.crew.items() if name in CrewIn.model_fields})


def _finding(it: Mapping[str, Any]) -> Finding:
    return Finding(it["check"], it["outcome"], it.get("part"), certainty_of(it.get("certainty", "sure")))


def summary(diagnosis: DiagnosisOut, site_version: int | None) -> dict[str, Any]:
    """Return what an event keeps of a diagnosis: knowledge, leading causes, end of a hold-off, and a digest of it."""
    return {
        "knowledge_version": diagnosis.knowledge_version,
        "knowledge_digest": knowledge_digest(),
        "program": program_digest(),
        "site_version": site_version,
        "leading": [
            {"cause": it.id, "part": it.part, "name": it.name, "probability": it.probability}
            for it in diagnosis.causes[:SHOWN]
        ],
        "resumes_at": diagnosis.resumes_at,
        "digest": digest(diagnosis),
    }


def digest(diagnosis: DiagnosisOut) -> str:
    """Return a digest of the causes with their probabilities and of the checks in order."""
    essence: Mapping[str, Any] = {
        "causes": [[it.id, it.part, rounded(it.probability)] for it in diagnosis.causes],
        "next": [[it.check, it.part] for it in diagnosis.next],
        "resumes_at": diagnosis.resumes_at,
    }
    return hashlib.sha256(json.dumps(essence, sort_keys=True).encode()).hexdigest()


def _command(it: Mapping[str, Any]) -> Event:
    return Event(datetime.fromisoformat(it["at"]), it["command"], it.get("part"))
