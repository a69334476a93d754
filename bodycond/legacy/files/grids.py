"""Values of a reader as grids: every cell a text, with the letter of its kind."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice, zip_longest
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.errors import UnreadableFileError
from bodycond.tables_on_disk import name_column

# Integers up to here are exact in a float; beyond, digits are already lost.
LARGEST_EXACT_INTEGER = 2**53

# A filled cell and its account were measured to take 850 bytes at the peak: 4.4 GB at the worst,
# for 450,000 rows of 11 columns.
LARGEST_GRID_CELLS = 5_000_000

# Kinds that a parser treats apart; dates, times and truth values are read as the text they show.
_KINDS_APART = np.array(["t", "n", "e", "f", " "], dtype="<U1")
_KIND_CODES = np.zeros(128, dtype=np.intp)
_KIND_CODES[[ord(kind) for kind in _KINDS_APART]] = np.arange(len(_KINDS_APART))


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
        Texts, shape (rows, longest row); equal texts of a column are one object.
    kinds : ndarray of str
        Letters, same shape.
    """
    n_rows, n_columns = measure_rows(rows)
    # Everything that follows goes down columns, so that a column lies together in memory.
    texts = np.full((n_rows, n_columns), "", dtype=object, order="F")
    kinds = np.full((n_rows, n_columns), " ", dtype="<U1", order="F")
    for position, values in enumerate(_list_columns(rows[:n_rows], n_columns)):
        texts[:, position], kinds[:, position] = _write_column(values)
    return texts, kinds


def _list_columns(
    rows: Sequence[Sequence[object]], n_columns: int
) -> Iterator[npt.NDArray[np.object_]]:
    if rows and all(len(row) == n_columns for row in rows):
        yield from np.asfortranarray(np.array(rows, dtype=object)).T
        return
    # A row can have a million blanks behind its last value: no further column is looked at.
    for values in islice(zip_longest(*rows, fillvalue=""), n_columns):
        column = np.empty(len(rows), dtype=object)
        column[:] = values
        yield column


def _write_column(
    array: npt.NDArray[np.object_],
) -> tuple[npt.NDArray[np.object_], npt.NDArray[np.str_]]:
    """Write each different value once: a column of 100,000 cells holds few."""
    types = set(map(type, array))
    codes, different = pd.factorize(array)
    # True equals 1.0, and of values that are none there are two kinds: each cell for itself then.
    apart = (bool in types and not types <= {bool, str}) or bool((codes < 0).any())
    if apart:
        codes, different = np.arange(len(array)), array
    if types == {str}:
        return different[codes], np.where(different == "", " ", "t").astype("<U1")[codes]
    written = [write_cell_text(value) for value in different]
    texts = np.empty(len(written), dtype=object)
    texts[:] = [text for text, _ in written]
    kinds = np.array([kind for _, kind in written], dtype="<U1")
    return texts[codes], kinds[codes]


@dataclass(frozen=True, kw_only=True, eq=False)
class CodedCells:
    """Cells with every different one kept once.

    Parameters
    ----------
    codes : ndarray of int, shape (cells,)
        Which of the different cells each cell is.
    texts : ndarray of object, shape (different cells,)
        Their texts, in the order in which they first occur.
    kinds : ndarray of str, shape (different cells,)
        Their kinds: ``n``, ``e``, ``f`` and blank as in `Sheet.kinds`, all others ``t``.
    """

    codes: npt.NDArray[np.intp]
    texts: npt.NDArray[np.object_]
    kinds: npt.NDArray[np.str_]

    def count(self) -> npt.NDArray[np.intp]:
        """Count how often each of the different cells occurs.

        Returns
        -------
        ndarray of int, shape (different cells,)
            The counts.
        """
        return np.bincount(self.codes, minlength=len(self.texts))


def code_cells(texts: npt.NDArray[np.object_], kinds: npt.NDArray[np.str_]) -> CodedCells:
    """Find the different cells among many: parsers then read each once.

    Parameters
    ----------
    texts : ndarray of object, shape (cells,)
        Texts.
    kinds : ndarray of str, shape (cells,)
        Their kinds, as in `Sheet.kinds`.

    Returns
    -------
    CodedCells
        ``texts[codes]`` gives the texts back.

    Examples
    --------
    >>> cells = code_cells(np.array(["186", "190", "186"], dtype=object), np.array(["n", "t", "n"]))
    >>> cells.codes.tolist(), cells.texts.tolist(), cells.count().tolist()
    ([0, 1, 0], ['186', '190'], [2, 1])
    """
    text_codes, different = pd.factorize(texts)
    letters = _KIND_CODES[np.ascontiguousarray(kinds, dtype="<U1").view(np.uint32) & 127]
    codes, pairs = pd.factorize(text_codes * len(_KINDS_APART) + letters)
    which, letter = np.divmod(pairs, len(_KINDS_APART))
    return CodedCells(
        codes=codes, texts=np.asarray(different, dtype=object)[which], kinds=_KINDS_APART[letter]
    )


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
