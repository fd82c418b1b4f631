"""Expected minutes to a verified repair: what attempts cost, what a check saves, and what to do next.

Heckerman, Breese and Rommelse, "Decision-theoretic troubleshooting" (1995): eq. 1 for a sequence of attempts, eq. 2 for
when to call for help, eq. 3 for a check. Ours: what is still to come after a check is taken as the lesser of attempts
alone and of finding out at the best price of a bit that the case offers now.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from diag.likelihoods import Floats, plogp
from diag.ranking import DECIMALS

NEGLIGIBLE = 1e-4
"""Hypotheses that together hold less than this are left out of looking ahead."""
NEVER = 1e9
"""Minutes of an attempt that cannot be made."""
SECOND_LOOKS, SECOND_CHECKS = 6, 12
"""How many leading checks are followed on, and how many come into question after each: they set the time it takes."""
LEAST_RATE = 1e-6


@dataclass(frozen=True)
class Prices:
    """Minutes for each hypothesis of looking whether it is there, and of mending it where it is.

    Where a repair is its own test all of it counts as looking. `call` is the price of calling for help. A hypothesis
    that holds the share `sure` counts as found, and costs no more.
    """

    look: Floats
    mend: Floats
    call: float
    sure: float = 1.0


@dataclass(frozen=True)
class Prospect:
    """All that is weighed for the next step: beliefs, `chances[check, hypothesis, outcome]`, minutes of each check.

    `walks` are minutes to walk before the attempt at each hypothesis; `next_minutes[first, second]` those of a check
    when another was made before it, where that is known.
    """

    beliefs: Floats
    chances: Floats
    minutes: Floats
    prices: Prices
    walks: Floats | float = 0.0
    next_minutes: Floats | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """Something to do next, by the index of its check or hypothesis, and the minutes expected in all from there."""

    kind: Literal["check", "attempt", "call"]
    place: int
    minutes: float


def attempt_order(beliefs: Floats, prices: Prices) -> list[int]:
    """Return the hypotheses that can be tried, most probability for a minute first."""
    order = np.argsort(-_rates(beliefs, prices), kind="stable")
    return [int(it) for it in order if prices.look[it] < NEVER]


def cluster_order(beliefs: Floats, minutes: Floats, behind: Floats, opening: float) -> list[int]:
    """Return the order of attempts when some lie behind one cover, or in one place, that is opened, or gone to, once.

    What lies behind is done in one go up to the point of the best rate (Ottosen and Jensen, 2010).
    """
    left = [int(it) for it in np.argsort(-beliefs / minutes, kind="stable")]
    order: list[int] = []
    while any(behind[it] for it in left):
        inside = [it for it in left if behind[it]]
        rates = beliefs[inside].cumsum() / (opening + minutes[inside].cumsum())
        best = int(rates.argmax())
        first = [it for it in left if not behind[it] and beliefs[it] / minutes[it] > rates[best]]
        order += [*first, *inside[: best + 1]]
        left = [it for it in left if it not in order]
        opening = 0.0
    return order + left


def sequence_minutes(beliefs: Floats, prices: Prices, order: Sequence[int]) -> Floats:
    """Return the expected minutes of trying 0, 1, 2... hypotheses in this order and then calling for help (eq. 1)."""
    p, look, mend = beliefs[list(order)], prices.look[list(order)], prices.mend[list(order)]
    left = 1.0 - np.concatenate([[0.0], np.cumsum(p)])
    spent = np.concatenate([[0.0], np.cumsum(left[:-1] * look + p * mend)])
    result: Floats = spent + left * prices.call
    return result


def attempts_minutes(beliefs: Floats, prices: Prices) -> Floats:
    """Return the expected minutes without any check, calling for help at the best moment (eq. 2).

    `beliefs[..., hypothesis]` may be many at once.
    """
    order = np.argsort(-_rates(beliefs, prices), axis=-1, kind="stable")
    p = np.take_along_axis(beliefs, order, -1)
    gone = p.cumsum(axis=-1)
    left = np.maximum(1.0 - gone + p, 0.0)
    after = np.maximum(1.0 - gone, 0.0)
    step = left * prices.look[order] + p * prices.mend[order]
    if prices.sure < 1.0:
        unsure = np.logical_and.accumulate(p < prices.sure * left, axis=-1)
        step, after = np.where(unsure, step, 0.0), np.where(unsure, after, 0.0)
    best = (step.cumsum(axis=-1) + after * prices.call).min(axis=-1)
    result: Floats = np.minimum(best, prices.call)
    return result


def minutes_to_go(beliefs: Floats, prices: Prices, bit: float, least: float) -> Floats:
    """Return the expected minutes from beliefs on: by attempts alone, or by finding out first, whichever is less.

    `bit` is the price of a bit of doubt, `least` what the last check costs.
    """
    ending = np.minimum(prices.look + prices.mend, prices.call) if prices.sure == 1.0 else np.zeros(len(prices.look))
    finding_out = least - bit * plogp(beliefs).sum(axis=-1) + beliefs @ ending
    if prices.sure < 1.0:
        finding_out = np.where(beliefs.max(axis=-1) >= prices.sure, 0.0, finding_out)
    result: Floats = np.minimum(attempts_minutes(beliefs, prices), finding_out)
    return result


def after_checks(beliefs: Floats, chances: Floats) -> tuple[Floats, Floats]:
    """Return the chances `[check, outcome]`, and the beliefs `[check, outcome, hypothesis]` after each."""
    joint = beliefs * chances.transpose(0, 2, 1)
    outcomes = joint.sum(axis=-1)
    return outcomes, joint / np.maximum(outcomes, 1e-300)[..., None]


def after_attempts(beliefs: Floats) -> Floats:
    """Return the beliefs `[hypothesis tried, hypothesis]` after each attempt that did not help."""
    left = np.where(np.eye(len(beliefs), dtype=bool), 0.0, beliefs)
    result: Floats = left / np.maximum(left.sum(axis=-1), 1e-300)[..., None]
    return result


def bits_told(beliefs: Floats, chances: Floats) -> Floats:
    """Return the mutual information of each check with the hypothesis, in bits."""
    bits: Floats = plogp(chances).sum(axis=2) @ beliefs - plogp(beliefs @ chances).sum(axis=1)
    return bits


def price_of_a_bit(prospect: Prospect) -> float:
    """Return the least minutes for which anything that can be done now takes away one bit of doubt."""
    told = bits_told(prospect.beliefs, prospect.chances) / prospect.minutes
    yes_or_no = -plogp(np.stack([prospect.beliefs, 1.0 - prospect.beliefs])).sum(axis=0)
    tried = yes_or_no / prospect.prices.look
    return 1.0 / max(float(told.max(initial=0.0)), float(tried.max()), LEAST_RATE)


def check_minutes(prospect: Prospect, bit: float, least: float) -> Floats:
    """Return the expected minutes in all when each check comes next (eq. 3)."""
    outcomes, after = after_checks(prospect.beliefs, prospect.chances)
    to_go = minutes_to_go(after, prospect.prices, bit, least)
    result: Floats = prospect.minutes + (outcomes * to_go).sum(axis=-1)
    return result


def attempt_minutes(prospect: Prospect, bit: float, least: float) -> Floats:
    """Return the expected minutes in all when the attempt at each hypothesis comes next."""
    p, prices = prospect.beliefs, prospect.prices
    to_go = minutes_to_go(after_attempts(p), prices, bit, least)
    result: Floats = prospect.walks + prices.look + p * prices.mend + (1.0 - p) * to_go
    return result


@dataclass(frozen=True)
class Outlook:
    """Expected minutes in all for every check and every attempt that could come next, and for calling now."""

    checks: Floats
    attempts: Floats
    call: float

    def best(self) -> Step:
        """Return what to do next: the least minutes; of equals a call, then a check, then an attempt."""
        best = Step("call", -1, self.call)
        for kind, totals in (("check", self.checks), ("attempt", self.attempts)):
            place = int(np.argmin(np.round(totals, DECIMALS))) if len(totals) else -1
            if place >= 0 and totals[place] < best.minutes:
                best = Step("check" if kind == "check" else "attempt", place, float(totals[place]))
        return best


def look_ahead(prospect: Prospect, depth: int = 1) -> Outlook:
    """Return what everything that can be done next would cost in all; at depth two leading checks are followed on."""
    kept = worth_keeping(prospect.beliefs)
    small = narrowed(prospect, kept)
    bit, least = price_of_a_bit(small), float(small.minutes.min(initial=NEVER))
    attempts = np.full(len(prospect.beliefs), NEVER)
    attempts[kept] = attempt_minutes(small, bit, least)
    checks = check_minutes(small, bit, least)
    if depth > 1:
        checks = followed_on(small, checks, bit, least)
    return Outlook(checks, attempts, prospect.prices.call)


def followed_on(prospect: Prospect, totals: Floats, bit: float, least: float) -> Floats:
    """Return the totals with those of the leading checks worked out one step further.

    After each outcome comes the best of the leading checks, of the attempts, and of a call; all others keep theirs,
    which are no less than those of the leading ones were.
    """
    ranked = np.argsort(np.round(totals, DECIMALS), kind="stable")
    second = ranked[:SECOND_CHECKS]
    deeper = totals.copy()
    for first in ranked[:SECOND_LOOKS]:
        outcomes, after = after_checks(prospect.beliefs, prospect.chances[first : first + 1])
        rest = second[second != first]
        to_go = [_best_from(prospect, it, first, rest, bit, least) for it in after[0]]
        deeper[first] = prospect.minutes[first] + outcomes[0] @ np.array(to_go)
    return deeper


def _best_from(prospect: Prospect, beliefs: Floats, first: int, rest: Floats, bit: float, least: float) -> float:
    """Return the expected minutes of the best thing to do with these beliefs after a first check."""
    later = prospect.minutes if prospect.next_minutes is None else prospect.next_minutes[first]
    here = Prospect(beliefs, prospect.chances[rest], later[rest], prospect.prices)
    totals = np.concatenate([check_minutes(here, bit, least), attempt_minutes(here, bit, least)])
    is_found = prospect.prices.sure < 1.0 and beliefs.max() >= prospect.prices.sure
    return 0.0 if is_found else float(min(totals.min(), prospect.prices.call))


def best_step(prospect: Prospect) -> Step:
    """Return what to do next: a check, an attempt at a repair, or a call for help."""
    return look_ahead(prospect).best()


def worth_keeping(beliefs: Floats, negligible: float = NEGLIGIBLE) -> Floats:
    """Return the places of the likeliest hypotheses that together hold all but a negligible share, in their order."""
    order = np.argsort(-beliefs, kind="stable")
    enough = int(np.searchsorted(beliefs[order].cumsum(), (1.0 - negligible) * beliefs.sum())) + 1
    result: Floats = np.sort(order[:enough])
    return result


def narrowed(prospect: Prospect, kept: Floats) -> Prospect:
    """Return the prospect with those hypotheses only."""
    beliefs, prices = prospect.beliefs[kept], prospect.prices
    return Prospect(
        beliefs / beliefs.sum(),
        prospect.chances[:, kept],
        prospect.minutes,
        Prices(prices.look[kept], prices.mend[kept], prices.call, prices.sure),
        prospect.walks if isinstance(prospect.walks, float) else prospect.walks[kept],
        prospect.next_minutes,
    )


def _rates(beliefs: Floats, prices: Prices) -> Floats:
    rates: Floats = np.round(beliefs / np.maximum(prices.look, 1e-9), DECIMALS)
    return rates
