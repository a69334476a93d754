"""Intervals of lines hold the slope that the points were drawn with.

The accepted band is the binomial one: of 1000 runs at 95 %, 927 to 971 hold the truth in 99.9 % of
such simulations (limits of a two-sided 0.1 % test). The seeds are fixed, so a failure is a change.
"""

import numpy as np
import pytest

from bodycond.statistics.lines import fit_line

RUNS = 1000


def accepted(share, runs=RUNS):
    """Counts that a coverage of ``share`` gives in 99.9 % of simulations."""
    from scipy.stats import binom

    return binom.ppf([0.0005, 0.9995], runs, share)


def draw(n, r, *, seed):
    generator = np.random.default_rng(seed)
    x = generator.normal(size=(RUNS, n))
    y = 3 * (r * x + np.sqrt(1 - r**2) * generator.normal(size=(RUNS, n)))
    return zip(x, y, strict=True)


@pytest.mark.parametrize(("n", "r"), [(30, 0.6), (100, 0.8)])
@pytest.mark.parametrize("level", [0.8, 0.95])
def test_standardised_major_axis(n, r, level):
    lines = [fit_line(x, y, level=level) for x, y in draw(n, r, seed=1)]
    held = sum(line.slope_low <= 3 <= line.slope_high for line in lines)
    low, high = accepted(level)
    assert low <= held <= high
    slopes = np.array([line.slope for line in lines])
    assert np.median(slopes) == pytest.approx(3, rel=4 * slopes.std() / 3 / np.sqrt(RUNS) * 1.25)


@pytest.mark.parametrize(("n", "r"), [(30, 0.6), (100, 0.8), (6, 0.3)])
@pytest.mark.parametrize("level", [0.8, 0.95])
def test_least_squares(n, r, level):
    lines = [fit_line(x, y, method="ols", level=level) for x, y in draw(n, r, seed=2)]
    held = sum(line.slope_low <= 3 * r <= line.slope_high for line in lines)
    low, high = accepted(level)
    assert low <= held <= high


def test_with_few_birds_the_standardised_interval_loses_the_runs_of_the_wrong_sign():
    """The interval of the slope's size is exact; where r comes out negative it has the wrong sign.

    With 10 pairs and r = 0.6 that is one run in 35, and coverage is 92 % and not 95 %. Those are
    the runs in which the interval of r holds 0, which the scaled mass index refuses.
    """
    lines = [fit_line(x, y) for x, y in draw(10, 0.6, seed=3)]
    held = np.array([line.slope_low <= 3 <= line.slope_high for line in lines])
    size_held = np.array(
        [min(abs(line.slope_low), abs(line.slope_high)) <= 3
         <= max(abs(line.slope_low), abs(line.slope_high)) for line in lines]
    )  # fmt: skip
    wrong_sign = np.array([line.slope < 0 for line in lines])
    low, high = accepted(0.95)
    assert low <= size_held.sum() <= high
    assert 10 <= wrong_sign.sum() <= 60
    assert held.sum() == (size_held & ~wrong_sign).sum()
    refused = np.array([line.r_low <= 0 <= line.r_high for line in lines])
    assert refused[wrong_sign].mean() > 0.95


def test_interval_of_r():
    """Fisher's z interval is an approximation, at n 30 good to a fraction of a per cent."""
    lines = [fit_line(x, y) for x, y in draw(30, 0.6, seed=4)]
    low, high = accepted(0.95)
    assert low <= sum(line.r_low <= 0.6 <= line.r_high for line in lines) <= high


def test_steeper_where_scatter_grows():
    """Scatter in mass alone inflates the axis: a true 3 becomes 3 / r."""
    generator = np.random.default_rng(5)
    x = generator.normal(size=200_000)
    for r in (0.9, 0.7, 0.5):
        noise = 3 * np.sqrt(1 / r**2 - 1)
        line = fit_line(x, 3 * x + noise * generator.normal(size=x.size))
        assert line.slope == pytest.approx(3 / r, rel=4 * line.slope_se / line.slope)
        assert fit_line(x, 3 * x, method="ols").slope == pytest.approx(3)
