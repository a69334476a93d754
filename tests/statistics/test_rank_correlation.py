"""Spearman's correlation, ties by mean ranks; no interval without variation."""

import re

import numpy as np
import pytest

from bodycond.errors import ArgumentError
from bodycond.statistics.rank_correlation import rank_correlation


def test_against_scipy_with_ties():
    from scipy.stats import spearmanr

    generator = np.random.default_rng(1)
    x = generator.integers(1, 6, 80).astype(float)
    y = x + generator.integers(-2, 3, 80)
    rank = rank_correlation(x, y, resamples=200)
    assert rank.value == pytest.approx(spearmanr(x, y).statistic, rel=1e-12)
    assert rank.low < rank.value < rank.high
    assert (rank.n, rank.n_rows, rank.n_missing, rank.reason) == (80, 80, 0, "")


def test_only_the_order_counts():
    x, y = np.array([1.0, 5, 2, 8, 3, 9]), np.array([2.0, 4, 1, 9, 8, 7])
    plain = rank_correlation(x, y, resamples=100)
    bent = rank_correlation(np.exp(x), y**3, resamples=100)
    assert (plain.value, plain.low, plain.high) == (bent.value, bent.low, bent.high)
    turned = rank_correlation(-x, y, resamples=100)
    assert turned.value == pytest.approx(-plain.value)
    assert (turned.low, turned.high) == pytest.approx((-plain.high, -plain.low))


def test_incomplete_rows_are_counted():
    x = [1, 2, 3, 4, 5, 6, np.nan, 8]
    y = [2, 1, 4, 3, 6, 5, 7, np.inf]
    rank = rank_correlation(x, y, resamples=100)
    assert (rank.n, rank.n_missing) == (6, 2)


@pytest.mark.parametrize("n", [0, 1, 2, 3, 4])
def test_too_few(n):
    rank = rank_correlation(np.arange(n), np.arange(n))
    assert np.isnan([rank.value, rank.se, rank.low, rank.high]).all()
    assert rank.reason == f"a rank correlation needs 5 complete rows, found {n}"


@pytest.mark.parametrize("swap", [False, True])
def test_no_variation(swap):
    columns = [np.arange(6.0), np.full(6, 3.0)]
    rank = rank_correlation(*(columns[::-1] if swap else columns))
    assert np.isnan(rank.value)
    assert rank.reason == "one of the columns is 3 in all 6 rows"


def test_perfect_order_has_no_interval():
    """Six birds in perfect order do not show that the correlation is 1 with certainty."""
    rank = rank_correlation(np.arange(6), np.arange(6))
    assert rank.value == 1
    assert np.isnan([rank.low, rank.high]).all()
    assert rank.reason == (
        "every resample gave the same correlation, so the bootstrap gives no interval"
    )


def test_resamples_without_variation_are_counted():
    x = [1.0, 1, 1, 1, 1, 2]
    rank = rank_correlation(x, [3, 1, 2, 5, 4, 6], resamples=400)
    (note,) = rank.notes
    count = int(re.match(r"(\d+) of 400 resamples held no variation; left out", note)[1])
    # A resample lacks the one 2 with probability (5/6)^6 = 0.335: 134 of 400, sd 9.4.
    assert abs(count - 134) < 4 * 9.4
    assert np.isfinite(rank.low)


def test_too_few_varying_resamples():
    """With 60 rows and one that differs, a resample lacks it with probability 0.365; where two
    columns each have one, only a third of the resamples vary in both."""
    x, y = np.zeros(60), np.zeros(60)
    x[0], y[1] = 1, 1
    rank = rank_correlation(x, y, resamples=400)
    assert np.isfinite(rank.value)
    assert np.isnan([rank.low, rank.high]).all()
    assert rank.reason == "too few resamples held variation for an interval"


def test_seed_repeats():
    x, y = np.arange(8.0), np.array([2.0, 1, 4, 3, 6, 8, 7, 5])
    one, two = rank_correlation(x, y, seed=3), rank_correlation(x, y, seed=3)
    assert (one.low, one.high, one.se) == (two.low, two.high, two.se)
    assert one.interval_method == "percentile bootstrap, 2000 resamples, seed 3"


def test_shapes_must_match():
    message = (
        "Columns to correlate must be one-dimensional and of equal length. Found: shapes (2,) and "
        "(3,). Pass two columns of the same table."
    )
    with pytest.raises(ArgumentError, match=f"^{re.escape(message)}$"):
        rank_correlation([1, 2], [1, 2, 3])


def test_impossible_resamples():
    with pytest.raises(ArgumentError, match="Found: resamples=0"):
        rank_correlation(np.arange(6), np.arange(6), resamples=0)


def test_arguments_are_left_alone():
    x, y = np.array([3.0, 1, 2, 5, 4, np.nan]), np.array([1.0, 2, 3, 4, 5, 6])
    rank_correlation(x, y, resamples=50)
    np.testing.assert_array_equal(x, [3, 1, 2, 5, 4, np.nan])
    np.testing.assert_array_equal(y, [1, 2, 3, 4, 5, 6])
