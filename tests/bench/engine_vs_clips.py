"""Prints what one evaluation costs here and in CLIPS: the same rules, the same facts, the same process."""

from __future__ import annotations

import argparse
import random
import statistics
import time
from collections.abc import Callable, Iterable, Sequence

from diag import rules
from diag.engine import Engine
from diag.rules import Condition, Fact, Rule, Template, fact
from tests.diag.clips_rules import ClipsEngine

SIZES = ((40, 40), (40, 100), (40, 400), (240, 40), (240, 400), (40, 4000))
STATES = ("dead", "slow", "stops", "reversed", "fine", "unknown")
ROUNDS = 15


def made_rules(count: int) -> list[Rule]:
    """Make rules of four sorts in turn: two and three facts joined, a threshold, and rules on derived facts."""
    makers = (_joined_three, _threshold, _joined_two, _chained)
    return [makers[number % 4](number, f"cause-{number // 4}") for number in range(count)]


def _symptom(number: int) -> Condition:
    return Condition(
        "symptom", (rules.Test("id", "is", f"symptom-{number % 20}"), rules.Test("part", "same-as", "part"))
    )


def _joined_three(number: int, cause: str) -> Rule:
    drive = (rules.Test("zone", "same-as", "part"), rules.Test("output", "same-as", "output"))
    output = (rules.Test("id", "same-as", "output"), rules.Test("supervised", "is-not", "yes"))
    when = (_symptom(number), Condition("drive", drive), Condition("output", output))
    return Rule(f"R{number}", when, Template("suspect", (("cause", cause), ("part", "$output"))))


def _threshold(number: int, cause: str) -> Rule:
    output = (rules.Test("zone", "same-as", "part"), rules.Test("voltage_v", "below", 18.0 + number % 7))
    when = (_symptom(number), Condition("output", output))
    return Rule(f"R{number}", when, Template("suspect", (("cause", cause), ("part", "$part"))))


def _joined_two(number: int, cause: str) -> Rule:
    drive = (rules.Test("zone", "same-as", "part"), rules.Test("state", "any-of", STATES[number % 3 : number % 3 + 2]))
    when = (_symptom(number), Condition("drive", (*drive, rules.Test("id", "same-as", "drive"))))
    return Rule(f"R{number}", when, Template("suspect", (("cause", cause), ("part", "$drive"))))


def _chained(number: int, cause: str) -> Rule:
    suspect = (rules.Test("cause", "is", cause), rules.Test("part", "same-as", "part"))
    drive = (rules.Test("output", "same-as", "part"), rules.Test("state", "is-not", "fine"))
    when = (Condition("suspect", suspect), Condition("drive", drive))
    return Rule(f"R{number}", when, Template("evidence", (("cause", cause), ("part", "$part"), ("weight", "stronger"))))


def made_facts(count: int) -> list[Fact]:
    """Make a site of about this many facts, four drives an output and two outputs a zone, with two symptoms."""
    choose = random.Random(count)
    symptoms = [fact("symptom", {"id": f"symptom-{i}", "part": f"zone-{i}"}) for i in (1, 2)]
    outputs = [_output(number, choose) for number in range(count // 5)]
    drives = [_drive(number, choose) for number in range(count - len(outputs) - 2)]
    return symptoms + outputs + drives


def _output(number: int, choose: random.Random) -> Fact:
    fields = {"id": f"output-{number}", "zone": f"zone-{number // 2}", "rated_a": 5.0, "supervised": "no"}
    return fact("output", {**fields, "voltage_v": round(choose.uniform(16.0, 26.0), 2)})


def _drive(number: int, choose: random.Random) -> Fact:
    place = {"id": f"drive-{number}", "output": f"output-{number // 4}", "zone": f"zone-{number // 8}"}
    state = {"state": choose.choice(STATES), "current_a": round(choose.uniform(0.2, 1.4), 3)}
    return fact("drive", {**place, **state, "addressable": "yes", "opening": f"opening-{number}"})


def fields_of(facts: Iterable[Fact], made: Sequence[Rule]) -> dict[str, list[str]]:
    """Return, by kind, every field that a fact carries or a rule mentions."""
    fields: dict[str, set[str]] = {}
    for given in facts:
        fields.setdefault(given.kind, set()).update(name for name, _ in given.fields)
    for rule in made:
        fields.setdefault(rule.then.kind, set()).update(name for name, _ in rule.then.fields)
        for condition in rule.when:
            fields.setdefault(condition.kind, set()).update(test.field for test in condition.tests)
    return {kind: sorted(names) for kind, names in fields.items()}


def milliseconds(action: Callable[[], object]) -> float:
    """Return what one call takes."""
    start = time.perf_counter()
    action()
    return (time.perf_counter() - start) * 1000


def measure(rule_count: int, fact_count: int) -> tuple[float, float, float, int]:
    """Return medians for ours, CLIPS deriving only, CLIPS with premises, and the number of firings."""
    made, facts = made_rules(rule_count), made_facts(fact_count)
    fields = fields_of(facts, made)
    engine, bare, full = Engine({"all": made}), ClipsEngine(made, fields, premises=False), ClipsEngine(made, fields)
    firings = engine.run("all", facts)
    if tuple(sorted(firings, key=repr)) != full.run(facts):
        raise SystemExit(f"{rule_count} rules, {fact_count} facts: the engines disagree")
    actions = (lambda: engine.run("all", facts), lambda: bare.derive(facts), lambda: full.run(facts))
    times = [[milliseconds(action) for action in actions] for _ in range(ROUNDS)]
    ours, derived, premises = (statistics.median(column) for column in zip(*times, strict=True))
    return ours, derived, premises, len(firings)


def main() -> None:
    """Print one row a size."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.parse_args()
    print("rules  facts  firings   ours ms  CLIPS ms  ratio  CLIPS with premises ms")
    for rule_count, fact_count in SIZES:
        ours, derived, premises, firings = measure(rule_count, fact_count)
        row = f"{rule_count:5}  {fact_count:5}  {firings:7}  {ours:8.2f}  {derived:8.2f}  {ours / derived:5.2f}"
        print(f"{row}  {premises:22.2f}")


if __name__ == "__main__":
    main()
