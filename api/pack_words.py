"""Lay out what every pack needs whatever the site: texts in all languages, readings, numbers of the reasoning."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from api.pack_chapter import Json
from api.pack_lookup import foreign_ideas, said_of
from diag.calculators.quantities import quantities
from diag.chapters import symptoms_asked
from diag.classify import QUANTITIES, READING_HIGHEST
from diag.crew import FOR_TWO, OUT_IN_THE_OPEN, is_for_anybody
from diag.diagnose import ESCALATE, SHOWN_CAUSES, SURE_ENOUGH
from diag.explain import CLEAR_SHIFT, ELSE_NAME
from diag.hypotheses import REPAIRED_IN_VAIN
from diag.likelihoods import decisive_outcomes
from diag.next_checks import ANSWER_MINUTES, LEADERS, SHOWN_CHECKS, SMOKE_CAUTION
from diag.observations import THINK_SO
from diag.planning import LEAST_BITS
from diag.walking import TAKEN_MINUTES
from knowledge.entries import Check
from knowledge.load import Knowledge
from knowledge.translations import Translation


def words_pack(knowledge: Knowledge, translations: Mapping[str, Translation]) -> Json:
    """Return the texts and numbers that the packs of all sites share."""
    return {
        "knowledge_version": knowledge.version,
        "numbers": _numbers(knowledge),
        "symptoms": [_symptom(knowledge, it) for it in knowledge.symptoms],
        "causes": {it: _cause(knowledge, it, found) for it, found in decisive_outcomes(knowledge).items()},
        "checks": {it.id: _check(it) for it in knowledge.checks.values()},
        "cautions": {it.id: [it.name, it.text, it.defer] for it in knowledge.cautions.values()},
        "told": {it.id: it.name for it in knowledge.conditions.values()},
        "quantities": [asdict(it) for it in quantities()],
        "units": {unit: list(it) for unit, it in QUANTITIES.items()},
        "languages": {it.language: _translated(it) for it in translations.values()},
        "ideas": dict(foreign_ideas()),
    }


def _numbers(knowledge: Knowledge) -> Json:
    return {
        "answer_minutes": ANSWER_MINUTES,
        "clear_shift": CLEAR_SHIFT,
        "else_name": ELSE_NAME,
        "else_share": knowledge.words.something_else,
        "escalate": ESCALATE,
        "for_two": sorted(FOR_TWO),
        "leaders": LEADERS,
        "least_bits": LEAST_BITS,
        "out_in_the_open": sorted(OUT_IN_THE_OPEN),
        "reading_highest": READING_HIGHEST,
        "repaired_in_vain": REPAIRED_IN_VAIN,
        "shown_causes": SHOWN_CAUSES,
        "shown_checks": SHOWN_CHECKS,
        "smoke_caution": SMOKE_CAUTION,
        "sure_enough": SURE_ENOUGH,
        "taken_minutes": TAKEN_MINUTES,
        "think_so": THINK_SO,
    }


def _symptom(knowledge: Knowledge, symptom: str) -> Json:
    it = knowledge.symptoms[symptom]
    causes = knowledge.causes.values()
    shown_by = [
        cause.id for cause in causes if any(it.id in symptoms_asked(rule) for rule in cause.rules if rule.suspect)
    ]
    return {
        "id": it.id,
        "name": it.name,
        "means": it.means,
        "family": it.family,
        "about": list(it.about),
        "shown_by": shown_by,
        "phrases": [*it.phrases, *said_of().get(it.id, ())],
    }


def _cause(knowledge: Knowledge, cause: str, confirming: Mapping[str, Sequence[str]]) -> Json:
    it = knowledge.causes[cause]
    return {
        "name": it.name,
        "remedy": list(it.remedy),
        "proof": list(it.proof),
        "minutes": it.remedy_minutes,
        "competence": it.remedy_competence,
        "cautions": list(it.cautions),
        "because": {evidence.check: evidence.because for evidence in it.checks},
        "confirming": {check: list(outcomes) for check, outcomes in confirming.items()},
    }


def _check(it: Check) -> dict[str, Any]:
    return {
        "name": it.name,
        "question": it.question,
        "how": it.how,
        "minutes": it.minutes,
        "tools": list(it.tools),
        "competence": it.competence,
        "hazards": list(it.hazards),
        "outcomes": [[outcome.id, outcome.label, outcome.means] for outcome in it.outcomes],
        "reading": it.reading.model_dump(mode="json", exclude={"source"}) if it.reading else None,
        "timely": it.expects == "hold-off",
        "lay": is_for_anybody(it),
    }


def _translated(words: Translation) -> Json:
    return {
        "something_else": words.something_else,
        "symptoms": {key: it.name for key, it in words.symptoms.items()},
        "causes": {key: it.name for key, it in words.causes.items()},
        "checks": {key: [it.question, dict(it.outcomes)] for key, it in words.checks.items()},
        "cautions": {key: [it.name, it.text, it.defer] for key, it in words.cautions.items()},
    }
