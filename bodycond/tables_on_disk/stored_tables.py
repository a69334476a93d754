"""Tables as JSON holds them, from which every cell, dtype and label comes back exactly."""

from __future__ import annotations

import math
from typing import Any

import pandas as pd

from bodycond.errors import ArgumentError
from bodycond.tables_on_disk.dtypes import TEXT_DTYPES

PLAIN_TYPES = (str, bool, int, float, type(None))
"""What JSON holds as it is, but for floats that are not finite."""

# JSON has no infinite numbers; in a column of floats these texts stand for them.
_INFINITE = {math.inf: "inf", -math.inf: "-inf"}
_FROM_TEXT = {text: number for number, text in _INFINITE.items()}

# The cells that a column can have, by its dtype; None where some may be missing.
_CELLS: dict[str, tuple[type, ...]] = {
    "str": (str, type(None)),
    "string": (str, type(None)),
    "object": PLAIN_TYPES,
    "float64": (float, int, type(None)),
    "int64": (int,),
    "Int64": (int, type(None)),
    "bool": (bool,),
    "boolean": (bool, type(None)),
}


def store_table(
    table: pd.DataFrame, *, where: str, word: str, rows: str, with_index: bool
) -> dict[str, Any]:
    """Make a table what JSON can hold.

    Parameters
    ----------
    table : DataFrame
        The table.
    where : str
        What it is called in messages.
    word : str
        What is being saved, as in ``fit``.
    rows : str
        What to do where its index cannot be saved.
    with_index : bool
        Store the index even where it only counts the rows.

    Returns
    -------
    dict
        ``columns``, ``dtypes`` and ``rows``; ``index``, ``index_dtype`` and ``index_name`` where
        the index is stored.

    Raises
    ------
    ArgumentError
        If a column or the index would not come back as it is.
    """
    names = [require_text(name, where=f"the columns of {where}", word=word) for name in table]
    if len(set(names)) < len(names) or table.columns.name is not None:
        found = f"{names} under the name {table.columns.name!r} in {where}"
        raise refuse_part(word, "columns of different names, and no name over them", found)
    columns = [
        _store_column(table[name], where=f"column {name!r} of {where}", word=word) for name in names
    ]
    stored: dict[str, Any] = {
        "columns": names,
        "dtypes": [str(dtype) for dtype in table.dtypes],
        "rows": [list(row) for row in zip(*columns, strict=True)] or [[] for _ in table.index],
    }
    index = table.index
    counts = index.dtype == "int64" and index.equals(pd.RangeIndex(len(table)))
    if with_index or not counts or index.name is not None:
        labels = index.tolist()
        stored |= {"index": labels, "index_dtype": str(index.dtype), "index_name": index.name}
        if not _comes_back(index, stored):
            raise ArgumentError(
                needed=f"A {word} is saved with an index of text or whole numbers",
                found=f"an index of {index.dtype}",
                then=rows,
            )
    return stored


def _store_column(column: pd.Series, *, where: str, word: str) -> list[Any]:
    dtype = str(column.dtype)
    if dtype not in _CELLS:
        wanted = "columns of texts, truth values, whole numbers and floats"
        raise refuse_part(word, wanted, f"{dtype} in {where}")
    cells = column.astype(object).tolist()
    if dtype != "object":
        gone = column.isna().tolist()
        cells = [None if missing else cell for cell, missing in zip(cells, gone, strict=True)]
    if dtype == "float64":
        return [_INFINITE.get(cell, cell) for cell in cells]
    odd = [cell for cell in cells if not _fits(cell, dtype) or not is_finite(cell)]
    if odd:
        wanted = "cells of texts, truth values, finite numbers and None"
        raise refuse_part(word, wanted, f"{odd[0]!r} in {where}")
    return cells


def _comes_back(index: pd.Index, stored: dict[str, Any]) -> bool:
    if not all(map(_is_label, stored["index"])):
        return False
    if index.name is not None and not _is_label(index.name):
        return False
    try:
        restored = _restore_index(stored)
    except (TypeError, ValueError):
        return False
    same_dtype = restored.dtype == index.dtype or str(index.dtype) in TEXT_DTYPES
    return same_dtype and restored.equals(index)


def _is_label(label: object) -> bool:
    return isinstance(label, str | int) and not isinstance(label, bool)


def _fits(cell: Any, dtype: str) -> bool:
    # A truth value is a whole number to Python.
    return isinstance(cell, _CELLS[dtype]) and (not isinstance(cell, bool) or bool in _CELLS[dtype])


def restore_table(stored: Any, *, with_index: bool) -> pd.DataFrame:
    """Make a table of what `store_table` gave.

    Parameters
    ----------
    stored : dict
        As `store_table` gives.
    with_index : bool
        The index must be there.

    Returns
    -------
    DataFrame
        The table.

    Raises
    ------
    KeyError, TypeError, ValueError, OverflowError
        If it is anything else.
    """
    names, dtypes, rows = (require_list(stored[key]) for key in ("columns", "dtypes", "rows"))
    columns = list(zip(*rows, strict=True)) if rows else [()] * len(names)
    index: pd.Index = pd.RangeIndex(len(rows))
    if with_index or "index" in stored:
        index = _restore_index(stored)
    restored = {
        name: _restore_column(list(cells), dtype, name, index)
        for name, dtype, cells in zip(names, dtypes, columns, strict=True)
    }
    if len(restored) < len(names) or not all(isinstance(name, str) for name in names):
        raise ValueError(f"the columns {names}")
    return pd.DataFrame(restored, index=index, columns=pd.Index(names, dtype="str"))


def _restore_index(stored: dict[str, Any]) -> pd.Index:
    labels = require_list(stored["index"])
    index: pd.Index = pd.Index(labels, dtype=stored["index_dtype"], name=stored["index_name"])
    if index.tolist() != labels:
        raise ValueError(f"an index that is not of {stored['index_dtype']}")
    return index


def _restore_column(cells: list[Any], dtype: str, name: str, index: pd.Index) -> pd.Series:
    if dtype not in _CELLS:
        raise ValueError(f"the column {name!r} of {dtype}")
    if dtype == "float64":
        cells = [_FROM_TEXT.get(cell, cell) if isinstance(cell, str) else cell for cell in cells]
    odd = [cell for cell in cells if not _fits(cell, dtype)]
    if odd:
        raise ValueError(f"{odd[0]!r} in the column {name!r} of {dtype}")
    return pd.Series(cells, dtype=dtype, index=index)


def require_list(stored: Any) -> list[Any]:
    """Raise unless a part of a file is a list.

    Parameters
    ----------
    stored : object
        The part.

    Returns
    -------
    list
        The part.

    Raises
    ------
    TypeError
        If it is anything else.
    """
    if not isinstance(stored, list):
        raise TypeError(f"{stored!r} is no list")
    return stored


def require_text(text: Any, *, where: str, word: str) -> str:
    """Raise unless a name is a text, since JSON has no other names.

    Parameters
    ----------
    text : object
        The name.
    where : str
        Where it stands, for the message.
    word : str
        What is being saved.

    Returns
    -------
    str
        The name.

    Raises
    ------
    ArgumentError
        If it is anything else.
    """
    if not isinstance(text, str):
        raise refuse_part(word, "texts as names", f"{text!r} in {where}")
    return text


def is_finite(value: object) -> bool:
    """Tell whether a value is no float, or a finite one.

    Parameters
    ----------
    value : object
        The value.

    Returns
    -------
    bool
        True where JSON can hold it as a number.
    """
    return not isinstance(value, float) or math.isfinite(value)


def refuse_part(word: str, wanted: str, found: str) -> ArgumentError:
    """Make the error of a part that would not come back as it is.

    Parameters
    ----------
    word : str
        What is being saved, as in ``fit``.
    wanted : str
        What can be saved.
    found : str
        What was found, and where.

    Returns
    -------
    ArgumentError
        To be raised.
    """
    return ArgumentError(
        needed=f"A {word} is saved with {wanted}",
        found=found,
        then=f"Make the {word} anew without it",
    )
