"""Practice call-outs: the same for the same steps, scored as said, debriefed beside the planner."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from diag.errors import UnknownCause, UnknownCheck, UnknownPart
from diag.reasoner import PreparedSite, Reasoner
from diag.training.phrases import LANGUAGES, load_practice_words
from diag.training.practice.choosing import choose_practice
from diag.training.practice.planner import planners_way, wanted, wanted_for_repair
from diag.training.practice.run import PracticeRequest, begin_practice, open_options, replayed
from diag.training.practice.score import debrief
from diag.training.practice.steps import PRECAUTION_MINUTES, PRECAUTIONS, CallOutOver, Step, UnknownPrecaution
from diag.training.practice.wording import PracticeWords
from diag.training.quiz import UnknownTopic
from diag.virtual_checks import unsafe

REQUEST = PracticeRequest(seed=3)


def test_the_same_request_hides_the_same_fault(reasoner: Reasoner, medium: PreparedSite) -> None:
    one, two = (begin_practice(reasoner, medium, REQUEST) for _ in range(2))

    assert one.call.faults == two.call.faults
    assert one.words == two.words


def test_steps_taken_again_come_to_the_same(reasoner: Reasoner, medium: PreparedSite) -> None:
    planner = planners_way(reasoner, medium, REQUEST)
    again = replayed(reasoner, medium, REQUEST, [it.step for it in planner.taken])

    assert again.taken == planner.taken


def test_the_planner_solves_fair_call_outs_without_an_unsafe_act(reasoner: Reasoner, medium: PreparedSite) -> None:
    for seed in range(6):
        request = choose_practice(reasoner, medium, seed)
        found = debrief(planners_way(reasoner, medium, request), reasoner, medium, request)

        assert found.is_solved
        assert found.unsafe == ()
        assert found.points >= 60
        assert found.shortest_minutes <= found.planner_minutes


def test_a_topic_keeps_to_its_faults(reasoner: Reasoner, medium: PreparedSite) -> None:
    for seed in range(4):
        practice = begin_practice(reasoner, medium, PracticeRequest(seed, ("wiring",)))

        assert reasoner.knowledge.causes[practice.call.faults[0].cause].family == "wiring"


def test_precautions_cost_minutes_and_answer_dangers(reasoner: Reasoner, medium: PreparedSite) -> None:
    bare, careful = (begin_practice(reasoner, medium, REQUEST) for _ in range(2))
    check, part = next(it for it in open_options(bare) if wanted(bare, *it))
    needed = wanted(bare, check, part)
    live = bare.take(Step("check", check, part))
    safe = careful.take(Step("check", check, part, needed))

    assert live.dangers != ()
    assert safe.dangers == ()
    assert safe.minutes == live.minutes + PRECAUTION_MINUTES * len(needed)


def test_an_unsafe_act_is_told_and_costs_points(reasoner: Reasoner, medium: PreparedSite) -> None:
    practice = begin_practice(reasoner, medium, REQUEST)
    check, part = next(it for it in open_options(practice) if wanted(practice, *it))
    practice.take(Step("check", check, part))
    fault = practice.call.faults[0]
    practice.take(Step("repair", fault.cause, fault.part))
    practice.take(Step("proof", fault.cause, fault.part))
    found = debrief(practice, reasoner, medium, REQUEST)

    assert found.is_solved
    assert found.unsafe[0].step == 1
    assert found.for_safety < 30
    assert found.for_cause == 15


def test_a_needless_repair_costs_points_and_says_what_is_left(reasoner: Reasoner, medium: PreparedSite) -> None:
    practice = begin_practice(reasoner, medium, REQUEST)
    fault = practice.call.faults[0]
    wrong = "drive-motor-failed" if fault.cause != "drive-motor-failed" else "drive-electronics-failed"
    first = practice.take(Step("repair", wrong, "d1"))
    shown = practice.take(Step("proof", wrong, "d1"))
    practice.take(Step("repair", fault.cause, fault.part))
    found = debrief(practice, reasoner, medium, REQUEST)

    assert (first.works, first.was_there, shown.works) == (None, False, False)
    assert shown.says.startswith("Still there")
    assert (found.needless_repairs, found.for_cause, found.for_parts) == (1, 7, 5)


def test_a_repair_on_live_parts_is_unsafe_and_with_its_precautions_it_is_not(
    reasoner: Reasoner, medium: PreparedSite
) -> None:
    bare, careful = (begin_practice(reasoner, medium, REQUEST) for _ in range(2))
    asks = wanted_for_repair(bare, "drive-motor-failed", "d1")
    live = bare.take(Step("repair", "drive-motor-failed", "d1"))
    safe = careful.take(Step("repair", "drive-motor-failed", "d1", asks))

    assert {"isolated", "proved-dead"} <= set(asks)
    assert {it.precaution for it in live.dangers} == set(asks)
    assert safe.dangers == ()
    assert safe.minutes == live.minutes + PRECAUTION_MINUTES * len(asks)


@pytest.mark.parametrize("language", ["de", "da"])
def test_a_call_out_is_told_in_other_languages_and_stays_the_same(
    reasoner: Reasoner, medium: PreparedSite, language: str
) -> None:
    there = begin_practice(reasoner, medium, replace(REQUEST, language=language))
    here = begin_practice(reasoner, medium, REQUEST)
    one, two = (
        planners_way(reasoner, medium, replace(REQUEST, language=language)),
        planners_way(reasoner, medium, REQUEST),
    )

    assert there.words != here.words
    assert [(it.step, it.minutes, it.outcome) for it in one.taken] == [
        (it.step, it.minutes, it.outcome) for it in two.taken
    ]
    assert one.taken[-1].says == there.said.say("works") != here.said.say("works")


@pytest.mark.parametrize("language", LANGUAGES)
def test_practice_has_all_its_words_in_every_language(reasoner: Reasoner, language: str) -> None:
    words, english = load_practice_words(language), load_practice_words("en")
    said = PracticeWords(reasoner.knowledge, language)

    assert words.keys() == english.keys()
    assert all(said.precaution(it) for it in PRECAUTIONS)
    if language != "en":
        assert words["told"].keys() == reasoner.knowledge.conditions.keys()
        assert (
            set(re.findall(r'"([A-Z][^"{]+)", "[a-z-]+"\)', Path(unsafe.__file__).read_text())) <= words["why"].keys()
        )


def test_giving_up_earns_nothing_and_tells_the_cause(reasoner: Reasoner, medium: PreparedSite) -> None:
    practice = begin_practice(reasoner, medium, REQUEST)
    found = debrief(practice, reasoner, medium, REQUEST)

    assert (found.is_solved, found.points) == (False, 0)
    assert found.cause == practice.call.faults[0].cause
    assert all(mine is None and planned is not None for mine, planned in found.steps)


def test_nothing_can_be_done_once_it_works(reasoner: Reasoner, medium: PreparedSite) -> None:
    practice = begin_practice(reasoner, medium, REQUEST)
    fault = practice.call.faults[0]
    practice.take(Step("repair", fault.cause, fault.part))
    assert not practice.is_over
    practice.take(Step("proof", fault.cause, fault.part))

    assert practice.is_over
    with pytest.raises(CallOutOver):
        practice.take(Step("repair", fault.cause, fault.part))


def test_what_is_not_known_is_refused(reasoner: Reasoner, medium: PreparedSite) -> None:
    practice = begin_practice(reasoner, medium, REQUEST)
    with pytest.raises(UnknownCheck):
        practice.take(Step("check", "volts-drvie", "d1"))
    with pytest.raises(UnknownCause):
        practice.take(Step("repair", "core-opn", "k1"))
    with pytest.raises(UnknownPart):
        practice.take(Step("check", "volts-drive", "d99"))
    with pytest.raises(UnknownPart, match="d1"):
        practice.take(Step("check", "read-lockouts", "d1"))
    with pytest.raises(UnknownPrecaution):
        Step("check", "volts-drive", "d1", ("isolate",))
    with pytest.raises(UnknownTopic):
        choose_practice(reasoner, medium, 1, ("wirring",))
