"""Typed readings become outcomes."""

from __future__ import annotations

import pytest

from diag.classify import QUANTITIES, READING_HIGHEST, BadReading, outcome_of
from diag.errors import UnknownOutcome
from diag.observations import Expectation
from knowledge.load import Knowledge

AT_DRIVE = Expectation("", {"drive-voltage-low-limit": 20.4})


@pytest.mark.parametrize(
    ("typed", "outcome"),
    [
        ("23.4", "normal"),
        ("22,8 V", "normal"),
        ("20.3V", "low"),
        ("0", "none"),
        ("200 mV", "none"),
        ("dead", "none"),
        ("No volts", "none"),
        ("-23,1 V", "reversed"),
        ("normal", "normal"),
        ("cannot", "cannot"),
    ],
)
def test_a_voltage_falls_into_the_band_of_this_drive(knowledge: Knowledge, typed: str, outcome: str) -> None:
    assert outcome_of(knowledge.checks["volts-drive"], typed, AT_DRIVE) == outcome


def test_without_a_calculated_limit_the_usual_one_holds(knowledge: Knowledge) -> None:
    assert outcome_of(knowledge.checks["volts-drive"], "19.5 V", Expectation("")) == "normal"
    assert outcome_of(knowledge.checks["volts-drive"], "19.5 V", AT_DRIVE) == "low"


def test_a_reading_no_limit_is_known_for_asks_for_the_outcome(knowledge: Knowledge) -> None:
    with pytest.raises(BadReading, match="choose the outcome"):
        outcome_of(knowledge.checks["ohms-end-of-line"], "5 kohm", Expectation(""))


def test_an_impossible_reading_is_refused_with_the_plausible_range(knowledge: Knowledge) -> None:
    with pytest.raises(BadReading, match="260"):
        outcome_of(knowledge.checks["volts-drive"], "4000 V", AT_DRIVE)


@pytest.mark.parametrize("typed", ["230v", "-230 V"])
def test_more_than_this_output_can_give_is_a_slip_and_not_a_good_reading(knowledge: Knowledge, typed: str) -> None:
    here = Expectation("", {**AT_DRIVE.limits, READING_HIGHEST: 60.0})

    with pytest.raises(BadReading, match="a voltage here is between -60 and 60 V"):
        outcome_of(knowledge.checks["volts-drive"], typed, here)


def test_a_word_that_is_no_outcome_is_refused_with_those_there_are(knowledge: Knowledge) -> None:
    with pytest.raises(UnknownOutcome, match="normal, low, none, reversed"):
        outcome_of(knowledge.checks["volts-drive"], "half", AT_DRIVE)


@pytest.mark.parametrize("typed", ["OL", "open", "O.L ohm"])
def test_a_meter_that_shows_no_end_of_the_scale_has_read_an_open_core(knowledge: Knowledge, typed: str) -> None:
    check = knowledge.checks["ohms-core"]

    assert outcome_of(check, typed, Expectation("")) == outcome_of(check, "50 Mohm", Expectation(""))


def test_a_bare_number_is_in_the_unit_of_the_check(knowledge: Knowledge) -> None:
    check = knowledge.checks["volts-across-joint"]
    assert check.reading is not None
    assert check.reading.unit == "mV"

    assert outcome_of(check, "5", Expectation("")) == "small"
    assert outcome_of(check, "1.5 V", Expectation("")) == "large"


def test_every_unit_of_a_check_can_be_read(knowledge: Knowledge) -> None:
    units = {it.reading.unit for it in knowledge.checks.values() if it.reading}

    assert units <= {*QUANTITIES, "count"}


def test_every_band_has_a_value_that_falls_into_it(knowledge: Knowledge) -> None:
    for check in knowledge.checks.values():
        if check.reading is None or any(
            isinstance(it.below, str) and it.below_else is None for it in check.reading.bands
        ):
            continue
        limits = [it.below_else if isinstance(it.below, str) else it.below for it in check.reading.bands]
        edges = [check.reading.lowest, *[it for it in limits if it is not None], check.reading.highest]

        assert edges == sorted(set(edges)), check.id
