"""Slopes, intervals, and the reason wherever one is undefined."""

import re

import numpy as np
import pytest

from bodycond.errors import ArgumentError
from bodycond.statistics.line_slopes import correlation_interval
from bodycond.statistics.lines import METHOD_NAMES, fit_line, fit_line_to_moments
from bodycond.statistics.moments import measure_moments

NUMBERS = ("slope", "slope_se", "slope_low", "slope_high", "intercept", "r", "r_low", "r_high")
LENGTHS = [36.8, 37.5, 38.1, 38.6, 39.0, 39.4, 40.2, 41.0]
MASSES = [176.0, 185, 181, 198, 194, 212, 205, 231]


def undefined(line):
    return {name for name in NUMBERS if np.isnan(getattr(line, name))}


def test_slopes_by_hand():
    x, y = [1, 2, 3, 4], [2, 1, 4, 5]  # sums of squares 5, 10, products 6
    assert fit_line(x, y, method="ols").slope == pytest.approx(1.2)
    assert fit_line(x, y, method="sma").slope == pytest.approx(np.sqrt(2))
    assert fit_line(x, y, method="ma").slope == pytest.approx((5 + np.sqrt(169)) / 12)
    for method in METHOD_NAMES:
        line = fit_line(x, y, method=method)
        assert line.intercept == pytest.approx(3 - 2.5 * line.slope)
    assert fit_line(x, y).reason == ""


def test_default_is_the_standardised_major_axis():
    line = fit_line(np.log(LENGTHS), np.log(MASSES))
    assert line.method == "sma"
    assert line.slope == pytest.approx(2.52036, abs=5e-6)


def test_least_squares_against_statsmodels():
    import statsmodels.api as sm

    generator = np.random.default_rng(1)
    x = generator.normal(50, 3, 40)
    y = 2 * x + generator.normal(0, 5, 40)
    line = fit_line(x, y, method="ols", level=0.9)
    outside = sm.OLS(y, sm.add_constant(x)).fit()
    assert line.slope == pytest.approx(outside.params[1], rel=1e-10)
    assert line.intercept == pytest.approx(outside.params[0], rel=1e-9)
    assert line.slope_se == pytest.approx(outside.bse[1], rel=1e-9)
    assert [line.slope_low, line.slope_high] == pytest.approx(
        outside.conf_int(alpha=0.1)[1].tolist(), rel=1e-9
    )


def test_major_axis_is_the_first_principal_component():
    generator = np.random.default_rng(2)
    points = generator.multivariate_normal([3, 9], [[2, 1.2], [1.2, 1.5]], 60)
    axis = np.linalg.eigh(np.cov(points.T))[1][:, -1]
    line = fit_line(points[:, 0], points[:, 1], method="ma")
    assert line.slope == pytest.approx(axis[1] / axis[0], rel=1e-12)


def test_major_axis_keeps_its_digits_where_x_varies_far_more():
    """The slope of such a line nears that of least squares; cancelling digits would spoil it."""
    x = np.array([-3.0, -1, 0, 1, 3]) * 1e6
    y = np.array([-2.0, 0, 0, 0, 2])
    line = fit_line(x, y, method="ma")
    assert line.slope == pytest.approx(fit_line(x, y, method="ols").slope, rel=1e-11)


def test_major_axis_interval_holds_the_axes_with_uncorrelated_scores():
    """At each limit, scores along and across the axis are correlated at exactly the level."""
    from scipy.stats import pearsonr

    generator = np.random.default_rng(3)
    x = generator.normal(size=30)
    y = 0.6 * x + 0.5 * generator.normal(size=30)
    line = fit_line(x, y, method="ma", level=0.95)
    for limit in (line.slope_low, line.slope_high):
        assert pearsonr(x + limit * y, y - limit * x).pvalue == pytest.approx(0.05, rel=1e-6)


@pytest.mark.parametrize("method", METHOD_NAMES)
@pytest.mark.parametrize("n", [0, 1])
def test_too_few_for_a_line(method, n):
    line = fit_line([1.0] * n, [2.0] * n, method=method)
    assert line.reason == f"a line needs 2 complete pairs, found {n}"
    assert undefined(line) == set(NUMBERS)


@pytest.mark.parametrize("method", METHOD_NAMES)
def test_two_pairs_give_a_line_without_an_interval(method):
    line = fit_line([1, 2], [3, 5], method=method)
    assert line.slope == pytest.approx(2)
    assert line.reason == "an interval needs 3 pairs, found 2"
    assert undefined(line) == {"slope_se", "slope_low", "slope_high", "r_low", "r_high"}


@pytest.mark.parametrize("method", ["sma", "ols"])
def test_three_pairs_give_no_interval_of_r(method):
    line = fit_line([1, 2, 3], [1, 3, 2.5], method=method)
    assert line.reason == "an interval of r needs 4 pairs, found 3"
    assert undefined(line) == {"r_low", "r_high"}


@pytest.mark.parametrize("method", METHOD_NAMES)
def test_equal_x(method):
    line = fit_line([0.1] * 6, range(6), method=method)
    assert line.reason == "x does not vary: all 6 values are equal"
    assert undefined(line) == set(NUMBERS)


@pytest.mark.parametrize("method", ["sma", "ma"])
def test_equal_y(method):
    line = fit_line(range(6), [0.1] * 6, method=method)
    assert line.reason == "y does not vary: all 6 values are equal"
    assert undefined(line) == set(NUMBERS)


def test_equal_y_has_a_least_squares_slope_of_0_and_no_r():
    line = fit_line(range(6), [0.1] * 6, method="ols")
    assert line.slope == 0
    assert line.reason == "y does not vary: all 6 values are equal, so r is undefined"
    assert undefined(line) == {"r", "r_low", "r_high"}


@pytest.mark.parametrize("x", [[1, 2, 3, 4, 5], [0.1, 0.2, 0.3, 0.4, 0.5]])
def test_no_correlation_leaves_the_sign_open(x):
    """In tenths the products cancel to 1e-17 only, whose sign is that of a rounding error."""
    y = [0.3, 0.7, 0.1, 0.7, 0.3]
    line = fit_line(x, y, method="sma")
    assert line.reason == "r is 0, so the sign of the slope is undefined"
    assert np.isnan(line.slope)
    assert fit_line(x, y, method="ols").slope == pytest.approx(0, abs=1e-15)


def test_major_axis_without_correlation():
    steep = fit_line([-1, 0, 0, 1], [0, -2, 2, 0], method="ma")
    assert steep.reason == "r is 0 and y varies at least as much as x: the axis has no finite slope"
    assert np.isnan(steep.slope)
    flat = fit_line([-2, 0, 0, 2], [0, -1, 1, 0], method="ma")
    assert flat.slope == 0
    assert flat.reason == "the interval of the major axis holds every direction"


def test_major_axis_interval_that_holds_the_vertical():
    generator = np.random.default_rng(8)
    y = generator.normal(size=25)
    line = fit_line(0.1 * y + 0.2 * generator.normal(size=25), y, method="ma")
    assert line.reason == "the interval of the major axis holds the vertical"
    assert np.isfinite(line.slope)
    assert undefined(line) == {"slope_se", "slope_low", "slope_high"}


def test_all_pairs_on_one_line():
    line = fit_line([1, 2, 3, 4], [2, 4, 6, 8])
    assert (line.r, line.r_low, line.r_high) == (1, 1, 1)
    assert [line.slope_low, line.slope_high] == pytest.approx([2, 2], rel=1e-12)


def test_missing_pairs_are_counted_and_said():
    line = fit_line([1, 2, np.nan, 4, 5], [1, 3, 3, 4, np.nan])
    assert (line.n, line.n_missing) == (3, 2)
    assert "2 pairs left out: a value was missing" in line.summary()
    assert line.summary().endswith(line.reason)


def test_summary_and_methods():
    line = fit_line(np.log(LENGTHS), np.log(MASSES))
    assert line.summary() == (
        "standardised major axis: slope 2.52 (95 % interval 1.77 to 3.59); "
        "r 0.93 (95 % interval 0.66 to 0.99); n = 8"
    )
    assert line.methods().startswith(
        "A line was fitted by standardised major axis, with a 95 % interval for its slope. Warton"
    )
    ols = fit_line(LENGTHS, MASSES, method="ols", level=0.9)
    assert ols.methods() == (
        "A line was fitted by ordinary least squares of y on x, with a 90 % interval for its slope."
    )


def test_frame_is_unrounded():
    line = fit_line(LENGTHS, MASSES)
    row = line.to_frame().iloc[0]
    assert row["slope"] == line.slope
    assert list(line.to_frame().columns) == [
        "method", "slope", "slope_se", "slope_low", "slope_high", "intercept", "r", "r_low",
        "r_high", "n", "n_missing", "level", "reason",
    ]  # fmt: skip


def test_moments_of_parts_give_the_line_of_the_whole():
    parts = measure_moments(LENGTHS[:3], MASSES[:3]).merge(measure_moments(LENGTHS[3:], MASSES[3:]))
    for method in METHOD_NAMES:
        whole = fit_line(LENGTHS, MASSES, method=method)
        merged = fit_line_to_moments(parts, method=method)
        for name in set(NUMBERS) - undefined(whole):
            assert getattr(merged, name) == pytest.approx(getattr(whole, name), rel=1e-10), name


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (
            {"method": "rma"},
            "method= takes 'sma' or 'ols' or 'ma'. Found: method='rma'. Choose one of them.",
        ),
        (
            {"level": 95},
            "level= is a confidence level strictly between 0 and 1. Found: level=95. Use 0.95 for "
            "a 95 % interval.",
        ),
    ],
)
def test_impossible_options(options, message):
    with pytest.raises(ArgumentError, match=f"^{re.escape(message)}$"):
        fit_line([1, 2, 3], [1, 2, 4], **options)


@pytest.mark.parametrize(("r", "n"), [(np.nan, 10), (0.5, 3)])
def test_correlation_interval_undefined(r, n):
    assert np.isnan(correlation_interval(r, n, level=0.95)).all()


@pytest.mark.parametrize("r", [-1.0, 1.0])
def test_correlation_interval_at_the_ends(r):
    assert correlation_interval(r, 10, level=0.95) == (r, r)


def test_correlation_interval_against_scipy():
    from scipy.stats import pearsonr

    outside = pearsonr(LENGTHS, MASSES).confidence_interval(0.9)
    r = measure_moments(LENGTHS, MASSES).r
    assert correlation_interval(r, 8, level=0.9) == pytest.approx(tuple(outside), rel=1e-10)
