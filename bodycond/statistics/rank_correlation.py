"""Spearman's rank correlation with a percentile bootstrap."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from bodycond.statistics.estimates import Estimate
from bodycond.statistics.resampling import (
    DEFAULT_RESAMPLES,
    DEFAULT_SEED,
    iterate_row_draws,
    percentile_interval,
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

    Examples
    --------
    >>> rank_correlation([1, 2, 3, 4, 5], [2, 1, 4, 3, 5]).value
    0.8
    """
    one, two = np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)
    complete = np.isfinite(one) & np.isfinite(two)
    one, two = one[complete], two[complete]
    value = se = low = high = float("nan")
    reason = ""
    notes: tuple[str, ...] = ()
    if one.size < _FEWEST:
        reason = f"a rank correlation needs {_FEWEST} complete rows, found {one.size}"
    elif np.ptp(one) == 0 or np.ptp(two) == 0:
        reason = f"one of the columns does not vary over {one.size} rows"
    else:
        value = float(_correlate_ranks(one[np.newaxis], two[np.newaxis])[0])
        draws = np.concatenate(
            [
                _correlate_ranks(one[rows], two[rows])
                for rows in iterate_row_draws(one.size, resamples=resamples, seed=seed)
            ]
        )
        low, high, n_undefined = percentile_interval(draws, level=level)
        se = float(np.nanstd(draws, ddof=1))
        notes = (f"{n_undefined} resamples held no variation; left out",) if n_undefined else ()
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
