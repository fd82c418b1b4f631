"""Arguments that no calculation can use are refused by name."""

from collections.abc import Callable
from math import inf, nan

import pytest

from diag.calculators.arguments import require_between, require_finite, require_not_negative, require_positive


@pytest.mark.parametrize("check", [require_finite, require_not_negative, require_positive])
def test_an_ordinary_number_comes_back(check: Callable[[str, float], float]) -> None:
    assert check("length_m", 2.5) == 2.5


@pytest.mark.parametrize("check", [require_finite, require_not_negative, require_positive])
@pytest.mark.parametrize("value", [nan, inf, -inf])
def test_what_is_no_number_is_refused(check: Callable[[str, float], float], value: float) -> None:
    with pytest.raises(ValueError, match=f"length_m is {value}; expected an ordinary number"):
        check("length_m", value)


def test_zero_is_not_positive_and_not_negative() -> None:
    assert require_not_negative("length_m", 0) == 0
    with pytest.raises(ValueError, match="length_m is 0; expected above 0"):
        require_positive("length_m", 0)


def test_both_ends_of_a_range_belong_to_it() -> None:
    assert [require_between("share", value, 0, 1) for value in (0, 1)] == [0, 1]
    with pytest.raises(ValueError, match=r"share is 1.01; expected 0 to 1"):
        require_between("share", 1.01, 0, 1)
