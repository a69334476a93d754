"""Seeded, vectorised bootstrap that resamples whole clusters (birds), with two intervals."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from bodycond.errors import ArgumentError, require_level

DEFAULT_RESAMPLES = 2000
"""Enough that a 95 % limit moves little between seeds: about 50 draws lie beyond each limit."""

DEFAULT_SEED = 20240501
"""Any number would do; a fixed one makes a result repeatable."""

# A block of weights this large is fast and stays under 32 MB.
_BLOCK_CELLS = 4_000_000


# Limits closer than this are one number but for rounding: the draws did not vary.
_SAME = 1e-9


def require_resampling(*, resamples: int, seed: int, level: float) -> None:
    """Raise unless a bootstrap can be run, and repeated, with these settings.

    Parameters
    ----------
    resamples : int
        Resamples.
    seed : int
        Seed.
    level : float
        Confidence level.

    Raises
    ------
    ArgumentError
        If the level is not between 0 and 1, if the resamples are too few for one of them to lie
        beyond each limit, or if the seed is not a whole number from 0 up.
    """
    require_level(level)
    fewest = math.ceil(round(2.0 / (1.0 - level), 9))
    whole = isinstance(resamples, int | np.integer) and not isinstance(resamples, bool)
    if not whole or resamples < fewest:
        raise ArgumentError(
            needed=f"resamples= is a whole number of at least {fewest}, so that one resample lies "
            f"beyond each limit of a {100 * level:g} % interval",
            found=f"resamples={resamples!r}",
            then=f"Use the default of {DEFAULT_RESAMPLES}",
        )
    if not isinstance(seed, int | np.integer) or isinstance(seed, bool) or seed < 0:
        raise ArgumentError(
            needed="seed= is a whole number from 0 up, so that the result can be repeated",
            found=f"seed={seed!r}",
            then=f"Use any number, or the default of {DEFAULT_SEED}",
        )


def limits_coincide(low: float, high: float) -> bool:
    """Tell whether two limits are one number but for rounding.

    Parameters
    ----------
    low, high : float
        The limits.

    Returns
    -------
    bool
        True where the draws did not vary; False where a limit is NaN.
    """
    return bool(high - low < _SAME)


def iterate_cluster_weights(
    n_clusters: int, *, resamples: int = DEFAULT_RESAMPLES, seed: int = DEFAULT_SEED
) -> Iterator[npt.NDArray[np.float64]]:
    """Draw how often each cluster occurs in each resample, in blocks of bounded memory.

    Parameters
    ----------
    n_clusters : int
        Clusters (birds) to draw from, with replacement; as many are drawn as there are.
    resamples : int, default 2000
        Resamples in all.
    seed : int, default 20240501
        Seed of NumPy's PCG64 generator.

    Yields
    ------
    ndarray of float, shape (block, n_clusters)
        Rows are resamples; each row sums to ``n_clusters``.
    """
    for drawn in iterate_row_draws(n_clusters, resamples=resamples, seed=seed):
        size = drawn.shape[0]
        shifted = drawn + n_clusters * np.arange(size)[:, np.newaxis]
        counts = np.bincount(shifted.ravel(), minlength=size * n_clusters)
        yield counts.reshape(size, n_clusters).astype(np.float64)


def iterate_row_draws(
    n: int, *, resamples: int = DEFAULT_RESAMPLES, seed: int = DEFAULT_SEED
) -> Iterator[npt.NDArray[np.intp]]:
    """Draw the units of each resample, in blocks of bounded memory.

    Parameters
    ----------
    n : int
        Units to draw from, with replacement; as many are drawn as there are.
    resamples : int, default 2000
        Resamples in all.
    seed : int, default 20240501
        Seed of NumPy's PCG64 generator.

    Yields
    ------
    ndarray of int, shape (block, n)
        Rows are resamples of the numbers 0 to ``n - 1``.
    """
    generator = np.random.default_rng(seed)
    block = max(1, _BLOCK_CELLS // max(n, 1))
    for start in range(0, resamples, block):
        yield generator.integers(0, n, size=(min(block, resamples - start), n))


def percentile_interval(
    draws: npt.NDArray[np.float64], *, level: float
) -> tuple[float, float, int]:
    """Take the interval between two percentiles of bootstrap draws.

    Parameters
    ----------
    draws : ndarray of float, shape (resamples,)
        The statistic in each resample; NaN where it was undefined.
    level : float
        Confidence level.

    Returns
    -------
    tuple of (float, float, int)
        Low, high, and how many draws were undefined and left out; NaN limits where fewer than
        half of the draws were defined.
    """
    defined = draws[np.isfinite(draws)]
    n_undefined = int(draws.size - defined.size)
    if defined.size < max(draws.size / 2, 1):
        return float("nan"), float("nan"), n_undefined
    tail = (1 - level) / 2
    low, high = np.quantile(defined, [tail, 1 - tail])
    return float(low), float(high), n_undefined


def bca_interval(
    draws: npt.NDArray[np.float64],
    *,
    estimate: float,
    jackknife: npt.NDArray[np.float64],
    level: float,
) -> tuple[float, float, int]:
    """Take the bias-corrected and accelerated interval of bootstrap draws.

    Parameters
    ----------
    draws : ndarray of float, shape (resamples,)
        The statistic in each resample; NaN where it was undefined.
    estimate : float
        The statistic in the data.
    jackknife : ndarray of float, shape (n_clusters,)
        The statistic with each cluster left out in turn.
    level : float
        Confidence level.

    Returns
    -------
    tuple of (float, float, int)
        Low, high, and how many draws were undefined and left out; NaN limits where fewer than
        half of the draws were defined, where all draws lie on one side of the estimate, or where
        the acceleration is too large for the interval to exist.

    References
    ----------
    Efron B (1987) Better bootstrap confidence intervals. Journal of the American Statistical
    Association 82:171-185.
    """
    from scipy.special import ndtr, ndtri

    nan = float("nan")
    defined = draws[np.isfinite(draws)]
    n_undefined = int(draws.size - defined.size)
    if defined.size < max(draws.size / 2, 1):
        return nan, nan, n_undefined
    # Ties with the estimate, common with few birds and few grades, count half on each side.
    below = (np.sum(defined < estimate) + 0.5 * np.sum(defined == estimate)) / defined.size
    if not 0 < below < 1:
        return nan, nan, n_undefined
    left_out = jackknife[np.isfinite(jackknife)]
    off = left_out.mean() - left_out if left_out.size else np.zeros(1)
    spread = float(np.sum(off**2))
    acceleration = float(np.sum(off**3)) / (6 * spread**1.5) if spread > 0 else 0.0
    bias = ndtri(below)
    ends = bias + ndtri(np.array([(1 - level) / 2, (1 + level) / 2]))
    room = 1 - acceleration * ends
    if not (room > 0).all():
        # Past this pole the limits would change places.
        return nan, nan, n_undefined
    shares = ndtr(bias + ends / room)
    low, high = np.quantile(defined, shares)
    return float(low), float(high), n_undefined
