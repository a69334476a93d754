"""Mergeable sums behind every line fit: n, means and centred cross-products of pairs."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from bodycond.errors import ArgumentError


@dataclass(frozen=True, kw_only=True, eq=False)
class PairMoments:
    """What a straight line needs to know of pairs (x, y), in a form that parts can be merged in.

    Parameters
    ----------
    n : int
        Complete pairs.
    n_missing : int
        Pairs left out because x or y was missing or infinite.
    mean_x, mean_y : float
        Means; NaN where n is 0.
    sum_xx, sum_yy, sum_xy : float
        Sums of squares and products about the means.
    """

    n: int
    n_missing: int
    mean_x: float
    mean_y: float
    sum_xx: float
    sum_yy: float
    sum_xy: float

    def merge(self, other: PairMoments) -> PairMoments:
        """Add another part, as if both had been read together.

        Parameters
        ----------
        other : PairMoments
            Moments of other pairs.

        Returns
        -------
        PairMoments
            Moments of all pairs.

        Notes
        -----
        The pairwise update of Chan, Golub and LeVeque (1983, The American Statistician
        37:242-247; from memory), which loses no digits where the means are far from zero.
        """
        if self.n == 0 or other.n == 0:
            filled = other if self.n == 0 else self
            return PairMoments(
                n=filled.n,
                n_missing=self.n_missing + other.n_missing,
                mean_x=filled.mean_x,
                mean_y=filled.mean_y,
                sum_xx=filled.sum_xx,
                sum_yy=filled.sum_yy,
                sum_xy=filled.sum_xy,
            )
        n = self.n + other.n
        step_x = other.mean_x - self.mean_x
        step_y = other.mean_y - self.mean_y
        share = self.n * other.n / n
        return PairMoments(
            n=n,
            n_missing=self.n_missing + other.n_missing,
            mean_x=self.mean_x + step_x * other.n / n,
            mean_y=self.mean_y + step_y * other.n / n,
            sum_xx=self.sum_xx + other.sum_xx + step_x * step_x * share,
            sum_yy=self.sum_yy + other.sum_yy + step_y * step_y * share,
            sum_xy=self.sum_xy + other.sum_xy + step_x * step_y * share,
        )

    @property
    def r(self) -> float:
        """Pearson's correlation; NaN where x or y does not vary.

        Returns
        -------
        float
            The correlation, cut at -1 and 1 against rounding.
        """
        if not (self.sum_xx > 0 and self.sum_yy > 0):
            return float("nan")
        product = self.sum_xx * self.sum_yy
        # In units far from 1 the product overflows or vanishes; elsewhere it is the more exact.
        safe = 1e-280 < product < 1e280
        root = math.sqrt(product) if safe else math.sqrt(self.sum_xx) * math.sqrt(self.sum_yy)
        return float(np.clip(self.sum_xy / root, -1.0, 1.0))

    @property
    def uncorrelated(self) -> bool:
        """Whether r is 0 but for rounding, so that its sign means nothing.

        Returns
        -------
        bool
            True where r lies within 1e-12 of 0, which measured pairs never do by chance.
        """
        return abs(self.r) < 1e-12


def measure_moments(x: npt.ArrayLike, y: npt.ArrayLike) -> PairMoments:
    """Compute the moments of pairs, leaving out and counting incomplete ones.

    Parameters
    ----------
    x, y : array_like of float, shape (n,)
        The pairs; NaN and infinite values count as missing.

    Returns
    -------
    PairMoments
        The moments.

    Raises
    ------
    ArgumentError
        If x and y differ in length or are not one-dimensional.
    """
    first = np.asarray(x, dtype=np.float64)
    second = np.asarray(y, dtype=np.float64)
    if first.ndim != 1 or first.shape != second.shape:
        raise ArgumentError(
            needed="x and y must be one-dimensional and of equal length",
            found=f"shapes {first.shape} and {second.shape}",
            then="Pass two columns of the same table",
        )
    complete = np.isfinite(first) & np.isfinite(second)
    first, second = first[complete], second[complete]
    n = first.size
    if n == 0:
        nan = float("nan")
        return PairMoments(
            n=0, n_missing=complete.size, mean_x=nan, mean_y=nan, sum_xx=0.0, sum_yy=0.0, sum_xy=0.0
        )
    mean_x, mean_y = _mean(first), _mean(second)
    off_x, off_y = first - mean_x, second - mean_y
    return PairMoments(
        n=n,
        n_missing=int(complete.size - n),
        mean_x=mean_x,
        mean_y=mean_y,
        sum_xx=float(off_x @ off_x),
        sum_yy=float(off_y @ off_y),
        sum_xy=float(off_x @ off_y),
    )


def _mean(values: npt.NDArray[np.float64]) -> float:
    # The mean of equal values can be one rounding away from them, which would give a spread to
    # values that have none, here or when parts of equal values are merged.
    return float(values.mean() if np.ptp(values) > 0 else values[0])
