"""Analogue signals, broken loops, and one kind read as another."""

import pytest

from diag.calculators.signals import (
    SIGNALS,
    explain_readings,
    loop_state,
    named_signal,
    received,
    shown_share,
    signal_from_value,
    value_from_signal,
)


def test_twelve_milliamperes_is_half_of_the_range() -> None:
    assert value_from_signal(12, named_signal("4-20 mA"), 0, 2000) == 1000
    assert value_from_signal(12, named_signal("0-20 mA"), 0, 2000) == 1200


def test_value_and_signal_are_each_others_inverse() -> None:
    for signal in SIGNALS.values():
        for value in (-20.0, 0.0, 17.5, 60.0):
            assert value_from_signal(signal_from_value(value, signal, -20, 60), signal, -20, 60) == pytest.approx(value)


@pytest.mark.parametrize(
    ("current_ma", "state"),
    [
        (0.0, "failed low"),
        (3.6, "failed low"),
        (3.7, "in doubt"),
        (3.8, "valid"),
        (20.5, "valid"),
        (20.8, "in doubt"),
        (21.0, "failed high"),
    ],
)
def test_a_loop_tells_a_failed_sender_by_ne_43(current_ma: float, state: str) -> None:
    assert loop_state(current_ma) == state


def test_only_a_live_zero_shows_a_broken_wire() -> None:
    assert [name for name, signal in SIGNALS.items() if signal.has_live_zero] == ["2-10 V", "1-5 V", "4-20 mA"]


def test_a_current_loop_through_500_ohm_gives_two_to_ten_volts() -> None:
    sender, reader = named_signal("4-20 mA"), named_signal("0-10 V")

    assert [received(amount, sender, reader, 500) for amount in (4, 12, 20)] == [2, 6, 10]


def test_a_current_loop_read_as_zero_to_ten_volts_shows_a_fifth_at_rest() -> None:
    shown = [shown_share(true, "4-20 mA", "0-10 V", 500) for true in (0.0, 0.5, 1.0)]

    assert shown == pytest.approx([0.2, 0.6, 1.0])


def test_a_current_loop_without_its_resistor_reads_full_at_once() -> None:
    assert [shown_share(true, "4-20 mA", "0-10 V") for true in (0.0, 0.5, 1.0)] == [1.0, 1.0, 1.0]


def test_a_live_zero_voltage_read_without_it_is_high_at_the_bottom() -> None:
    assert shown_share(0.0, "2-10 V", "0-10 V") == pytest.approx(0.2)
    assert shown_share(0.0, "0-10 V", "2-10 V") == 0.0


def test_two_readings_find_how_the_input_is_wired_and_set() -> None:
    found = explain_readings([(0.0, 0.2), (0.5, 0.6)], read_as="0-10 V")

    assert ("4-20 mA", 500.0) in [(one.sent_as, one.shunt_ohm) for one in found]
    assert ("2-10 V", None) in [(one.sent_as, one.shunt_ohm) for one in found]
    assert all(one.mean_error <= 0.03 for one in found)


def test_a_sound_input_answers_with_itself() -> None:
    best = explain_readings([(0.1, 0.1), (0.8, 0.8)], read_as="4-20 mA")[0]

    assert (best.sent_as, best.read_as, best.shunt_ohm) == ("4-20 mA", "4-20 mA", None)


def test_readings_that_fit_nothing_get_no_explanation() -> None:
    assert explain_readings([(0.0, 0.9), (1.0, 0.1)]) == ()


def test_an_unknown_signal_is_refused_with_the_names_there_are() -> None:
    with pytest.raises(ValueError, match="signal is 0-11 V; expected one of 0-10 V, 2-10 V"):
        named_signal("0-11 V")
    with pytest.raises(ValueError, match="pairs is empty"):
        explain_readings([])
    with pytest.raises(ValueError, match="low and high are both 5"):
        signal_from_value(5, named_signal("0-10 V"), 5, 5)
