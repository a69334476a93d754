"""What a fit of mass against keel score gives: coefficients, expected masses, what was left out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import pandas as pd

from bodycond.condition.groups import name_group, word_excluded
from bodycond.references import cite
from bodycond.rounding import word_interval
from bodycond.scales import ScoreScale


@dataclass(frozen=True, kw_only=True, eq=False)
class MassByKeel:
    """Mass against keel score, apart by group.

    Parameters
    ----------
    mass, score : str
        Columns of the mass (g) and the grade.
    by : tuple of str
        Columns that the groups are formed by.
    pool : str or None
        Why species or sexes were pooled, where they were.
    response : {"log_mass", "mass"}
        What was fitted.
    form : {"linear", "factor"}
        How the grade entered.
    covariates : tuple of str
        More terms.
    scale : ScoreScale
        The score's scale.
    level : float
        Confidence level of intervals and coverage of the prediction band.
    coefficients : DataFrame
        The ``by`` columns, ``term``, ``estimate``, ``se``, ``low``, ``high``, ``reason``; in
        units of the response.
    expected : DataFrame
        The ``by`` columns, the score, ``mass_g`` (median where log mass was fitted, mean
        otherwise), ``low`` and ``high`` of it, ``predict_low`` and ``predict_high`` for the next
        bird, ``n`` exams and ``n_birds`` birds at the grade, ``reason`` where an interval is
        undefined.
    groups : DataFrame
        The ``by`` columns, ``n_birds``, ``n_rows``, ``n_repeat``, ``residual_sd``, ``r_squared``,
        ``degrees_of_freedom``, ``standard_errors``, ``percent_per_grade`` with ``percent_low``
        and ``percent_high``, ``reason``.
    points : DataFrame
        The exams used: the ``by`` columns, the score, ``mass_g``, ``row`` (index label).
    excluded : DataFrame
        The ``by`` columns (empty for exams of no group), ``reason`` and ``n_rows`` of exams that
        did not enter.
    """

    mass: str
    score: str
    by: tuple[str, ...]
    pool: str | None
    response: str
    form: str
    covariates: tuple[str, ...]
    scale: ScoreScale
    level: float
    coefficients: pd.DataFrame
    expected: pd.DataFrame
    groups: pd.DataFrame
    points: pd.DataFrame
    excluded: pd.DataFrame

    def to_frame(self) -> pd.DataFrame:
        """Give the coefficients as a tidy table, unrounded.

        Returns
        -------
        DataFrame
            A copy of ``coefficients``.
        """
        return self.coefficients.copy()

    def summary(self) -> str:
        """Write each group's slope and expected masses.

        Returns
        -------
        str
            The lines; the only place where numbers are rounded.
        """
        lines = [f"{self.response} by {self.score}, {self.form} form"]
        for group in self.groups.to_dict("records"):
            lines += self._summarise_group(group)
        lines += word_excluded(self.excluded, by=self.by, what="exams")
        if self.pool:
            lines.append(f"Pooled, because: {self.pool}")
        return "\n".join(lines)

    def _summarise_group(self, group: dict[Any, Any]) -> list[str]:
        name = name_group({key: group[key] for key in self.by})
        if group["reason"]:
            return [f"{name}: no fit: {group['reason']}"]
        size = f"n = {group['n_birds']} birds, {group['n_rows']} exams, standard errors "
        head = f"{name}: {size}{group['standard_errors']}"
        if pd.notna(group["percent_per_grade"]):
            percent = word_interval(
                group["percent_per_grade"], group["percent_low"], group["percent_high"],
                unit="% per grade", level=self.level,
            )  # fmt: skip
            head = f"{head}; {percent}"
        rows = self.expected
        for key in self.by:
            rows = rows.loc[rows[key] == group[key]]
        lines = [head]
        for row in rows.to_dict("records"):
            mass = word_interval(row["mass_g"], row["low"], row["high"], unit="g", level=self.level)
            band = (
                row["reason"]
                or f"next bird {row['predict_low']:.0f} to {row['predict_high']:.0f} g"
            )
            lines.append(f"  {row[self.score]:g}: {mass}, {band}, n = {row['n']}")
        return lines

    def methods(self) -> str:
        """Give the sentences that a methods section would carry.

        Returns
        -------
        str
            The sentences, then the references.
        """
        clustered = any(str(how).startswith("clustered") for how in self.groups["standard_errors"])
        what = "The natural logarithm of body mass" if self.response == "log_mass" else "Body mass"
        enters = "as a number" if self.form == "linear" else "as a factor"
        groups = " and ".join(self.by) if self.by else "all birds together"
        others = f", with {', '.join(self.covariates)}" if self.covariates else ""
        median = (
            " (medians, by the exponent of fitted values)" if self.response == "log_mass" else ""
        )
        errors = (
            " Where birds were examined more than once, standard errors were clustered by bird, "
            "with birds less one degrees of freedom."
            if clustered
            else ""
        )
        pooled = f" Groups were pooled because: {self.pool}." if self.pool else ""
        return (
            f"{what} was regressed by least squares on {self.score} ({self.scale.name}) {enters}"
            f"{others}, by {groups}. Expected masses{median} carry a {100 * self.level:g} % "
            f"interval, and a band for the next bird.{errors}{pooled} "
            f"{cite(['liang_1986'] if clustered else [])}"
        ).strip()
