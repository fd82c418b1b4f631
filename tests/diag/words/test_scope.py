"""What is spoken of first decides whether a text is about this kind of installation."""

from __future__ import annotations

from diag.words.ideas import Mention
from diag.words.scope import FOR_OTHER, FOR_OTHER_FIRST, FOR_OTHER_SUBJECT, FOR_OWN, FOR_UNKNOWN, strangeness


def of(*ideas: str) -> float:
    """Return the strangeness of mentions of one idea each."""
    mentions = [Mention((idea,), at, at) for at, idea in enumerate(ideas)]
    return strangeness(mentions, tuple(frozenset({idea}) for idea in ideas))


def test_a_thing_of_this_kind_that_comes_first_speaks_for_the_text() -> None:
    assert of("opening", "elsewhere") == of("drive") == FOR_OWN < 0


def test_a_thing_of_another_trade_speaks_against_it_and_less_so_before_one_of_ours() -> None:
    assert of("elsewhere") == FOR_OTHER_SUBJECT > of("elsewhere", "noise", "opening") == FOR_OTHER_FIRST > FOR_OWN


def test_a_thing_of_another_trade_counts_less_where_it_comes_late() -> None:
    assert of("noise", "move", "elsewhere") == FOR_OTHER < FOR_OTHER_SUBJECT


def test_a_thing_of_another_trade_right_before_an_opening_says_which_opening() -> None:
    assert of("elsewhere", "opening") == FOR_OWN < of("elsewhere", "drive")


def test_an_unknown_word_for_the_thing_speaks_against_it_unless_one_of_ours_is_named() -> None:
    mentions = (Mention(("noise",), 1, 1),)
    features = (frozenset({"noise"}),)
    assert strangeness(mentions, features, begins_unknown=True) == FOR_UNKNOWN
    assert strangeness(mentions, (frozenset({"drive"}),), begins_unknown=True) == FOR_OWN


def test_what_names_no_thing_tells_nothing() -> None:
    assert of("noise") == 0


def test_a_named_part_is_a_thing_of_this_kind() -> None:
    assert strangeness([Mention(("switch",), 0, 1, parts=("sw-a",))], (frozenset({"switch"}),)) == FOR_OWN
