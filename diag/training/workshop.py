"""All that questions are made from: one site ready for reasoning, inspecting and playing, and the words to ask with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property

from diag.facts import Situation
from diag.inspection.run import Inspector, inspect
from diag.observations import Case
from diag.reasoner import PreparedSite, Reasoner
from diag.scope import Scope
from diag.timeline.plan import Plan
from diag.timeline.prepare import prepare
from diag.topology import SITE_PART, Topology
from diag.training.phrases import Phrases
from diag.wording import name_part
from knowledge.entries import Cause, Check
from knowledge.load import Knowledge

TOPICS = ("supply", "output", "wiring", "drive", "opening", "input", "settings", "link", "fan")
"""The families of causes: what a question can be about."""

TOPIC_OF_KIND = {"controller": "supply", "cable": "wiring", "junction": "wiring", "zone": "settings",
                 "lockout": "settings", "schedule": "settings", "site": "settings"}  # fmt: skip
"""The topic of a question about a part, where it is not the name of the part's kind itself."""


@dataclass(frozen=True)
class Workshop:
    """Where the questions of one site are made, in one language, for one day."""

    reasoner: Reasoner
    prepared: PreparedSite
    open_inspector: Callable[[], Inspector]
    phrases: Phrases
    today: date

    @property
    def knowledge(self) -> Knowledge:
        """Return the knowledge base."""
        return self.reasoner.knowledge

    @property
    def topology(self) -> Topology:
        """Return the parts of the site and how they hang together."""
        return self.prepared.topology

    @cached_property
    def inspector(self) -> Inspector:
        """Return the inspector, opened when the first question needs it."""
        return self.open_inspector()

    @cached_property
    def found_as_described(self) -> frozenset[tuple[str, str]]:
        """Return what the inspector finds in the description as it is: rules with their parts."""
        return frozenset((it.rule, it.part) for it in inspect(self.inspector, self.prepared.site, self.today).findings)

    @cached_property
    def plan(self) -> Plan:
        """Return the site ready for playing commands."""
        return prepare(self.prepared.site)

    @cached_property
    def scope(self) -> Scope:
        """Return the scope of the site without any case."""
        return self.prepared.scope(())

    @cached_property
    def situation(self) -> Situation:
        """Return the site with nothing wrong."""
        return Situation(self.scope, self.prepared.described, Case(), (), ())

    def part(self, part: str) -> str:
        """Return how people call a part."""
        return name_part(self.scope, part)

    def topic_of_part(self, part: str) -> str:
        """Return the topic of questions about a part."""
        kind = "site" if part == SITE_PART else self.scope.kind(part)
        return TOPIC_OF_KIND.get(kind, kind)

    def check(self, check: str) -> Check:
        """Return a check."""
        return self.knowledge.checks[check]

    def cause(self, cause: str) -> Cause:
        """Return a cause."""
        return self.knowledge.causes[cause]

    @cached_property
    def noon(self) -> datetime:
        """Return the middle of the day, on the site's clock."""
        return datetime(self.today.year, self.today.month, self.today.day, 12)
