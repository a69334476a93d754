"""Spearman's rank correlation with a percentile bootstrap."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from bodycond.errors import ArgumentError
from bodycond.statistics.estimates import Estimate
from bodycond.statistics.resampling import (
    DEFAULT_RESAMPLES,
    DEFAULT_SEED,
    iterate_row_draws,
    limits_coincide,
    percentile_interval,
    require_resampling,
)

# Below this an interval of a rank correlation says nothing.
_FEWEST = 5


def rank_correlation(
    x: npt.ArrayLike,
    y: npt.ArrayLike,
    *,
    resamples: int = DEFAULT_RESAMPLES,
    seed: int = DEFAULT_SEED,
    level: float = 0.95,
) -> Estimate:
    """Correlate the ranks of two columns, ties sharing their mean rank.

    Parameters
    ----------
    x, y : array_like of float, shape (n,)
        The columns, one row an independent unit; incomplete rows are left out and counted.
    resamples, seed : int
        Bootstrap resamples (default 2000) and seed (default 20240501).
    level : float, default 0.95
        Confidence level.

    Returns
    -------
    Estimate
        The correlation, or NaN and the reason why there is none.

    Raises
    ------
    ArgumentError
        If the columns differ in length or are not one-dimensional, or if the level, the
        resamples or the seed are impossible.

    Examples
    --------
    >>> rank_correlation([1, 2, 3, 4, 5], [2, 1, 4, 3, 5]).value
    0.8
    """
    require_resampling(resamples=resamples, seed=seed, level=level)
    one, two = np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)
    if one.ndim != 1 or one.shape != two.shape:
        raise ArgumentError(
            needed="Columns to correlate must be one-dimensional and of equal length",
            found=f"shapes {one.shape} and {two.shape}",
            then="Pass two columns of the same table",
        )
    complete = np.isfinite(one) & np.isfinite(two)
    one, two = one[complete], two[complete]
    value = se = low = high = float("nan")
    notes: tuple[str, ...] = ()
    reason = _find_obstacle(one, two)
    if not reason:
        value = float(_correlate_ranks(one[np.newaxis], two[np.newaxis])[0])
        draws = _draw_correlations(one, two, resamples=resamples, seed=seed)
        defined = draws[np.isfinite(draws)]
        se = float(np.std(defined, ddof=1)) if defined.size > 1 else se
        low, high, n_undefined = percentile_interval(draws, level=level)
        if n_undefined:
            notes = (f"{n_undefined} of {resamples} resamples held no variation; left out",)
        if limits_coincide(low, high):
            low = high = float("nan")
            reason = "every resample gave the same correlation, so the bootstrap gives no interval"
        elif not np.isfinite(low):
            reason = "too few resamples held variation for an interval"
    return Estimate(
        name="Spearman's rank correlation",
        value=value,
        se=se,
        low=low,
        high=high,
        level=level,
        n=int(one.size),
        n_rows=int(one.size),
        n_missing=int((~complete).sum()),
        interval_method=f"percentile bootstrap, {resamples} resamples, seed {seed}",
        reason=reason,
        notes=notes,
    )


def _find_obstacle(x: npt.NDArray[np.float64], y: npt.NDArray[np.float64]) -> str:
    if x.size < _FEWEST:
        return f"a rank correlation needs {_FEWEST} complete rows, found {x.size}"
    for values in (x, y):
        if np.ptp(values) == 0:
            return f"one of the columns is {values[0]:g} in all {x.size} rows"
    return ""


def _draw_correlations(
    x: npt.NDArray[np.float64], y: npt.NDArray[np.float64], *, resamples: int, seed: int
) -> npt.NDArray[np.float64]:
    return np.concatenate(
        [
            _correlate_ranks(x[rows], y[rows])
            for rows in iterate_row_draws(x.size, resamples=resamples, seed=seed)
        ]
    )


def _correlate_ranks(
    x: npt.NDArray[np.float64], y: npt.NDArray[np.float64]
) -> npt.NDArray[np.float64]:
    from scipy.stats import rankdata

    first = rankdata(x, axis=1)
    second = rankdata(y, axis=1)
    first -= first.mean(axis=1, keepdims=True)
    second -= second.mean(axis=1, keepdims=True)
    spread = np.sqrt((first**2).sum(axis=1) * (second**2).sum(axis=1))
    with np.errstate(invalid="ignore", divide="ignore"):
        correlated = (first * second).sum(axis=1) / spread
    return np.where(spread > 0, np.clip(correlated, -1.0, 1.0), np.nan)
