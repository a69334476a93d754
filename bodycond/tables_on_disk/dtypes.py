"""The dtypes that a written table can have, and cells read back into them."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
import pandas as pd

from bodycond.errors import ArgumentError

TEXT_DTYPES = frozenset({"str", "string", "object"})
_WHOLE_DTYPES = frozenset({"int64", "Int64"})
_FLAG_DTYPES = frozenset({"bool", "boolean"})
DATE_DTYPES = frozenset({f"datetime64[{unit}]" for unit in ("s", "ms", "us", "ns")})
DTYPES_KEPT = TEXT_DTYPES | _WHOLE_DTYPES | _FLAG_DTYPES | DATE_DTYPES | {"float64"}
"""Names of the dtypes that come back from a workbook as they went in."""

_DATE = re.compile(r"-?\d{4,6}-\d\d-\d\d(?:[T ]\d\d:\d\d(?::\d\d(?:\.\d{1,9})?)?)?", re.ASCII)
_FLAGS = {"true": True, "false": False}


class CellCastError(Exception):
    """A cell does not fit the dtype of its column.

    Parameters
    ----------
    row : int
        Row of the cell, counted from 0.
    text : str or None
        What it holds; None where it is missing and may not be.
    """

    def __init__(self, *, row: int, text: str | None) -> None:
        self.row = row
        self.text = text
        super().__init__(f"row {row}: {text!r}")


def require_texts(table: pd.DataFrame, *, file_kind: str) -> None:
    """Raise if a text holds half of a character pair, which no file in UTF-8 can hold.

    Parameters
    ----------
    table : DataFrame
        The table.
    file_kind : str
        What is to be written, for the message.

    Raises
    ------
    ArgumentError
        With the place of the first such cell.
    """
    for position, name in enumerate(table.columns):
        _require_whole(str(name), f"in the name of column {position + 1}", file_kind)
        column = table.iloc[:, position]
        if getattr(column.dtype, "storage", "") == "pyarrow" or not (
            pd.api.types.is_string_dtype(column) or pd.api.types.is_object_dtype(column)
        ):
            # Arrow takes whole Unicode alone.
            continue
        for row, cell in enumerate(column):
            if isinstance(cell, str) and not cell.isascii():
                _require_whole(cell, f"in column {str(name)!r}, row {row + 1}", file_kind)


def _require_whole(text: str, where: str, file_kind: str) -> None:
    try:
        text.encode("utf-8")
    except UnicodeEncodeError as error:
        half = text[error.start]
        raise ArgumentError(
            needed=f"Every text must be whole Unicode to be written as {file_kind}",
            found=f"half of a character pair (U+{ord(half):04X}) {where}",
            then="Correct the text where it comes from; it was cut or decoded wrongly",
        ) from error


def cast_texts(texts: Sequence[str | None], dtype: str) -> pd.Series:
    """Cast cells that were read as text into the dtype of their column.

    Parameters
    ----------
    texts : sequence of str or None
        The cells; None where missing. Dates in ISO form, truth values as true or false.
    dtype : str
        One of `DTYPES_KEPT`.

    Returns
    -------
    Series
        Of that dtype.

    Raises
    ------
    CellCastError
        For the first cell that does not fit.
    """
    if dtype in TEXT_DTYPES:
        return pd.Series(list(texts), dtype=dtype)
    read: Callable[[str], Any] = float
    missing: Any = np.nan
    if dtype in _WHOLE_DTYPES:
        read, missing = _read_whole, pd.NA
    elif dtype in _FLAG_DTYPES:
        read, missing = _read_flag, pd.NA
    elif dtype in DATE_DTYPES:
        read, missing = _read_date, np.datetime64("NaT")
    values: list[Any] = []
    for row, text in enumerate(texts):
        if text is None:
            if dtype in {"int64", "bool"}:
                raise CellCastError(row=row, text=None)
            values.append(missing)
            continue
        try:
            values.append(read(text))
        except ValueError as error:
            raise CellCastError(row=row, text=text) from error
    if dtype in DATE_DTYPES:
        return pd.Series(np.array(values, dtype=dtype))
    return pd.Series(values, dtype=dtype)


def _read_whole(text: str) -> int:
    try:
        return int(text)
    except ValueError:
        # A spreadsheet program may have saved 12 as 1.2E1.
        number = float(text)
        if not number.is_integer():
            raise
        return int(number)


def _read_flag(text: str) -> bool:
    flag = _FLAGS.get(text.casefold())
    if flag is None:
        raise ValueError(text)
    return flag


def _read_date(text: str) -> np.datetime64:
    # The year 999 is written without its zero in front by some versions of pandas.
    text = re.sub(r"^\d{1,3}(?=-)", lambda year: year[0].zfill(4), text)
    if not _DATE.fullmatch(text):
        raise ValueError(text)
    return np.datetime64(text)
