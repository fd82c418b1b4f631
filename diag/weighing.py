"""Weigh the findings of a case, one after the other, on the hypotheses that its rules left open."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from diag.classify import NO_OUTCOME, outcome_of
from diag.errors import UnknownCheck
from diag.expectations import expect
from diag.likelihoods import Floats
from diag.observations import Finding
from diag.options import Option, chances_of, first_part
from diag.ranking import DECIMALS, posterior
from diag.reasoner import Reasoner
from diag.reasoning import Reasoning
from diag.redirects import current_findings
from diag.scope import is_stand_in
from knowledge.entries import Check


@dataclass(frozen=True)
class Weighed:
    """A finding, the part it was taken to be at, its chance under each hypothesis, and its chance overall then."""

    finding: Finding
    part: str
    chances: Floats
    expected: float


@dataclass(frozen=True)
class Weight:
    """The posterior after all findings, what each did, and the checks that need not be asked again."""

    probabilities: Floats
    weighed: tuple[Weighed, ...]
    answered: tuple[Option, ...]


def weigh(reasoner: Reasoner, reasoning: Reasoning, findings: Sequence[Finding]) -> Weight:
    """Return the posterior after the findings; raise UnknownCheck, UnknownOutcome or BadReading."""
    weights = [it.weight for it in reasoning.hypotheses.open]
    probabilities = posterior(weights, ())
    weighed: list[Weighed] = []
    answered: list[Option] = []
    for finding in latest(current_findings(reasoner.knowledge, findings)):
        check = find_check(reasoner, finding.check)
        option = _option(reasoner, reasoning, finding, probabilities)
        answered.append(option)
        outcome = outcome_of(check, finding.outcome, expect(check, reasoning.situation, option[1]))
        if outcome in NO_OUTCOME:
            continue
        chances = softened(_column(reasoner, reasoning, option, check, outcome), finding.certainty, len(check.outcomes))
        weighed.append(Weighed(replace(finding, outcome=outcome), option[1], chances, float(probabilities @ chances)))
        probabilities = posterior(probabilities, (chances,))  # type: ignore[arg-type]
    return Weight(probabilities, tuple(weighed), tuple(answered))


def latest(findings: Sequence[Finding]) -> list[Finding]:
    """Return the findings without those that a later look at the same part took back."""
    told = [it for it in findings if it.part is not None and it.outcome not in NO_OUTCOME]
    last = {(it.check, it.part): it for it in told}
    return [it for it in findings if (it.check, it.part) not in last or last[it.check, it.part] is it]


def softened(chances: Floats, certainty: float, outcomes: int) -> Floats:
    """Return the chances of an answer that somebody is only so sure of: it may be any of the outcomes instead."""
    if certainty >= 1.0:
        return chances
    result: Floats = certainty * chances + (1.0 - certainty) / outcomes
    return result


def _option(reasoner: Reasoner, reasoning: Reasoning, finding: Finding, probabilities: Floats) -> Option:
    """Return where the check was made: as said, else at the part it is offered for that is likeliest at fault.

    Stand-ins come before parts with a name, which somebody who means them would have named.
    """
    if finding.part is not None:
        return finding.check, finding.part
    offered = [part for check, part in reasoning.options.options if check == finding.check]
    if not offered:
        return finding.check, first_part(reasoning.situation, reasoner.knowledge, finding.check)
    masses = dict.fromkeys(offered, 0.0)
    for hypothesis, probability in zip(reasoning.hypotheses.open, probabilities, strict=True):
        if hypothesis.part in masses:
            masses[hypothesis.part] += float(probability)
    return finding.check, min(offered, key=lambda it: (not is_stand_in(it), -round(masses[it], DECIMALS), it))


def find_check(reasoner: Reasoner, name: str) -> Check:
    """Return the check of that id; raise UnknownCheck when there is none."""
    check = reasoner.knowledge.checks.get(name)
    if check is None:
        raise UnknownCheck(name, reasoner.knowledge.checks)
    return check


def _column(reasoner: Reasoner, reasoning: Reasoning, option: Option, check: Check, outcome: str) -> Floats:
    place = [it.id for it in check.outcomes].index(outcome)
    if option in reasoning.options.options:
        open_column: Floats = reasoning.options.chances[reasoning.options.place_of(option), :, place]
        return open_column
    hypotheses = reasoning.hypotheses.open
    table = chances_of(option, hypotheses, reasoning.situation, reasoner.knowledge, reasoner.tables)
    return np.asarray(table[:, place])
