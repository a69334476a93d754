"""Values of a reader as grids: every cell a text, with the letter of its kind."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import numpy.typing as npt

from bodycond.errors import UnreadableFileError

# Integers up to here are exact in a float; beyond, digits are already lost.
LARGEST_EXACT_INTEGER = 2**53

# A filled cell and its account were measured to take 850 bytes at the peak: 4.4 GB at the worst,
# for 450,000 rows of 11 columns.
LARGEST_GRID_CELLS = 5_000_000


def name_column(column: int) -> str:
    """Give a column's letters as spreadsheets show them.

    Parameters
    ----------
    column : int
        The column, counted from 1.

    Returns
    -------
    str
        For example ``"AB"`` for 28.

    Examples
    --------
    >>> name_column(28)
    'AB'
    """
    letters = ""
    while column > 0:
        column, rest = divmod(column - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def write_cell_text(value: object) -> tuple[str, str]:
    """Write a cell's value as text, with the letter of its kind.

    Parameters
    ----------
    value : object
        What a workbook reader gave: None, text, number, truth value, date or time.

    Returns
    -------
    tuple of (str, str)
        The text and the letter (see `Sheet.kinds`).

    Examples
    --------
    >>> write_cell_text(186.0), write_cell_text("186 g"), write_cell_text(None)
    (('186', 'n'), ('186 g', 't'), ('', ' '))
    """
    if value is None or value == "":
        return "", " "
    if isinstance(value, str):
        return value, "t"
    if isinstance(value, bool):
        return ("TRUE" if value else "FALSE"), "b"
    if isinstance(value, int | float):
        number = float(value)
        whole = number.is_integer() and abs(number) < LARGEST_EXACT_INTEGER
        return (str(int(number)) if whole else repr(number)), "n"
    if isinstance(value, dt.datetime):
        midnight = value.time() == dt.time(0)
        return (value.date().isoformat() if midnight else value.isoformat(sep=" ")), "d"
    if isinstance(value, dt.date):
        return value.isoformat(), "d"
    return str(value), "h"


def build_grid(
    rows: Sequence[Sequence[object]],
) -> tuple[npt.NDArray[np.object_], npt.NDArray[np.str_]]:
    """Turn rows of values, of any lengths, into the two arrays of a `Sheet`.

    Parameters
    ----------
    rows : sequence of sequence
        The values.

    Returns
    -------
    texts : ndarray of object
        Texts, shape (rows, longest row).
    kinds : ndarray of str
        Letters, same shape.
    """
    n_rows, n_columns = measure_rows(rows)
    texts = np.full((n_rows, n_columns), "", dtype=object)
    kinds = np.full((n_rows, n_columns), " ", dtype="<U1")
    for position, row in enumerate(rows[:n_rows]):
        if not row:
            continue
        written = [write_cell_text(value) for value in row[:n_columns]]
        texts[position, : len(written)] = [text for text, _ in written]
        kinds[position, : len(written)] = [kind for _, kind in written]
    return texts, kinds


def measure_rows(rows: Sequence[Sequence[object]]) -> tuple[int, int]:
    """Find the last row and the last column that hold anything.

    Parameters
    ----------
    rows : sequence of sequence
        The values; a used range can reach far beyond the last cell that holds anything.

    Returns
    -------
    tuple of (int, int)
        Number of rows and columns of the grid that is needed.

    Examples
    --------
    >>> measure_rows([["Ring", "Mass", ""], ["A1", ""], ["", None]])
    (2, 2)
    """
    n_rows = n_columns = 0
    for number, row in enumerate(rows, start=1):
        last = len(row)
        while last and (row[last - 1] is None or row[last - 1] == ""):
            last -= 1
        if last:
            n_rows, n_columns = number, max(n_columns, last)
    return n_rows, n_columns


def require_grid_size(path: Path, n_rows: int, n_columns: int) -> None:
    """Raise if a sheet reaches further than memory can hold.

    Parameters
    ----------
    path : Path
        The file, for the message.
    n_rows, n_columns : int
        Row and column of the furthest value.

    Raises
    ------
    UnreadableFileError
        If the sheet has more than `LARGEST_GRID_CELLS` cells, empty ones included.
    """
    if n_rows * n_columns > LARGEST_GRID_CELLS:
        raise UnreadableFileError(
            needed=f"A sheet may reach over at most {LARGEST_GRID_CELLS:,} cells",
            found=f"{path} with values as far as row {n_rows:,} and column "
            f"{name_column(n_columns)}",
            then="Delete the stray values far below or beside the table, or split the table",
        )
