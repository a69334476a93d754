"""A table of words for the report, and the ways to make one of a result's frame."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from typing import Any

import pandas as pd

from bodycond.rounding import round_to_interval

_PLAIN_NUMBER = re.compile(r"-?[0-9\u202f.]+")


@dataclass(frozen=True, kw_only=True)
class ReportTable:
    """A table ready to print.

    Parameters
    ----------
    caption : str
        What it shows, with n and interval where they apply.
    headings : tuple of str
        Column headings.
    rows : tuple of tuple of str
        Cells; the first of a row is its heading.
    grouped : bool, default False
        True to print a row heading once for all rows that follow with the same one.
    """

    caption: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    grouped: bool = False

    @property
    def spans(self) -> tuple[int, ...]:
        """How many rows each row's heading stands for.

        Returns
        -------
        tuple of int
            One a row; 0 where the heading above stands for the row too.
        """
        spans: list[int] = []
        start = 0
        for position, row in enumerate(self.rows):
            if self.grouped and position and row[0] == self.rows[position - 1][0]:
                spans[start] += 1
                spans.append(0)
            else:
                start = position
                spans.append(1)
        return tuple(spans)

    @property
    def numeric(self) -> tuple[bool, ...]:
        """Which columns hold plain numbers alone, to be set against the right edge.

        Returns
        -------
        tuple of bool
            One a column.
        """
        return tuple(
            any(row[place] for row in self.rows)
            and all(not row[place] or _PLAIN_NUMBER.fullmatch(row[place]) for row in self.rows)
            for place in range(len(self.headings))
        )


def table_of_frame(
    frame: pd.DataFrame, *, caption: str, headings: dict[str, str], grouped: bool = False
) -> ReportTable:
    """Print a frame's columns as they are.

    Parameters
    ----------
    frame : DataFrame
        The frame.
    caption : str
        The caption.
    headings : dict of str to str
        Columns to print, with their headings.
    grouped : bool, default False
        As in `ReportTable`.

    Returns
    -------
    ReportTable
        The table.
    """
    rows = [
        tuple(word_cell(record[name]) for name in headings) for record in frame.to_dict("records")
    ]
    return ReportTable(
        caption=caption, headings=tuple(headings.values()), rows=tuple(rows), grouped=grouped
    )


def without_empty_columns(table: ReportTable) -> ReportTable:
    """Leave out columns in which no row has anything to say.

    Parameters
    ----------
    table : ReportTable
        The table.

    Returns
    -------
    ReportTable
        The table with the other columns.
    """
    kept = [
        place for place in range(len(table.headings)) if any(row[place] for row in table.rows)
    ] or list(range(len(table.headings)))
    return replace(
        table,
        headings=tuple(table.headings[place] for place in kept),
        rows=tuple(tuple(row[place] for place in kept) for row in table.rows),
    )


def word_cell(cell: Any) -> str:
    """Write one cell: missing as nothing, numbers without needless digits.

    Parameters
    ----------
    cell : object
        The cell.

    Returns
    -------
    str
        Its words.

    Examples
    --------
    >>> word_cell(377.38885184), word_cell(2.0), word_cell(float("nan")), word_cell("keel")
    ('377.389', '2', '', 'keel')
    """
    if cell is None or cell is pd.NA or cell is pd.NaT:
        return ""
    if isinstance(cell, float):
        return "" if math.isnan(cell) else f"{cell:g}"
    if isinstance(cell, int) and not isinstance(cell, bool):
        return f"{cell:,}".replace(",", "\u202f")
    return str(cell)


def short_interval(value: float, low: float, high: float) -> str:
    """Write an estimate with its interval under a heading that names the interval.

    Parameters
    ----------
    value, low, high : float
        The estimate and its limits.

    Returns
    -------
    str
        The words.

    Examples
    --------
    >>> short_interval(2.52036, 1.7684, 3.5921)
    '2.52 (1.77 to 3.59)'
    """
    if not math.isfinite(value):
        return "not defined"
    first, second, third = round_to_interval(value, low, high)
    if not (math.isfinite(low) and math.isfinite(high)):
        return f"{first} (no interval)"
    return f"{first} ({second} to {third})"


def word_level(level: float) -> str:
    """Name an interval by its level.

    Parameters
    ----------
    level : float
        Confidence level.

    Returns
    -------
    str
        For example ``"95 % interval"``.
    """
    return f"{100 * level:g} % interval"
