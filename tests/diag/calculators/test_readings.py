"""Readings as people type them, and kind refusals."""

from contextlib import suppress
from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.calculators.quantities import quantities
from diag.calculators.readings import NotAReading, Range, read_value


@pytest.mark.parametrize(
    ("typed", "quantity", "value"),
    [
        ("22,8 V", "voltage", 22.8),
        ("22.8", "voltage", 22.8),
        ("24VDC", "voltage", 24.0),
        ("230 V AC", "voltage", 230.0),
        ("-24 V", "voltage", -24.0),
        ("\u221224V", "voltage", -24.0),
        ("12V5", "voltage", 12.5),
        ("900 mV", "voltage", 0.9),
        ("900 MV", "voltage", 0.9),
        ("about 23.9 volts.", "voltage", 23.9),
        ("~ 23,9", "voltage", 23.9),
        (".5", "current", 0.5),
        ("0.4A", "current", 0.4),
        ("400 mA", "current", 0.4),
        ("20 \u00b5A", "current", 20e-6),
        ("1k2", "resistance", 1_200.0),
        ("4K7", "resistance", 4_700.0),
        ("4k7 ohm", "resistance", 4_700.0),
        ("4R7", "resistance", 4.7),
        ("R47", "resistance", 0.47),
        ("680R", "resistance", 680.0),
        ("10 k\u2126", "resistance", 10_000.0),
        ("10k", "resistance", 10_000.0),
        ("2M2", "resistance", 2.2e6),
        ("2 MOHM", "resistance", 2e6),
        ("0.2 m\u03a9", "resistance", 0.2e-3),
        ("1 200 ohm", "resistance", 1_200.0),
        ("1.200,5 ohm", "resistance", 1_200.5),
        ("1,234,567", "resistance", 1_234_567.0),
        ("OL", "resistance", inf),
        ("O.L M\u03a9", "resistance", inf),
        ("21,5 \u00b0C", "temperature", 21.5),
        ("-5", "temperature", -5.0),
        ("68 F", "temperature", 20.0),
        ("2 min", "time", 120.0),
        ("1.5 h", "time", 5_400.0),
        ("50 cm", "length", 0.5),
        ("50 cm", "stroke", 500.0),
        ("36 km/h", "wind", 10.0),
        ("55 %", "percentage", 55.0),
        ("850 ppm", "concentration", 850.0),
        ("7,2 Ah", "charge", 7.2),
        ("24 volts DC", "voltage", 24.0),
        ("24 v d.c.", "voltage", 24.0),
        ("2 amps dc", "current", 2.0),
        ("24V ok", "voltage", 24.0),
        ("23ish", "voltage", 23.0),
        ("dead", "voltage", 0.0),
        ("no volts", "voltage", 0.0),
        ("Nothing", "current", 0.0),
        ("zero", "temperature", 0.0),
        (">200 M\u03a9", "resistance", 200e6),
        ("over 500 Mohm", "resistance", 500e6),
    ],
)
def test_a_reading_is_understood_as_typed(typed: str, quantity: str, value: float) -> None:
    assert read_value(typed, quantity) == pytest.approx(value)


@pytest.mark.parametrize(
    ("typed", "quantity", "said"),
    [
        (
            "banana",
            "voltage",
            "\u2018banana\u2019 is not understood. Type a voltage as a number between -60 and 500 V.",
        ),
        ("22 A", "voltage", "\u201822 A\u2019 looks like a current. Type a voltage"),
        ("", "voltage", "There is no reading yet. Type a voltage"),
        ("2400 V", "voltage", "reads as 2 400 V; a voltage here is between -60 and 500 V. Check the reading"),
        ("12.3.4", "voltage", "is not understood"),
        ("1e5", "resistance", "is not understood"),
        ("nan", "voltage", "is not understood"),
        ("inf", "voltage", "is not understood"),
        ("OL", "voltage", "is not understood"),
        ("1,200", "resistance", "can mean 1.2 ohm or 1 200 ohm. Type it without the comma."),
        ("-3 ohm", "resistance", "reads as -3 ohm"),
        ("9" * 100, "voltage", "is not understood"),
        ("23-24", "voltage", "holds two numbers. Type one; where the meter wavers, the one in the middle."),
        ("22.8V/24V", "voltage", "holds two numbers"),
        ("1k2 to 1k4", "resistance", "holds two numbers"),
        (">20", "voltage", "tells a limit. Type the number that the meter shows."),
        ("less than 1 ohm", "resistance", "tells a limit"),
        ("dead", "resistance", "is not understood"),
    ],
)
def test_what_is_no_reading_is_refused_kindly(typed: str, quantity: str, said: str) -> None:
    with pytest.raises(NotAReading) as refused:
        read_value(typed, quantity)

    assert said in str(refused.value)
    assert "!" not in str(refused.value)


def test_a_range_that_belongs_to_the_part_is_named_in_the_refusal() -> None:
    with pytest.raises(NotAReading, match="a voltage here is between 0 and 30 V"):
        read_value("230 V", "voltage", Range(0, 30))


def test_the_range_decides_between_a_decimal_comma_and_a_thousands_comma() -> None:
    assert read_value("22,800 V", "voltage", Range(0, 60)) == 22.8
    assert read_value("9,500 ohm", "resistance", Range(5_000, 20_000)) == 9_500


@given(
    st.text(max_size=60) | st.from_regex(r"[-+]?[0-9.,' ]{1,8} ?[a-zA-Z%]{0,4}", fullmatch=True),
    st.sampled_from([quantity.name for quantity in quantities()]),
)
def test_any_text_gives_a_plausible_value_or_a_refusal(typed: str, quantity: str) -> None:
    limits = next(one for one in quantities() if one.name == quantity)
    value = None
    with suppress(NotAReading):
        value = read_value(typed, quantity)

    assert value is None or limits.low <= value <= limits.high or (quantity, value) == ("resistance", inf)


@given(st.decimals(min_value=-50, max_value=480, places=2))
def test_comma_and_point_mean_the_same(number: object) -> None:
    typed = f"{number} V"

    assert read_value(typed, "voltage") == read_value(typed.replace(".", ","), "voltage") == float(str(number))
