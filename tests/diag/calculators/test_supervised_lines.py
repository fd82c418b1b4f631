"""What a supervised line shows in each state, and what a reading means."""

from math import inf

import pytest

from diag.calculators.supervised_lines import (
    SupervisedLine,
    fitted_end_resistors,
    hidden_states,
    leak_across_line_ohm,
    line_voltage_v,
    states_matching,
    voltage_windows_v,
    windows,
)


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        (SupervisedLine(10_000, 1_000, tolerance=0), [10_000, 909.1, 476.2, 5_000]),
        (SupervisedLine(4_700, 680, tolerance=0), [4_700, 594.1, 317.1, 2_350]),
    ],
)
def test_each_state_has_the_ohms_of_resistors_in_parallel(line: SupervisedLine, expected: list[float]) -> None:
    found = [window.low_ohm for window in windows(line)[:4]]

    assert found == pytest.approx(expected, abs=0.05)
    assert [window.state for window in windows(line)] == [
        "healthy",
        "one contact",
        "two contacts",
        "second end resistor",
        "short",
        "open",
    ]


def test_a_window_is_as_wide_as_tolerance_and_cable_make_it() -> None:
    healthy = windows(SupervisedLine(10_000, 1_000, tolerance=0.05, line_ohm=12))[0]

    assert (healthy.low_ohm, healthy.high_ohm) == pytest.approx((9_500, 10_512))


@pytest.mark.parametrize(
    ("measured_ohm", "states"),
    [
        (10_050, ("healthy",)),
        (5_010, ("second end resistor",)),
        (915, ("one contact",)),
        (470, ("two contacts",)),
        (2, ("short",)),
        (inf, ("open",)),
        (7_300, ()),
    ],
)
def test_a_reading_names_its_state(measured_ohm: float, states: tuple[str, ...]) -> None:
    assert states_matching(measured_ohm, SupervisedLine(10_000, 1_000)) == states


def test_a_contact_without_a_resistor_cannot_be_told_from_a_short() -> None:
    assert hidden_states(SupervisedLine(10_000)) == ("a closed contact looks like a short",)
    assert hidden_states(SupervisedLine(10_000, contact="normally closed")) == (
        "an open contact looks like a broken line",
    )
    assert hidden_states(SupervisedLine(10_000, 1_000)) == ()


def test_values_too_close_together_are_said_to_overlap() -> None:
    assert hidden_states(SupervisedLine(10_000, 10_000)) == ("one contact and second end resistor overlap",)


def test_a_normally_closed_contact_adds_its_resistor_when_it_opens() -> None:
    line = SupervisedLine(2_200, 4_700, contact="normally closed")

    assert states_matching(6_900, line) == ("one contact",)
    assert states_matching(2_200, line) == ("healthy",)


def test_damp_of_190_kilohm_reads_just_at_the_edge_of_ten_kilohm() -> None:
    measured = 1 / (1 / 10_000 + 1 / 190_000)

    assert measured == pytest.approx(9_500)
    assert leak_across_line_ohm(10_000, measured) == pytest.approx(190_000)
    assert leak_across_line_ohm(10_000, 10_100) == inf


def test_half_the_value_means_two_end_resistors() -> None:
    assert fitted_end_resistors(10_000, 5_020) == 2
    assert fitted_end_resistors(10_000, 10_300) == 1
    assert fitted_end_resistors(10_000, 3_333) == 3
    assert fitted_end_resistors(10_000, 7_000) is None
    assert fitted_end_resistors(10_000, 30_000) is None


def test_the_line_divides_the_voltage_that_feeds_it() -> None:
    assert line_voltage_v(10_000, 24, 2_000) == pytest.approx(20.0)
    assert line_voltage_v(0, 24, 2_000) == 0.0
    assert line_voltage_v(inf, 24, 2_000) == 24.0


def test_each_state_has_its_volts_at_the_panel() -> None:
    found = {state: (low, high) for state, low, high in voltage_windows_v(SupervisedLine(10_000, 1_000), 24, 2_000)}

    assert found["healthy"] == pytest.approx((24 * 9_500 / 11_500, 24 * 10_500 / 12_500))
    assert found["open"][1] == 24.0
    assert found["short"][0] == 0.0


@pytest.mark.parametrize(
    ("line", "named"),
    [
        (SupervisedLine(0), "end_ohm is 0"),
        (SupervisedLine(10_000, tolerance=0.5), "tolerance is 0.5; expected 0 to 0.2"),
        (SupervisedLine(10_000, line_ohm=-1), "line_ohm is -1"),
        (SupervisedLine(10_000, contact_ohm=0), "contact_ohm is 0"),
        (SupervisedLine(10_000, contact="open"), "contact is open; expected normally open"),  # type: ignore[arg-type]
    ],
)
def test_a_line_that_cannot_be_is_refused(line: SupervisedLine, named: str) -> None:
    with pytest.raises(ValueError, match=named):
        windows(line)
