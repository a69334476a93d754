"""The cells of one column of a sheet counted, each different text once."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import repeat

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.legacy.drafting.column_contents import DITTO_TEXTS, ColumnContents
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.notation import says_missing


def read_contents(
    sheet: Sheet, column: int, rows: npt.NDArray[np.intp] | None = None
) -> ColumnContents:
    """Count the different cells of one column.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    column : int
        The column, counted from 0.
    rows : ndarray of int, optional
        The rows of data, counted from 0. Default all.

    Returns
    -------
    ColumnContents
        The column's cells.
    """
    kinds = sheet.kinds[:, column] if rows is None else sheet.kinds[rows, column]
    texts = sheet.texts[:, column] if rows is None else sheet.texts[rows, column]
    filled = kinds != " "
    codes, different = pd.factorize(texts[filled])
    letters = np.ascontiguousarray(kinds[filled])
    if len(codes) and (letters == letters[0]).all():
        # Factors stand in the order met.
        counts = np.bincount(codes, minlength=len(different))
        keys = zip(different.tolist(), repeat(str(letters[0])))
        cells = dict(zip(keys, counts.tolist(), strict=True))
    else:
        cells = _count_pairs(codes, different, letters)
    missing: dict[str, int] = {}
    # Texts that stand for no value are short and end in no digit.
    for text, kind in [cell for cell in cells if len(cell[0]) <= 14 and not cell[0][-1:].isdigit()]:
        if says_missing(text):
            missing[text.strip()] = missing.get(text.strip(), 0) + cells.pop((text, kind))
        elif text.strip() in DITTO_TEXTS:
            del cells[text, kind]
    return ColumnContents(cells=cells, missing=missing, n_rows=len(kinds))


def _count_pairs(
    codes: npt.NDArray[np.intp], different: npt.NDArray[np.object_], letters: npt.NDArray[np.str_]
) -> dict[tuple[str, str], int]:
    """Count texts of several kinds, in the order met."""
    kinds, kind_of = np.unique(letters, return_inverse=True)
    width = max(len(kinds), 1)
    pairs, first, counts = np.unique(codes * width + kind_of, return_index=True, return_counts=True)
    order = np.argsort(first, kind="stable")
    pairs, counts = pairs[order], counts[order]
    keys = zip(different[pairs // width].tolist(), kinds[pairs % width].tolist(), strict=True)
    return dict(zip(keys, counts.tolist(), strict=True))


def pool_contents(contents: Iterable[ColumnContents]) -> ColumnContents:
    """Put the cells of one column of several sheets together.

    Parameters
    ----------
    contents : iterable of ColumnContents
        One a sheet.

    Returns
    -------
    ColumnContents
        Their counts added up.
    """
    found = list(contents)
    if len(found) == 1:
        return found[0]
    cells: dict[tuple[str, str], int] = {}
    missing: dict[str, int] = {}
    n_rows = 0
    for one in found:
        n_rows += one.n_rows
        for cell, count in one.cells.items():
            cells[cell] = cells.get(cell, 0) + count
        for text, count in one.missing.items():
            missing[text] = missing.get(text, 0) + count
    return ColumnContents(cells=cells, missing=missing, n_rows=n_rows)
