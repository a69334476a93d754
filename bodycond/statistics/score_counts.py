"""Mergeable counts of grade pairs, and the kappa coefficients that they determine."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from bodycond.errors import ArgumentError, require_choice

Weights = Literal["unweighted", "linear", "quadratic"]
FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, eq=False)
class PairCounts:
    """How often each pair of grades was given, per cluster and in all.

    Parameters
    ----------
    by_cluster : ndarray of float, shape (n_clusters, n_grades * n_grades)
        Counts of each cluster's pairs, the first scorer's grade varying slowest.
    n_grades : int
        Grades on the scale, used or not.
    """

    by_cluster: FloatArray
    n_grades: int

    @property
    def table(self) -> FloatArray:
        """The counts of all clusters together.

        Returns
        -------
        ndarray of float, shape (n_grades, n_grades)
            Rows are the first scorer's grades.
        """
        total: FloatArray = self.by_cluster.sum(axis=0)
        return total.reshape(self.n_grades, self.n_grades)

    def merge(self, other: PairCounts) -> PairCounts:
        """Add the clusters of another part, whose clusters are not among these.

        Parameters
        ----------
        other : PairCounts
            Counts on a scale of as many grades.

        Returns
        -------
        PairCounts
            Counts of both.

        Raises
        ------
        ArgumentError
            If the scales have different numbers of grades.
        """
        if self.n_grades != other.n_grades:
            raise ArgumentError(
                needed="Counts can be merged on one and the same scale",
                found=f"{self.n_grades} and {other.n_grades} grades",
                then="Count both parts on one scale",
            )
        return PairCounts(
            by_cluster=np.vstack([self.by_cluster, other.by_cluster]), n_grades=self.n_grades
        )


def count_pairs(
    first: npt.NDArray[np.intp],
    second: npt.NDArray[np.intp],
    *,
    n_grades: int,
    clusters: npt.NDArray[np.intp],
) -> PairCounts:
    """Count grade pairs per cluster.

    Parameters
    ----------
    first, second : ndarray of int, shape (n_rows,)
        Positions of the grades on the scale, from 0.
    n_grades : int
        Grades on the scale.
    clusters : ndarray of int, shape (n_rows,)
        Each row's cluster, numbered from 0 without gaps.

    Returns
    -------
    PairCounts
        The counts.
    """
    cells = n_grades * n_grades
    n_clusters = int(clusters.max()) + 1 if clusters.size else 0
    flat = clusters * cells + first * n_grades + second
    counts = np.bincount(flat, minlength=n_clusters * cells).astype(np.float64)
    return PairCounts(by_cluster=counts.reshape(n_clusters, cells), n_grades=n_grades)


def agreement_weights(values: npt.ArrayLike, *, weights: Weights | npt.ArrayLike) -> FloatArray:
    """Give the credit for each pair of grades, 1 on the diagonal.

    Parameters
    ----------
    values : array_like of float, shape (n_grades,)
        The grades' values; distances are between values, so that a half grade counts as half.
    weights : {"unweighted", "linear", "quadratic"} or array_like, shape (n_grades, n_grades)
        Credit by name, or credits of the caller's own: at most 1, and 1 on the diagonal.

    Returns
    -------
    ndarray of float, shape (n_grades, n_grades)
        The weights.

    Raises
    ------
    ArgumentError
        If the name is unknown, or the caller's own weights have the wrong shape, are not finite,
        exceed 1 or are not 1 on the diagonal.

    Examples
    --------
    >>> agreement_weights([1, 2, 3], weights="linear")[0]
    array([1. , 0.5, 0. ])
    """
    grades = np.asarray(values, dtype=np.float64)
    if isinstance(weights, str):
        require_choice(weights, ("unweighted", "linear", "quadratic"), argument="weights")
        if weights == "unweighted":
            return np.eye(grades.size)
        distance = np.abs(grades[:, np.newaxis] - grades) / np.ptp(grades)
        return 1.0 - (distance if weights == "linear" else distance**2)
    own = np.asarray(weights, dtype=np.float64)
    faults = _find_weight_faults(own, grades.size)
    if faults:
        raise ArgumentError(
            needed=f"weights= takes a {grades.size} x {grades.size} table of finite credits, at "
            "most 1, and 1 on the diagonal",
            found="; ".join(faults),
            then="Give one row and one column for each grade of the scale",
        )
    return own


def _find_weight_faults(own: FloatArray, n_grades: int) -> list[str]:
    if own.shape != (n_grades, n_grades):
        return [f"a table of shape {own.shape}"]
    faults = {
        "not finite": int((~np.isfinite(own)).sum()),
        "above 1": int((own > 1).sum()),
        "on the diagonal other than 1": int((np.diag(own) != 1).sum()),
    }
    return [f"{count} credits {fault}" for fault, count in faults.items() if count]


def kappa_of_tables(tables: FloatArray, credits: FloatArray) -> tuple[FloatArray, ...]:
    """Compute weighted kappa of one or many tables.

    Parameters
    ----------
    tables : ndarray of float, shape (..., n_grades, n_grades)
        Counts.
    credits : ndarray of float, shape (n_grades, n_grades)
        Agreement weights.

    Returns
    -------
    tuple of ndarray
        Kappa, observed and expected weighted agreement, each of shape (...); NaN where a table
        is empty or where chance agreement is complete.
    """
    # Worked in losses (1 - credit): sums of non-negative terms, which are exactly 0 where both
    # scorers used one grade or agree throughout, however wide the scale.
    losses = 1.0 - credits
    totals = tables.sum(axis=(-2, -1))
    with np.errstate(invalid="ignore", divide="ignore"):
        shares = tables / totals[..., np.newaxis, np.newaxis]
        rows, columns = shares.sum(axis=-1), shares.sum(axis=-2)
        observed = np.einsum("...ij,ij->...", shares, losses)
        expected = np.einsum("...i,ij,...j->...", rows, losses, columns, optimize=True)
        kappa = np.where(expected > 0, 1.0 - observed / expected, np.nan)
    return kappa, 1.0 - observed, 1.0 - expected


def kappa_standard_errors(table: FloatArray, credits: FloatArray) -> tuple[float, float]:
    """Give the large-sample standard errors of weighted kappa.

    Parameters
    ----------
    table : ndarray of float, shape (n_grades, n_grades)
        Counts of independent pairs.
    credits : ndarray of float, shape (n_grades, n_grades)
        Agreement weights.

    Returns
    -------
    tuple of float
        The standard error, and the standard error if kappa were 0; NaN where kappa is undefined.

    Notes
    -----
    The delta method of Fleiss, Cohen and Everitt in losses ``v = 1 - w``, which loses no digits.
    With ``m_ij`` the sum of the mean losses of row i and column j, ``Qo`` and ``Qc`` the observed
    and the chance loss, the variance is that of ``(v_ij - m_ij Qo / Qc) / Qc`` over the observed
    shares, by n; under kappa 0 that of ``(v_ij - m_ij) / Qc`` over the products of the margins.

    References
    ----------
    Fleiss JL, Cohen J, Everitt BS (1969) Psychological Bulletin 72:323-327.
    """
    total = float(table.sum())
    losses = 1.0 - credits
    shares = table / total if total > 0 else table
    rows, columns = shares.sum(axis=1), shares.sum(axis=0)
    by_chance = np.outer(rows, columns)
    observed, expected = float(np.sum(shares * losses)), float(np.sum(by_chance * losses))
    if not expected > 0:
        return float("nan"), float("nan")
    means = (losses @ columns)[:, np.newaxis] + (rows @ losses)[np.newaxis, :]
    spread = _variance_over((losses - means * observed / expected) / expected, shares)
    spread_null = _variance_over((losses - means) / expected, by_chance)
    return float(np.sqrt(spread / total)), float(np.sqrt(spread_null / total))


def _variance_over(values: FloatArray, shares: FloatArray) -> float:
    used = shares > 0
    mean = np.sum(values[used] * shares[used])
    return float(np.sum(shares[used] * (values[used] - mean) ** 2))
