"""Two scorers compared: kappa with the companions without which it misleads."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.agreement.score_pairs import ScorePairs, collect_pairs
from bodycond.agreement.weighted_kappa import (
    Interval,
    KappaEstimate,
    weighted_kappa,
)
from bodycond.references import cite
from bodycond.scales import GRADE_TOLERANCE, KEEL_SCALE, ScoreScale
from bodycond.statistics.estimates import Estimate
from bodycond.statistics.resampling import (
    DEFAULT_RESAMPLES,
    DEFAULT_SEED,
    iterate_cluster_weights,
    limits_coincide,
    percentile_interval,
)
from bodycond.statistics.score_counts import Weights, count_pairs

_WEIGHTS: tuple[Weights, ...] = ("quadratic", "linear", "unweighted")

_SHARES = (("exact agreement", 0.0), ("agreement within half a grade", 0.5),
           ("agreement within one grade", 1.0))  # fmt: skip


@dataclass(frozen=True, kw_only=True, eq=False)
class TwoScorerComparison:
    """How two scorers graded the same birds.

    Parameters
    ----------
    first_name, second_name : str
        The scorers.
    scale : ScoreScale
        The scale.
    table : DataFrame, shape (n_grades, n_grades)
        Counts; rows the first scorer's grades, columns the second's.
    kappas : tuple of KappaEstimate
        Quadratic, linear and unweighted kappa.
    companions : tuple of Estimate
        Exact agreement and within half and one grade; mean signed difference, second minus
        first, in grades.
    """

    first_name: str
    second_name: str
    scale: ScoreScale
    table: pd.DataFrame
    kappas: tuple[KappaEstimate, ...]
    companions: tuple[Estimate, ...]

    @property
    def kappa(self) -> KappaEstimate:
        """The headline: quadratic weighted kappa.

        Returns
        -------
        KappaEstimate
            The first of the kappas.
        """
        return self.kappas[0]

    @property
    def signed_difference(self) -> Estimate:
        """The mean signed difference, second minus first, in grades.

        Returns
        -------
        Estimate
            The last of the companions.
        """
        return self.companions[-1]

    @property
    def estimates(self) -> tuple[Estimate, ...]:
        """The kappas, then their companions.

        Returns
        -------
        tuple of Estimate
            In the order of `kappas` and `companions`.
        """
        return (*self.kappas, *self.companions)

    def to_frame(self) -> pd.DataFrame:
        """Give every estimate in a row of its own, unrounded.

        Returns
        -------
        DataFrame
            ``first``, ``second``, ``statistic``, ``value``, ``se``, ``low``, ``high``, ``level``,
            ``n_birds``, ``n_rows``, ``n_missing``, ``interval_method``, ``reason``, ``notes``.
        """
        return pd.DataFrame(
            [
                {
                    "first": self.first_name,
                    "second": self.second_name,
                    "statistic": estimate.name,
                    "value": estimate.value,
                    "se": estimate.se,
                    "low": estimate.low,
                    "high": estimate.high,
                    "level": estimate.level,
                    "n_birds": estimate.n,
                    "n_rows": estimate.n_rows,
                    "n_missing": estimate.n_missing,
                    "interval_method": estimate.interval_method,
                    "reason": estimate.reason,
                    "notes": "; ".join(estimate.notes),
                }
                for estimate in self.estimates
            ]
        )

    def summary(self) -> str:
        """Write the comparison, one estimate a line.

        Returns
        -------
        str
            The lines.
        """
        heading = f"{self.first_name} and {self.second_name} on {self.scale.name}"
        return "\n".join([heading, *(estimate.summary() for estimate in self.estimates)])

    def methods(self) -> str:
        """Give the sentences that a methods section would carry.

        Returns
        -------
        str
            The sentences, then the references.
        """
        return (
            f"Agreement on {self.scale.name} ({self.scale.n_grades} fixed grades) was measured by "
            "weighted kappa with linear and quadratic weights by the grades' values, exact "
            "agreement, agreement within half a grade and within one grade, and the mean signed "
            f"difference; intervals for kappa: {self.kappa.interval_method}; for the others: "
            f"{self.companions[-1].interval_method}. {cite(self.kappa.references)}"
        )


def compare_two_scorers(
    first: npt.ArrayLike,
    second: npt.ArrayLike,
    *,
    names: tuple[str, str] = ("first", "second"),
    scale: ScoreScale | None = KEEL_SCALE,
    bird: npt.ArrayLike | None = None,
    interval: Interval = "bootstrap",
    resamples: int = DEFAULT_RESAMPLES,
    seed: int = DEFAULT_SEED,
    level: float = 0.95,
) -> TwoScorerComparison:
    """Compare two scorers by kappa, agreement and signed difference.

    Parameters
    ----------
    first, second : array_like of float, shape (n_rows,)
        Grades of the same birds; NaN where a scorer gave none.
    names : tuple of str, default ("first", "second")
        Who they are. The difference is second minus first, so put the reference first.
    scale : ScoreScale or None, default KEEL_SCALE
        The scale; None takes the grades found and says so.
    bird : array_like, shape (n_rows,), optional
        Labels of the birds; a bird's rows are resampled together.
    interval : {"bootstrap", "bca", "analytic"}, default "bootstrap"
        Interval of the kappas; the companions always have the percentile bootstrap by bird.
    resamples, seed : int
        Bootstrap resamples (default 2000) and seed (default 20240501).
    level : float, default 0.95
        Confidence level.

    Returns
    -------
    TwoScorerComparison
        The comparison.

    Raises
    ------
    ArgumentError
        If an option is unknown or impossible, or the columns differ in length or index.
    ScaleError
        If a grade is no number, or is not on the scale.

    Examples
    --------
    >>> compared = compare_two_scorers([1, 2, 3, 4, 5], [1, 2, 3.5, 4, 4.5])
    >>> round(compared.kappa.value, 3)
    0.973
    """
    pairs = collect_pairs(first, second, scale=scale, bird=bird)
    kappas = tuple(
        weighted_kappa(
            first, second, weights=weights, scale=scale, bird=bird, interval=interval,
            resamples=resamples, seed=seed, level=level,
        )
        for weights in _WEIGHTS
    )  # fmt: skip
    return TwoScorerComparison(
        first_name=names[0],
        second_name=names[1],
        scale=pairs.scale,
        table=tabulate_grades(pairs),
        kappas=kappas,
        companions=_estimate_companions(pairs, resamples, seed, level),
    )


def _estimate_companions(
    pairs: ScorePairs, resamples: int, seed: int, level: float
) -> tuple[Estimate, ...]:
    grades = pairs.scale.values
    difference = grades[pairs.second] - grades[pairs.first]
    columns = {
        name: (np.abs(difference) <= width + GRADE_TOLERANCE).astype(np.float64)
        for name, width in _SHARES
    }
    columns["mean signed difference in grades, second minus first"] = difference
    return tuple(
        _estimate_mean(name, values, pairs, resamples=resamples, seed=seed, level=level)
        for name, values in columns.items()
    )


def _estimate_mean(
    name: str,
    values: npt.NDArray[np.float64],
    pairs: ScorePairs,
    *,
    resamples: int,
    seed: int,
    level: float,
) -> Estimate:
    nan = float("nan")
    value = se = low = high = nan
    reason = ""
    if values.size:
        value = float(values.mean())
    if not values.size:
        reason = f"no row holds both grades ({pairs.n_missing} rows left out)"
    elif pairs.n_birds < 3:
        reason = f"a bootstrap by bird needs 3 birds, found {pairs.n_birds}"
    else:
        sums = np.bincount(pairs.clusters, weights=values)
        sizes = np.bincount(pairs.clusters).astype(np.float64)
        draws = np.concatenate(
            [
                (chosen @ sums) / (chosen @ sizes)
                for chosen in iterate_cluster_weights(sums.size, resamples=resamples, seed=seed)
            ]
        )
        se = float(draws.std(ddof=1))
        low, high, _ = percentile_interval(draws, level=level)
        if limits_coincide(low, high):
            low = high = nan
            reason = "every resample gave the same value, so the bootstrap gives no interval"
    return Estimate(
        name=name,
        value=value,
        se=se,
        low=low,
        high=high,
        level=level,
        n=pairs.n_birds,
        n_rows=pairs.first.size,
        n_missing=pairs.n_missing,
        interval_method=f"percentile bootstrap by bird, {resamples} resamples, seed {seed}",
        reason=reason,
    )


def tabulate_grades(pairs: ScorePairs) -> pd.DataFrame:
    """Cross-tabulate two scorers' grades over the whole scale.

    Parameters
    ----------
    pairs : ScorePairs
        Grades of the same birds.

    Returns
    -------
    DataFrame, shape (n_grades, n_grades)
        Counts; rows the first scorer's grades, columns the second's.
    """
    counts = count_pairs(
        pairs.first, pairs.second, n_grades=pairs.scale.n_grades, clusters=pairs.clusters
    )
    grades = pairs.scale.values
    return pd.DataFrame(
        counts.table.astype(np.int64),
        index=pd.Index(grades, name="first"),
        columns=pd.Index(grades, name="second"),
    )
