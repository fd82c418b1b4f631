"""What the rule-engine package does wrong when it is used plainly, and that the engine built on it is free of it.

Each test shows the trap first, so that a version of the package without it is noticed.
"""

from __future__ import annotations

import signal
import subprocess
import sys
import threading
from pathlib import Path
from typing import Any

import pytest

from diag import rules
from diag.engine import Engine
from diag.engine_errors import EngineFailed, FactRefused, RulesRefused
from diag.engine_package import Session, create_ruleset, load_package
from diag.engine_rulesets import property_hash
from diag.rules import Condition, Fact, Rule, Template, fact
from tests.diag.raw_package import QuietHost, durable, fire, quiet_host, run_child

pytestmark = pytest.mark.filterwarnings("ignore:datetime.datetime.utc:DeprecationWarning")

ANY_V = [{"m": {"$ex": {"v": 1}}}]
SAME_V = [{"a": {"k": "a"}}, {"b": {"$and": [{"k": "b"}, {"v": {"a": "v"}}]}}]
CRASHES = (-signal.SIGSEGV, -signal.SIGABRT)
FOUND = Template("found", (("what", "it"),))


def rule(code: str, *when: Condition) -> Rule:
    return Rule(code, when, FOUND)


def fired(made: list[Rule], *facts: Fact) -> list[str]:
    return [firing.rule for firing in Engine({"all": made}).run("all", facts)]


def test_a_session_in_which_no_rule_fires_can_be_dropped() -> None:
    died = run_child("""
host = quiet_host({"r": [{"m": {"v": 1}}]}, lambda c: None)
for sid in range(200):
    try:
        host.assert_fact("rules", {"sid": str(sid), "v": 2})
    except durable.MessageNotHandledException:
        pass
    host.delete_state("rules", str(sid))
""")
    assert died.returncode in CRASHES

    ours = run_child("""
from tests.diag.test_engine_traps import *
engine = Engine({"all": [rule("R", Condition("drive", (rules.Test("v", "is", 1.0),)), Condition("lamp"))]})
print({engine.run("all", [fact("drive", {"v": 1.0}), fact("other", {})]) for _ in range(200)})
""")
    assert (ours.stdout, ours.returncode) == ("{()}\n", 0)


@pytest.mark.parametrize("second", [{"w": 1}, {"v": 1}], ids=["unmatched", "duplicate"])
def test_a_useless_fact_does_not_keep_the_others_from_firing(second: dict[str, int]) -> None:
    seen: list[Any] = []
    host = quiet_host({"r": [{"m": {"v": 1}}]}, lambda c: seen.append(c.m))
    with pytest.raises((durable.MessageNotHandledException, durable.MessageObservedException)):
        host.assert_facts("rules", [{"v": 1}, second])
    assert seen == []

    useful = fact("drive", {"v": 1.0})
    useless = fact("drive", {name: float(value) for name, value in second.items()})
    assert fired([rule("R", Condition("drive", (rules.Test("v", "is", 1.0),)))], useful, useless) == ["R"]


def test_two_evaluations_are_both_answered() -> None:
    seen: list[str] = []
    host = quiet_host({"r": [{"m": {"v": 1}}]}, lambda c: seen.append(c.s.sid))
    host.assert_facts("rules", [{"sid": "1", "v": 1}, {"sid": "2", "v": 1}])
    assert seen == ["2"]

    engine = Engine({"all": [rule("R", Condition("drive"))]})
    assert [len(engine.run("all", [fact("drive", {"id": name})])) for name in "12"] == [1, 1]


def test_states_do_not_pile_up() -> None:
    kept = run_child("""
host = quiet_host({"r": [{"m": {"v": 1}}]}, lambda c: None)
for sid in range(2000):
    try:
        host.assert_fact("rules", {"sid": str(sid), "v": 1})
    except MemoryError:
        print(sid)
        break
""")
    assert kept.stdout == "1024\n"

    engine = Engine({"all": [rule("R", Condition("drive"))]})
    assert all(len(engine.run("all", [fact("drive", {})])) == 1 for _ in range(1100))


def resident_bytes() -> int:
    return int(Path("/proc/self/statm").read_text().split()[1]) * 4096


def test_rules_are_compiled_once_and_two_thousand_evaluations_cost_little_memory() -> None:
    grown = run_child("""
from pathlib import Path
size = lambda: int(Path("/proc/self/statm").read_text().split()[1]) * 4096
first = size()
for _ in range(60):
    quiet_host({f"r{i}": [{"a": {"k": f"a{i}"}}, {"b": {"k": f"b{i}"}}] for i in range(50)}, lambda c: None)
print(size() - first)
""")
    assert int(grown.stdout) > 20_000_000

    joined = (rules.Test("at", "same-as", "x"),)
    made = [rule(f"R{i}", Condition("drive", joined), Condition("output", joined)) for i in range(10)]
    facts = [fact(kind, {"id": str(i), "at": str(i % 5)}) for kind in ("drive", "output") for i in range(10)]
    engine = Engine({"all": made})
    expected = engine.run("all", facts)
    before = resident_bytes()
    for _ in range(2000):
        assert len(engine.run("all", facts)) == len(expected) == 200
    assert resident_bytes() - before < 15_000_000


def test_no_threads_race_for_the_firings() -> None:
    before = threading.active_count()
    host = durable.Host({})
    assert threading.active_count() == before + 2
    host._d_timer.cancel(), host._t_timer.cancel()

    Engine({"all": [rule("R", Condition("drive"))]}).run("all", [fact("drive", {})])
    assert threading.active_count() <= before + 2


def test_a_failure_while_firing_is_not_swallowed() -> None:
    def leave(_: Any) -> None:
        raise SystemExit(3)

    host = quiet_host({"r": ANY_V}, leave)
    state = host.assert_fact("rules", {"v": 1})
    assert "exception caught 3" in state["exception"]

    package = load_package()
    handle = create_ruleset(package, "r", '{"start": {"all": [{"m0": {"$ex": {"start": 1}}}]}}')
    session = Session(package, handle, 1)
    with pytest.raises(EngineFailed, match=r"the engine refused fact \{: "):
        session.store("{")
    session.close()
    with pytest.raises(EngineFailed, match="error code: 309"):
        session.close()


@pytest.mark.parametrize("again", [{"v": 1}, {"w": 1}], ids=["known", "unmatched"])
def test_a_known_or_useless_derived_fact_does_not_end_a_firing_halfway(again: dict[str, int]) -> None:
    reached: list[int] = []

    def derive(c: Any) -> None:
        reached.append(1)
        c.assert_fact(dict(again))
        reached.append(2)

    quiet_host({"r": ANY_V}, derive).assert_fact("rules", {"v": 1})
    assert reached == [1]

    once = Rule("A", (Condition("drive"),), Template("drive", (("v", 1.0),)))
    useless = Rule("B", (Condition("drive"),), Template("unread", (("w", 1.0),)))
    later = rule("C", Condition("drive"), Condition("lamp"))
    assert fired([once, useless, later], fact("drive", {"v": 1.0}), fact("lamp", {})) == ["A", "B", "C"]


def test_facts_that_read_alike_stay_apart() -> None:
    assert fire({"r": ANY_V}, [{"v": 1}, {"v": "1"}]) == ["MessageObservedException", "r"]

    facts = [fact("drive", {"v": value}) for value in (1.0, "1", "1.0", "true")]
    assert fired([rule("R", Condition("drive"))], *facts) == ["R"] * 4


def test_a_field_called_id_is_a_field_like_any_other() -> None:
    assert fire({"r": ANY_V}, [{"id": "x", "v": 1}, {"id": "x", "v": 2}]) == ["MessageObservedException", "r"]

    facts = [fact("drive", {"id": "x", "sid": "1", "v": value}) for value in (1.0, 2.0)]
    assert fired([rule("R", Condition("drive", (rules.Test("id", "is", "x"),)))], *facts) == ["R", "R"]


def test_facts_and_fields_whose_names_share_a_hash_stay_apart() -> None:
    assert property_hash("f6059") == property_hash("f264602")
    assert fire({"r": ANY_V}, [{"id": "f6059", "v": 1}, {"id": "f264602", "v": 1}])[0] != "r"
    assert fire({"r": [{"m": {"f6059": 1}}]}, [{"f264602": 1}]) == ["r"]

    made = [rule("R", Condition("drive", (rules.Test("f6059", "is", 1.0),)))]
    assert fired(made, fact("drive", {"f264602": 1.0})) == []
    facts = [fact("drive", {"id": name, "f6059": 1.0}) for name in ("f6059", "f264602")]
    assert fired(made, *facts) == ["R", "R"]


def test_whole_numbers_and_floats_are_one_type() -> None:
    assert fire({"r": SAME_V}, [{"k": "a", "v": 4}, {"k": "b", "v": 4.0}]) == []
    assert fire({"r": [{"m": {"v": 1}}]}, [{"v": True}]) == ["r"]

    made = [rule("R", Condition("drive", (rules.Test("v", "is", 4),)))]
    assert fired(made, Fact("drive", (("v", 4),))) == ["R"]
    with pytest.raises(FactRefused, match="True is neither text nor a number"):
        fired(made, Fact("drive", (("v", True),)))


def test_a_number_joins_no_text_and_numbers_do_not_join() -> None:
    assert fire({"r": SAME_V}, [{"k": "a", "v": 4}, {"k": "b", "v": "4"}]) == ["r"]

    joined = (rules.Test("v", "same-as", "x"),)
    made = [rule("R", Condition("drive", joined), Condition("output", joined))]
    assert fired(made, fact("drive", {"v": 4.0}), fact("output", {"v": "4.0"})) == []
    assert fired(made, fact("drive", {"v": 0.1234561}), fact("output", {"v": 0.1234562})) == []
    assert fired(made, fact("drive", {"v": "4"}), fact("output", {"v": "4"})) == ["R"]


@pytest.mark.parametrize("value", [1e-07, 1e16, -2.5e-300])
def test_numbers_with_an_exponent_are_compared(value: float) -> None:
    if "." not in repr(value):
        with pytest.raises(Exception, match="error code: 204"):
            fire({"r": ANY_V}, [{"v": value}])
        with pytest.raises(Exception, match="error code: 204"):
            fire({"r": [{"m": {"$gt": {"v": value}}}]}, [])

    made = [
        rule("above", Condition("drive", (rules.Test("v", "above", value),))),
        rule("is", Condition("drive", (rules.Test("v", "is", value),))),
        rule("least", Condition("drive", (rules.Test("v", "at-least", value),))),
    ]
    assert fired(made, fact("drive", {"v": value})) == ["is", "least"]


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_a_number_that_is_none_is_refused_with_its_name(value: float) -> None:
    if value != value:
        assert fire({"r": [{"m": {"v": None}}]}, [{"v": value}]) == ["r"]
    else:
        with pytest.raises(Exception, match="error code: 20"):
            fire({"r": ANY_V}, [{"v": value}])

    with pytest.raises(FactRefused, match=f"fact 'drive' .*{value!r} is not a finite number"):
        fired([rule("R", Condition("drive"))], fact("drive", {"v": value}))
    with pytest.raises(RulesRefused, match=f"rule R: {value!r} is not a finite number"):
        fired([rule("R", Condition("drive", (rules.Test("v", "above", value),)))])


def test_text_is_never_above_a_number() -> None:
    assert fire({"r": [{"m": {"$gt": {"v": 4.0}}}]}, [{"v": "unknown"}]) == ["r"]

    above = rule("above", Condition("drive", (rules.Test("v", "above", 4.0),)))
    below = rule("below", Condition("drive", (rules.Test("v", "below", 4.0),)))
    assert fired([above, below], *(fact("drive", {"v": text}) for text in ("unknown", "9", "!", ""))) == []


def test_arithmetic_is_no_part_of_the_rule_language() -> None:
    half = {"m": {"v": {"$div": {"$l": {"$m": "a"}, "$r": 2}}}}
    assert fire({"r": [half]}, [{"v": 1, "a": 3}]) == ["r"]

    with pytest.raises(RulesRefused, match="'divided-by' is not an operator"):
        fired([rule("R", Condition("drive", (rules.Test("v", "divided-by", 2.0),)))])  # type: ignore[arg-type]


def test_a_missing_field_meets_no_test_and_none_is_refused() -> None:
    assert fire({"r": [{"m": {"v": None}}]}, [{"v": None}]) == ["r"]
    assert fire({"r": [{"m": {"$neq": {"v": 1}}}], "seen": [{"m": {"k": 1}}]}, [{"k": 1}]) == ["seen"]

    made = [rule("R", Condition("drive", (rules.Test("v", "is-not", "a"),)))]
    assert fired(made, fact("drive", {"w": "b"})) == []
    with pytest.raises(FactRefused, match="None is neither text nor a number"):
        fired(made, Fact("drive", (("v", None),)))  # type: ignore[arg-type]


def test_one_fact_never_meets_two_conditions_of_a_rule() -> None:
    assert fire({"r": [{"a": {"k": "x"}}, {"b": {"v": 1}}], "seen": [{"m": {"k": "x"}}]}, [{"k": "x", "v": 1}]) == [
        "seen"
    ]

    made = [rule("R", Condition("drive"), Condition("drive"))]
    assert fired(made, fact("drive", {"id": "1"})) == []
    assert fired(made, fact("drive", {"id": "1"}), fact("drive", {"id": "2"})) == ["R", "R"]


def test_absence_depends_on_order_there_and_cannot_be_asked_for_here() -> None:
    unless = [{"a": {"k": "a"}}, {"b$not": {"k": "b"}}]
    assert fire({"r": unless}, [{"k": "a"}, {"k": "b"}]) == ["r"]
    assert fire({"r": unless}, [{"k": "b"}, {"k": "a"}]) == []
    assert fire({"r": [{"b$not": {"k": "b"}}], "go": [{"m": {"k": "go"}}]}, [{"k": "go"}]) == ["go"]

    with pytest.raises(RulesRefused, match="'absent' is not an operator"):
        fired([rule("R", Condition("drive", (rules.Test("v", "absent", "a"),)))])  # type: ignore[arg-type]


def test_what_followed_from_a_fact_goes_with_it() -> None:
    def derive(c: Any) -> None:
        c.assert_fact({"derived": 1})

    asked = {"all": [{"m": {"derived": 1}}], "run": lambda _: None}
    host = QuietHost({"rules": {"r": {"all": ANY_V, "run": derive}, "s": asked}})
    host.assert_fact("rules", {"v": 1})
    host.retract_fact("rules", {"v": 1})
    assert [kept for kept in host.get_ruleset("rules").get_facts("0") if kept.get("derived")]

    chained = rule("B", Condition("deduced"))
    engine = Engine({"all": [Rule("A", (Condition("drive"),), Template("deduced", (("v", "a"),))), chained]})
    assert [one.rule for one in engine.run("all", [fact("drive", {})])] == ["A", "B"]
    assert engine.run("all", []) == ()


def test_broken_text_is_refused_with_its_name_and_composed_text_equals_decomposed() -> None:
    with pytest.raises(Exception, match="Invalid argument"):
        fire({"r": ANY_V}, [{"v": "\ud800"}])
    assert fire({"r": [{"m": {"v": "caf\u00e9"}}], "seen": ANY_V}, [{"v": "cafe\u0301"}]) == ["seen"]

    made = [rule("R", Condition("drive", (rules.Test("v", "is", "cafe\u0301"),)))]
    assert fired(made, fact("drive", {"v": "caf\u00e9"})) == fired(made, fact("drive", {"v": "cafe\u0301"})) == ["R"]
    with pytest.raises(FactRefused, match=r"'\\ud800' is not valid text"):
        fired(made, fact("drive", {"v": "\ud800"}))


def test_text_is_compared_to_its_end() -> None:
    much = "x" * 65536
    assert fire({"r": [{"m": {"v": much}}]}, [{"v": "y" * 65536}]) == ["r"]
    assert fire({"r": [{"m": {"$lt": {"v": "ab c"}}}], "seen": ANY_V}, [{"v": "ab"}]) == ["seen"]

    joined = (rules.Test("v", "same-as", "x"),)
    made = [rule("R", Condition("drive", joined), Condition("output", joined))]
    made.append(rule("S", Condition("drive", (rules.Test("v", "is", much),))))
    assert fired(made, fact("drive", {"v": "y" * 65536}), fact("output", {"v": "z" * 65536})) == []
    assert fired(made, fact("drive", {"v": much}), fact("output", {"v": much})) == ["R", "S"]


@pytest.mark.parametrize("text", ['"', "\\", "'", "\n", "\0", "a,b}]", "$x", "{}", "\U0001f6aa"])
def test_any_text_joins_itself_only(text: str) -> None:
    joined = (rules.Test("v", "same-as", "x"),)
    made = [rule("R", Condition("drive", joined), Condition("output", joined))]
    assert fired(made, fact("drive", {"v": text}), fact("output", {"v": text})) == ["R"]
    assert fired(made, fact("drive", {"v": text}), fact("output", {"v": text + "."})) == []


def test_a_choice_does_not_switch_off_the_join_beside_it() -> None:
    choice = {"$and": [{"$or": [{"k": "b"}, {"k": "c"}]}, {"v": {"a": "v"}}]}
    assert fire({"r": [{"a": {"k": "a"}}, {"b": choice}]}, [{"k": "a", "v": "1"}, {"k": "b", "v": "2"}]) == ["r"]

    joined = rules.Test("v", "same-as", "x")
    choices = (rules.Test("k", "any-of", ("b", "c")), joined)
    made = [rule("R", Condition("drive", (joined,)), Condition("output", choices))]
    assert fired(made, fact("drive", {"v": "1"}), fact("output", {"k": "b", "v": "2"})) == []
    assert fired(made, fact("drive", {"v": "1"}), fact("output", {"k": "b", "v": "1"})) == ["R"]


def test_rules_that_tie_come_out_sorted() -> None:
    same = [{"m": {"v": 1}}]
    assert fire(dict.fromkeys("cab", same), [{"v": 1}]) == ["a", "b", "c"]

    made = [rule(name, Condition("drive")) for name in ("c", "a", "b")]
    facts = [fact("drive", {"id": name}) for name in "ba"]
    ordered = [(one.rule, one.premises[0]["id"]) for one in Engine({"all": made}).run("all", facts)]
    assert ordered == [("a", "a"), ("a", "b"), ("b", "a"), ("b", "b"), ("c", "a"), ("c", "b")]


def test_many_rules_join_the_same_kind_of_fact() -> None:
    with pytest.raises(Exception, match="error code: 303"):
        fire({f"r{i}": SAME_V for i in range(65)}, [{"k": "a", "v": "1"}, {"k": "b", "v": "1"}])

    joined = (rules.Test("v", "same-as", "x"),)
    made = [rule(f"R{i:03}", Condition("drive", joined), Condition("output", joined)) for i in range(300)]
    assert fired(made, fact("drive", {"v": "1"}), fact("output", {"v": "1"})) == [one.code for one in made]


def test_many_rules_ask_exactly_the_same() -> None:
    program = 'fire({f"r{i}": [{"m": {"v": 1}}] for i in range(COUNT)}, [{"v": 1}])'
    codes = {count: run_child(program.replace("COUNT", str(count))).returncode for count in (255, 256, 257)}
    assert codes[255] == 0
    assert {codes[256], codes[257]} & set(CRASHES)

    made = [rule(f"R{i:03}", Condition("drive")) for i in range(600)]
    assert fired(made, fact("drive", {})) == [one.code for one in made]


def test_many_constants_are_compared_with_one_field() -> None:
    with pytest.raises(Exception, match="error code: 303"):
        fire({f"r{i}": [{"m": {"v": f"c{i}"}}] for i in range(512)}, [{"v": "c1"}])
    with pytest.raises(subprocess.TimeoutExpired):
        run_child('fire({f"r{i}": [{"m": {"v": f"c{i}"}}] for i in range(600)}, [{"v": "c1"}])', limit_s=2)

    made = [rule(f"R{i}", Condition("drive", (rules.Test("v", "is", f"c{i}"),))) for i in range(1500)]
    made += [rule(f"S{i:02}", Condition("drive", (rules.Test("n", "at-least", float(i)),))) for i in range(100)]
    assert fired(made, fact("drive", {"v": "c1499", "n": 98.0})) == ["R1499", *(f"S{i:02}" for i in range(99))]


def test_many_rules_and_kinds_fit_a_chapter() -> None:
    over = run_child("""
rules = {f"r{i}": [{"m": {"$and": [{"k": f"k{i // 60}"}, {"v": i}]}}] for i in range(4097)}
fire(rules, [])
""")
    assert "error code: 106" in over.stderr

    made = [rule(f"R{i}", Condition(f"kind-{i}", (rules.Test("v", "is", "a"),))) for i in range(5000)]
    assert fired(made, fact("kind-4999", {"v": "a"}), fact("kind-7", {"v": "a"})) == ["R4999", "R7"]


def test_a_fact_may_have_many_fields() -> None:
    wide: dict[str, str | float] = {f"p{i}": float(i) for i in range(300)}
    with pytest.raises(Exception, match="error code: 302"):
        fire({"r": [{"m": {"p1": 1}}]}, [wide])

    tests = tuple(rules.Test(name, "is", value) for name, value in wide.items())
    assert fired([rule("R", Condition("drive", tests))], fact("drive", wide)) == ["R"]


def test_a_rule_with_too_many_conditions_is_refused_by_name() -> None:
    with pytest.raises(Exception, match="error code: 304"):
        fire({"r": [{f"m{i}": {"k": i}} for i in range(17)]}, [{"k": i} for i in range(17)])

    conditions = [Condition(f"kind-{i}") for i in range(17)]
    facts = [fact(one.kind, {}) for one in conditions]
    assert fired([rule("R", *conditions[:16])], *facts) == ["R"]
    with pytest.raises(RulesRefused, match="rule R: 17 conditions, and 1 to 16 are possible"):
        fired([rule("R", *conditions)])


def test_a_condition_with_too_many_joins_is_refused_by_name() -> None:
    def joined(count: int) -> list[Rule]:
        tests = tuple(rules.Test(f"f{i}", "same-as", f"x{i}") for i in range(count))
        return [rule("R", Condition("drive", tests), Condition("output", tests))]

    values: dict[str, str | float] = {f"f{i}": str(i) for i in range(28)}
    assert fired(joined(28), fact("drive", values), fact("output", values)) == ["R"]
    with pytest.raises(RulesRefused, match="rule R: 29 joins in condition 2"):
        fired(joined(29))


@pytest.mark.skipif(sys.version_info < (3, 13), reason="the missing function was removed in Python 3.13")
def test_the_package_cannot_be_imported_plainly_where_a_function_is_missing() -> None:
    command = [sys.executable, "-c", "import durable_rules_engine"]
    plain = subprocess.run(command, capture_output=True, text=True, check=False)
    assert "undefined symbol: PyEval_CallObject" in plain.stderr
