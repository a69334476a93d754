"""Splitting exams into groups that may be analysed together, and saying where they may not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import pandas as pd

from bodycond.errors import ArgumentError, name_first_few

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
        Column and what is known of it; empty where nothing is mixed. An absent column and a
        missing value count as mixed, since nobody can tell.

    Raises
    ------
    ArgumentError
        If ``pool`` is anything but words.
    """
    if pool is not None and not isinstance(pool, str):
        raise ArgumentError(
            needed="pool= takes the reason for pooling in words, which is printed with the result",
            found=f"pool={pool!r}",
            then='Write it out: pool="..."',
        )
    if pool is not None and pool.strip():
        return {}
    mixed = {}
    for name in MUST_NOT_MIX:
        if name in by:
            continue
        if name not in exams.columns:
            mixed[name] = "no such column, so nobody can tell"
            continue
        found = _list_levels(exams[name])
        if len(found) > 1 or found == ["missing"] or (name == "sex" and found == ["U"]):
            mixed[name] = name_first_few(found)
    return mixed


def find_pooled_levels(exams: pd.DataFrame, *, by: Sequence[str]) -> dict[str, str]:
    """Find the one species or sex of a table that is not grouped by it.

    Parameters
    ----------
    exams : DataFrame
        Exams in which nothing is mixed.
    by : sequence of str
        Columns that the exams are grouped by.

    Returns
    -------
    dict of str to str
        Column and its one level, for each of species and sex that ``by`` leaves out and that has
        one level.
    """
    levels = {
        name: _list_levels(exams[name])
        for name in MUST_NOT_MIX
        if name not in by and name in exams.columns
    }
    return {name: found[0] for name, found in levels.items() if len(found) == 1}


def _list_levels(column: pd.Series) -> list[str]:
    levels = sorted(map(str, column.dropna().unique()))
    return [*levels, "missing"] if column.isna().any() else levels


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


def list_names(names: str | Sequence[str]) -> tuple[str, ...]:
    """Take one name, or several, as a tuple.

    Parameters
    ----------
    names : str or sequence of str
        Names; a lone string is one name and not its letters.

    Returns
    -------
    tuple of str
        The names.
    """
    return (names,) if isinstance(names, str) else tuple(names)


def require_numbers(exams: pd.DataFrame, names: Sequence[str], *, purpose: str) -> None:
    """Raise one error that names every column that holds text where numbers are needed.

    Parameters
    ----------
    exams : DataFrame
        Exams with the columns.
    names : sequence of str
        Columns that must be numbers.
    purpose : str
        What they are for, to begin the message with.

    Raises
    ------
    ArgumentError
        If a column's dtype is not one of numbers, unless nothing stands in it.
    """
    faults = []
    for name in names:
        column = exams[name]
        if pd.api.types.is_numeric_dtype(column) or column.isna().all():
            continue
        texts = column[pd.to_numeric(column.astype(object), errors="coerce").isna()].dropna()
        examples = (
            f"{len(texts)} cells that are no numbers: {name_first_few(map(repr, texts))} at rows "
            f"{name_first_few(texts.index)}"
            if len(texts)
            else "numbers stored as text"
        )
        faults.append(f"{name!r} is {column.dtype}, with {examples}")
    if faults:
        raise ArgumentError(
            needed=f"{purpose} needs numbers",
            found="; ".join(faults),
            then="Read the cells' notation first, or convert the column with pandas.to_numeric",
        )


def mark_measured(exams: pd.DataFrame, names: Sequence[str]) -> pd.Series:
    """Mark the exams whose measures are all there, finite and above 0.

    Parameters
    ----------
    exams : DataFrame
        Exams.
    names : sequence of str
        Columns of masses or sizes.

    Returns
    -------
    Series of bool
        On the index of ``exams``.
    """
    values = exams[list(names)].to_numpy(dtype=np.float64, na_value=np.nan)
    return pd.Series((np.isfinite(values) & (values > 0)).all(axis=1), index=exams.index)


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
        dates = rows["exam_date"].reset_index(drop=True)
        # Undated exams come last, and exams of one day stay in table order.
        order = dates.sort_values(kind="stable", na_position="last").index.to_numpy(dtype=np.intp)
    labels = rows[bird].iloc[order]
    first = (~labels.duplicated() | labels.isna()).to_numpy()
    marks = np.empty(len(rows), dtype=bool)
    marks[order] = first
    return pd.Series(marks, index=rows.index)


def count_without_group(
    exams: pd.DataFrame, *, by: Sequence[str]
) -> tuple[dict[str, str], str, int]:
    """Count the rows that belong to no group, since a key is missing.

    Parameters
    ----------
    exams : DataFrame
        Exams.
    by : sequence of str
        Columns that the groups are formed by.

    Returns
    -------
    tuple of (dict, str, int)
        No keys, the reason and the count, as `list_excluded` takes them.
    """
    count = int(exams[list(by)].isna().any(axis=1).sum()) if by else 0
    return {}, f"{' or '.join(by)} missing", count


def list_excluded(
    counted: Sequence[tuple[dict[str, str], str, int]], *, by: Sequence[str]
) -> pd.DataFrame:
    """Tabulate the rows that an analysis left out.

    Parameters
    ----------
    counted : sequence of (dict, str, int)
        The group's keys (none for rows of no group), the reason and how many rows.
    by : sequence of str
        Columns that the groups are formed by.

    Returns
    -------
    DataFrame
        The ``by`` columns, empty for rows of no group, ``reason`` and ``n_rows``; reasons that
        no row has are passed over.
    """
    rows = [
        (*(keys.get(name, "") for name in by), reason, count)
        for keys, reason, count in counted
        if count
    ]
    return pd.DataFrame(rows, columns=[*by, "reason", "n_rows"])


def word_excluded(excluded: pd.DataFrame, *, by: Sequence[str], what: str) -> list[str]:
    """Say what an analysis left out, a line a reason.

    Parameters
    ----------
    excluded : DataFrame
        Result of `list_excluded`.
    by : sequence of str
        Columns that the groups are formed by.
    what : str
        What the rows are, for example ``"exams"``.

    Returns
    -------
    list of str
        The lines.
    """
    lines = []
    for row in excluded.to_dict("records"):
        keys = {name: row[name] for name in by if row[name]}
        whose = f"{name_group(keys)}: " if keys else ""
        lines.append(f"{row['n_rows']} {what} left out: {whose}{row['reason']}")
    return lines


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
