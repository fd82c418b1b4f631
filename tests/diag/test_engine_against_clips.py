"""Thousands of random sessions over generated rules: ours, CLIPS and a naive matcher agree on every firing."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence

import clips

from diag import rules
from diag.engine import Engine
from diag.rules import UNKNOWN, Condition, Fact, Rule, Template, fact
from tests.diag.clips_rules import ClipsEngine
from tests.diag.naive_matcher import match_naively

KINDS = ("drive", "output", "deduced", "suspicion")
TEXT_FIELDS = ("at", "zone", "state")
NUMBER_FIELDS = ("amount", "rated")
FIELDS = (*TEXT_FIELDS, *NUMBER_FIELDS)
TEXTS = ("a", "b", "ab", UNKNOWN)
NUMBERS = (0.0, 1.0, 2.0, 2.5, -3.5, 1e-07, 4e21)
PROGRAMS, SESSIONS = 140, 50


def made_program(choose: random.Random) -> list[Rule]:
    """Make three to nine rules that CLIPS accepts; it refuses a rule that can be seen never to match."""
    made: list[Rule] = []
    while len(made) < 3 + choose.randrange(7):
        rule = made_rule(choose, f"R{len(made)}")
        if accepted(rule):
            made.append(rule)
    return made


def accepted(rule: Rule) -> bool:
    try:
        ClipsEngine([rule], dict.fromkeys((*KINDS, "weight"), FIELDS))
    except clips.CLIPSError:
        return False
    return True


def made_rule(choose: random.Random, code: str) -> Rule:
    when = tuple(made_condition(choose) for _ in range(choose.choice((1, 2, 2, 2, 3, 3))))
    bound = sorted({f"${test.value}" for condition in when for test in condition.tests if test.operator == "same-as"})
    fields = choose.sample(FIELDS, choose.randrange(1, 4))
    values = [choose.choice([*bound, *bound, "a", 2.0]) if bound else choose.choice(("a", 2.0)) for _ in fields]
    kind = choose.choice(("deduced", "deduced", "suspicion", "output"))
    return Rule(code, when, Template(kind, tuple(zip(fields, values, strict=True))))


def made_condition(choose: random.Random) -> Condition:
    tests = [made_test(choose, field) for field in choose.sample(FIELDS, choose.choice((0, 0, 1, 1, 2)))]
    joins = choose.sample(FIELDS if choose.random() < 0.1 else TEXT_FIELDS, choose.choice((0, 1, 1, 2)))
    tests += [rules.Test(field, "same-as", choose.choice("xy")) for field in joins]
    if joins and choose.random() < 0.15:
        tests += [rules.Test(joins[0], "same-as", variable) for variable in "xy"]
    choose.shuffle(tests)
    return Condition(choose.choice(KINDS), tuple(tests))


def made_test(choose: random.Random, field: str) -> rules.Test:
    if field in NUMBER_FIELDS and choose.random() < 0.7:
        return rules.Test(field, choose.choice(("above", "at-least", "below", "at-most")), choose.choice(NUMBERS))
    operator = choose.choice(("is", "is-not", "any-of"))
    if operator == "any-of":
        return rules.Test(field, "any-of", tuple(choose.sample(TEXTS, 2)))
    return rules.Test(field, operator, choose.choice(TEXTS if choose.random() < 0.8 else NUMBERS))


def made_session(choose: random.Random) -> list[Fact]:
    """Make up to seventeen facts, in any order, some twice, with fields missing or unknown."""
    facts = [fact(choose.choice(KINDS), made_fields(choose)) for _ in range(choose.randrange(18))]
    return facts + choose.sample(facts, min(len(facts), 2))


def made_fields(choose: random.Random) -> dict[str, str | float]:
    fields: dict[str, str | float] = {}
    for name in choose.sample(FIELDS, choose.choice((2, 4, 5, 5))):
        number = name in NUMBER_FIELDS if choose.random() < 0.9 else name in TEXT_FIELDS
        fields[name] = choose.choice(NUMBERS if number else TEXTS)
    return fields


def made_sessions(seed: int) -> Iterator[tuple[Sequence[Rule], Engine, ClipsEngine, list[Fact]]]:
    choose = random.Random(seed)
    for _ in range(PROGRAMS):
        program = made_program(choose)
        engine, oracle = Engine({"all": program}), ClipsEngine(program, dict.fromkeys(KINDS, FIELDS))
        for _ in range(SESSIONS):
            yield program, engine, oracle, made_session(choose)


def test_every_firing_agrees_with_clips_and_with_a_naive_matcher() -> None:
    sessions = firings = chained = 0
    for program, engine, oracle, facts in made_sessions(2024):
        ours = engine.run("all", facts)

        assert len(set(ours)) == len(ours)
        assert set(ours) == set(oracle.run(facts)), (program, facts)
        assert set(ours) == match_naively(program, facts), (program, facts)
        sessions, firings = sessions + 1, firings + len(ours)
        chained += any(set(one.premises) - set(facts) for one in ours)
    assert sessions >= 5_000
    assert firings > 3 * sessions
    assert chained > sessions / 10


def test_many_rules_at_once_agree_too() -> None:
    choose = random.Random(7)
    program: list[Rule] = []
    while len(program) < 250:
        rule = made_rule(choose, f"R{len(program):03}")
        rule = Rule(rule.code, rule.when, Template("weight", rule.then.fields))
        program += [rule] if accepted(rule) else []
    engine, oracle = Engine({"all": program}), ClipsEngine(program, dict.fromkeys((*KINDS, "weight"), FIELDS))
    for _ in range(20):
        facts = made_session(choose)

        assert set(engine.run("all", facts)) == set(oracle.run(facts)) == match_naively(program, facts)
