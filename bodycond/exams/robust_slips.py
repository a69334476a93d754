"""How far each measure lies from its species and sex, by medians that a slip cannot move.

On the log scale a slip is a shift by a constant: tenfold 2.30, lb for kg 0.79, oz for g 3.34,
in for mm 3.23. Mean and standard deviation are no use for finding it, because the slip itself
inflates them: one tenfold slip among n birds can reach (n - 1) / sqrt(n) standard deviations at
most, 2.85 for n = 10. The median and the median absolute deviation hardly notice it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.exams.exam_groups import MEASURES, MIN_GROUP_ROWS, ExamGroups

Floats = npt.NDArray[np.float64]

FLAG_Z = 4.0
"""Robust z from which a value is looked at.

In normal data 6 in 100 000 lie beyond; a lb/kg slip lies at 4.0 to 7.9 where the coefficient of
variation is 20 to 10 per cent, a tenfold slip beyond 11. A lower limit would flag odd birds,
a higher one miss lb/kg slips.
"""

SCALE_FLOOR = 0.05
"""Least robust standard deviation on the log scale, 5 per cent: where a group is very even or
coarsely rounded, the spread found would make a slip of every ordinary bird."""

MAD_TO_SD = 1.4826
"""Factor from median absolute deviation to standard deviation in normal data."""

SIZE_POWER = 3.0
"""Mass goes with the cube of a length in birds of one shape. A slope fitted to a few dozen
birds would be worse than this, and a slip would bend it."""


@dataclass(frozen=True, kw_only=True, eq=False)
class GroupSpread:
    """Centre and spread of each measure in each group, on the log scale.

    Parameters
    ----------
    median, scale : ndarray of float, shape (n_groups, n_measures)
        Median and floored robust standard deviation of the natural log; NaN where there are
        fewer than `MIN_GROUP_ROWS` values.
    n : ndarray of int, shape (n_groups, n_measures)
        Values that they rest on.
    """

    median: Floats
    scale: Floats
    n: npt.NDArray[np.int64]


@dataclass(frozen=True, kw_only=True, eq=False)
class Deviations:
    """Each exam's deviations from its species and sex.

    Parameters
    ----------
    measures : tuple of str
        Names of the columns of the arrays.
    values, logs, deviation, z : ndarray of float, shape (n_exams, n_measures)
        The value, its natural log (missing for nestlings), the log's difference from the
        group's median, and that difference in robust standard deviations.
    size_z : ndarray of float, shape (n_exams,)
        Robust z of log mass less three times the median log deviation of the lengths.
    reference : ndarray of int, shape (n_exams,)
        The group that each exam was compared with; -1 for none.
    spread : GroupSpread
        Centres and spreads of all groups.
    """

    measures: tuple[str, ...]
    values: Floats
    logs: Floats
    deviation: Floats
    z: Floats
    size_z: Floats
    reference: npt.NDArray[np.intp]
    spread: GroupSpread


def measure_deviations(table: pd.DataFrame, *, grouped: ExamGroups) -> Deviations:
    """Compare every measure of every exam with its species and sex.

    Parameters
    ----------
    table : DataFrame
        Converted exams.
    grouped : ExamGroups
        Their groups.

    Returns
    -------
    Deviations
        NaN where a value is missing or not above 0, the bird is a nestling, or the group has
        too few values.
    """
    measures = tuple(name for name in MEASURES if name in table.columns)
    values = np.full((len(table), len(measures)), np.nan)
    for position, name in enumerate(measures):
        values[:, position] = table[name].to_numpy(dtype=np.float64, na_value=np.nan)
    usable = (values > 0) & grouped.full_grown[:, None] & (grouped.group >= 0)[:, None]
    logs = np.log(np.where(usable, values, np.nan))
    spread = _measure_spread(logs, group=grouped.group, n_groups=len(grouped.groups))
    reference = _choose_reference(logs, grouped=grouped, spread=spread)
    deviation, z = _standardise(logs, group=reference, spread=spread)
    return Deviations(
        measures=measures,
        values=values,
        logs=logs,
        deviation=deviation,
        z=z,
        size_z=_compare_mass_with_size(
            deviation, measures=measures, reference=reference, n_groups=len(grouped.groups)
        ),
        reference=reference,
        spread=spread,
    )


def _measure_spread(logs: Floats, *, group: npt.NDArray[np.intp], n_groups: int) -> GroupSpread:
    known = group >= 0
    frame, codes = pd.DataFrame(logs[known]), group[known]
    every = range(n_groups)
    median = frame.groupby(codes).median().reindex(every).to_numpy(dtype=np.float64)
    n = frame.groupby(codes).count().reindex(every, fill_value=0).to_numpy(dtype=np.int64)
    apart = pd.DataFrame(np.abs(logs[known] - median[codes]))
    mad = apart.groupby(codes).median().reindex(every).to_numpy(dtype=np.float64)
    enough = n >= MIN_GROUP_ROWS
    return GroupSpread(
        median=np.where(enough, median, np.nan),
        scale=np.where(enough, np.maximum(MAD_TO_SD * mad, SCALE_FLOOR), np.nan),
        n=n,
    )


def _standardise(
    logs: Floats, *, group: npt.NDArray[np.intp], spread: GroupSpread
) -> tuple[Floats, Floats]:
    known = (group >= 0)[:, None]
    safe = np.maximum(group, 0)
    if not len(spread.median):
        return np.full(logs.shape, np.nan), np.full(logs.shape, np.nan)
    deviation = np.where(known, logs - spread.median[safe], np.nan)
    return deviation, deviation / spread.scale[safe]


def _choose_reference(
    logs: Floats, *, grouped: ExamGroups, spread: GroupSpread
) -> npt.NDArray[np.intp]:
    reference = grouped.group.copy()
    known = np.flatnonzero(reference >= 0)
    two = grouped.union[reference[known]]
    rows, pair = known[two[:, 0] != two[:, 1]], two[two[:, 0] != two[:, 1]]
    if rows.size:
        # A bird of unknown sex is compared with the sex that it fits better. Single values are
        # capped, so that the other measures decide where one of them is a slip.
        misfit = [
            np.nansum(
                np.minimum(np.abs(_standardise(logs[rows], group=sex, spread=spread)[1]), FLAG_Z),
                axis=1,
            )
            for sex in (pair[:, 0], pair[:, 1])
        ]
        reference[rows] = np.where(misfit[0] <= misfit[1], pair[:, 0], pair[:, 1])
    return reference


def take_row_medians(values: Floats) -> Floats:
    """Give the median of each row, missing values left out.

    Parameters
    ----------
    values : ndarray of float, shape (n, k)
        Values; a row may be missing altogether.

    Returns
    -------
    ndarray of float, shape (n,)
        Medians; NaN for a row without a value.
    """
    if not values.shape[1]:
        return np.full(len(values), np.nan)
    ascending = np.sort(values, axis=1)  # NaN goes to the end of each row
    n = np.isfinite(values).sum(axis=1)
    rows = np.arange(len(values))
    lower, upper = np.maximum((n - 1) // 2, 0), np.minimum(n // 2, values.shape[1] - 1)
    middle = (ascending[rows, lower] + ascending[rows, upper]) / 2
    return np.where(n > 0, middle, np.nan)


def _compare_mass_with_size(
    deviation: Floats,
    *,
    measures: tuple[str, ...],
    reference: npt.NDArray[np.intp],
    n_groups: int,
) -> Floats:
    if "mass_g" not in measures or len(measures) < 2:
        return np.full(len(deviation), np.nan)
    mass = measures.index("mass_g")
    size = take_row_medians(np.delete(deviation, mass, axis=1))
    residual = (deviation[:, mass] - SIZE_POWER * size)[:, None]
    spread = _measure_spread(residual, group=reference, n_groups=n_groups)
    return _standardise(residual, group=reference, spread=spread)[1][:, 0]


def list_thin_groups(grouped: ExamGroups, *, deviations: Deviations) -> list[tuple[str, str]]:
    """Say for which species and sexes there were too few birds to compare.

    Parameters
    ----------
    grouped : ExamGroups
        The groups.
    deviations : Deviations
        What was measured.

    Returns
    -------
    list of (str, str)
        What it is about and the reason, one entry a group.
    """
    thin: list[tuple[str, str]] = []
    n = deviations.spread.n
    for position in np.flatnonzero(((n > 0) & (n < MIN_GROUP_ROWS)).any(axis=1)):
        two = grouped.union[position]
        if two[0] != two[1]:
            continue  # compared with the females and the males
        named = grouped.groups.iloc[position]
        counts = [
            f"{name} has {count}"
            for name, count in zip(deviations.measures, n[position], strict=True)
            if 0 < count < MIN_GROUP_ROWS
        ]
        thin.append(
            (
                f"{named['species']}, sex {named['sex']}",
                f"needs {MIN_GROUP_ROWS} values of a measure in one species and sex; "
                f"{', '.join(counts)}",
            )
        )
    return thin
