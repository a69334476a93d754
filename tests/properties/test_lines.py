"""What must hold of lines and moments for any data."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from bodycond.statistics.lines import fit_line, fit_line_to_moments
from bodycond.statistics.moments import measure_moments

METHODS = ["sma", "ols", "ma"]
COORDINATES = st.floats(-100, 100, allow_nan=False, width=32)
FACTORS = st.floats(1e-3, 1e3)


@st.composite
def pairs(draw, fewest=5, most=30):
    """Pairs whose x and y vary, and whose correlation is neither 0 nor 1 but for rounding."""
    n = draw(st.integers(fewest, most))
    x, y = (draw(arrays(np.float64, n, elements=COORDINATES)) for _ in range(2))
    moments = measure_moments(x, y)
    assume(moments.sum_xx > 1e-3 and moments.sum_yy > 1e-3)
    assume(1e-4 < abs(moments.r) < 1 - 1e-6)
    return x, y


@given(pairs(), st.sampled_from([0.5, 0.9, 0.95, 0.99]))
@settings(max_examples=60, deadline=None)
def test_standardised_axis_inverts_when_x_and_y_swap(points, level):
    x, y = points
    line, turned = fit_line(x, y, level=level), fit_line(y, x, level=level)
    assert turned.slope == pytest.approx(1 / line.slope, rel=1e-9)
    limits = sorted([1 / line.slope_low, 1 / line.slope_high])
    assert [turned.slope_low, turned.slope_high] == pytest.approx(limits, rel=1e-7)


@given(pairs(), FACTORS, FACTORS)
@settings(max_examples=60, deadline=None)
def test_slopes_scale_with_the_units(points, by_x, by_y):
    x, y = points
    for method in ("sma", "ols"):
        line = fit_line(x, y, method=method)
        rescaled = fit_line(by_x * x, by_y * y, method=method)
        for name in ("slope", "slope_se", "slope_low", "slope_high"):
            expected = getattr(line, name) * by_y / by_x
            slack = 1e-9 * abs(line.slope_high - line.slope_low) * by_y / by_x
            assert getattr(rescaled, name) == pytest.approx(expected, rel=1e-9, abs=slack)
        assert rescaled.r == pytest.approx(line.r, abs=1e-12)


@given(pairs(), st.floats(-1000, 1000), st.floats(-1000, 1000))
@settings(max_examples=40, deadline=None)
def test_slopes_do_not_depend_on_where_zero_is(points, shift_x, shift_y):
    x, y = points
    for method in METHODS:
        line, moved = (
            fit_line(x, y, method=method),
            fit_line(x + shift_x, y + shift_y, method=method),
        )
        assert moved.slope == pytest.approx(line.slope, rel=1e-5)
        assert moved.r == pytest.approx(line.r, abs=1e-6)


@given(pairs(), st.floats(-np.pi / 2, np.pi / 2))
@settings(max_examples=80, deadline=None)
def test_major_axis_turns_with_the_points(points, turn):
    x, y = points
    moments = measure_moments(x, y)
    # Where the cloud is nearly round its axis is anything.
    gap = np.hypot(moments.sum_xx - moments.sum_yy, 2 * moments.sum_xy)
    assume(gap > 1e-3 * (moments.sum_xx + moments.sum_yy))
    turned_x = np.cos(turn) * x - np.sin(turn) * y
    turned_y = np.sin(turn) * x + np.cos(turn) * y
    line, turned = fit_line(x, y, method="ma"), fit_line(turned_x, turned_y, method="ma")
    assume(np.isfinite(turned.slope))
    angle = np.arctan(turned.slope) - np.arctan(line.slope) - turn
    assert np.sin(angle) == pytest.approx(0, abs=1e-6)


@given(pairs(fewest=4), st.sampled_from([0.8, 0.95, 0.99]))
@settings(max_examples=80, deadline=None)
def test_standardised_interval_is_the_set_of_slopes_without_a_significant_correlation(
    points, level
):
    """b lies in the interval exactly where corr(y - b x, y + b x) is not significant."""
    from scipy.special import stdtrit

    x, y = points
    n = x.size
    x, y = x - x.mean(), y - y.mean()
    line = fit_line(x, y, level=level)
    t = stdtrit(n - 2, 0.5 + level / 2)
    critical = t / np.sqrt(n - 2 + t**2)

    def correlate(slope):
        return np.corrcoef(y - slope * x, y + slope * x)[0, 1]

    for limit in (line.slope_low, line.slope_high):
        assert abs(correlate(limit)) == pytest.approx(critical, abs=1e-6)
    width = line.slope_high - line.slope_low
    inside = np.linspace(line.slope_low + 1e-3 * width, line.slope_high - 1e-3 * width, 9)
    assert all(abs(correlate(slope)) < critical for slope in inside)
    steep, flat = sorted([line.slope_low, line.slope_high], key=abs)[::-1]
    for outside in (1.01 * steep, 2 * steep, 0.99 * flat, 0.5 * flat):
        assert abs(correlate(outside)) > critical


@given(pairs())
@settings(max_examples=40, deadline=None)
def test_lines_go_through_the_means_and_lie_in_order(points):
    x, y = points
    lines = {method: fit_line(x, y, method=method) for method in METHODS}
    for line in lines.values():
        if np.isfinite(line.slope):
            scale = 1 + abs(line.slope) * (1 + abs(x.mean()))
            assert line.intercept + line.slope * x.mean() == pytest.approx(
                y.mean(), abs=1e-9 * scale
            )
    # Least squares is |r| times as steep as the standardised axis.
    assert lines["ols"].slope == pytest.approx(abs(lines["sma"].r) * lines["sma"].slope, rel=1e-9)
    assert lines["sma"].slope_low < lines["sma"].slope < lines["sma"].slope_high


MAYBE_MISSING = st.one_of(COORDINATES, st.just(float("nan")))


@given(st.lists(st.tuples(MAYBE_MISSING, MAYBE_MISSING), max_size=40), st.data())
@settings(max_examples=80, deadline=None)
def test_merged_parts_are_the_whole(rows, data):
    table = np.array(rows, dtype=np.float64).reshape(-1, 2)
    cuts = sorted(data.draw(st.lists(st.integers(0, len(rows)), max_size=4)))
    whole = measure_moments(table[:, 0], table[:, 1])
    merged = measure_moments([], [])
    for part in np.split(table, cuts):
        merged = merged.merge(measure_moments(part[:, 0], part[:, 1]))
    assert (merged.n, merged.n_missing) == (whole.n, whole.n_missing)
    size = max(1.0, whole.sum_xx, whole.sum_yy)
    for name in ("mean_x", "mean_y", "sum_xx", "sum_yy", "sum_xy"):
        expected = getattr(whole, name)
        assert getattr(merged, name) == pytest.approx(
            expected, rel=1e-9, abs=1e-10 * size, nan_ok=True
        )


@given(st.floats(-1e6, 1e6), st.integers(1, 20), st.integers(1, 20))
@settings(max_examples=60, deadline=None)
def test_equal_values_in_parts_have_no_spread(value, n_one, n_two):
    parts = [measure_moments([value] * n, np.arange(n)) for n in (n_one, n_two)]
    merged = parts[0].merge(parts[1])
    assert merged.sum_xx == 0
    if merged.n > 1:
        assert "x does not vary" in fit_line_to_moments(merged).reason
