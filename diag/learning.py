"""Learn from closed cases: how common causes are, here and at each kind of site.

Counts of confirmed causes are added to a Dirichlet prior made of the base rates of the entries. Nothing is changed in
place: the same cases always give the same rates, and a case taken out takes its effect with it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from knowledge.entries import BaseRate, Cause
from knowledge.load import Knowledge

ENTRIES_WEIGH, ALL_SITES_WEIGH = 400.0, 100.0
"""How many closed cases the base rates of the entries are worth, and how many of one kind of site all sites are worth;
judgement: a few hundred cases of one's own should count for more than a guess."""
FLOOR_SHARE = 0.25
"""No base rate falls below this share of its entry's: a cause not met yet is not ruled out. Judgement."""
LEARNED = "closed cases"
"""The source of a base rate that cases have moved."""


@dataclass(frozen=True, slots=True, order=True)
class Confirmed:
    """A closed case: the cause that was found, and the kind of site if it is known."""

    cause: str
    site_kind: str | None = None


def learned_rates(
    knowledge: Knowledge, closed: Collection[Confirmed], site_kind: str | None = None
) -> Mapping[str, float]:
    """Return, for each cause, how many of a thousand confirmed findings it is; at that kind of site if one is given.

    Cases with a cause that no entry has any more are passed over.
    """
    known = [it for it in closed if it.cause in knowledge.causes]
    entries = {it.id: it.base_rate.per_thousand for it in knowledge.causes.values()}
    everywhere = _updated(entries, Counter(it.cause for it in known), ENTRIES_WEIGH)
    here = Counter(it.cause for it in known if site_kind and it.site_kind == site_kind)
    rates = _updated(everywhere, here, ALL_SITES_WEIGH)
    return {cause: max(rate, FLOOR_SHARE * entries[cause]) for cause, rate in rates.items()}


def with_learned_rates(knowledge: Knowledge, closed: Collection[Confirmed], site_kind: str | None = None) -> Knowledge:
    """Return the knowledge with the rates that closed cases support; the reason of each that moved says so."""
    if not closed:
        return knowledge
    rates = learned_rates(knowledge, closed, site_kind)
    counts = Counter(it.cause for it in closed)
    causes = {
        name: _moved(cause, rates[name], counts[name], len(closed), site_kind)
        for name, cause in knowledge.causes.items()
    }
    return replace(knowledge, causes=causes)


def learned_reason(cause: Cause) -> str | None:
    """Return what closed cases did to the base rate of a cause, for its "why"; None where they did nothing."""
    return cause.base_rate.because if cause.base_rate.source == LEARNED else None


def _updated(prior: Mapping[str, float], counts: Mapping[str, int], strength: float) -> dict[str, float]:
    """Return the mean of the Dirichlet posterior, scaled to the total of the prior."""
    total, cases = sum(prior.values()), sum(counts.values())
    return {
        cause: total * (strength * rate / total + counts.get(cause, 0)) / (strength + cases)
        for cause, rate in prior.items()
    }


def _moved(cause: Cause, rate: float, count: int, cases: int, site_kind: str | None) -> Cause:
    before = cause.base_rate.per_thousand
    where = f", most weight on those at a {site_kind}" if site_kind else ""
    moved_by = f"{count} of {cases} closed cases were this{where}"
    because = f"{moved_by}; its base rate went from {before:g} to {rate:.3g} in 1,000."
    moved = BaseRate(per_thousand=min(rate, 300.0), because=because, source=LEARNED)
    return cause.model_copy(update={"base_rate": moved})
