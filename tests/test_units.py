"""Exact factors; an unknown unit is refused."""

import re

import numpy as np
import pytest

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
