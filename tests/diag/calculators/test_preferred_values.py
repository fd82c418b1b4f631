"""Preferred values against a general package of them, and markings as they are printed."""

import eseries
import pytest

from diag.calculators.preferred_values import (
    is_preferred,
    nearest_value_ohm,
    read_marking,
    series_values,
    value_at_or_above_ohm,
)

SERIES = [(3, eseries.E3), (6, eseries.E6), (12, eseries.E12), (24, eseries.E24)]
FINER = [(48, eseries.E48), (96, eseries.E96), (192, eseries.E192)]


@pytest.mark.parametrize(("count", "general"), SERIES + FINER)
def test_each_series_is_that_of_iec_60063(count: int, general: eseries.ESeries) -> None:
    # the eseries package carries the tables of IEC 60063
    decade = [float(f"{value:.4g}") for value in eseries.erange(general, 1, 10)][:-1]

    assert list(series_values(count)) == pytest.approx(decade)
    assert len(decade) == count


@pytest.mark.parametrize(("count", "general"), SERIES + FINER)
def test_values_at_or_above_agree_with_the_general_package(count: int, general: eseries.ESeries) -> None:
    for step in range(1, 400):
        wanted = 0.51 * 1.043**step
        assert value_at_or_above_ohm(wanted, count) == pytest.approx(
            eseries.find_greater_than_or_equal(general, wanted), rel=1e-9
        )


@pytest.mark.parametrize(("count", "general"), SERIES + FINER)
def test_nearest_values_agree_with_the_general_package(count: int, general: eseries.ESeries) -> None:
    for step in range(1, 400):
        wanted = 0.51 * 1.043**step
        assert nearest_value_ohm(wanted, count) == pytest.approx(eseries.find_nearest(general, wanted), rel=1e-9)


def test_the_values_of_the_trade_are_found() -> None:
    assert nearest_value_ohm(950 * 0.96) == 910
    assert value_at_or_above_ohm(950) == 1000
    assert nearest_value_ohm(3_900, 12) == 3_900
    assert nearest_value_ohm(9_900, 12) == 10_000
    assert is_preferred(4_700, 12)
    assert not is_preferred(5_000)


@pytest.mark.parametrize(
    ("marking", "ohms", "tolerance"),
    [
        ("4K7", 4_700.0, None),
        ("680R", 680.0, None),
        ("R47", 0.47, None),
        ("10KJ", 10_000.0, 0.05),
        ("4k7f", 4_700.0, 0.01),
        ("2M2K", 2.2e6, 0.10),
        ("1K", 1_000.0, None),
    ],
)
def test_markings_are_read_as_printed(marking: str, ohms: float, tolerance: float | None) -> None:
    assert read_marking(marking) == (ohms, tolerance)


@pytest.mark.parametrize("marking", ["", "47", "R", "KJ", "4K7Q", "4K7.1"])
def test_what_is_no_marking_is_refused(marking: str) -> None:
    with pytest.raises(ValueError, match="expected a code such as 4K7"):
        read_marking(marking)


def test_an_unknown_series_is_refused() -> None:
    with pytest.raises(ValueError, match="series is 10; expected 3, 6, 12"):
        series_values(10)
