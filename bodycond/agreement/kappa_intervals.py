"""Intervals of weighted kappa: large-sample and by bootstrap of birds, or why there is none."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bodycond.statistics.resampling import (
    bca_interval,
    iterate_cluster_weights,
    limits_coincide,
    percentile_interval,
)
from bodycond.statistics.score_counts import FloatArray, PairCounts, kappa_of_tables

_FEWEST_BIRDS = 3

# Below this many birds the large-sample interval is known to be too narrow.
_FEW_BIRDS = 50

_NAN = float("nan")


@dataclass(frozen=True, kw_only=True, eq=False)
class KappaInterval:
    """Limits of kappa, or the reason why there are none.

    Parameters
    ----------
    low, high : float
        Limits; NaN where there are none.
    reason : str
        Why there are none; empty where there are.
    spread : float
        Standard deviation of the bootstrap draws; NaN without them.
    n_undefined : int
        Bootstrap draws in which kappa was undefined.
    notes : tuple of str
        What a reader of the limits should know.
    """

    low: float = _NAN
    high: float = _NAN
    reason: str = ""
    spread: float = _NAN
    n_undefined: int = 0
    notes: tuple[str, ...] = ()


def find_analytic_interval(
    value: float, *, se: float, n_birds: int, birds_repeat: bool, level: float
) -> KappaInterval:
    """Find the large-sample interval of kappa.

    Parameters
    ----------
    value, se : float
        Kappa and its large-sample standard error.
    n_birds : int
        Birds.
    birds_repeat : bool
        Whether some bird has more than one row.
    level : float
        Confidence level.

    Returns
    -------
    KappaInterval
        The interval, cut at 1.
    """
    from scipy.special import ndtri

    if birds_repeat:
        return KappaInterval(
            reason="birds repeat, and the large-sample interval takes rows for independent birds; "
            'use interval="bootstrap"'
        )
    half_width = float(ndtri(0.5 + level / 2.0)) * se
    # Without disagreement, or with a scorer of one grade, the error is 0 but for rounding.
    if limits_coincide(value - half_width, value + half_width):
        return KappaInterval(
            reason=f"the large-sample standard error is 0 with {n_birds} birds, so it gives no "
            "interval"
        )
    notes = []
    if n_birds < _FEW_BIRDS:
        notes.append(f"{n_birds} birds: below {_FEW_BIRDS} the large-sample interval is too narrow")
    if value + half_width > 1:
        notes.append("the upper limit was cut at 1, the largest kappa there is")
    return KappaInterval(
        low=value - half_width, high=min(value + half_width, 1.0), notes=tuple(notes)
    )


def find_bootstrap_interval(
    counts: PairCounts,
    credits: FloatArray,
    *,
    value: float,
    accelerated: bool,
    resamples: int,
    seed: int,
    level: float,
) -> KappaInterval:
    """Find the interval of kappa from resamples of whole birds.

    Parameters
    ----------
    counts : PairCounts
        Counts per bird.
    credits : ndarray of float, shape (n_grades, n_grades)
        Agreement weights.
    value : float
        Kappa of all birds.
    accelerated : bool
        Bias-corrected and accelerated limits instead of percentiles.
    resamples, seed : int
        Bootstrap resamples and seed.
    level : float
        Confidence level.

    Returns
    -------
    KappaInterval
        The interval, with the draws' standard deviation.
    """
    n_birds = counts.by_cluster.shape[0]
    if n_birds < _FEWEST_BIRDS:
        return KappaInterval(
            reason=f"a bootstrap by bird needs {_FEWEST_BIRDS} birds, found {n_birds}"
        )
    draws = draw_kappas(counts, credits, resamples=resamples, seed=seed)
    defined = draws[np.isfinite(draws)]
    spread = float(np.std(defined, ddof=1)) if defined.size > 1 else _NAN
    low, high, n_undefined = percentile_interval(draws, level=level)
    reason = ""
    if not np.isfinite(low):
        reason = "too few resamples gave a kappa for an interval"
    elif limits_coincide(low, high):
        low = high = _NAN
        reason = _word_equal_draws(value, n_birds)
    elif accelerated:
        low, high, n_undefined = bca_interval(
            draws, estimate=value, jackknife=_leave_out_each(counts, credits), level=level
        )
        if not np.isfinite(low):
            reason = (
                "the resamples lie too one-sidedly about kappa for a bias-corrected interval; use "
                'interval="bootstrap"'
            )
    notes = (
        (f"{n_undefined} of {resamples} resamples held no variation; left out",)
        if n_undefined
        else ()
    )
    return KappaInterval(
        low=low, high=high, reason=reason, spread=spread, n_undefined=n_undefined, notes=notes
    )


def _word_equal_draws(value: float, n_birds: int) -> str:
    start = "every resample gave the same kappa, so the bootstrap gives no interval"
    if np.isclose(value, 1.0):
        return f"{start}; {n_birds} birds without one disagreement do not show that there is none"
    if np.isclose(value, 0.0):
        return f"{start}; a scorer who gives one grade to all {n_birds} birds agrees by chance"
    return start


def _leave_out_each(counts: PairCounts, credits: FloatArray) -> FloatArray:
    without_each = counts.by_cluster.sum(axis=0) - counts.by_cluster
    shape = (-1, counts.n_grades, counts.n_grades)
    return kappa_of_tables(without_each.reshape(shape), credits)[0]


def draw_kappas(
    counts: PairCounts, credits: FloatArray, *, resamples: int, seed: int
) -> FloatArray:
    """Compute kappa in bootstrap resamples of clusters.

    Parameters
    ----------
    counts : PairCounts
        Counts per cluster.
    credits : ndarray of float, shape (n_grades, n_grades)
        Agreement weights.
    resamples : int
        Resamples.
    seed : int
        Seed.

    Returns
    -------
    ndarray of float, shape (resamples,)
        Kappa in each resample; NaN where undefined.
    """
    used = np.flatnonzero(counts.by_cluster.any(axis=0))
    compact = np.ascontiguousarray(counts.by_cluster[:, used])
    parts = []
    for chosen in iterate_cluster_weights(compact.shape[0], resamples=resamples, seed=seed):
        tables = np.zeros((chosen.shape[0], counts.by_cluster.shape[1]))
        tables[:, used] = chosen @ compact
        shape = (chosen.shape[0], counts.n_grades, counts.n_grades)
        parts.append(kappa_of_tables(tables.reshape(shape), credits)[0])
    return np.concatenate(parts)
