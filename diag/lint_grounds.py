"""Give the sites over which rules and checks are tried: the small demo sites, and one of which nothing is described."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from diag.demo import FILES, load_demo
from diag.facts import Situation, Vocabulary, build_facts
from diag.observations import Case
from diag.reasoner import PreparedSite, prepare_site
from diag.rules import Value
from diag.scope import INPUT_KINDS, Scope
from diag.site import Site
from diag.topology import SITE_PART
from knowledge.load import Knowledge

Facts = Mapping[str, Sequence[Mapping[str, Value]]]
"""The fields of facts, by the kind of the fact."""


@dataclass(frozen=True)
class Ground:
    """A site with what may be asked of it; parts nobody describes are there as stand-ins."""

    prepared: PreparedSite
    vocabulary: Vocabulary

    @cached_property
    def scope(self) -> Scope:
        """Return the scope in which nothing is chosen."""
        return self.prepared.scope(())

    def parts(self, kind: str) -> Sequence[str]:
        """Return the described parts of a kind, or what stands in for them."""
        if kind == SITE_PART:
            return (SITE_PART,)
        if described := self.prepared.topology.of_kind(kind):
            return described
        return self.scope.inputs_meant(INPUT_KINDS) if kind == "input" else (self.scope.one(kind),)

    def closure(self, part: str) -> Sequence[str]:
        """Return every part that may be asked for when something is noticed at this one."""
        return self.scope.keep(("closure of one", part), lambda: self.scope.closure([part]))

    def facts(self, part: str) -> Facts:
        """Return the facts of every part joined to this one, with no case told."""
        return self.scope.keep(("facts by kind", part), lambda: self._facts(part))

    def _facts(self, part: str) -> Facts:
        situation = Situation(self.scope, self.prepared.described, Case(), (), tuple(self.closure(part)))
        by_kind: dict[str, list[Mapping[str, Value]]] = {}
        for it in build_facts(situation, self.vocabulary):
            by_kind.setdefault(it.kind, []).append(dict(it.fields))
        return by_kind


def grounds(knowledge: Knowledge) -> Iterator[Ground]:
    """Yield the sites, the best described first."""
    vocabulary = {kind: tuple(shape.fields) for kind, shape in knowledge.facts.items()}
    for name in FILES:
        yield Ground(prepare_site(load_demo(name)), vocabulary)
    yield Ground(prepare_site(Site(name="bare")), vocabulary)
