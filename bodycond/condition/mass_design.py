"""From a group's exams to the design matrix of mass on keel score and covariates."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.condition.groups import mark_measured
from bodycond.scales import ScoreScale
from bodycond.statistics.clusters import number_clusters

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, eq=False)
class Design:
    """One group's data, ready to fit.

    Parameters
    ----------
    response : ndarray of float, shape (n_rows,)
        Log mass, or mass in g.
    matrix : ndarray of float, shape (n_rows, n_terms)
        Design matrix.
    terms : list of str
        Names of its columns.
    at_grades : ndarray of float, shape (n_expected, n_terms)
        Design rows at which masses are expected.
    expected_grades : ndarray of float, shape (n_expected,)
        Their grades: none below the lowest or above the highest found.
    grades, masses : ndarray of float, shape (n_rows,)
        Grade and mass (g) of each exam used.
    clusters : ndarray of int, shape (n_rows,)
        Each exam's bird, numbered from 0.
    rows : ndarray, shape (n_rows,)
        Index labels of the exams used.
    left_out : dict of str to int
        Why exams were left out, and how many.
    log : bool
        Whether the response is log mass.
    form : str
        "linear" or "factor".
    score : str
        Column of the grade.
    """

    response: FloatArray
    matrix: FloatArray
    terms: list[str]
    at_grades: FloatArray
    expected_grades: FloatArray
    grades: FloatArray
    masses: FloatArray
    clusters: npt.NDArray[np.intp]
    rows: npt.NDArray[Any]
    left_out: dict[str, int]
    log: bool
    form: str
    score: str

    @property
    def n_birds(self) -> int:
        """How many birds the exams are of.

        Returns
        -------
        int
            Different birds.
        """
        return int(self.clusters.max()) + 1 if self.clusters.size else 0

    @property
    def birds_repeat(self) -> bool:
        """Whether some bird has more than one exam, so that errors are clustered.

        Returns
        -------
        bool
            True where exams outnumber birds.
        """
        return self.response.size > self.n_birds

    def count_at_grades(self) -> npt.NDArray[np.intp]:
        """Count the exams at each expected grade.

        Returns
        -------
        ndarray of int, shape (n_expected,)
            Counts; 0 at a grade between those found.
        """
        return np.asarray(self._match_grades().sum(axis=1), dtype=np.intp)

    def count_birds_at_grades(self) -> npt.NDArray[np.intp]:
        """Count the birds at each expected grade.

        Returns
        -------
        ndarray of int, shape (n_expected,)
            Different birds; one that was examined at two grades counts at both.
        """
        counts = [np.unique(self.clusters[same]).size for same in self._match_grades()]
        return np.array(counts, dtype=np.intp)

    def _match_grades(self) -> npt.NDArray[np.bool_]:
        return np.isclose(self.grades[np.newaxis, :], self.expected_grades[:, np.newaxis])


def build_design(
    exams: pd.DataFrame,
    *,
    mass: str,
    score: str,
    response: str,
    form: str,
    bird: str,
    covariates: Sequence[str],
    scale: ScoreScale,
) -> Design:
    """Build the design of one group, counting the exams that cannot enter.

    Parameters
    ----------
    exams : DataFrame
        The group's exams.
    mass, score : str
        Columns of the mass (g) and the point grade.
    response : {"log_mass", "mass"}
        What is fitted.
    form : {"linear", "factor"}
        How the grade enters.
    bird : str
        Column of the bird.
    covariates : sequence of str
        More columns.
    scale : ScoreScale
        The score's scale, on which every grade lies.

    Returns
    -------
    Design
        The design.
    """
    used, left_out = _keep_complete(exams, mass=mass, score=score, covariates=covariates)
    grades = used[score].to_numpy(dtype=np.float64)
    masses = used[mass].to_numpy(dtype=np.float64)
    extra, extra_terms, extra_middle = _code_covariates(used, covariates)
    found = np.unique(grades)
    expected = found
    if form == "linear" and found.size > 1:
        whole = scale.whole_grades
        between = whole[(whole >= found[0]) & (whole <= found[-1])]
        expected = np.unique(np.concatenate([found, between]))
    coded, terms = _code_grades(grades, found, form=form, score=score)
    at_grades, _ = _code_grades(expected, found, form=form, score=score)
    repeated = np.tile(extra_middle, (expected.size, 1))
    log = response == "log_mass"
    return Design(
        response=np.log(masses) if log else masses,
        matrix=np.column_stack([coded, extra]),
        terms=[*terms, *extra_terms],
        at_grades=np.column_stack([at_grades, repeated]),
        expected_grades=expected,
        grades=grades,
        masses=masses,
        clusters=number_clusters(_label_birds(used, bird)),
        rows=used.index.to_numpy(),
        left_out=left_out,
        log=log,
        form=form,
        score=score,
    )


def _keep_complete(
    exams: pd.DataFrame, *, mass: str, score: str, covariates: Sequence[str]
) -> tuple[pd.DataFrame, dict[str, int]]:
    left_out: dict[str, int] = {}
    rows = exams
    low = f"{score}_low"
    if low in rows.columns:
        interval = rows[score].isna() & rows[low].notna()
        left_out[f"only an interval of {score} is known"] = int(interval.sum())
        rows = rows.loc[~interval]
    for name in (score, mass, *covariates):
        kept = mark_measured(rows, (name,)) if name == mass else _mark_known(rows[name])
        reason = f"{name} missing or not positive" if name == mass else f"{name} missing"
        left_out[reason] = int((~kept).sum())
        rows = rows.loc[kept]
    return rows, {reason: count for reason, count in left_out.items() if count}


def _mark_known(column: pd.Series) -> pd.Series:
    if _is_number(column):
        values = column.to_numpy(dtype=np.float64, na_value=np.nan)
        return pd.Series(np.isfinite(values), index=column.index)
    return column.notna()


def _is_number(column: pd.Series) -> bool:
    numeric = pd.api.types.is_numeric_dtype(column)
    return bool(numeric and not pd.api.types.is_bool_dtype(column))


def _code_grades(
    grades: FloatArray, levels: FloatArray, *, form: str, score: str
) -> tuple[FloatArray, list[str]]:
    ones = np.ones(grades.size)
    if form == "linear":
        return np.column_stack([ones, grades]), ["intercept", score]
    steps = [np.isclose(grades, level).astype(np.float64) for level in levels[1:]]
    terms = [f"{score}[{level:g}]" for level in levels[1:]]
    return np.column_stack([ones, *steps]), ["intercept", *terms]


def _code_covariates(
    exams: pd.DataFrame, covariates: Sequence[str]
) -> tuple[FloatArray, list[str], FloatArray]:
    columns: list[FloatArray] = []
    terms: list[str] = []
    middle: list[float] = []
    for name in covariates:
        column = exams[name]
        if _is_number(column):
            values = column.to_numpy(dtype=np.float64)
            columns.append(values)
            terms.append(name)
            middle.append(float(values.mean()) if values.size else float("nan"))
            continue
        labels = column.astype(str)
        levels = sorted(labels.unique())
        # The commonest level is the one that the expected masses are for, so it is the base.
        base = max(levels, key=lambda level: int((labels == level).sum())) if levels else ""
        for level in levels:
            if level == base:
                continue
            columns.append((labels == level).to_numpy(dtype=np.float64))
            terms.append(f"{name}[{level}]")
            middle.append(0.0)
    stacked = np.column_stack(columns) if columns else np.empty((len(exams), 0))
    return stacked, terms, np.array(middle, dtype=np.float64)


def _label_birds(exams: pd.DataFrame, bird: str) -> npt.NDArray[Any]:
    if bird in exams.columns:
        return exams[bird].to_numpy(dtype=object)
    return np.full(len(exams), None, dtype=object)
