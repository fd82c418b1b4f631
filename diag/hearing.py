"""Load what understanding typed text needs, and decide which symptoms a text really means."""

from __future__ import annotations

from diag.intake import Intake, build_intake
from diag.observations import Observed
from diag.words.understood import Understood
from knowledge.lexicon import load_lexicon
from knowledge.load import load_symptoms

SECOND_CLAUSE_SHARE = 0.8
"""A clause's own best symptom is meant too when it scores at least this share of the whole text's best."""


def load_intake() -> Intake:
    """Return what understanding needs, loaded without the rest of the knowledge base."""
    symptoms, conditions = load_symptoms()
    return build_intake(symptoms, conditions, load_lexicon())


def meant(understood: Understood) -> tuple[Observed, ...]:
    """Return the symptoms that the text means: its best, and the best of any other clause that is as clear."""
    if not understood.symptoms:
        return ()
    best = understood.symptoms[0]
    found = {best.symptom: best}
    for clause in understood.clauses:
        if clause and clause[0].score >= SECOND_CLAUSE_SHARE * best.score:
            found.setdefault(clause[0].symptom, clause[0])
    return tuple(found.values())
