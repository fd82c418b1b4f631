"""Item-writing rules: what each refuses, and what passes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from diag.training.item import Item
from diag.training.lint import CHOICE_RULES, OTHER_RULES, faults_of
from tests.diag.training.builders import in_order, pairs, question

SOUND = question("A broken core", "A stiff hinge", "A blown fuse")


def rules_broken(item: Item) -> list[str]:
    """Return the rules an item breaks, without their sources."""
    return [it.rule.partition(" (")[0] for it in faults_of(item)]


def test_a_sound_question_breaks_no_rule() -> None:
    assert faults_of(SOUND) == ()


@pytest.mark.parametrize(
    ("item", "rule"),
    [
        (replace(SOUND, answer=("c0", "c1")), "one right answer"),
        (replace(SOUND, answer=("nothing",), response="order"), "an order that has to be found"),
        (question("A broken core", "A stiff hinge"), "three options or more"),
        (question("A broken core", "a broken core", "A blown fuse"), "choices differ"),
        (replace(SOUND, lead_in="The cause is"), "a question that can be answered with the choices covered"),
        (replace(SOUND, lead_in="Which is not the cause?"), "no negative lead-in unless emphasised"),
        (question("A broken core", "A stiff hinge", "All of the above"), "no all or none of the above"),
        (question("A broken core", "It always sticks", "A blown fuse"), "no absolute words"),
        (question("A broken core", "It often sticks", "A blown fuse"), "no vague words of frequency"),
        (
            question(
                "A core of the lead to the drive is broken inside the junction box", "A stiff hinge", "A blown fuse"
            ),
            "the right answer is not the long one",
        ),
        (question("Fuse", "Hinge", "A very long wrong answer about many things at once"), "options of like length"),
        (
            question("Water in a box", "A stiff hinge", "A blown fuse", stem="It happens after water came in."),
            "no word of the stem in the right answer alone",
        ),
        (question("It does not close", "It opens", "It stops"), "no lone negative that gives the answer away"),
        (question("Too low", "Too low at night", "Too high"), "options do not overlap"),
        (
            question("Cable broken, motor dead", "Cable loose, fuse open", "Motor worn, hinge broken"),
            "no convergence",
        ),
        (question("24 V", "0 V", "12 V"), "options in logical order"),
        (question("0 V", "12 mA", "24 V"), "numbers in one unit"),
        (question("A broken core.", "A stiff hinge", "A blown fuse"), "options of one form"),
        (question("A broken core", "A stiff hinge", "x" * 170), "options are short"),
        (in_order("One", "Two", right=(0, 1)), "an order that has to be found"),
        (pairs(("P", "Q"), ("One", "Two"), (0, 1)), "pairs with a spare choice"),
        (pairs(("P", "Q"), ("One", "Two", "Three"), (0, 0)), "pairs with a spare choice"),
    ],
)
def test_each_rule_refuses_what_breaks_it(item: Item, rule: str) -> None:
    assert rule in rules_broken(item)


def test_a_choice_without_a_reason_is_refused() -> None:
    bare = replace(SOUND.choices[1], why=" ")

    assert "every option has its reason" in rules_broken(
        replace(SOUND, choices=(SOUND.choices[0], bare, *SOUND.choices[2:]))
    )


def test_an_emphasised_negative_passes() -> None:
    assert faults_of(replace(SOUND, lead_in="Which is NOT a cause?")) == ()


def test_numbers_of_one_unit_in_rising_order_pass() -> None:
    assert faults_of(question("-24 V", "0 V", "24 V", key=1)) == ()


def test_every_rule_names_the_publication_it_is_from_or_is_about_form() -> None:
    unnamed = [it for it in (*CHOICE_RULES, *OTHER_RULES) if "NBME" not in it and "HDR" not in it]

    assert unnamed == ["an order that has to be found"]
