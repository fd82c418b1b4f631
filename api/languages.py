"""Put the words of an answer into another language, and say which parts of it stay English."""

from __future__ import annotations

from typing import TypeVar

from api.plan_shapes import ChoiceOut, PlanOut, SuspectOut
from api.schemas import CauseOut, CautionOut, CheckOut, DiagnosisOut, OutcomeOut, RepairOut, SymptomOut
from knowledge.translations import EXPECT, Translation

Named = TypeVar("Named", ChoiceOut, SuspectOut)

ENGLISH_STILL = ("where", "how", "expect", "why", "means", "why_now", "steps", "proof", "advice", "say_instead")
"""Fields whose text is written in English only, whatever language is asked for."""


def translated(answer: DiagnosisOut, words: Translation) -> DiagnosisOut:
    """Return the answer with names, questions, outcomes and cautions in the language; `in_english` lists the rest."""
    return answer.model_copy(
        update={
            "language": words.language,
            "in_english": list(ENGLISH_STILL),
            "symptoms": [_symptom(it, words) for it in answer.symptoms],
            "causes": [_cause(it, words) for it in answer.causes],
            "next": [_check(it, words) for it in answer.next],
            "repair": answer.repair and _repair(answer.repair, words),
        }
    )


def translated_plan(plan: PlanOut, words: Translation) -> PlanOut:
    """Return the plan with the names of causes, questions, outcomes and cautions in the language; sentences stay."""
    step = plan.step
    update = {
        "name": _choice(step, words).name,
        "check": step.check and _check(step.check, words),
        "repair": step.repair and _repair(step.repair, words),
    }
    return plan.model_copy(
        update={
            "step": step.model_copy(update=update),
            "otherwise": [_choice(it, words) for it in plan.otherwise],
            "pairs": [
                it.model_copy(update={"causes": [_named(cause, words) for cause in it.causes]}) for it in plan.pairs
            ],
        }
    )


def _choice(it: ChoiceOut, words: Translation) -> ChoiceOut:
    return _named(it, words) if it.kind == "repair" else it


def _named(it: Named, words: Translation) -> Named:
    return it.model_copy(update={"name": words.causes[it.id].name if it.id else it.name})


def _repair(it: RepairOut, words: Translation) -> RepairOut:
    said = {"name": words.causes[it.cause].name, "cautions": [_caution(caution, words) for caution in it.cautions]}
    return it.model_copy(update=said)


def _symptom(it: SymptomOut, words: Translation) -> SymptomOut:
    return it.model_copy(update={"name": words.symptoms[it.id].name})


def _cause(it: CauseOut, words: Translation) -> CauseOut:
    name = words.causes[it.id].name if it.id in words.causes else words.something_else
    return it.model_copy(update={"name": name})


def _check(it: CheckOut, words: Translation) -> CheckOut:
    said = words.checks[it.check]
    return it.model_copy(
        update={
            "question": said.question,
            "outcomes": [_outcome(choice, said.outcomes[choice.id], it.expect) for choice in it.outcomes],
            "cautions": [_caution(caution, words) for caution in it.cautions],
        }
    )


def _outcome(it: OutcomeOut, label: str, expected: str) -> OutcomeOut:
    shown = label.removesuffix(f": {EXPECT}").replace(EXPECT, expected.rstrip("."))
    return it.model_copy(update={"label": shown})


def _caution(it: CautionOut, words: Translation) -> CautionOut:
    said = words.cautions[it.id]
    return it.model_copy(update={"name": said.name, "text": said.text, "defer": said.defer})
