"""Draw virtual call-outs for the benches, say them as callers do, and print what drawing and answering cost.

Run: python -m tests.bench.callouts [--site small|medium|random] [--count N] [--faults 1|2] [--seed N] [--show N]
"""

from __future__ import annotations

import argparse
import statistics
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from random import Random

from diag.campus import build_campus
from diag.demo import FILES, load_demo
from diag.desk import open_desk
from diag.reasoner import PreparedSite, Reasoner, prepare_site
from diag.reasoning import open_case
from diag.site import Site
from diag.virtual.surroundings import FAIR_DAY
from diag.virtual_checks.callout import CallOut
from diag.virtual_checks.drawing import Description, draw
from diag.virtual_checks.people import CAREFUL, Person

ANSWERS = 10
RANDOM = "random"
SITES = (*FILES, RANDOM)


def random_site(dice: Random) -> Site:
    """Return a described site of one to three controllers and four to thirty drives."""
    controllers = dice.randint(1, 3)
    return build_campus(controllers, dice.randint(4 * controllers, 10 * controllers), dice.randrange(10**6))


def callouts(
    reasoner: Reasoner,
    name: str,
    count: int,
    seed: int,
    faults: int = 1,
    person: Person = CAREFUL,
    description: Description = "as-set",
) -> Iterator[CallOut]:
    """Yield call-outs on a demo site, or each on a random site of its own; the same seed yields the same."""
    dice = Random(f"{name}/{seed}/{faults}")
    ready = None if name == RANDOM else prepare_site(load_demo(name), FAIR_DAY.date())
    for _ in range(count):
        site = ready or prepare_site(random_site(dice), FAIR_DAY.date())
        yield draw(reasoner, site, dice, faults, person, description)


def said(reasoner: Reasoner, call: CallOut) -> str:
    """Return the complaint as somebody types it: one of the phrases of its symptom, and what the part is called."""
    dice = Random(f"{call.seed}/words")
    return ". ".join(_phrase(reasoner, call.prepared, it.symptom, it.part, dice) for it in call.symptoms)


def _phrase(reasoner: Reasoner, prepared: PreparedSite, symptom: str, part: str | None, dice: Random) -> str:
    words = dice.choice(reasoner.knowledge.symptoms[symptom].phrases)
    if part is None:
        return words
    name = prepared.topology.name(part)
    return dice.choice((f"{name}: {words}", f"{words} ({name})", f"{words}, it is the {name}"))


@dataclass
class Costs:
    """What call-outs cost in processor time, and what they were about."""

    draws_ms: list[float]
    answers_ms: list[float]
    symptoms: Counter[str]
    causes: Counter[str]
    suspected: int = 0
    intermittent: int = 0


def measure(reasoner: Reasoner, name: str, count: int, seed: int, faults: int) -> Costs:
    """Return what so many call-outs with ten answers each cost, and whether their causes are suspected at all."""
    costs = Costs([], [], Counter(), Counter())
    drawn = callouts(reasoner, name, count, seed, faults)
    for _ in range(count):
        began = time.process_time()
        call = next(drawn)
        costs.draws_ms.append((time.process_time() - began) * 1000)
        _tally(costs, reasoner, call)
    return costs


def _tally(costs: Costs, reasoner: Reasoner, call: CallOut) -> None:
    costs.symptoms.update(it.symptom for it in call.symptoms)
    costs.causes.update(it.cause for it in call.faults)
    costs.intermittent += any(it.share_of_time < 1 for it in call.faults)
    reasoning = open_case(reasoner, call.prepared, call.case())
    costs.suspected += any(call.is_right(it.cause, it.part) for it in reasoning.hypotheses.open)
    options = reasoning.options.options
    asked = Random(call.seed).sample(options, min(ANSWERS, len(options)))
    began = time.process_time()
    for check, part in asked:
        call.answer(check, part)
    costs.answers_ms.append((time.process_time() - began) * 1000)


def report(costs: Costs, name: str, faults: int) -> str:
    """Return the figures as lines of text."""
    count, whole = len(costs.draws_ms), [a + b for a, b in zip(costs.draws_ms, costs.answers_ms, strict=True)]
    late = sorted(whole)[int(0.95 * len(whole))]
    return "\n".join(
        (
            f"{name}, {count} call-outs with {faults} fault(s): "
            f"{len(costs.causes)} causes, {len(costs.symptoms)} symptoms",
            f"  drawn in {statistics.median(costs.draws_ms):.1f} ms, {ANSWERS} answers in "
            f"{statistics.median(costs.answers_ms):.1f} ms (medians of processor time)",
            f"  together: median {statistics.median(whole):.1f} ms, 95 of 100 below {late:.1f} ms",
            f"  a right cause is among those suspected in {costs.suspected / count:.1%}, "
            f"something comes and goes in {costs.intermittent / count:.1%}",
            "  most reported: " + ", ".join(f"{it} {times}" for it, times in costs.symptoms.most_common(6)),
        )
    )


def show(reasoner: Reasoner, name: str, count: int, seed: int, faults: int) -> None:
    """Print call-outs with what is hidden in them."""
    for call in callouts(reasoner, name, count, seed, faults):
        hidden = "; ".join(
            f"{it.cause} at {it.part}, severity {it.severity:.2f}" + (", at times" if it.share_of_time < 1 else "")
            for it in call.faults
        )
        print(f"“{said(reasoner, call)}”\n    {', '.join(sorted(call.told)) or 'nothing else told'}\n    {hidden}")


def main() -> None:
    """Measure, or show."""
    asked = _arguments()
    with open_desk() as desk:
        if asked.show:
            show(desk.reasoner, asked.site, asked.show, asked.seed, asked.faults)
            return
        print(
            report(measure(desk.reasoner, asked.site, asked.count, asked.seed, asked.faults), asked.site, asked.faults)
        )


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--site", choices=SITES, default="medium")
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--faults", type=int, choices=(1, 2), default=1)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--show", type=int, default=0)
    return parser.parse_args()


if __name__ == "__main__":
    main()
