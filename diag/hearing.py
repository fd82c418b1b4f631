"""Load what understanding typed text needs, and decide which symptoms a text really means."""

from __future__ import annotations

from diag.intake import Intake, build_intake
from diag.observations import Observed
from diag.words.understood import Understood
from knowledge.lexicon import load_lexicon
from knowledge.load import load_symptoms

SECOND_CHANCE = 0.6
"""A clause's own best symptom is meant too when, were the clause said alone, it is at least so likely."""
WHOLE_TEXT_FIRST = 3
"""It must also be among so many first of the whole text: a clause alone is easily misread."""


def load_intake() -> Intake:
    """Return what understanding needs, loaded without the rest of the knowledge base."""
    symptoms, conditions = load_symptoms()
    return build_intake(symptoms, conditions, load_lexicon())


def meant(understood: Understood) -> tuple[Observed, ...]:
    """Return the symptoms a text means: its best, and the best of another clause that is as clear.

    The second counts only where the best leads a clause of its own too, so that there really are two.
    """
    if not understood.symptoms:
        return ()
    best = understood.symptoms[0]
    leaders = [clause[0] for clause in understood.clauses if clause]
    found = {best.symptom: best}
    if any(it.symptom == best.symptom for it in leaders):
        first = {it.symptom for it in understood.symptoms[:WHOLE_TEXT_FIRST]}
        for leader in leaders:
            if leader.symptom in first and leader.score >= SECOND_CHANCE:
                found.setdefault(leader.symptom, leader)
    return tuple(found.values())
