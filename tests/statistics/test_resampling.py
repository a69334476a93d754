"""Draws of whole birds, repeatable; two intervals."""

import re

import numpy as np
import pytest

from bodycond.errors import ArgumentError
from bodycond.statistics import resampling
from bodycond.statistics.resampling import (
    bca_interval,
    iterate_cluster_weights,
    iterate_row_draws,
    limits_coincide,
    percentile_interval,
    require_resampling,
)


def stack(blocks):
    return np.concatenate(list(blocks))


def test_weights_count_the_draws():
    drawn = stack(iterate_row_draws(7, resamples=50, seed=4))
    weights = stack(iterate_cluster_weights(7, resamples=50, seed=4))
    assert weights.shape == (50, 7)
    assert (weights.sum(axis=1) == 7).all()
    for rows, counts in zip(drawn, weights, strict=True):
        assert np.bincount(rows, minlength=7).tolist() == counts.tolist()


def test_a_seed_repeats_and_another_does_not():
    one, two, other = (stack(iterate_row_draws(9, resamples=40, seed=s)) for s in (1, 1, 2))
    assert (one == two).all()
    assert (one != other).any()


def test_blocks_do_not_change_the_draws(monkeypatch):
    whole = stack(iterate_cluster_weights(10, resamples=45, seed=1))
    monkeypatch.setattr(resampling, "_BLOCK_CELLS", 70)
    blocks = list(iterate_cluster_weights(10, resamples=45, seed=1))
    assert [len(block) for block in blocks] == [7] * 6 + [3]
    assert (stack(blocks) == whole).all()


def test_each_unit_is_drawn_equally_often():
    """20 000 draws of 5 units: 4000 each, standard deviation 57; 4.5 of them is 1 in 30 000."""
    counts = np.bincount(stack(iterate_row_draws(5, resamples=4000, seed=11)).ravel())
    assert np.abs(counts - 4000).max() < 4.5 * np.sqrt(20_000 * 0.2 * 0.8)


def test_percentiles():
    low, high, undefined = percentile_interval(np.arange(101.0), level=0.9)
    assert (low, high, undefined) == (pytest.approx(5), pytest.approx(95), 0)


def test_undefined_draws_are_counted():
    draws = np.array([1.0, 2, 3, np.nan])
    assert percentile_interval(draws, level=0.5)[2] == 1
    assert np.isfinite(percentile_interval(draws, level=0.5)[:2]).all()


@pytest.mark.parametrize("draws", [[1.0, np.nan, np.nan], [np.nan] * 3])
def test_too_few_defined_draws(draws):
    low, high, undefined = percentile_interval(np.array(draws), level=0.95)
    assert np.isnan([low, high]).all()
    assert undefined == int(np.isnan(draws).sum())
    jackknife = np.arange(3.0)
    low, high, _ = bca_interval(np.array(draws), estimate=1, jackknife=jackknife, level=0.95)
    assert np.isnan([low, high]).all()


def test_bca_against_scipy():
    from scipy.stats import bootstrap

    values = np.random.default_rng(5).exponential(size=30)
    draws = np.array(
        [values[rows].mean() for rows in stack(iterate_row_draws(30, resamples=4000, seed=1))]
    )
    jackknife = (values.sum() - values) / 29
    outside = bootstrap((values,), np.mean, method="BCa", bootstrap_result=None,
                        n_resamples=9999, rng=np.random.default_rng(2))  # fmt: skip
    low, high, _ = bca_interval(draws, estimate=values.mean(), jackknife=jackknife, level=0.95)
    spread = draws.std()
    # Both ends carry Monte Carlo error of about 0.05 standard deviations of the draws.
    assert low == pytest.approx(outside.confidence_interval.low, abs=0.2 * spread)
    assert high == pytest.approx(outside.confidence_interval.high, abs=0.2 * spread)
    shifted = percentile_interval(draws, level=0.95)
    assert low > shifted[0]
    assert high > shifted[1]


def test_bca_of_symmetric_draws_is_the_percentile_interval():
    draws = np.linspace(-1, 1, 2001)
    bca = bca_interval(draws, estimate=0.0, jackknife=np.array([-1.0, 1.0]), level=0.9)
    assert bca[:2] == pytest.approx(percentile_interval(draws, level=0.9)[:2])


def test_bca_with_nothing_to_accelerate():
    draws = np.linspace(-1, 1, 2001)
    for jackknife in (np.zeros(4), np.full(4, np.nan)):
        bca = bca_interval(draws, estimate=0.0, jackknife=jackknife, level=0.9)
        assert bca[:2] == pytest.approx((-0.9, 0.9), abs=1e-3)


def test_bca_with_all_draws_on_one_side():
    low, high, _ = bca_interval(
        np.array([1.0, 2, 3]), estimate=5, jackknife=np.arange(3.0), level=0.95
    )
    assert np.isnan([low, high]).all()


def test_bca_past_its_pole():
    """One bird that carries everything: an acceleration at which the limits would change places."""
    jackknife = np.r_[np.zeros(999), -1000.0]
    draws = np.r_[np.zeros(999), 1.0]
    low, high, _ = bca_interval(draws, estimate=0.5, jackknife=jackknife, level=1 - 1e-12)
    assert np.isnan([low, high]).all()


@pytest.mark.parametrize(
    ("low", "high", "same"),
    [(1.0, 1.0, True), (1 - 1e-15, 1.0, True), (0.9, 1.0, False), (np.nan, 1.0, False)],
)
def test_limits_coincide(low, high, same):
    assert limits_coincide(low, high) is same


@pytest.mark.parametrize(
    ("resamples", "level", "fewest"),
    [(39, 0.95, 40), (19, 0.9, 20), (1999, 0.999, 2000), (0, 0.5, 4), (2000.0, 0.95, 40),
     (True, 0.5, 4)],
)  # fmt: skip
def test_too_few_resamples(resamples, level, fewest):
    message = (
        f"resamples= is a whole number of at least {fewest}, so that one resample lies beyond each "
        f"limit of a {100 * level:g} % interval. Found: resamples={resamples!r}. Use the default "
        "of 2000."
    )
    with pytest.raises(ArgumentError, match=f"^{re.escape(message)}$"):
        require_resampling(resamples=resamples, seed=1, level=level)


@pytest.mark.parametrize("seed", [-1, None, 1.0, "a", False])
def test_seed_must_be_repeatable(seed):
    message = (
        f"seed= is a whole number from 0 up, so that the result can be repeated. Found: "
        f"seed={seed!r}. Use any number, or the default of 20240501."
    )
    with pytest.raises(ArgumentError, match=f"^{re.escape(message)}$"):
        require_resampling(resamples=2000, seed=seed, level=0.95)


def test_impossible_level():
    with pytest.raises(ArgumentError, match="strictly between 0 and 1"):
        require_resampling(resamples=2000, seed=1, level=95)


def test_possible_settings():
    require_resampling(resamples=40, seed=np.int64(0), level=0.95)
    require_resampling(resamples=2000, seed=1, level=0.999)
