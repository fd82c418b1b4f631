"""What weight causes have before any check."""

from __future__ import annotations

import pytest

from diag.hypotheses import REPAIRED_IN_VAIN, SUSPICION_POWER
from diag.likelihoods import AS_DESIGNED, SOMETHING_ELSE
from diag.reasoner import PreparedSite, Reasoner
from diag.reasoning import Reasoning
from tests.builders import reasoning_of


def weight_of(reasoning: Reasoning, cause: str, part: str) -> float:
    return next(it.weight for it in reasoning.hypotheses.open if (it.cause, it.part) == (cause, part))


def test_works_as_designed_is_always_there_and_rarer_with_every_symptom(
    reasoner: Reasoner, small: PreparedSite
) -> None:
    one = weight_of(reasoning_of(reasoner, small, "drive-dead@d1"), AS_DESIGNED, "site")
    two = weight_of(reasoning_of(reasoner, small, "drive-dead@d1", "drive-dead@d2"), AS_DESIGNED, "site")

    assert two == pytest.approx(one * reasoner.knowledge.words.unexplained**SUSPICION_POWER)


def test_works_as_designed_loses_its_weight_once_it_was_explained_in_vain(
    reasoner: Reasoner, small: PreparedSite
) -> None:
    before = reasoning_of(reasoner, small, "drive-dead@d1")
    after = reasoning_of(reasoner, small, "drive-dead@d1", repaired=[(AS_DESIGNED, None)])

    ratio = weight_of(after, AS_DESIGNED, "site") / weight_of(before, AS_DESIGNED, "site")
    assert ratio == pytest.approx(REPAIRED_IN_VAIN)


def test_something_else_keeps_its_share_whatever_was_tried(reasoner: Reasoner, small: PreparedSite) -> None:
    for tried in ([], [("drive-motor-failed", "d1")]):
        reasoning = reasoning_of(reasoner, small, "drive-dead@d1", repaired=tried)
        total = sum(it.weight for it in reasoning.hypotheses.open)

        share = weight_of(reasoning, SOMETHING_ELSE, "site") / total
        assert share == pytest.approx(reasoner.knowledge.words.something_else)
