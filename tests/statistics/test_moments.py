"""Sums that parts can be merged in."""

import re

import numpy as np
import pandas as pd
import pytest

from bodycond.errors import ArgumentError
from bodycond.statistics.moments import PairMoments, measure_moments

FIELDS = ("n", "n_missing", "mean_x", "mean_y", "sum_xx", "sum_yy", "sum_xy")


def fields_of(moments):
    return [getattr(moments, name) for name in FIELDS]


def test_by_hand():
    moments = measure_moments([1, 2, 6], [2, 4, 3])
    assert fields_of(moments) == [3, 0, 3, 3, 14, 2, 1]
    assert moments.r == pytest.approx(1 / np.sqrt(28), rel=1e-15)


def test_missing_and_infinite_pairs_are_counted():
    moments = measure_moments([1, np.nan, 3, 4, np.inf], [1, 2, None, 8, 5])
    assert (moments.n, moments.n_missing) == (2, 3)
    assert (moments.mean_x, moments.mean_y) == (2.5, 4.5)


def test_nullable_columns():
    x = pd.Series([1, None, 3], dtype="Float64")
    y = pd.Series([1, 2, 5], dtype="Int64")
    assert fields_of(measure_moments(x, y)) == [2, 1, 2, 3, 2, 8, 4]


@pytest.mark.parametrize("n_missing", [0, 3])
def test_nothing(n_missing):
    moments = measure_moments([np.nan] * n_missing, [1.0] * n_missing)
    assert (moments.n, moments.n_missing) == (0, n_missing)
    assert np.isnan([moments.mean_x, moments.mean_y, moments.r]).all()


def test_equal_values_have_no_spread_and_no_correlation():
    """0.1 summed three times and divided is not 0.1."""
    moments = measure_moments([0.1] * 3, [1, 2, 3])
    assert moments.sum_xx == 0
    assert moments.mean_x == 0.1
    assert np.isnan(moments.r)


def test_equal_values_stay_without_spread_when_merged():
    merged = measure_moments([0.1] * 3, [1, 2, 3]).merge(measure_moments([0.1] * 7, np.arange(7)))
    assert merged.sum_xx == 0
    assert merged.n == 10


@pytest.mark.parametrize("swap", [False, True])
def test_merging_with_nothing(swap):
    some = measure_moments([1, 2, np.nan], [2, 5, 1])
    none = measure_moments([np.nan], [1])
    merged = none.merge(some) if swap else some.merge(none)
    assert fields_of(merged) == [2, 2, 1.5, 3.5, 0.5, 4.5, 1.5]


def test_r_in_units_far_from_one():
    x, y = np.array([1.0, 2, 3, 5]), np.array([2.0, 1, 4, 4])
    plain = measure_moments(x, y).r
    for factor in (1e-120, 1e120):
        assert measure_moments(factor * x, factor * y).r == pytest.approx(plain, rel=1e-12)


def test_r_never_leaves_its_range():
    x = np.linspace(0.1, 0.9, 7)
    assert measure_moments(x, 3 * x + 0.1).r == pytest.approx(1, abs=1e-15)
    assert measure_moments(x, 3 * x + 0.1).r <= 1
    assert measure_moments(x, -x).r >= -1


@pytest.mark.parametrize(("x", "y"), [([0.1, 0.2, 0.3], [1, 2, 1]), ([1, 2, 3], [1, 2, 1])])
def test_uncorrelated_but_for_rounding(x, y):
    assert measure_moments(x, y).uncorrelated


def test_a_weak_correlation_is_one():
    assert not measure_moments([1, 2, 3], [1, 2, 1.0001]).uncorrelated
    assert not measure_moments([1, 1], [1, 2]).uncorrelated


@pytest.mark.parametrize(
    ("x", "y", "shapes"),
    [
        ([1, 2], [1], "(2,) and (1,)"),
        ([[1, 2]], [[1, 2]], "(1, 2) and (1, 2)"),
        (1, 2, "() and ()"),
    ],
)
def test_shapes_must_match(x, y, shapes):
    message = (
        f"x and y must be one-dimensional and of equal length. Found: shapes {shapes}. Pass two "
        "columns of the same table."
    )
    with pytest.raises(ArgumentError, match=f"^{re.escape(message)}$"):
        measure_moments(x, y)


def test_arguments_are_left_alone():
    x, y = np.array([1.0, np.nan, 3]), np.array([1.0, 2, 3])
    measure_moments(x, y).merge(measure_moments(x, y))
    np.testing.assert_array_equal(x, [1, np.nan, 3])
    np.testing.assert_array_equal(y, [1, 2, 3])


def test_moments_cannot_be_changed():
    with pytest.raises(AttributeError):
        measure_moments([1, 2], [1, 2]).n = 3
    assert isinstance(measure_moments([1], [1]), PairMoments)
