"""Exams in their proper dtypes, sorted into groups of one species and sex for comparison."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.columns import EXAM_COLUMNS, SIZE_COLUMNS
from bodycond.exams.coercion import convert_column
from bodycond.exams.species_ranges import accept_names

MEASURES: tuple[str, ...] = ("mass_g", *SIZE_COLUMNS)
"""What is compared within a species and sex."""

MIN_GROUP_ROWS = 8
"""Fewest values from which a median and a spread are taken: below, they are mostly noise."""


@dataclass(frozen=True, kw_only=True, eq=False)
class ConvertedExams:
    """The known columns of an exam table in their dtypes, and the cells that failed.

    Parameters
    ----------
    table : DataFrame
        The known columns that are there, on positions 0 to n - 1; cells that could not be
        converted are missing.
    failed : mapping of str to ndarray of bool
        For each column with such cells, where they are.
    """

    table: pd.DataFrame
    failed: dict[str, npt.NDArray[np.bool_]]


@dataclass(frozen=True, kw_only=True, eq=False)
class ExamGroups:
    """Which species and sex each exam belongs to.

    Parameters
    ----------
    groups : DataFrame
        One row a group: ``species`` (accepted name) and ``sex``.
    group : ndarray of int, shape (n_exams,)
        Position in ``groups``; -1 where the species is missing.
    full_grown : ndarray of bool, shape (n_exams,)
        False for nestlings, to which no limit of full-grown birds applies.
    union : ndarray of int, shape (n_groups, 2)
        The groups that a group's rows are compared with: itself twice, or for unknown sex the
        females and the males of the species where both are numerous enough.
    """

    groups: pd.DataFrame
    group: npt.NDArray[np.intp]
    full_grown: npt.NDArray[np.bool_]
    union: npt.NDArray[np.intp]


def convert_exams(exams: pd.DataFrame) -> ConvertedExams:
    """Convert the known columns that a table has; nothing is added and nothing raised.

    Parameters
    ----------
    exams : DataFrame
        Exams with any of the columns of `bodycond.columns.EXAM_COLUMNS`.

    Returns
    -------
    ConvertedExams
        The converted copy and the cells that failed.
    """
    parts: dict[str, pd.Series] = {}
    failed: dict[str, npt.NDArray[np.bool_]] = {}
    for column in EXAM_COLUMNS:
        if column.name in exams.columns:
            values = exams[column.name].set_axis(range(len(exams)))
            converted = convert_column(values, column=column)
            parts[column.name] = converted.values
            if converted.failed.any():
                failed[column.name] = converted.failed
    return ConvertedExams(table=pd.DataFrame(parts, index=range(len(exams))), failed=failed)


def group_exams(table: pd.DataFrame) -> ExamGroups:
    """Sort exams into groups of one species and one sex; sexes are never merged.

    Parameters
    ----------
    table : DataFrame
        Converted exams with ``species``. A missing or unknown sex, or no such column, is the
        level ``"U"``, which is never filled.

    Returns
    -------
    ExamGroups
        The groups and who belongs to which.
    """
    n = len(table)
    species_codes, species = pd.factorize(accept_names(table["species"]))
    sexes = np.array(["F", "M", "U"])
    sex_codes = np.full(n, 2, dtype=np.intp)
    if "sex" in table.columns:
        sex = table["sex"]
        sex_codes[(sex == "F").to_numpy(dtype=bool)] = 0
        sex_codes[(sex == "M").to_numpy(dtype=bool)] = 1
    full_grown = np.ones(n, dtype=bool)
    if "age_class" in table.columns:
        full_grown = (table["age_class"] != "pullus").to_numpy(dtype=bool)
    group = np.where(species_codes < 0, -1, species_codes * 3 + sex_codes).astype(np.intp)
    groups = pd.DataFrame(
        {
            "species": np.repeat(np.asarray(species, dtype=object), 3),
            "sex": np.tile(sexes, len(species)),
        }
    )
    sizes = np.bincount(group[full_grown & (group >= 0)], minlength=len(groups))
    union = np.repeat(np.arange(len(groups), dtype=np.intp)[:, None], 2, axis=1)
    per_species = sizes.reshape(-1, 3)
    both = np.flatnonzero(
        (per_species[:, 0] >= MIN_GROUP_ROWS) & (per_species[:, 1] >= MIN_GROUP_ROWS)
    )
    union[both * 3 + 2] = np.column_stack([both * 3, both * 3 + 1])
    return ExamGroups(groups=groups, group=group, full_grown=full_grown, union=union)
