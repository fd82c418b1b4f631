"""Command classes at the 16 levels of ANSI/ASHRAE 135 clause 19.2."""

from __future__ import annotations

from itertools import permutations

import pytest

from diag.timeline.levels import DEFAULT_ORDER, full_order, level_name, levels_of


def test_by_default_life_safety_and_hands_have_the_levels_named_for_them() -> None:
    levels = levels_of(full_order(None))

    assert [level_name(it) for it in levels["smoke"]] == ["Manual life safety", "Automatic life safety"]
    assert [level_name(it) for it in levels["manual"]] == ["Manual operator"]
    assert [level_name(it) for it in levels["rain"]] == ["Critical equipment control"]
    assert level_name(16) == "Available"


@pytest.mark.parametrize("order", list(permutations(("smoke", "manual", "link", "automatic"))))
def test_a_stronger_class_is_always_shown_above_a_weaker(order: tuple[str, ...]) -> None:
    full = full_order(order)
    shown = [level for name in full for level in levels_of(full)[name]]

    assert shown == sorted(shown)
    assert [name for name in full if name in order] == list(order)
    assert sorted(full) == sorted(DEFAULT_ORDER)


def test_classes_left_out_follow_those_they_follow_by_default() -> None:
    assert full_order(("rain", "manual", "link", "automatic")) == DEFAULT_ORDER
    assert full_order(("manual", "rain")) == (
        "smoke", "maintenance", "wind", "manual", "rain", "link", "schedule", "automatic"
    )  # fmt: skip
