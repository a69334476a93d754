"""Straight lines through two measured variables: least squares, major and standardised axis."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Literal

import numpy.typing as npt
import pandas as pd

from bodycond.errors import require_choice, require_level
from bodycond.references import cite
from bodycond.rounding import word_interval
from bodycond.statistics.line_slopes import INTERVALS, SLOPES, correlation_interval
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
        slope = SLOPES[method](moments)
        if moments.n < 3:
            reason = f"an interval needs 3 pairs, found {moments.n}"
        else:
            slope_se, low, high, gap = INTERVALS[method](moments, slope, level)
            reason = "; ".join(part for part in (gap, _find_gap_in_r(moments)) if part)
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


def _find_obstacle(moments: PairMoments, method: str) -> str:
    if moments.n < 2:
        return f"a line needs 2 complete pairs, found {moments.n}"
    if moments.sum_xx == 0:
        return f"x does not vary: all {moments.n} values are equal"
    if moments.sum_yy == 0 and method != "ols":
        return f"y does not vary: all {moments.n} values are equal"
    if moments.uncorrelated and method == "sma":
        return "r is 0, so the sign of the slope is undefined"
    if moments.uncorrelated and method == "ma" and moments.sum_yy >= moments.sum_xx:
        return "r is 0 and y varies at least as much as x: the axis has no finite slope"
    return ""


def _find_gap_in_r(moments: PairMoments) -> str:
    if moments.sum_yy == 0:
        return f"y does not vary: all {moments.n} values are equal, so r is undefined"
    if moments.n == 3:
        return "an interval of r needs 4 pairs, found 3"
    return ""
