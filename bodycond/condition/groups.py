"""Splitting exams into groups that may be analysed together, and saying where they may not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import pandas as pd

from bodycond.errors import name_first_few

# Species differ in mass by a factor of 70 and the sexes of one raptor by up to two, so a fit over
# either finds the difference between groups and not the condition of birds.
MUST_NOT_MIX = ("species", "sex")


def find_mixed_columns(
    exams: pd.DataFrame, *, by: Sequence[str], pool: str | None
) -> dict[str, str]:
    """Find which of species and sex would be pooled without a stated reason.

    Parameters
    ----------
    exams : DataFrame
        Exams.
    by : sequence of str
        Columns that the exams are grouped by.
    pool : str or None
        The reason for pooling, in words.

    Returns
    -------
    dict of str to str
        Column and what is known of it; empty where nothing is mixed. An absent column counts as
        mixed, since nobody can tell.
    """
    if pool is not None and pool.strip():
        return {}
    mixed = {}
    for name in MUST_NOT_MIX:
        if name in by:
            continue
        if name not in exams.columns:
            mixed[name] = "no such column, so nobody can tell"
            continue
        found = exams[name].dropna().unique()
        if len(found) > 1 or (name == "sex" and "U" in found):
            mixed[name] = name_first_few(sorted(map(str, found)))
    return mixed


def iterate_groups(
    exams: pd.DataFrame, *, by: Sequence[str]
) -> Iterator[tuple[dict[str, str], pd.DataFrame]]:
    """Walk through the groups in a fixed order; missing keys form no group.

    Parameters
    ----------
    exams : DataFrame
        Exams.
    by : sequence of str
        Columns to group by; none gives one group of everything.

    Yields
    ------
    tuple of (dict, DataFrame)
        The group's keys and its rows.
    """
    if not by:
        yield {}, exams
        return
    keyed = exams.dropna(subset=list(by))
    for key, rows in keyed.groupby(list(by), sort=True, observed=True):
        yield dict(zip(by, map(str, key), strict=True)), rows


def mark_first_rows(rows: pd.DataFrame, *, bird: str) -> pd.Series:
    """Mark each bird's first row, by exam date where there is one, else in table order.

    Parameters
    ----------
    rows : DataFrame
        Rows that hold everything an analysis needs.
    bird : str
        Column of the bird. Rows without a label, and all rows where the column is absent, are
        birds of their own.

    Returns
    -------
    Series of bool
        True for the first row of a bird, on the index of ``rows``.
    """
    if bird not in rows.columns:
        return pd.Series(True, index=rows.index)
    order = np.arange(len(rows), dtype=np.intp)
    if "exam_date" in rows.columns:
        # Undated exams come last: NaT sorts behind every date.
        order = np.argsort(rows["exam_date"].to_numpy(), kind="stable").astype(np.intp)
    labels = rows[bird].iloc[order]
    first = (~labels.duplicated() | labels.isna()).to_numpy()
    marks = np.empty(len(rows), dtype=bool)
    marks[order] = first
    return pd.Series(marks, index=rows.index)


def name_group(keys: dict[str, str]) -> str:
    """Name a group in messages.

    Parameters
    ----------
    keys : dict of str to str
        The group's keys.

    Returns
    -------
    str
        For example ``"Buteo buteo, F"``.
    """
    return ", ".join(keys.values()) if keys else "all exams"
