"""Print how right the ranking is, how sure it may be, and what our plan costs beside other ways, on virtual call-outs.

Run: python -m tests.bench.ranking [--cases N] [--site small|medium|random] [--seed N]
    [--every N] [--figure FILE]
Call-outs are drawn by the base rates of the entries, their answers come from the virtual sites, which know nothing of
the entries. Every way goes through the same call-outs. A call for help ends a visit without a proved repair.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path

import numpy as np

from diag.crew import Crew
from diag.demo import FILES
from diag.desk import open_desk
from diag.next_step import prospect_of
from diag.reasoner import Reasoner
from diag.virtual_checks.callout import CallOut
from diag.virtual_checks.people import HURRIED
from diag.weighing import weigh
from tests.bench.callouts import RANDOM, callouts
from tests.bench.ranking_figure import draw_figure
from tests.bench.ranking_scores import Ranked, Scores, note_ranks, summed_up
from tests.bench.small_cases import cut_down
from tests.bench.strategies import (
    at_random,
    by_base_rate,
    by_bits,
    by_probability_for_minutes,
    follow_chart,
    ours,
)
from tests.bench.visits import Opened, Strategy, Visit, finish

WAYS: dict[str, Callable[[], Strategy]] = {
    "our plan": lambda: ours,
    "most bits a minute": lambda: by_bits,
    "fixed, probability a minute": by_probability_for_minutes,
    "fixed, base rate": by_base_rate,
    "printed chart": follow_chart,
    "random order": lambda: at_random(7),
}
HARDER = ("our plan, 5 % wrong answers", "our plan, two faults")
AFTER = (0, 1, 2, 3, 5)
OPTIMUM_CASES = 25


@dataclass
class Tally:
    """What one way cost over all call-outs."""

    minutes: list[float] = field(default_factory=list)
    answers: list[int] = field(default_factory=list)
    climbs: list[int] = field(default_factory=list)
    tries: list[int] = field(default_factory=list)
    verified: list[bool] = field(default_factory=list)
    courses: list[list[float]] = field(default_factory=list)
    """For each visit the minutes spent when each answer was there, and at the end."""

    def note(self, visit: Visit) -> None:
        """Add a finished visit."""
        self.minutes.append(visit.minutes)
        self.answers.append(visit.checks)
        self.climbs.append(visit.climbs)
        self.tries.append(len(visit.tried))
        self.verified.append(visit.verified)
        self.courses.append([*visit.course, visit.minutes])


@dataclass
class Bench:
    """All that is measured over the call-outs of one site; every way goes through the same ones."""

    reasoner: Reasoner
    site: str
    seed: int
    tallies: dict[str, Tally] = field(default_factory=lambda: {way: Tally() for way in (*WAYS, *HARDER)})
    ranks: dict[int, list[Ranked]] = field(default_factory=dict)

    def run(self, cases: int, every: int) -> None:
        """Go through so many call-outs; print the tables after every so many, and in the end."""
        single = callouts(self.reasoner, self.site, cases, self.seed)
        double = callouts(self.reasoner, self.site, cases, self.seed, 2)
        for done in range(1, cases + 1):
            self._single(next(single))
            self._go(next(double), "our plan, two faults", ours, {})
            if done == cases or done % every == 0:
                self.report(done)

    def _single(self, call: CallOut) -> None:
        opened: Opened = {}
        note_ranks(self.ranks, Visit(self.reasoner, call.again(), opened_before=opened), AFTER)
        for way, strategy in WAYS.items():
            self._go(call.again(), way, strategy(), opened)
        self._go(call.again(HURRIED), "our plan, 5 % wrong answers", ours, opened)

    def _go(self, call: CallOut, way: str, strategy: Strategy, opened: Opened) -> None:
        self.tallies[way].note(finish(Visit(self.reasoner, call, opened_before=opened), strategy))

    def report(self, done: int) -> None:
        """Print the tables as they stand."""
        print(f"\n{self.site}: ranking after answers to the checks of our plan ({done} call-outs)")
        print("  answers   first   first three   Brier    ECE   reliability: said → so (how many)")
        for answers, found in sorted(self.ranks.items()):
            it = summed_up(found)
            print(f"  {answers:7} {it.first:7.3f} {it.first_three:13.3f} {it.brier:7.3f} {it.error:6.3f}   {_bins(it)}")
        print(f"\n{self.site}: {done} call-outs with one fault, careful answers")
        print(
            f"  {'':28} {'minutes':>14} {'median':>7} {'of P/C':>6} "
            f"{'climbs':>7} {'answers':>8} {'repairs':>8} {'verified %':>10}"
        )
        for way, tally in self.tallies.items():
            print(row(way, tally, self.tallies["fixed, probability a minute"] if way in WAYS else None), flush=True)


def row(name: str, tally: Tally, beside: Tally | None = None) -> str:
    """Return a line of the table; with the minutes as a share of those of another way where one is given."""
    minutes = np.array(tally.minutes)
    error = minutes.std() / max(len(minutes), 1) ** 0.5
    share = f"{minutes.mean() / np.mean(beside.minutes):6.2f}" if beside else "      "
    return (
        f"  {name:28} {minutes.mean():7.1f} ± {error:4.1f} {np.median(minutes):7.1f} {share} "
        f"{np.mean(tally.climbs):7.2f} {np.mean(tally.answers):8.1f} {np.mean(tally.tries):8.2f} "
        f"{100 * np.mean(tally.verified):9.1f}"
    )


def _bins(scores: Scores) -> str:
    return "  ".join(f"{said:.2f} → {so:.2f} ({count})" for said, so, count in scores.bins)


def beside_optimum(reasoner: Reasoner, site: str, seed: int) -> None:
    """Print the expected minutes of our plan beside the exact optimum on call-outs cut down to what can be computed."""
    ours_minutes, least = [], []
    for call in islice(callouts(reasoner, site, 10 * OPTIMUM_CASES, seed), 10 * OPTIMUM_CASES):
        reasoning = Visit(reasoner, call).reasoning()
        every = range(len(reasoning.options.options))
        prospect = prospect_of(reasoner, reasoning, weigh(reasoner, reasoning, ()), None, every, Crew())
        small = cut_down(reasoning, prospect)
        if small:
            ours_minutes.append(small.planned(small.start()))
            least.append(small.optimum(small.start()))
        if len(least) == OPTIMUM_CASES:
            break
    ratio = sum(ours_minutes) / sum(least)
    worst = max(one / other for one, other in zip(ours_minutes, least, strict=True))
    print(
        f"\n{site}: our plan costs {ratio:.3f} x the exact optimum on {len(least)} cases cut down, at worst {worst:.3f}"
    )


def main(arguments: Sequence[str] | None = None) -> None:
    """Print the tables and write the figure."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=200)
    parser.add_argument("--site", choices=(*FILES, RANDOM), action="append")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--every", type=int, default=250, help="print the tables after every so many call-outs")
    parser.add_argument("--figure", type=Path, help="write minutes against answers as SVG")
    asked = parser.parse_args(arguments)
    started = time.perf_counter()
    with open_desk() as desk:
        for site in asked.site or ("small", "medium", RANDOM):
            bench = Bench(desk.reasoner, site, asked.seed)
            bench.run(asked.cases, asked.every)
            beside_optimum(desk.reasoner, site, asked.seed)
            if asked.figure:
                drawn = {way: bench.tallies[way].courses for way in WAYS}
                path = asked.figure.with_stem(f"{asked.figure.stem}-{site}")
                path.write_text(draw_figure(f"{site}: {asked.cases} call-outs", drawn), encoding="utf-8")
    print(f"\n{time.perf_counter() - started:.0f} s in all")


if __name__ == "__main__":
    main()
