"""Taps, holds, bounces and contacts that never open."""

import pytest

from diag.calculators.presses import Press, hold_reached_after_s, press_kind, presses


@pytest.mark.parametrize(
    ("length_s", "kind"),
    [(0.0, "bounce"), (0.0062, "bounce"), (0.03, "tap"), (0.49, "tap"), (0.5, "hold"), (59.9, "hold"), (60, "stuck")],
)
def test_the_length_of_a_press_decides_what_it_means(length_s: float, kind: str) -> None:
    assert press_kind(length_s) == kind


def test_a_longer_threshold_turns_a_hold_into_a_tap() -> None:
    assert press_kind(0.8, hold_s=0.5) == "hold"
    assert press_kind(0.8, hold_s=1.0) == "tap"


def test_thresholds_out_of_order_are_refused() -> None:
    with pytest.raises(ValueError, match="expected rising"):
        press_kind(1.0, hold_s=0.02, debounce_s=0.03)


def test_a_bouncing_press_counts_once() -> None:
    edges = [
        (1.0, True),
        (1.002, False),
        (1.004, True),
        (1.006, False),
        (1.007, True),
        (1.4, False),
        (1.403, True),
        (1.405, False),
    ]

    found = presses(edges)

    assert len(found) == 1
    assert found[0].start_s == pytest.approx(1.007)
    assert found[0].length_s == pytest.approx(0.398)


def test_two_presses_stay_two() -> None:
    found = presses([(0.0, True), (0.2, False), (0.5, True), (1.5, False)])

    assert [(press.start_s, press.length_s) for press in found] == [(0.0, 0.2), (0.5, 1.0)]


def test_a_press_that_still_lasts_has_no_length() -> None:
    assert presses([(3.0, True)]) == (Press(3.0, None),)
    assert presses([]) == ()


def test_a_press_becomes_a_hold_at_the_threshold() -> None:
    assert hold_reached_after_s(2.0, 0.7) == 2.7


def test_edges_out_of_order_are_refused() -> None:
    with pytest.raises(ValueError, match="edges go back from 2 s to 1 s"):
        presses([(2.0, True), (1.0, False)])
