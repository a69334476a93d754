"""The limits of the species table, set against the exams of each species and sex."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.exams.exam_groups import ExamGroups
from bodycond.exams.faults import make_findings
from bodycond.exams.robust_slips import Deviations
from bodycond.exams.species_ranges import ASK_COLUMNS, accept_names, select_limits


@dataclass(frozen=True, kw_only=True, eq=False)
class AskLimits:
    """The limits of the species table, one row a group and one column a measure.

    Parameters
    ----------
    low, high : ndarray of float, shape (n_groups, n_measures)
        Limits; NaN where the table has none.
    unknown : tuple of str
        Species that the table does not know.
    open_measures : tuple of str
        Species and sex with a measure that the table gives no lower and upper limit for.
    """

    low: npt.NDArray[np.float64]
    high: npt.NDArray[np.float64]
    unknown: tuple[str, ...]
    open_measures: tuple[str, ...]


def look_up_limits(
    grouped: ExamGroups, *, measures: tuple[str, ...], species_ranges: pd.DataFrame
) -> AskLimits:
    """Look up the limits of every group.

    Parameters
    ----------
    grouped : ExamGroups
        The groups.
    measures : tuple of str
        The measures, in the order wanted.
    species_ranges : DataFrame
        A valid table of species ranges.

    Returns
    -------
    AskLimits
        The limits, and the species without any.
    """
    names = accept_names(species_ranges["scientific_name"])
    rows_of = dict(iter(species_ranges.groupby(names)))
    low = np.full((len(grouped.groups), len(measures)), np.nan)
    high = low.copy()
    unknown: dict[str, None] = {}
    open_measures: list[str] = []
    occupied = np.unique(grouped.group[grouped.group >= 0])
    for position in occupied:
        species, sex = grouped.groups.iloc[position]
        if species not in rows_of:
            unknown[species] = None
            continue
        limits = select_limits(rows_of[species], sex=sex)
        lacking = [name for name in measures if name in ASK_COLUMNS and name not in limits.index]
        if lacking:
            open_measures.append(f"{species}, sex {sex}: {', '.join(lacking)}")
        for place, measure in enumerate(measures):
            if measure in limits.index:
                low[position, place] = limits.loc[measure, "low"]
                high[position, place] = limits.loc[measure, "high"]
    return AskLimits(low=low, high=high, unknown=tuple(unknown), open_measures=tuple(open_measures))


def find_displaced_groups(
    deviations: Deviations, *, grouped: ExamGroups, limits: AskLimits
) -> npt.NDArray[np.bool_]:
    """Find groups whose median lies beyond the limits: a whole column in another unit, perhaps.

    Distances from such a median say nothing; a value in another unit is then ordinary.

    Parameters
    ----------
    deviations : Deviations
        The measures.
    grouped : ExamGroups
        The groups.
    limits : AskLimits
        The limits.

    Returns
    -------
    ndarray of bool, shape (n_groups, n_measures)
        True where the median of a group is no bird of that species and sex.
    """
    if not len(grouped.groups):
        return np.zeros(limits.low.shape, dtype=bool)
    centre = np.exp(deviations.spread.median)
    return (centre < limits.low) | (centre > limits.high)


def mark_beyond_limits(
    deviations: Deviations, *, grouped: ExamGroups, limits: AskLimits, gravid: pd.Series
) -> npt.NDArray[np.bool_]:
    """Mark the values beyond the limits of their species and sex.

    Parameters
    ----------
    deviations : Deviations
        The measures.
    grouped : ExamGroups
        The groups.
    limits : AskLimits
        The limits.
    gravid : Series of bool
        True for birds that carry an egg.

    Returns
    -------
    ndarray of bool, shape (n_exams, n_measures)
        True beyond a limit. A gravid bird may be over the ceiling of mass.
    """
    beyond = np.zeros(deviations.logs.shape, dtype=bool)
    if not len(limits.low):
        return beyond
    group = np.maximum(grouped.group, 0)
    for place, measure in enumerate(deviations.measures):
        if measure not in ASK_COLUMNS:
            continue
        values = deviations.values[:, place]
        over = values > limits.high[group, place]
        if measure == "mass_g":
            over &= ~gravid.to_numpy(dtype=bool)
        beyond[:, place] = (values < limits.low[group, place]) | over
    return beyond & grouped.full_grown[:, None] & (grouped.group >= 0)[:, None]


def find_misspelt_species(table: pd.DataFrame, *, known: list[str]) -> list[pd.DataFrame]:
    """Find species names that the table of ranges lacks and that are nearly one of its names.

    Parameters
    ----------
    table : DataFrame
        Converted exams with ``species``.
    known : list of str
        Names that the table of species ranges has, and their synonyms.

    Returns
    -------
    list of DataFrame
        Findings.
    """
    findings = []
    codes, names = pd.factorize(table["species"])
    for code, name in enumerate(names):
        plain = " ".join(str(name).split()[:2]).capitalize()
        near = [] if plain in known else get_close_matches(plain, known, n=1, cutoff=0.9)
        if near:
            findings.append(
                make_findings(
                    np.flatnonzero(codes == code),
                    column="species",
                    rule="species_spelling",
                    expected="a name in the table of species ranges",
                    cure=f"{name!r} may be {near[0]!r}",
                    evidence="its masses and lengths were not held against any range",
                )
            )
    return findings
