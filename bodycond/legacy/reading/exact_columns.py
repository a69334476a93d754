"""Columns of a table that bodycond wrote, read back cell by cell as what they are."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from typing import Any

import numpy as np
import numpy.typing as npt

from bodycond.columns import Column
from bodycond.legacy.reading.column_reading import ColumnReading
from bodycond.legacy.recipes.targets import known_columns
from bodycond.tables_on_disk import restore_text

EXACT_FORMS = ("csv", "cells")
"""How a column was written: as CSV, where an apostrophe guards a text, or cell by cell."""

_NUMBER = re.compile(r"-?\d+(\.\d+)?([eE][-+]?\d+)?|-?inf", re.ASCII)
_WHOLE = re.compile(r"-?\d+(\.0)?", re.ASCII)
_DAY = re.compile(r"(\d{4}-\d\d-\d\d)([ T]00:00:00(\.0+)?)?", re.ASCII)
_FLAGS = {"true": True, "false": False}


def read_exact_column(
    texts: npt.NDArray[np.object_], kinds: npt.NDArray[np.str_], *, field: str, form: str,
    table: str,
) -> ColumnReading:  # fmt: skip
    """Read a column that bodycond wrote: nothing is interpreted, and nothing derived from it.

    Parameters
    ----------
    texts : ndarray of object, shape (rows,)
        Texts of the rows of data.
    kinds : ndarray of str, shape (rows,)
        Their kinds, as in `Sheet.kinds`.
    field : str
        The column of the table.
    form : {"csv", "cells"}
        How it was written.
    table : {"exams", "ratings"}
        The table.

    Returns
    -------
    ColumnReading
        Values of this one column. A cell that is not of the column's kind is held.
    """
    column = known_columns(table)[field]
    count = len(texts)
    outcomes, values, reasons, likely, flags = (np.full(count, "", object) for _ in range(5))
    output = np.full(count, None, dtype=object)
    for row, (text, kind) in enumerate(zip(texts, kinds, strict=True)):
        if kind == " ":
            continue
        value, reason = _read_cell(str(text), kind, column, form)
        if value is None:
            outcomes[row], reasons[row] = "quarantined", reason
            continue
        outcomes[row], reasons[row] = ("converted" if reason else "accepted"), reason
        values[row], output[row] = str(value), value
    return ColumnReading(
        outcomes=outcomes, values=values, reasons=reasons, likely=likely, flags=flags,
        target=f"{table}.{field}", outputs={field: output},
    )  # fmt: skip


def _read_cell(text: str, kind: str, column: Column, form: str) -> tuple[Any, str]:
    """Give a cell's value and what was done to it, or None and why it is held."""
    if kind in {"e", "f"}:
        return None, "an error value or a formula without a result"
    if column.kind in {"text", "code"}:
        whole = restore_text(text) if form == "csv" else text
        if column.codes and whole not in column.codes:
            return None, f"no code of {column.name}"
        return whole, "" if whole == text else "an apostrophe kept it from being run as a formula"
    readers: dict[str, Callable[[str], Any]] = {
        "number": _read_number, "grade": _read_number, "count": _read_whole, "date": _read_day,
        "flag": lambda written: _FLAGS.get(written.casefold()),
    }  # fmt: skip
    value = readers[column.kind](text)
    return value, "" if value is not None else f"not as bodycond writes a {column.kind}"


def _read_number(text: str) -> float | None:
    return float(text) if _NUMBER.fullmatch(text) else None


def _read_whole(text: str) -> int | None:
    return int(text.removesuffix(".0")) if _WHOLE.fullmatch(text) else None


def _read_day(text: str) -> dt.date | None:
    found = _DAY.fullmatch(text)
    try:
        return dt.date.fromisoformat(found[1]) if found else None
    except ValueError:
        return None
