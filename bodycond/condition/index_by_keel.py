"""Scaled mass at each keel score, to see whether a size-corrected mass follows the grade."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from bodycond.condition.groups import (
    iterate_groups,
    mark_first_rows,
    name_group,
    require_numbers,
)
from bodycond.condition.scaled_mass_fit import ScaledMassFit
from bodycond.errors import require_columns
from bodycond.rounding import word_interval
from bodycond.statistics.rank_correlation import rank_correlation
from bodycond.statistics.resampling import DEFAULT_RESAMPLES, DEFAULT_SEED, require_resampling


@dataclass(frozen=True, kw_only=True, eq=False)
class IndexByKeel:
    """Scaled mass against keel score, apart by group.

    Parameters
    ----------
    score : str
        Column of the grade.
    by : tuple of str
        Columns that the groups are formed by.
    points : DataFrame
        The ``by`` columns, the score, ``scaled_mass_g``, ``row``; one a bird.
    grades : DataFrame
        The ``by`` columns, the score, ``n``, ``median_g``, ``quartile_low_g``,
        ``quartile_high_g``.
    correlations : DataFrame
        The ``by`` columns, ``measure`` ("scaled mass" or "mass", the benchmark), ``rho`` with
        ``low`` and ``high``, ``n``, ``interval_method``, ``reason``.
    excluded : DataFrame
        ``reason`` and ``n_rows`` of exams that did not enter.
    level : float
        Confidence level.
    """

    score: str
    by: tuple[str, ...]
    points: pd.DataFrame
    grades: pd.DataFrame
    correlations: pd.DataFrame
    excluded: pd.DataFrame
    level: float

    def to_frame(self) -> pd.DataFrame:
        """Give the correlations as a table, unrounded.

        Returns
        -------
        DataFrame
            A copy of ``correlations``.
        """
        return self.correlations.copy()

    def summary(self) -> str:
        """Write each group's rank correlation of the index, and of plain mass, with the grade.

        Returns
        -------
        str
            The lines.
        """
        lines = []
        for row in self.correlations.to_dict("records"):
            name = name_group({key: row[key] for key in self.by})
            words = word_interval(row["rho"], row["low"], row["high"], level=self.level)
            why = f"; {row['reason']}" if row["reason"] else ""
            lines.append(
                f"{name}: rank correlation of {row['measure']} with {self.score} {words}; "
                f"n = {row['n']} birds{why}"
            )
        lines += [
            f"{row.n_rows} exams left out: {row.reason}" for row in self.excluded.itertuples()
        ]
        return "\n".join(lines)

    def methods(self) -> str:
        """Give the sentence that a methods section would carry.

        Returns
        -------
        str
            The sentence.
        """
        method = self.correlations["interval_method"].iloc[0] if len(self.correlations) else ""
        return (
            f"Spearman's rank correlation of {self.score} with scaled mass, and with mass itself "
            f"as the benchmark, was computed from each bird's first complete exam ({method})."
        )


def tabulate_index_by_keel(
    fit: ScaledMassFit,
    exams: pd.DataFrame,
    *,
    score: str = "keel",
    bird: str = "bird_id",
    resamples: int = DEFAULT_RESAMPLES,
    seed: int = DEFAULT_SEED,
    level: float = 0.95,
) -> IndexByKeel:
    """Set scaled mass against keel score in every group whose index is usable.

    Parameters
    ----------
    fit : ScaledMassFit
        The fit.
    exams : DataFrame
        Exams.
    score : str, default "keel"
        Column of the point grade.
    bird : str, default "bird_id"
        Column of the bird; each enters once, by its first complete exam.
    resamples, seed : int
        Bootstrap resamples (default 2000) and seed (default 20240501).
    level : float, default 0.95
        Confidence level.

    Returns
    -------
    IndexByKeel
        Points, medians per grade and rank correlations.

    Raises
    ------
    MissingColumnError
        If a column is absent.
    MixedGroupsError
        If the fit pools species or sexes without a reason.
    ArgumentError
        If the score is a column of text, or the level, resamples or seed are impossible.

    Warns
    -----
    GateWarning
        Where a group's index is defined but weak, as `ScaledMassFit.index` does.
    """
    require_resampling(resamples=resamples, seed=seed, level=level)
    require_columns(exams.columns, (score, fit.mass, fit.size), purpose="The index by keel score")
    require_numbers(exams, (score,), purpose="The index by keel score")
    if fit.mixed:
        fit.index(exams)  # Raises, and says which groups are mixed.
    usable = fit.usable_rows(exams)
    rows = exams.loc[usable]
    rows = rows.assign(scaled_mass_g=fit.index(rows) if len(rows) else np.nan)
    complete = rows.loc[rows["scaled_mass_g"].notna() & rows[score].notna()]
    once = complete.loc[mark_first_rows(complete, bird=bird)]
    excluded = [
        ("the group has no usable index", int((~usable).sum())),
        ("mass, size or point grade missing", len(rows) - len(complete)),
        ("later exam of a bird already counted", len(complete) - len(once)),
    ]
    points = once[[*fit.by, score, "scaled_mass_g"]].assign(row=once.index)
    return IndexByKeel(
        score=score,
        by=fit.by,
        points=points.reset_index(drop=True),
        grades=_describe_grades(once, by=fit.by, score=score),
        correlations=_correlate(
            once, fit, score=score, resamples=resamples, seed=seed, level=level
        ),
        excluded=pd.DataFrame([row for row in excluded if row[1]], columns=["reason", "n_rows"]),
        level=level,
    )


def _describe_grades(rows: pd.DataFrame, *, by: tuple[str, ...], score: str) -> pd.DataFrame:
    grouped = rows.groupby([*by, score], observed=True)["scaled_mass_g"]
    return grouped.agg(
        n="size",
        median_g="median",
        quartile_low_g=lambda values: values.quantile(0.25),
        quartile_high_g=lambda values: values.quantile(0.75),
    ).reset_index()


def _correlate(
    once: pd.DataFrame, fit: ScaledMassFit, *, score: str, resamples: int, seed: int, level: float
) -> pd.DataFrame:
    correlations: list[dict[str, Any]] = []
    for keys, group in iterate_groups(once, by=fit.by):
        for measure, column in (("scaled mass", "scaled_mass_g"), ("mass", fit.mass)):
            rank = rank_correlation(
                group[column], group[score], resamples=resamples, seed=seed, level=level
            )
            correlations.append(
                {
                    **keys, "measure": measure, "rho": rank.value, "low": rank.low,
                    "high": rank.high, "n": rank.n, "interval_method": rank.interval_method,
                    "reason": rank.reason,
                }
            )  # fmt: skip
    names = ["measure", "rho", "low", "high", "n", "interval_method", "reason"]
    return pd.DataFrame(correlations, columns=[*fit.by, *names])
