"""The posterior over hypotheses, against exact inference by a general Bayesian-network library."""

from __future__ import annotations

import random

import numpy as np
import pytest
from pgmpy.factors.discrete import TabularCPD
from pgmpy.inference import VariableElimination
from pgmpy.models import DiscreteBayesianNetwork

from diag.options import chances_of
from diag.ranking import order, posterior
from diag.reasoner import PreparedSite, Reasoner
from diag.reasoning import Reasoning
from tests.builders import reasoning_of


def network_posterior(weights: list[float], tables: list[np.ndarray], outcomes: list[int]) -> np.ndarray:
    """Return the posterior of one fault node with one child a table, by the library's variable elimination."""
    network = DiscreteBayesianNetwork([("fault", f"check{place}") for place in range(len(tables))])
    network.add_nodes_from(["fault"])
    prior = np.array(weights) / sum(weights)
    network.add_cpds(TabularCPD("fault", len(weights), prior.reshape(-1, 1)))
    for place, table in enumerate(tables):
        cpd = TabularCPD(f"check{place}", table.shape[1], table.T, evidence=["fault"], evidence_card=[len(weights)])
        network.add_cpds(cpd)
    evidence = {f"check{place}": outcome for place, outcome in enumerate(outcomes)}
    return VariableElimination(network).query(["fault"], evidence=evidence, show_progress=False).values


def random_findings(reasoner: Reasoner, reasoning: Reasoning, rng: random.Random) -> tuple[list[np.ndarray], list[int]]:
    """Return the tables of a few checks of different kinds, and an outcome of each."""
    by_check = {check: (check, part) for check, part in reasoning.options.options}
    chosen = rng.sample(sorted(by_check), min(5, len(by_check)))
    tables, outcomes = [], []
    for check in chosen:
        number = len(reasoner.knowledge.checks[check].outcomes)
        tables.append(reasoning.options.chances[reasoning.options.place_of(by_check[check]), :, :number])
        outcomes.append(rng.randrange(number))
    return tables, outcomes


@pytest.mark.parametrize("symptom", ["runs-reversed", "automatic-ignored", "drive-dead@d1", "fuse-blows", "site-dead"])
def test_the_posterior_is_that_of_a_general_bayesian_network(
    reasoner: Reasoner, medium: PreparedSite, symptom: str
) -> None:
    """Outside check: pgmpy's exact inference on the same tables, to 1e-9."""
    rng = random.Random(symptom)
    reasoning = reasoning_of(reasoner, medium, symptom)
    weights = [it.weight for it in reasoning.hypotheses.open]
    for _ in range(8):
        tables, outcomes = random_findings(reasoner, reasoning, rng)
        seen = [table[:, outcome] for table, outcome in zip(tables, outcomes, strict=True)]

        assert posterior(weights, seen) == pytest.approx(network_posterior(weights, tables, outcomes), abs=1e-9)


def test_the_chances_of_every_check_sum_to_one_under_every_hypothesis(reasoner: Reasoner, small: PreparedSite) -> None:
    for symptom in reasoner.knowledge.symptoms:
        chances = reasoning_of(reasoner, small, symptom).options.chances

        assert chances.sum(axis=2) == pytest.approx(1.0, abs=1e-12)


def test_a_check_that_was_not_offered_is_weighed_by_the_same_tables(reasoner: Reasoner, small: PreparedSite) -> None:
    reasoning = reasoning_of(reasoner, small, "drive-dead@d1")
    option = reasoning.options.options[0]
    again = chances_of(option, reasoning.hypotheses.open, reasoning.situation, reasoner.knowledge, reasoner.tables)

    assert again == pytest.approx(reasoning.options.chances[0])


def test_the_order_of_findings_does_not_change_the_posterior() -> None:
    first, second = np.array([0.9, 0.2, 0.5]), np.array([0.1, 0.6, 0.3])

    assert posterior([1, 2, 3], [first, second]) == pytest.approx(posterior([1, 2, 3], [second, first]), abs=1e-15)


def test_equal_probabilities_are_ordered_by_name_whatever_the_last_bits() -> None:
    names = [("b", "x"), ("a", "x"), ("c", "x")]

    assert order(np.array([0.3, 0.3 - 1e-15, 0.4]), names) == [2, 1, 0]
