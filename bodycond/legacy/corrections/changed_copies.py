"""Cells that a person changed in the copy of a sheet instead of in the list."""

from __future__ import annotations

import math

import numpy as np

from bodycond.legacy.corrections.correction_records import Correction
from bodycond.legacy.corrections.filled_in_workbooks import propose
from bodycond.legacy.corrections.marked_copies import MOST_COLUMNS, MOST_ROWS
from bodycond.legacy.corrections.xlsx_texts import read_back
from bodycond.legacy.files.sheets import Sheet
from bodycond.tables_on_disk import name_column

# Sorting a sheet or putting in a row moves cells of nearly every column; a person who corrects
# cells does so in a few columns, or in a few cells.
_FEW_CHANGES = 20
_SHARE_OF_CELLS = 0.02
_SHARE_OF_COLUMNS = 0.5

# A spreadsheet program may drop the last digit of a number when it saves.
_SAME_NUMBER = 1e-14

Found = list[tuple[tuple[int, int], Correction]]


def find_changed_cells(sheet: Sheet, copy: Sheet) -> tuple[Found, str]:
    """Find the cells in which a copy differs from its source.

    Parameters
    ----------
    sheet : Sheet
        The source.
    copy : Sheet
        The copy as it came back.

    Returns
    -------
    found : list of ((int, int), Correction)
        The cell, counted from 0, and the proposal, without who and why.
    disorder : str
        Why the copy was not compared cell by cell; the empty text where it was.
    """
    rows = min(max(sheet.texts.shape[0], copy.texts.shape[0]), MOST_ROWS)
    columns = min(max(sheet.texts.shape[1], copy.texts.shape[1]), MOST_COLUMNS)
    before, after = _fit(sheet, rows, columns), _fit(copy, rows, columns)
    places = [
        (int(row), int(column))
        for row, column in np.argwhere(before != after)
        if not _is_same(str(before[row, column]), str(after[row, column]))
    ]
    touched = len({column for _, column in places})
    few = max(_FEW_CHANGES, _SHARE_OF_CELLS * int(sheet.filled.sum()))
    if len(places) > few and touched > _SHARE_OF_COLUMNS * columns:
        return [], (
            f"{len(places)} cells of the marked copy differ, as after sorting or putting in rows; "
            "they are not taken for changes"
        )
    found = [
        (
            (row, column),
            propose(
                sheet.file, sheet.name, f"{name_column(column + 1)}{row + 1}",
                raw=str(before[row, column]), now=str(after[row, column]),
                given_in="".join(copy.notes[:1]),
            ),
        )
        for row, column in places
    ]  # fmt: skip
    return found, ""


def _fit(
    sheet: Sheet, rows: int, columns: int
) -> np.ndarray[tuple[int, int], np.dtype[np.object_]]:
    fitted = np.full((rows, columns), "", dtype=object)
    part = sheet.texts[:rows, :columns]
    fitted[: part.shape[0], : part.shape[1]] = part
    return fitted


def _is_same(before: str, after: str) -> bool:
    if after == read_back(before):
        return True
    try:
        return math.isclose(float(before), float(after), rel_tol=_SAME_NUMBER, abs_tol=0.0)
    except ValueError:
        return False
