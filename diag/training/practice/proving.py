"""Tell what proves a repair, and whether anything found before it spoke for its cause."""

from __future__ import annotations

from diag.observations import Finding
from diag.reasoner import Reasoner
from diag.reasoning import Reasoning
from diag.virtual_checks.callout import CallOut
from diag.weighing import weigh

PROVING_KINDS = ("measure", "operate")
"""Kinds of checks that can show a repair: what people tell and what is set does not show that it works."""

SPEAKS_FOR = 1.5
"""Findings speak for a cause when they multiply its odds by this or more; judgement."""


def shows_it_gone(call: CallOut, check: str, part: str | None, outcome: str | None) -> bool:
    """Return whether a check after a repair that mended it differs from what the same check showed with the fault."""
    if outcome is None or call.reasoner.knowledge.checks[check].kind not in PROVING_KINDS:
        return False
    before = call.again().truth(check, part)
    return before is not None and before != outcome


def speak_for(
    reasoner: Reasoner, reasoning: Reasoning, findings: tuple[Finding, ...], cause: str, part: str | None
) -> bool:
    """Return whether findings together make a cause at a part clearly likelier than the report alone does."""
    spots: list[tuple[str, str | None]] = [(it.cause, it.part) for it in reasoning.hypotheses.open]
    if not findings or (cause, part) not in spots:
        return False
    place = spots.index((cause, part))
    before, after = (_odds(reasoner, reasoning, it, place) for it in ((), findings))
    return after >= SPEAKS_FOR * before


def _odds(reasoner: Reasoner, reasoning: Reasoning, findings: tuple[Finding, ...], place: int) -> float:
    chance = float(weigh(reasoner, reasoning, findings).probabilities[place])
    return chance / max(1.0 - chance, 1e-9)
