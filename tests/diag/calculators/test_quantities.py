"""The quantities a technician reads off."""

import pytest

from diag.calculators.quantities import quantities, quantity_named


def test_every_quantity_has_its_own_unit_among_the_ways_to_write_it() -> None:
    for quantity in quantities():
        own = [unit for unit in quantity.units if unit.factor == 1.0 and unit.offset == 0.0]
        assert own
        assert quantity.low < quantity.high


def test_no_quantity_gives_one_spelling_two_meanings() -> None:
    for quantity in quantities():
        factors = {unit.name: unit.factor for unit in quantity.units}
        assert all(factors[unit.name] == unit.factor for unit in quantity.units)


def test_an_unknown_quantity_is_refused_with_the_names_there_are() -> None:
    with pytest.raises(ValueError, match="quantity is mass; expected one of voltage, current"):
        quantity_named("mass")
