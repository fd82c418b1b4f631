"""Learn from closed cases: how common causes are, here and at each kind of site.

Counts of confirmed causes are added to a Dirichlet prior made of the base rates of the entries. Nothing is changed in
place: the same cases always give the same rates, and a case taken out takes its effect with it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from knowledge.entries import BaseRate, Cause
from knowledge.load import Knowledge

ENTRIES_WEIGH, OTHER_SITES_WEIGH = 400.0, 200.0
"""How many closed cases the base rates of the entries are worth, and how many at one kind of site those at all others
are worth; judgement: a few hundred cases of one's own should count for more than a guess, and one for little."""
FLOOR_SHARE = 0.25
"""No base rate falls below this share of its entry's: a cause not met yet is not ruled out. Judgement."""
WORTH_SAYING = 1.25
"""A cause that was not met is only said to be rarer once its rate fell by more than this."""
LEARNED = "closed cases"
"""The source of a base rate that cases have moved."""


@dataclass(frozen=True, slots=True, order=True)
class Confirmed:
    """A closed case: the cause that was found, and the kind of site if it is known."""

    cause: str
    site_kind: str | None = None


Counted = Counter[Confirmed]
"""How many closed cases there were of each."""

Closed = Iterable[Confirmed] | Mapping[Confirmed, int]
"""Closed cases one by one, or how many there were of each."""


def learned_rates(knowledge: Knowledge, closed: Closed, site_kind: str | None = None) -> Mapping[str, float]:
    """Return, for each cause, how many of a thousand confirmed findings it is; at that kind of site if one is given."""
    counted = counted_now(knowledge, closed)
    entries = {it.id: it.base_rate.per_thousand for it in knowledge.causes.values()}
    elsewhere = {it: count for it, count in counted.items() if site_kind is None or it.site_kind != site_kind}
    here = {it: count for it, count in counted.items() if it not in elsewhere}
    rates = _updated(_updated(entries, seen_at(elsewhere), ENTRIES_WEIGH), seen_at(here), OTHER_SITES_WEIGH)
    return {cause: max(rate, FLOOR_SHARE * entries[cause]) for cause, rate in rates.items()}


def with_learned_rates(knowledge: Knowledge, closed: Closed, site_kind: str | None = None) -> Knowledge:
    """Return the knowledge with the rates that closed cases support; the reason of each that moved says so."""
    counted = counted_now(knowledge, closed)
    if not counted:
        return knowledge
    rates, seen, total = learned_rates(knowledge, counted, site_kind), seen_at(counted), counted.total()
    here = seen_at(counted, site_kind) if site_kind else Counter[str]()
    causes = {
        name: _moved(cause, rates[name], _because(cause, rates[name], seen[name], total, here[name], site_kind))
        for name, cause in knowledge.causes.items()
    }
    return replace(knowledge, causes=causes)


def counted_now(knowledge: Knowledge, closed: Closed) -> Counted:
    """Return how many closed cases there were of each, by the ids in use; causes that no entry has are passed over."""
    counted: Counted = Counter()
    for it, count in Counter(closed).items():
        cause = knowledge.current("Cause", it.cause)
        if cause in knowledge.causes:
            counted[replace(it, cause=cause)] += count
    return counted


def learned_reason(cause: Cause) -> str | None:
    """Return what closed cases did to the base rate of a cause, for its "why"; None where they did little."""
    return cause.base_rate.because if cause.base_rate.source == LEARNED else None


def seen_at(counted: Mapping[Confirmed, int], site_kind: str | None = None) -> Counter[str]:
    """Return how often each cause was found: at that kind of site, or everywhere."""
    found: Counter[str] = Counter()
    for it, count in counted.items():
        if site_kind in (None, it.site_kind):
            found[it.cause] += count
    return found


def _updated(prior: Mapping[str, float], counts: Mapping[str, int], strength: float) -> dict[str, float]:
    """Return the mean of the Dirichlet posterior, scaled to the total of the prior."""
    total, cases = sum(prior.values()), sum(counts.values())
    return {
        cause: total * (strength * rate / total + counts.get(cause, 0)) / (strength + cases)
        for cause, rate in prior.items()
    }


def _because(cause: Cause, rate: float, seen: int, total: int, here: int, site_kind: str | None) -> str | None:
    """Return what closed cases say of a cause; None for one that was never met and became little rarer for it."""
    before = cause.base_rate.per_thousand
    if not seen and before < WORTH_SAYING * rate:
        return None
    times = {0: "Not seen here yet", 1: "Seen once here"}.get(seen, f"Seen {seen} times here")
    at_kind = f", {here} of them at sites of this kind ({site_kind})" if seen > 1 and here else ""
    cases = "1 closed case" if total == 1 else f"{total} closed cases"
    return f"{times} in {cases}{at_kind}. Taken to be found in {rate:.3g} of 1,000 call-outs instead of {before:g}."


def _moved(cause: Cause, rate: float, because: str | None) -> Cause:
    told = {"because": because, "source": LEARNED} if because else cause.base_rate.model_dump()
    moved = BaseRate(**{**told, "per_thousand": min(rate, 300.0)})
    return cause.model_copy(update={"base_rate": moved})
