"""Slopes and their intervals, from moments: the formulas behind `bodycond.statistics.lines`."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from bodycond.statistics.moments import PairMoments

# Standard error, low, high, and why one of them is NaN.
_SlopeInterval = tuple[float, float, float, str]


def correlation_interval(r: float, n: int, *, level: float) -> tuple[float, float]:
    """Give the interval of a Pearson correlation by Fisher's z transformation.

    Parameters
    ----------
    r : float
        The correlation.
    n : int
        Pairs.
    level : float
        Confidence level.

    Returns
    -------
    tuple of float
        Low and high; NaN for n below 4 or an undefined correlation, (r, r) at r = -1 or 1.
    """
    if not np.isfinite(r) or n < 4:
        return float("nan"), float("nan")
    if abs(r) == 1.0:
        return r, r
    from scipy.special import ndtri

    half_width = ndtri(0.5 + level / 2.0) / np.sqrt(n - 3)
    z = np.arctanh(r)
    return float(np.tanh(z - half_width)), float(np.tanh(z + half_width))


def _slope_sma(moments: PairMoments) -> float:
    return float(np.sign(moments.sum_xy) * np.sqrt(moments.sum_yy / moments.sum_xx))


def _slope_ols(moments: PairMoments) -> float:
    return moments.sum_xy / moments.sum_xx


def _slope_ma(moments: PairMoments) -> float:
    if moments.uncorrelated:
        return 0.0
    difference = moments.sum_yy - moments.sum_xx
    root = np.hypot(difference, 2 * moments.sum_xy)
    # Two forms of one root: whichever adds numbers of one sign, so that no digits cancel.
    if difference < 0:
        return float(2 * moments.sum_xy / (root - difference))
    return float((difference + root) / (2 * moments.sum_xy))


def _interval_sma(moments: PairMoments, slope: float, level: float) -> _SlopeInterval:
    unexplained = (1 - moments.r**2) / (moments.n - 2)
    spread = _f_quantile(level, moments.n - 2) * unexplained
    bounds = slope * (np.sqrt(spread + 1) + np.array([-1.0, 1.0]) * np.sqrt(spread))
    return float(abs(slope) * np.sqrt(unexplained)), float(bounds.min()), float(bounds.max()), ""


def _interval_ols(moments: PairMoments, slope: float, level: float) -> _SlopeInterval:
    residual = max(moments.sum_yy - slope * moments.sum_xy, 0.0) / (moments.n - 2)
    slope_se = float(np.sqrt(residual / moments.sum_xx))
    # The square root of an F quantile with one numerator degree is the two-sided t quantile.
    half_width = float(np.sqrt(_f_quantile(level, moments.n - 2))) * slope_se
    return slope_se, slope - half_width, slope + half_width, ""


def _interval_ma(moments: PairMoments, slope: float, level: float) -> _SlopeInterval:
    nan = float("nan")
    determinant = moments.sum_xx * moments.sum_yy * (1 - moments.r**2)
    gap = (moments.sum_xx - moments.sum_yy) ** 2 + 4 * moments.sum_xy**2
    sine = np.sqrt(4 * _f_quantile(level, moments.n - 2) * determinant / (moments.n - 2) / gap)
    if sine >= 1:
        return nan, nan, nan, "the interval of the major axis holds every direction"
    turn = 0.5 * np.arcsin(sine)
    angle = np.arctan(slope)
    if angle - turn <= -np.pi / 2 or angle + turn >= np.pi / 2:
        return nan, nan, nan, "the interval of the major axis holds the vertical"
    return nan, float(np.tan(angle - turn)), float(np.tan(angle + turn)), ""


def _f_quantile(level: float, degrees: int) -> float:
    from scipy.special import stdtrit

    return float(stdtrit(degrees, 0.5 + level / 2.0) ** 2)


SLOPES: dict[str, Callable[[PairMoments], float]] = {
    "sma": _slope_sma,
    "ols": _slope_ols,
    "ma": _slope_ma,
}
"""How each method finds its slope."""

INTERVALS: dict[str, Callable[[PairMoments, float, float], _SlopeInterval]] = {
    "sma": _interval_sma,
    "ols": _interval_ols,
    "ma": _interval_ma,
}
"""How each method finds standard error, low, high, and the reason why one is NaN."""
