"""Straight lines through two measured variables: least squares, major and standardised axis."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Literal

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.errors import ArgumentError, require_choice
from bodycond.references import cite
from bodycond.rounding import word_interval
from bodycond.statistics.moments import PairMoments, measure_moments

LineMethod = Literal["sma", "ols", "ma"]

METHOD_NAMES: dict[str, str] = {
    "sma": "standardised major axis",
    "ols": "ordinary least squares of y on x",
    "ma": "major axis",
}


@dataclass(frozen=True, kw_only=True, eq=False)
class LineFit:
    """A fitted line y = intercept + slope * x with the interval of its slope.

    Parameters
    ----------
    method : {"sma", "ols", "ma"}
        How the line was fitted.
    slope, slope_se, slope_low, slope_high : float
        Slope, its standard error (NaN for the major axis) and its interval.
    intercept : float
        Intercept; the line goes through the means.
    r, r_low, r_high : float
        Pearson correlation and its interval by Fisher's z transformation.
    n, n_missing : int
        Complete pairs used, and pairs left out because a value was missing.
    level : float
        Confidence level of both intervals.
    reason : str
        Why a number above is NaN; empty where none is.
    """

    method: str
    slope: float
    slope_se: float
    slope_low: float
    slope_high: float
    intercept: float
    r: float
    r_low: float
    r_high: float
    n: int
    n_missing: int
    level: float
    reason: str

    def to_frame(self) -> pd.DataFrame:
        """Give the fit as a table of one row, unrounded.

        Returns
        -------
        DataFrame
            One column a field.
        """
        return pd.DataFrame([{item.name: getattr(self, item.name) for item in fields(self)}])

    def summary(self) -> str:
        """Write the fit in a line or two.

        Returns
        -------
        str
            Slope, correlation, n, and the reason where something is undefined.
        """
        slope = word_interval(self.slope, self.slope_low, self.slope_high, level=self.level)
        correlation = word_interval(self.r, self.r_low, self.r_high, level=self.level)
        lines = [
            f"{METHOD_NAMES[self.method]}: slope {slope}; r {correlation}; n = {self.n}",
        ]
        if self.n_missing:
            lines.append(f"{self.n_missing} pairs left out: a value was missing")
        return "\n".join([*lines, self.reason] if self.reason else lines)

    def methods(self) -> str:
        """Give the sentence that a methods section would carry.

        Returns
        -------
        str
            The sentence, then the references.
        """
        keys = {
            "sma": ["warton_2006", "jolicoeur_1968"],
            "ma": ["warton_2006", "jolicoeur_1968"],
            "ols": [],
        }[self.method]
        return (
            f"A line was fitted by {METHOD_NAMES[self.method]}, with a "
            f"{100 * self.level:g} % interval for its slope. {cite(keys)}"
        ).strip()


def fit_line(
    x: npt.ArrayLike, y: npt.ArrayLike, *, method: LineMethod = "sma", level: float = 0.95
) -> LineFit:
    """Fit a line to pairs, with the interval of its slope.

    Parameters
    ----------
    x, y : array_like of float, shape (n,)
        The pairs, in any unit; pairs with a missing value are left out and counted.
    method : {"sma", "ols", "ma"}, default "sma"
        Standardised major axis (both variables carry error and differ in scale), least squares
        of y on x (x is given, y is asked for) or major axis (both carry error in one unit).
    level : float, default 0.95
        Confidence level of the intervals.

    Returns
    -------
    LineFit
        The line; NaN with a reason where a number is undefined.

    Raises
    ------
    ArgumentError
        If the method is unknown, the level is not between 0 and 1, or x and y differ in length.

    Notes
    -----
    The standardised major axis has slope sign(r) sd(y) / sd(x) and the interval
    ``b (sqrt(B + 1) -/+ sqrt(B))`` with ``B = F(level; 1, n-2) (1 - r^2) / (n - 2)``. The major
    axis has the interval of all axes whose scores and residuals are not significantly
    correlated, which can hold the vertical: it is then undefined and the reason says so.

    References
    ----------
    Warton DI, Wright IJ, Falster DS, Westoby M (2006) Biological Reviews 81:259-291.

    Examples
    --------
    >>> line = fit_line([1, 2, 3, 4, 5], [1.1, 1.9, 3.2, 3.9, 5.1])
    >>> round(line.slope, 3), line.n
    (1.004, 5)
    """
    return fit_line_to_moments(measure_moments(x, y), method=method, level=level)


def fit_line_to_moments(
    moments: PairMoments, *, method: LineMethod = "sma", level: float = 0.95
) -> LineFit:
    """Fit a line to moments, which may have been merged from parts.

    Parameters
    ----------
    moments : PairMoments
        Moments of the pairs.
    method : {"sma", "ols", "ma"}, default "sma"
        As in `fit_line`.
    level : float, default 0.95
        Confidence level of the intervals.

    Returns
    -------
    LineFit
        The line; NaN with a reason where a number is undefined.

    Raises
    ------
    ArgumentError
        If the method is unknown or the level is not between 0 and 1.
    """
    require_choice(method, METHOD_NAMES, argument="method")
    require_level(level)
    nan = float("nan")
    slope = slope_se = low = high = nan
    reason = _find_obstacle(moments, method)
    if not reason:
        slope = _SLOPES[method](moments)
        if moments.n < 3:
            reason = f"an interval needs 3 pairs, found {moments.n}"
        else:
            slope_se, low, high, reason = _INTERVALS[method](moments, slope, level)
    r_low, r_high = correlation_interval(moments.r, moments.n, level=level)
    return LineFit(
        method=method,
        slope=slope,
        slope_se=slope_se,
        slope_low=low,
        slope_high=high,
        intercept=moments.mean_y - slope * moments.mean_x,
        r=moments.r,
        r_low=r_low,
        r_high=r_high,
        n=moments.n,
        n_missing=moments.n_missing,
        level=level,
        reason=reason,
    )


def require_level(level: float) -> None:
    """Raise unless a confidence level lies strictly between 0 and 1.

    Parameters
    ----------
    level : float
        The level.

    Raises
    ------
    ArgumentError
        If it does not.
    """
    if not 0.0 < level < 1.0:
        raise ArgumentError(
            needed="level= is a confidence level strictly between 0 and 1",
            found=f"level={level!r}",
            then="Use 0.95 for a 95 % interval",
        )


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


def _find_obstacle(moments: PairMoments, method: str) -> str:
    if moments.n < 2:
        return f"a line needs 2 complete pairs, found {moments.n}"
    if moments.sum_xx == 0:
        return f"x does not vary: all {moments.n} values are equal"
    if moments.sum_yy == 0 and method != "ols":
        return f"y does not vary: all {moments.n} values are equal"
    if moments.sum_xy == 0 and method == "sma":
        return "r is exactly 0, so the sign of the slope is undefined"
    if moments.sum_xy == 0 and method == "ma" and moments.sum_yy >= moments.sum_xx:
        return "r is exactly 0 and y varies at least as much as x: the axis has no finite slope"
    return ""


def _slope_sma(moments: PairMoments) -> float:
    return float(np.sign(moments.sum_xy) * np.sqrt(moments.sum_yy / moments.sum_xx))


def _slope_ols(moments: PairMoments) -> float:
    return moments.sum_xy / moments.sum_xx


def _slope_ma(moments: PairMoments) -> float:
    if moments.sum_xy == 0:
        return 0.0
    difference = moments.sum_yy - moments.sum_xx
    root = np.hypot(difference, 2 * moments.sum_xy)
    return float((difference + root) / (2 * moments.sum_xy))


def _interval_sma(
    moments: PairMoments, slope: float, level: float
) -> tuple[float, float, float, str]:
    unexplained = (1 - moments.r**2) / (moments.n - 2)
    spread = _f_quantile(level, moments.n - 2) * unexplained
    bounds = slope * (np.sqrt(spread + 1) + np.array([-1.0, 1.0]) * np.sqrt(spread))
    return float(abs(slope) * np.sqrt(unexplained)), float(bounds.min()), float(bounds.max()), ""


def _interval_ols(
    moments: PairMoments, slope: float, level: float
) -> tuple[float, float, float, str]:
    residual = max(moments.sum_yy - slope * moments.sum_xy, 0.0) / (moments.n - 2)
    slope_se = float(np.sqrt(residual / moments.sum_xx))
    # The square root of an F quantile with one numerator degree is the two-sided t quantile.
    half_width = float(np.sqrt(_f_quantile(level, moments.n - 2))) * slope_se
    return slope_se, slope - half_width, slope + half_width, ""


def _interval_ma(
    moments: PairMoments, slope: float, level: float
) -> tuple[float, float, float, str]:
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


_SLOPES = {"sma": _slope_sma, "ols": _slope_ols, "ma": _slope_ma}
_INTERVALS = {"sma": _interval_sma, "ols": _interval_ols, "ma": _interval_ma}
