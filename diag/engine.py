"""Forward chaining: facts of one evaluation in, every firing of a chapter's rules out, in one fixed order."""

from __future__ import annotations

import threading
from collections.abc import Iterable, Mapping, Sequence

from diag.engine_chapter import Chapter
from diag.engine_errors import RulesRefused
from diag.engine_evaluation import Evaluation, Identities
from diag.engine_package import load_package
from diag.engine_plans import Plan, plan_rule
from diag.engine_values import normal_fact
from diag.rules import Fact, Firing, Rule


class Engine:
    """Chapters of rules, each compiled when it is first run and kept, as the package never frees rules.

    Building raises RulesRefused when rules cannot be compiled, EngineUnavailable when the package is missing.
    A rule costs nothing until a fact meets its first condition, so the rarest condition is best put first.
    """

    def __init__(self, chapters: Mapping[str, Sequence[Rule]]) -> None:
        self._plans = plan_chapters(chapters)
        self._package = load_package()
        self._lock = threading.Lock()
        self._identities = Identities()
        self._chapters: dict[str, Chapter] = {}

    def run(self, chapter: str, facts: Iterable[Fact]) -> tuple[Firing, ...]:
        """Apply the chapter's rules until nothing new follows; return every firing once, sorted.

        Derived facts take part like given ones. Facts come back in normal form: composed text, finite
        floats. Raises KeyError for an unknown chapter, FactRefused for a value that cannot be compared, and
        EngineFailed when the package breaks, after which the process is better replaced.
        """
        plans = self._plans[chapter]
        normal = [normal_fact(given) for given in facts]
        with self._lock:
            if chapter not in self._chapters:
                self._chapters[chapter] = Chapter(self._package, chapter, plans)
            return Evaluation(self._chapters[chapter], self._identities).run(normal)


def plan_chapters(chapters: Mapping[str, Sequence[Rule]]) -> dict[str, tuple[Plan, ...]]:
    """Plan the rules of every chapter, by name; raise RulesRefused with all that is wrong in any of them."""
    known: dict[Rule, Plan] = {}
    problems: dict[str, None] = {}
    for name, rules in chapters.items():
        for rule in rules:
            try:
                if rule not in known:
                    known[rule] = plan_rule(rule)
            except (ValueError, TypeError) as error:
                problems[f"chapter {name}, rule {rule.code}: {error}"] = None
    if problems:
        raise RulesRefused(list(problems))
    return {name: tuple(known[rule] for rule in rules) for name, rules in chapters.items()}
