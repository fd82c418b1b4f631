"""What an evaluation returns, and what is refused."""

from __future__ import annotations

import ast
import itertools
import random
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from diag import rules
from diag.engine import Engine
from diag.engine_errors import FactRefused, RulesRefused
from diag.engine_evaluation import Identities
from diag.engine_rulesets import property_hash
from diag.rules import UNKNOWN, Condition, Fact, Firing, Rule, Template, fact

ROOT = Path(__file__).parents[2]

DEAD = Condition("drive", (rules.Test("state", "is", "dead"), rules.Test("output", "same-as", "output")))
LOW = Condition("output", (rules.Test("id", "same-as", "output"), rules.Test("voltage_v", "below", 20.0)))
SUPPLY = Rule("supply", (DEAD, LOW), Template("suspicion", (("cause", "supply-low"), ("part", "$output"))))
SUSPECTED = Condition("suspicion", (rules.Test("part", "same-as", "part"),))
ALIVE = Condition("drive", (rules.Test("output", "same-as", "part"), rules.Test("state", "is-not", "dead")))
NEIGHBOUR = Rule("neighbour", (SUSPECTED, ALIVE), Template("weight", (("part", "$part"), ("by", "weaker"))))

DEAD_DRIVE = fact("drive", {"id": "drive-1", "state": "dead", "output": "output-1"})
LIVE_DRIVE = fact("drive", {"id": "drive-2", "state": "moves", "output": "output-1"})
OTHER_DRIVE = fact("drive", {"id": "drive-3", "state": "moves", "output": "output-2"})
OUTPUT = fact("output", {"id": "output-1", "voltage_v": 17.5})
FACTS = (DEAD_DRIVE, LIVE_DRIVE, OTHER_DRIVE, OUTPUT)

SUSPICION = fact("suspicion", {"cause": "supply-low", "part": "output-1"})
EXPECTED = (
    Firing("neighbour", (SUSPICION, LIVE_DRIVE), fact("weight", {"part": "output-1", "by": "weaker"})),
    Firing("supply", (DEAD_DRIVE, OUTPUT), SUSPICION),
)


def meets(test: rules.Test, **fields: str | float) -> bool:
    """Whether one fact with these fields meets one test."""
    made = Rule("R", (Condition("thing", (test,)),), Template("met", ()))
    return bool(Engine({"all": [made]}).run("all", [fact("thing", fields)]))


def test_a_firing_names_the_rule_its_premises_in_the_order_of_the_conditions_and_what_follows() -> None:
    assert Engine({"all": [SUPPLY]}).run("all", FACTS) == EXPECTED[1:]


def test_a_derived_fact_meets_conditions_like_a_given_one() -> None:
    assert Engine({"all": [NEIGHBOUR, SUPPLY]}).run("all", FACTS) == EXPECTED


def test_the_order_and_number_of_equal_facts_make_no_difference() -> None:
    engine = Engine({"all": [SUPPLY, NEIGHBOUR]})

    assert {engine.run("all", (*order, order[0])) for order in itertools.permutations(FACTS)} == {EXPECTED}


def test_the_same_evaluation_in_another_process_gives_the_same_bytes() -> None:
    program = "from tests.diag.test_engine import *; print(Engine({'all': [SUPPLY, NEIGHBOUR]}).run('all', FACTS))"
    outputs = {
        subprocess.run(
            [sys.executable, "-c", program], cwd=ROOT, env={"PYTHONHASHSEED": seed}, capture_output=True, check=True
        ).stdout
        for seed in ("1", "2")
    }
    assert outputs == {f"{EXPECTED}\n".encode()}


def test_threads_share_an_engine_and_get_their_own_answers() -> None:
    engine = Engine({"all": [SUPPLY, NEIGHBOUR]})
    wrong: list[object] = []

    def ask(seed: int) -> None:
        choose = random.Random(seed)
        for _ in range(100):
            facts = [one for one in FACTS if one != DEAD_DRIVE or seed % 2]
            choose.shuffle(facts)
            answer = engine.run("all", facts)
            wrong.extend([answer] if answer != (EXPECTED if seed % 2 else ()) else [])

    threads = [threading.Thread(target=ask, args=(seed,)) for seed in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []


def test_chapters_keep_to_themselves() -> None:
    engine = Engine({"first": [SUPPLY], "second": [NEIGHBOUR], "empty": []})

    assert engine.run("first", FACTS) == EXPECTED[1:]
    assert engine.run("second", [SUSPICION, *FACTS]) == EXPECTED[:1]
    assert engine.run("empty", FACTS) == ()
    with pytest.raises(KeyError, match="third"):
        engine.run("third", FACTS)


def test_a_derived_fact_that_was_given_is_not_a_second_fact() -> None:
    circle = Rule("circle", (SUSPECTED,), Template("suspicion", (("part", "$part"), ("cause", "supply-low"))))

    assert Engine({"all": [circle]}).run("all", [SUSPICION]) == (Firing("circle", (SUSPICION,), SUSPICION),)


def test_a_rule_woken_late_still_sees_the_facts_given_first() -> None:
    pairs = tuple(Condition("drive", (rules.Test("output", "same-as", "x"),)) for _ in range(2))
    late = Rule("late", (SUSPECTED, *pairs), Template("pair", (("at", "$x"),)))
    firings = Engine({"all": [late, SUPPLY]}).run("all", FACTS)

    assert [one.premises[1:] for one in firings if one.rule == "late"] == [
        (DEAD_DRIVE, LIVE_DRIVE),
        (LIVE_DRIVE, DEAD_DRIVE),
    ]


@pytest.mark.parametrize(
    ("operator", "constant", "met", "unmet"),
    [
        ("is", "dead", ["dead"], ["Dead", "dead ", "", UNKNOWN, 1.0]),
        ("is", 4.0, [4.0], ["4.0", "4", 4.5, UNKNOWN]),
        ("is-not", "dead", ["alive", UNKNOWN, 4.0], ["dead"]),
        ("is-not", 4.0, ["4.0", 5.0, UNKNOWN], [4.0]),
        ("any-of", ("dead", "slow"), ["dead", "slow"], ["fast", UNKNOWN, 1.0]),
        ("above", 4.0, [4.0000001, 5.0], [4.0, 3.0, UNKNOWN, "5"]),
        ("at-least", 4.0, [4.0, 5.0], [3.9999999, UNKNOWN, "5"]),
        ("below", 0.0, [-0.1, -1e-300], [0.0, -0.0, UNKNOWN, "-5"]),
        ("at-most", 4.0, [4.0, -5.0], [4.0000001, UNKNOWN, "3"]),
        ("same-as", "x", ["dead", UNKNOWN, ""], [4.0]),
    ],
)
def test_each_operator_compares_what_it_says(
    operator: rules.Operator, constant: str | float, met: list[str | float], unmet: list[str | float]
) -> None:
    test = rules.Test("field", operator, constant)

    assert [meets(test, field=value) for value in met] == [True] * len(met)
    assert [meets(test, field=value) for value in unmet] == [False] * len(unmet)
    assert not meets(test, other="dead")


def test_two_bounds_on_one_field_enclose_a_range() -> None:
    between = (rules.Test("v", "above", 18.0), rules.Test("v", "at-most", 24.0))
    engine = Engine({"all": [Rule("R", (Condition("output", between),), Template("fine", ()))]})
    inside = [value for value in (17.0, 18.0, 18.5, 24.0, 24.5) if engine.run("all", [fact("output", {"v": value})])]

    assert inside == [18.5, 24.0]


def test_a_variable_named_twice_in_one_condition_asks_for_equal_text() -> None:
    itself = Condition("cable", (rules.Test("from", "same-as", "x"), rules.Test("to", "same-as", "x")))
    engine = Engine({"all": [Rule("R", (itself,), Template("loop", (("at", "$x"),)))]})
    cables = [fact("cable", {"from": "a", "to": end}) for end in ("a", "b", 1.0)]

    assert [one.derived for one in engine.run("all", cables)] == [fact("loop", {"at": "a"})]


def test_a_variable_may_be_written_with_its_dollar_sign() -> None:
    marked = Condition("drive", (rules.Test("output", "same-as", "$part"),))
    engine = Engine({"all": [Rule("R", (marked,), Template("seen", (("part", "$part"),)))]})

    assert engine.run("all", [LIVE_DRIVE])[0].derived == fact("seen", {"part": "output-1"})


def test_numbers_sort_before_text_in_one_field() -> None:
    engine = Engine({"all": [Rule("R", (Condition("drive"),), Template("seen", ()))]})
    facts = [fact("drive", {"v": value}) for value in ("b", 2.0, "a", 1.0)]

    assert [one.premises[0]["v"] for one in engine.run("all", facts)] == [1.0, 2.0, "a", "b"]


def test_facts_come_back_in_normal_form() -> None:
    engine = Engine({"all": [Rule("R", (Condition("caf\u00e9"),), Template("seen", ()))]})
    given = Fact("cafe\u0301", (("e\u0301", "e\u0301"), ("minus", -0.0), ("whole", 3)))
    premise = engine.run("all", [given])[0].premises[0]

    assert repr(premise) == repr(fact("caf\u00e9", {"\u00e9": "\u00e9", "minus": 0.0, "whole": 3.0}))


def test_a_fact_nobody_asks_about_is_checked_all_the_same() -> None:
    with pytest.raises(FactRefused, match="fact 'unread'"):
        Engine({"all": [SUPPLY]}).run("all", [fact("unread", {"v": float("nan")})])


def test_everything_wrong_with_the_rules_is_said_at_once_by_name() -> None:
    then = Template("seen", ())
    wrong = [
        Rule("empty", (), then),
        Rule("unbound", (DEAD,), Template("seen", (("part", "$other"),))),
        Rule("twice", (DEAD,), Template("seen", (("part", "a"), ("part", "b")))),
        Rule("text", (Condition("drive", (rules.Test("v", "above", "4"),)),), then),
        Rule("none", (Condition("drive", (rules.Test("v", "any-of", ()),)),), then),
        Rule("nameless", (Condition("drive", (rules.Test("v", "same-as", "$"),)),), then),
        Rule("broken", (Condition("drive", (rules.Test("v", "is", "\udfff"),)),), then),
    ]
    with pytest.raises(RulesRefused) as refusal:
        Engine({"good": [SUPPLY], "bad": wrong})

    assert [problem.split(":")[0] for problem in refusal.value.problems] == [
        f"chapter bad, rule {rule.code}" for rule in wrong
    ]


def test_identities_never_share_a_hash_with_each_other_or_the_session() -> None:
    identities = Identities()
    for _ in range(3):
        session = identities.session()
        texts = [identities.fact(number) for number in range(30_000)]

        assert len({property_hash(text) for text in (*texts, f"sid-{session}", "0")}) == 30_002


def test_one_module_imports_the_engine_package() -> None:
    importers = {
        path.name
        for folder in ("diag", "knowledge", "api")
        for path in (ROOT / folder).rglob("*.py")
        if "durable" in imported(path)
    }
    assert importers == {"engine_package.py"}


def imported(path: Path) -> set[str]:
    """Return the first words of all module names that the file imports, by statement or by name."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        if isinstance(node, ast.ImportFrom):
            names.add(node.module or "")
        if isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "import_module":
            names |= {str(getattr(argument, "value", "")) for argument in node.args}
    return {name.replace("_", ".").split(".")[0] for name in names}


def test_the_loader_flags_are_put_back_after_the_import() -> None:
    program = "import sys; a = sys.getdlopenflags(); import tests.diag.test_engine as t; t.Engine({}); "
    child = [sys.executable, "-c", program + "print(a == sys.getdlopenflags())"]

    assert subprocess.run(child, cwd=ROOT, capture_output=True, text=True, check=True).stdout == "True\n"


def test_a_package_that_was_not_built_says_what_to_install() -> None:
    program = """
import sys
sys.modules["durable_rules_engine"] = None
from diag.engine import Engine
from diag.engine_errors import EngineUnavailable
try:
    Engine({})
except EngineUnavailable as error:
    print(error)
"""
    child = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True)

    assert "gcc and python3-dev" in child.stdout
