"""Lay out one opened case so that a phone can weigh answers and choose checks without asking the service."""

from __future__ import annotations

from collections import Counter
from typing import Any

from api.pack_shelves import PackOption, PackPart, Shelves
from diag.expectations import expect
from diag.explain import explain_firing, why
from diag.likelihoods import Floats
from diag.next_checks import SMOKE_CAUTION, cautions_here
from diag.observations import Reason
from diag.options import Option
from diag.reasoner import Reasoner
from diag.reasoning import Reasoning, place_of_check
from diag.wording import bound_parts, fill_in, name_part

Json = dict[str, Any]

SINCE, RESUMES = "{since}", "{resumes}"
"""Stand for clock times in words that were worked out for any time of a manual command."""


def chapter_of(reasoner: Reasoner, reasoning: Reasoning, shelves: Shelves, timeless: bool = False) -> Json:
    """Return the opened case as numbers of things on the shelves.

    `timeless` keeps the clock times of its commands out of the words.
    """
    opened = _Opened(reasoner, reasoning, shelves, timeless)
    options = reasoning.options.options
    return {
        "hypotheses": [opened.hypothesis(place) for place in range(len(reasoning.hypotheses.open))],
        "options": [opened.option(it) for it in options],
        "rows": [opened.rows(it, reasoning.options.chances[place]) for place, it in enumerate(options)],
        "known": sorted(reasoning.known),
        "advice": opened.advice(),
        "excluded": opened.excluded(),
        "hold_offs": opened.hold_offs(),
    }


class _Opened:
    """An opened case that is being laid out on shelves."""

    def __init__(self, reasoner: Reasoner, reasoning: Reasoning, shelves: Shelves, timeless: bool) -> None:
        self._reasoner = reasoner
        self._reasoning = reasoning
        self._situation = reasoning.situation
        self._shelves = shelves
        self._timeless = timeless

    def hypothesis(self, place: int) -> list[Any]:
        """Return cause, part, weight and the reasons of one hypothesis."""
        it = self._reasoning.hypotheses.open[place]
        said = [self._reason(reason) for reason in why(self._reasoner, self._reasoning, place, ())]
        return [it.cause, self._part(it.part), it.weight, said]

    def option(self, option: Option) -> int:
        """Return the number of a check at its part."""
        check, part = self._reasoner.knowledge.checks[option[0]], option[1]
        expected = expect(check, self._situation, part)
        place = place_of_check(self._reasoner, self._reasoning.prepared, self._situation, *option)
        limits = tuple(sorted(expected.limits.items()))
        text = self._without_times(expected.text, part) if check.expects == "hold-off" else expected.text
        return self._shelves.options.number(PackOption(check.id, self._part(part), place, text, limits))

    def rows(self, option: Option, chances: Floats) -> list[int]:
        """Return the usual row of chances, then each hypothesis with another row followed by that row."""
        width = len(self._reasoner.knowledge.checks[option[0]].outcomes)
        rows = [self._shelves.rows.number(tuple(row[:width])) for row in chances.tolist()]
        usual = Counter(rows).most_common(1)[0][0]
        return [usual, *(it for place, row in enumerate(rows) if row != usual for it in (place, row))]

    def advice(self) -> list[list[str]]:
        """Return rule and words of what is to be told whatever the cause."""
        told = set()
        for firing in self._reasoning.firings:
            if firing.derived.kind == "advice":
                bound = bound_parts(firing, self._reasoner.variables[firing.rule])
                advise = self._reasoner.entries[firing.rule].advise or ""
                told.add((firing.rule, fill_in(advise, bound, self._situation.scope)))
        return [list(it) for it in sorted(told)]

    def excluded(self) -> dict[str, list[int]]:
        """Return, for each cause that rules ruled out altogether, their reasons."""
        suspected = {it.cause for it in self._reasoning.hypotheses.open}
        found: dict[str, list[int]] = {}
        for firing in self._reasoning.firings:
            cause = str(firing.derived["cause"]) if firing.derived.kind == "exclusion" else ""
            if cause and cause not in suspected:
                reason = self._reason(explain_firing(self._reasoner, self._reasoning, firing))
                found[cause] = list(dict.fromkeys([*found.get(cause, []), reason]))
        return found

    def hold_offs(self) -> list[float]:
        """Return how long a manual command keeps automatic out, for each zone in reach where that is described."""
        zones = [it for it in self._situation.parts if self._situation.scope.kind(it) == "zone"]
        lengths = {self._situation.hold_off_minutes(zone) for zone in zones}
        return sorted(it for it in lengths if it)

    def _part(self, part: str) -> int:
        serves_no_smoke = not cautions_here(self._reasoning, part, [SMOKE_CAUTION])
        scope = self._situation.scope
        return self._shelves.parts.number(PackPart(part, scope.kind(part), name_part(scope, part), serves_no_smoke))

    def _reason(self, it: Reason) -> int:
        return self._shelves.reasons.number((it.source, it.effect, it.says, it.facts))

    def _without_times(self, text: str, zone: str) -> str:
        if not self._timeless or self._situation.scope.kind(zone) != "zone":
            return text
        now = self._situation.hold_off(zone)
        for moment, stands in ((now.since, f"at {SINCE}"), (now.resumes_at, f"at {RESUMES}")):
            text = text.replace(f"at {moment:%H:%M}", stands) if moment else text
        return text
