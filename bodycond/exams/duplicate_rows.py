"""Rows that repeat another: the row above, or the same bird on the same day."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.exams.exam_groups import MEASURES
from bodycond.exams.faults import make_findings

COMPARED: tuple[str, ...] = ("species", "sex", "exam_date", *MEASURES, "keel")
"""Columns in which a copy may not contradict its original."""

MIN_SHARED = 3
"""Fewest values (measures, and the date) that adjacent rows must share to be taken for copies:
two birds of one size often have one or two of them in common."""


def find_duplicate_rows(table: pd.DataFrame) -> list[pd.DataFrame]:
    """Find rows that repeat the row above them, or the same bird's row of the same day.

    Rows graded by two different scorers are not copies: they are two ratings of one exam.

    Parameters
    ----------
    table : DataFrame
        Converted exams.

    Returns
    -------
    list of DataFrame
        Findings, on the later row of each pair.
    """
    measures = [name for name in MEASURES if name in table.columns]
    if len(table) < 2 or not measures:
        return []
    codes = _encode(table)
    n_measured = table[measures].notna().sum(axis=1).to_numpy()
    first_of = np.full(len(table), -1, dtype=np.intp)
    copies = _repeat_row_above(table, codes=codes)
    first_of[1:][copies] = np.flatnonzero(copies)
    if {"bird_id", "exam_date"} <= set(table.columns):
        _add_same_bird_and_day(first_of, table=table, codes=codes, n_measured=n_measured)
    later = np.flatnonzero(first_of >= 0)
    later = later[~_differ_in_scorer(table, later=later, first=first_of[later])]
    shown = "mass_g" if "mass_g" in measures else measures[0]
    distances = later - first_of[later]
    evidence = [
        f"the same values as the row {f'{distance} above' if distance > 1 else 'above'}"
        for distance in distances
    ]
    return [
        make_findings(
            later,
            column=shown,
            rule="duplicate_row",
            expected="each exam once",
            cure="drop the copy, or say that the bird was measured twice",
            evidence=evidence,
        )
    ]


def _encode(table: pd.DataFrame) -> npt.NDArray[np.intp]:
    present = [name for name in COMPARED if name in table.columns]
    return np.column_stack([pd.factorize(table[name])[0] for name in present])


def _repeat_row_above(table: pd.DataFrame, *, codes: npt.NDArray[np.intp]) -> npt.NDArray[np.bool_]:
    """Mark rows 1 to n - 1 that repeat the row above: nothing contradicts and enough is shared."""
    present = [name for name in COMPARED if name in table.columns]
    above, below = codes[:-1], codes[1:]
    both = (above >= 0) & (below >= 0)
    consistent = ((above == below) | ~both).all(axis=1)
    counted = np.array([name in (*MEASURES, "exam_date") for name in present])
    measured = np.array([name in MEASURES for name in present])
    shared = both & (above == below)
    enough = (shared[:, counted].sum(axis=1) >= MIN_SHARED) & (
        shared[:, measured].sum(axis=1) >= MIN_SHARED - 1
    )
    return np.asarray(consistent & enough)


def _add_same_bird_and_day(
    first_of: npt.NDArray[np.intp],
    *,
    table: pd.DataFrame,
    codes: npt.NDArray[np.intp],
    n_measured: npt.NDArray[np.int64],
) -> None:
    known = table["bird_id"].notna() & table["exam_date"].notna()
    rows = np.flatnonzero(known.to_numpy(dtype=bool) & (n_measured > 0))
    birds = pd.factorize(table["bird_id"].iloc[rows])[0]
    keys = pd.DataFrame(np.column_stack([birds, codes[rows]]))
    names = list(keys.columns)
    copies = np.flatnonzero(keys.duplicated(subset=names).to_numpy())
    if not copies.size:
        return
    repeated = keys.duplicated(subset=names, keep=False).to_numpy()
    part = keys[repeated].assign(row=rows[repeated])
    first = part.groupby(names, sort=False)["row"].transform("first").to_numpy()
    last = part["row"].to_numpy()
    first_of[last[last != first]] = first[last != first]


def _differ_in_scorer(
    table: pd.DataFrame, *, later: npt.NDArray[np.intp], first: npt.NDArray[np.intp]
) -> npt.NDArray[np.bool_]:
    if "scorer" not in table.columns:
        return np.zeros(later.size, dtype=bool)
    here = table["scorer"].iloc[later].reset_index(drop=True)
    there = table["scorer"].iloc[first].reset_index(drop=True)
    return (here.notna() & there.notna() & (here != there)).to_numpy(dtype=bool)
