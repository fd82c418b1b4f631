"""Run one diagnosis for a request: keep its text, hear it, diagnose, report."""

from __future__ import annotations

from collections.abc import Iterable

from api.dependencies import Service
from api.intake_step import hear
from api.languages import translated
from api.plans import with_plan
from api.reports import reasons, report, rounded
from api.schemas import DiagnosisIn, DiagnosisOut, WhyNotOut
from diag.diagnose import answer
from diag.errors import UnknownCause
from diag.explain import why_not
from diag.reasoner import Reasoner
from diag.reasoning import Reasoning, open_case
from diag.weighing import weigh


def run_diagnosis(service: Service, request: DiagnosisIn) -> DiagnosisOut:
    """Return the diagnosis of a request; its text is stored before anything is made of it."""
    if request.text:
        service.store.hear(request.text, request.site if isinstance(request.site, str) else None)
    site = service.shelf.site(request.site)
    now = service.now()
    topology = service.desk.prepared(site, now.date()).topology
    heard = hear(request, site, topology, service.intake, now)
    reasoner, case = service.taught(site), heard.case
    prepared = service.desk.prepared(site, case.at.date() if case.at else None)
    reasoning = open_case(reasoner, prepared, case)
    plain = report(
        reasoner.knowledge,
        case,
        answer(reasoner, reasoning, case.findings),
        explain_away(reasoner, reasoning, request.why_not),
        heard.understood,
    )
    words = service.translations.get(request.language)
    answered = translated(plain, words) if words else plain
    return with_plan(answered, reasoner, reasoning, case.findings, words) if request.plan else answered


def explain_away(reasoner: Reasoner, reasoning: Reasoning, causes: Iterable[str]) -> list[WhyNotOut]:
    """Return, for each cause asked for, its probability and why it is not suspected; raise UnknownCause."""
    found = []
    for cause in causes:
        if cause not in reasoner.knowledge.causes:
            raise UnknownCause(cause, reasoner.knowledge.causes)
        name = reasoner.knowledge.causes[cause].name
        says = reasons(why_not(reasoner, reasoning, cause))
        found.append(WhyNotOut(cause=cause, name=name, probability=_probability(reasoner, reasoning, cause), why=says))
    return found


def _probability(reasoner: Reasoner, reasoning: Reasoning, cause: str) -> float:
    probabilities = weigh(reasoner, reasoning, reasoning.situation.case.findings).probabilities
    places = [place for place, it in enumerate(reasoning.hypotheses.open) if it.cause == cause]
    return rounded(sum(float(probabilities[place]) for place in places))
