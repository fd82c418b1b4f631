"""One evaluation: hands facts over for the rules that are awake, takes the matches, and derives until all is said."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from diag.engine_chapter import Chapter, SleepingGroup
from diag.engine_errors import EngineFailed
from diag.engine_package import FIRST_FACT, Session
from diag.engine_plans import Plan
from diag.engine_rulesets import property_hash
from diag.rules import Fact, Firing, Value

_IDENTITY = re.compile(r'\{"id":(\d+)')


class Identities:
    """Identities of facts and sessions. The package compares them by a 32-bit hash, so none share one here."""

    def __init__(self) -> None:
        self._hashes = {property_hash(FIRST_FACT)}
        self._texts: list[str] = []
        self._next = 1
        self._sid = 0
        self._session_hash = 0

    def session(self) -> int:
        """Return a number for a new session whose own record in the package collides with no fact's."""
        while True:
            self._sid += 1
            self._session_hash = property_hash(f"sid-{self._sid}")
            if self._session_hash not in self._hashes:
                return self._sid

    def fact(self, number: int) -> str:
        """Return the identity for the fact of this number in an evaluation, counted from 0."""
        while number >= len(self._texts):
            text, self._next = str(self._next), self._next + 1
            hashed = property_hash(text)
            if hashed not in self._hashes and hashed != self._session_hash:
                self._hashes.add(hashed)
                self._texts.append(text)
        return self._texts[number]


class _Entry(NamedTuple):
    """A fact that meets some patterns: their bits, and its fields by name."""

    fact: Fact
    matched: int
    values: Mapping[str, Value]


class Evaluation:
    """The state of one run, used once."""

    def __init__(self, chapter: Chapter, identities: Identities) -> None:
        self._chapter, self._identities = chapter, identities
        self._sid = identities.session()
        self._sessions: dict[int, Session] = {}
        self._entries: dict[Fact, _Entry] = {}
        self._asleep = list(chapter.groups)
        self._awake: list[SleepingGroup] = []
        self._tokens: dict[str, int] = {}
        self._handed: dict[str, Fact] = {}
        self._firings: set[tuple[str, tuple[Fact, ...], Fact]] = set()

    def run(self, facts: Iterable[Fact]) -> tuple[Firing, ...]:
        """Return every firing that follows from facts in normal form; raise EngineFailed."""
        try:
            waiting = facts
            while fresh := self._enter(waiting):
                self._hand_over(fresh)
                waiting = self._fire()
        finally:
            for session in self._sessions.values():
                session.close()
        return _sorted_firings(self._firings)

    def _enter(self, facts: Iterable[Fact]) -> list[_Entry]:
        """Note the facts that are new and meet some pattern, and return them."""
        fresh = []
        for fact in facts:
            index = self._chapter.indices.get(fact.kind)
            if index is None:
                continue
            values = dict(fact.fields)
            matched = index.matched(values)
            if matched and fact not in self._entries:
                entry = self._entries[fact] = _Entry(fact, matched, values)
                fresh.append(entry)
        return fresh

    def _hand_over(self, fresh: Sequence[_Entry]) -> None:
        """Give new facts to the groups awake, and every fact to the groups that the new facts wake."""
        heads: dict[str, int] = {}
        for entry in fresh:
            heads[entry.fact.kind] = heads.get(entry.fact.kind, 0) | entry.matched
        woken = [group for group in self._asleep if heads.get(group.head_kind, 0) & group.head_bit]
        self._give(fresh, self._awake)
        if woken:
            self._give(self._entries.values(), woken)
            self._awake += woken
            self._asleep = [group for group in self._asleep if group not in woken]

    def _give(self, entries: Iterable[_Entry], groups: Iterable[SleepingGroup]) -> None:
        by_part: dict[int, list[SleepingGroup]] = {}
        for group in groups:
            by_part.setdefault(group.part, []).append(group)
        for part, chosen in by_part.items():
            self._give_part(part, entries, chosen)

    def _give_part(self, number: int, entries: Iterable[_Entry], groups: Sequence[SleepingGroup]) -> None:
        part, session = self._chapter.parts[number], self._session(number)
        kinds = {kind for group in groups for kind in group.marks}
        known: dict[tuple[str, int], str] = {}
        for fact, matched, values in entries:
            if fact.kind not in kinds:
                continue
            marks = known.get((fact.kind, matched))
            if marks is None:
                marks = known[fact.kind, matched] = part.marks(fact.kind, matched, groups)
            if not marks:
                continue
            for name, prefix in part.joined[fact.kind]:
                value = values.get(name)
                if isinstance(value, str):
                    marks += f"{prefix}{self._tokens.setdefault(value, len(self._tokens))}"
            identity = self._identities.fact(len(self._handed))
            self._handed[identity] = fact
            session.store(f'{{"id":{identity},"sid":{self._sid}{marks}}}')

    def _session(self, number: int) -> Session:
        if number not in self._sessions:
            ruleset = self._chapter.parts[number].ruleset
            self._sessions[number] = Session(self._chapter.package, ruleset, self._sid)
        return self._sessions[number]

    def _fire(self) -> list[Fact]:
        """Take all waiting matches; return the facts they derive, some of which may be known already."""
        derived: dict[Fact, None] = {}
        for number, session in self._sessions.items():
            plans = self._chapter.parts[number].plans
            for text in session.fired():
                for plan, premises in self._matches(plans, text):
                    fact = plan.derive(premises)
                    self._firings.add((plan.code, premises, fact))
                    derived[fact] = None
        return list(derived)

    def _matches(self, plans: Mapping[str, Plan], text: str) -> Iterable[tuple[Plan, tuple[Fact, ...]]]:
        """Read `{"0/3":[{"m0":{"id":7,...},"m1":{...}},...]}`: a rule, and the facts of each of its matches."""
        plan = plans[text[2 : text.index('"', 2)]]
        facts = [self._handed[identity] for identity in _IDENTITY.findall(text)]
        width = len(plan.patterns)
        if len(facts) % width:
            raise EngineFailed(f"the engine returned {len(facts)} facts for a rule of {width} conditions")
        for start in range(0, len(facts), width):
            yield plan, tuple(facts[start : start + width])


def _sorted_firings(found: Iterable[tuple[str, tuple[Fact, ...], Fact]]) -> tuple[Firing, ...]:
    """Sort by rule, then premises, then what follows."""
    firings = list(found)
    facts = {fact for _, premises, derived in firings for fact in (*premises, derived)}
    rank = {fact: number for number, fact in enumerate(sorted_facts(facts))}
    ordered = sorted(firings, key=lambda one: (one[0], [rank[premise] for premise in one[1]], rank[one[2]]))
    return tuple(Firing(code, premises, derived) for code, premises, derived in ordered)


def sorted_facts(facts: Iterable[Fact]) -> list[Fact]:
    """Sort facts by kind and fields; where one field holds both, numbers come before text."""
    known = list(facts)
    try:
        return sorted(known, key=lambda fact: (fact.kind, fact.fields))
    except TypeError:
        return sorted(known, key=_typed)


def _typed(fact: Fact) -> tuple[str, list[tuple[str, bool, Value]]]:
    return fact.kind, [(name, isinstance(value, str), value) for name, value in fact.fields]
