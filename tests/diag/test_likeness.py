"""Texts that say much the same stand together."""

from __future__ import annotations

from diag.likeness import alike_groups


def test_like_texts_stand_together_and_the_largest_group_first() -> None:
    groups = alike_groups(
        ["boiler is cold", "lift stuck", "the lift stuck", "Lift stuck", "boiler cold", "lift stuck!"]
    )

    assert groups == [["lift stuck", "the lift stuck", "Lift stuck", "lift stuck!"], ["boiler is cold", "boiler cold"]]


def test_texts_without_letters_are_kept() -> None:
    assert sum(map(len, alike_groups(["???", "!!!", ""]))) == 3
