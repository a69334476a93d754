"""Exact factors; an unknown unit is refused."""

import re

import numpy as np
import pytest

from bodycond import units
from bodycond.errors import ArgumentError
from bodycond.units import to_grams, to_millimetres


@pytest.mark.parametrize(
    ("value", "unit", "grams"),
    [(1, "g", 1), (1.2, "kg", 1200), (1, "lb", 453.59237), (16, "oz", 453.59237), (0, "oz", 0)],
)
def test_to_grams(value, unit, grams):
    assert to_grams(value, unit=unit) == pytest.approx(grams, rel=1e-15)


@pytest.mark.parametrize(("value", "unit", "mm"), [(3, "mm", 3), (2.5, "cm", 25), (1, "in", 25.4)])
def test_to_millimetres(value, unit, mm):
    assert to_millimetres(value, unit=unit) == pytest.approx(mm, rel=1e-15)


def test_pounds_and_ounces_are_not_a_decimal():
    """Naive mistake 13: 2 lb 5 oz is 1048.9 g and not the 1134.0 g of 2.5 lb."""
    right = to_grams(2, unit="lb") + to_grams(5, unit="oz")
    assert right == pytest.approx(1048.9, abs=0.05)
    assert to_grams(2.5, unit="lb") == pytest.approx(1134.0, abs=0.05)


def test_missing_stays_missing():
    assert np.isnan(to_grams(float("nan"), unit="oz"))


@pytest.mark.parametrize(
    ("convert", "known"),
    [(to_grams, "'g' or 'kg' or 'lb' or 'oz'"), (to_millimetres, "'mm' or 'cm' or 'in'")],
)
def test_unknown_unit(convert, known):
    message = f"unit= takes {known}. Found: unit='stone'. Choose one of them."
    with pytest.raises(ArgumentError, match=f"^{re.escape(message)}$"):
        convert(1, unit="stone")


def test_every_word_for_a_unit_names_a_unit_with_a_size():
    assert set(units.MASS_UNIT_WORDS.values()) == set(units.GRAMS_PER_WRITTEN_UNIT)
    assert set(units.LENGTH_UNIT_WORDS.values()) == set(units.MILLIMETRES_PER_WRITTEN_UNIT)
    words = [*units.MASS_UNIT_WORDS, *units.LENGTH_UNIT_WORDS]
    assert all(word == word.casefold().strip() for word in words)
    # A word that meant a mass and a length would be read by the column it stands in.
    assert len(set(words)) == len(words)


def test_units_that_only_a_cell_states_are_exact():
    """One grain is a 7000th of a pound and one foot twelve inches."""
    assert units.GRAMS_PER_WRITTEN_UNIT["grain"] * 7000 == pytest.approx(453.59237, rel=1e-15)
    twelve_inches = 12 * units.MILLIMETRES_PER_UNIT["in"]
    assert units.MILLIMETRES_PER_WRITTEN_UNIT["ft"] == pytest.approx(twelve_inches, rel=1e-15)
    assert not {"grain"} & set(units.GRAMS_PER_UNIT)
