"""What every diagnosis needs and no diagnosis changes: knowledge made ready, and sites made ready."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from diag.chapters import all_rules, compile_rule, rule_code
from diag.facts import Vocabulary
from diag.likelihoods import OutcomeTables, outcome_tables
from diag.part_facts import DescribedFacts, describe_facts
from diag.rules import Fact, Firing
from diag.scope import Scope
from diag.site import Site
from diag.topology import Topology, read_topology
from diag.walking import Walks
from knowledge.entries import RuleEntry
from knowledge.load import Knowledge

Evaluate = Callable[[str, Iterable[Fact]], tuple[Firing, ...]]
"""Runs the rules of one chapter over facts: an engine's or a pool's `run`."""

Variables = tuple[Mapping[str, str], ...]
"""For each condition of a rule, the field that each of its variables is compared with."""


@dataclass(frozen=True)
class Reasoner:
    """The knowledge base with its likelihood tables, its rules by code, and the engine that runs them."""

    knowledge: Knowledge
    evaluate: Evaluate
    tables: OutcomeTables
    entries: Mapping[str, RuleEntry]
    variables: Mapping[str, Variables]
    vocabulary: Vocabulary


SCOPES_KEPT = 16
"""Each holds what was worked out for the parts of a case, up to half a megabyte."""


@dataclass(frozen=True)
class PreparedSite:
    """A site with its relations, the fields of its parts, and its walks, kept between diagnoses.

    `scope` gives the scope for the parts a case is about, the same one each time.
    """

    site: Site
    topology: Topology
    described: DescribedFacts
    walks: Walks
    scope: Callable[[tuple[tuple[str, str], ...]], Scope]


def prepare_reasoner(knowledge: Knowledge, evaluate: Evaluate) -> Reasoner:
    """Return the knowledge made ready; the engine must hold its chapters."""
    owned = list(all_rules(knowledge))
    return Reasoner(
        knowledge=knowledge,
        evaluate=evaluate,
        tables=outcome_tables(knowledge),
        entries={rule_code(owner, entry): entry for owner, entry in owned},
        variables={rule_code(owner, entry): _variables(owner, entry) for owner, entry in owned},
        vocabulary={kind: tuple(shape.fields) for kind, shape in knowledge.facts.items()},
    )


def prepare_site(site: Site, today: date | None = None) -> PreparedSite:
    """Return the site made ready; ages of parts are unknown when today is."""
    topology = read_topology(site)
    scope = lru_cache(SCOPES_KEPT)(lambda chosen: Scope(topology, dict(chosen)))
    return PreparedSite(site, topology, describe_facts(topology, today), Walks(topology), scope)


def _variables(owner: str, entry: RuleEntry) -> Variables:
    return tuple(
        {str(test.value): test.field for test in condition.tests if test.operator == "same-as"}
        for condition in compile_rule(owner, entry).when
    )
