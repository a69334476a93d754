"""Exam and rating tables as XLSX, every cell exact."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from bodycond.columns import find_column
from bodycond.errors import ArgumentError, UnreadableFileError
from bodycond.tables_on_disk.cell_addresses import name_column
from bodycond.tables_on_disk.dtypes import (
    DATE_DTYPES,
    DTYPES_KEPT,
    TEXT_DTYPES,
    CellCastError,
    cast_texts,
    require_texts,
)
from bodycond.tables_on_disk.formula_guard import neutralise_text
from bodycond.tables_on_disk.parquet_files import SCHEMA_VERSION, require_version
from bodycond.tables_on_disk.whole_files import read_bytes, write_bytes
from bodycond.tables_on_disk.workbook_cells import Cell, read_cells
from bodycond.tables_on_disk.workbook_parts import (
    DATE,
    HEADING,
    PLAIN,
    QUOTED,
    TEXT,
    TIME,
    SheetCells,
    build_workbook,
    write_text_cell,
)

COLUMNS_SHEET = "columns"
COLUMNS_HEADINGS = ("name", "dtype", "unit", "meaning", "schema_version")
"""The sheet that says what the columns of a written workbook are, and its headings."""

LONGEST_TEXT = 32_767
MOST_ROWS, MOST_COLUMNS = 1_048_576, 16_384

# Serial day 60 is a 29th of February 1900 that never was; days before it are read differently by
# different programs.
_DAY_ZERO = np.datetime64("1899-12-30", "D")
_FIRST_SURE_DAY = np.datetime64("1900-03-01", "D")
# Whole numbers beyond are not exact in the floats that spreadsheets count in.
_LARGEST_EXACT = 2**53


def write_xlsx(table: pd.DataFrame, path: Path, *, sheet: str = "table") -> None:
    """Write a table as XLSX so that `read_xlsx` gives it back, every cell and dtype.

    Texts are stored as texts: what begins like a formula is not run, a ring number keeps its
    zeros. A second sheet says what each column is. Equal tables give equal bytes.

    Parameters
    ----------
    table : DataFrame
        The table; its index is not written.
    path : Path
        Where to write.
    sheet : str, default "table"
        Name of the sheet.

    Raises
    ------
    ArgumentError
        If a workbook cannot hold the table: too many rows or columns, a text of more than 32,767
        letters, half of a character pair, a dtype with no place in a workbook.
    """
    _require_room(table, sheet)
    require_texts(table, file_kind="XLSX")
    names = [str(name) for name in table.columns]
    columns, formats = [], []
    for position, name in enumerate(names):
        column = table.iloc[:, position]
        _require_length(name, f"the heading of column {name_column(position + 1)}")
        cells = _write_column(column, name, position)
        columns.append([write_text_cell(name, style=HEADING), *cells])
        is_date = str(column.dtype) in DATE_DTYPES
        is_text = str(column.dtype) in TEXT_DTYPES
        formats.append(DATE if is_date else TEXT if is_text else PLAIN)
    described = _describe_columns(table)
    about = [
        [write_text_cell(heading, style=HEADING), *(write_text_cell(t, style=TEXT) for t in texts)]
        for heading, texts in described.items()
    ]
    sheets = (
        SheetCells(name=sheet, columns=columns, formats=formats),
        SheetCells(name=COLUMNS_SHEET, columns=about, formats=[TEXT] * len(about)),
    )
    write_bytes(path, build_workbook(sheets))


def _require_room(table: pd.DataFrame, sheet: str) -> None:
    if len(table) >= MOST_ROWS or table.shape[1] > MOST_COLUMNS:
        raise ArgumentError(
            needed=f"A sheet holds {MOST_ROWS:,} rows with the heading and {MOST_COLUMNS:,} "
            "columns",
            found=f"{len(table):,} rows below the heading and {table.shape[1]:,} columns",
            then="Write it as Parquet, or split it",
        )
    bad = set(sheet) & set("[]:*?/\\") or not sheet.isprintable()
    if bad or not 1 <= len(sheet) <= 31 or sheet[0] == "'" or sheet[-1] == "'":
        raise ArgumentError(
            needed="A sheet's name has 1 to 31 letters, none of them [ ] : * ? / \\",
            found=f"sheet={sheet!r}",
            then="Choose another name",
        )
    if sheet.casefold() in {COLUMNS_SHEET, "history"}:
        raise ArgumentError(
            needed="A sheet's name must be free: 'columns' is written beside it and 'history' "
            "belongs to the spreadsheet program",
            found=f"sheet={sheet!r}",
            then="Choose another name",
        )


def _require_length(text: str, where: str) -> None:
    # Spreadsheets count as UTF-16 does: a letter beyond the first 65,536 counts twice.
    length = len(text) + sum(letter > "\uffff" for letter in text)
    if length > LONGEST_TEXT:
        raise ArgumentError(
            needed=f"A cell of a workbook holds at most {LONGEST_TEXT:,} letters",
            found=f"{length:,} in {where}: {text[:30]!r}...",
            then="Write the table as Parquet or CSV, which have no such limit",
        )


def _write_column(column: pd.Series, name: str, position: int) -> list[str]:
    dtype = str(column.dtype)
    if dtype not in DTYPES_KEPT:
        raise ArgumentError(
            needed=f"A workbook keeps the dtypes {', '.join(sorted(DTYPES_KEPT))}",
            found=f"{dtype} in the column {name!r}",
            then="Convert the column, or write the table as Parquet",
        )
    missing = column.isna().to_numpy()
    write = _choose_writer(dtype)
    values = column.to_numpy() if dtype in DATE_DTYPES else column.astype(object).to_numpy()
    cells: list[str] = []
    for row, (value, absent) in enumerate(zip(values, missing, strict=True)):
        if absent:
            cells.append("")
            continue
        if dtype in TEXT_DTYPES:
            address = f"{name_column(position + 1)}{row + 2}"
            if not isinstance(value, str):
                raise ArgumentError(
                    needed=f"The column {name!r} of dtype object must hold texts alone",
                    found=f"{value!r} in {address}",
                    then="Convert the column to one dtype",
                )
            if len(value) > LONGEST_TEXT // 2:
                _require_length(value, address)
        cells.append(write(value))
    return cells


def _choose_writer(dtype: str) -> Callable[[Any], str]:
    if dtype in TEXT_DTYPES:
        return _write_text
    if dtype in DATE_DTYPES:
        return _write_date
    if dtype in {"bool", "boolean"}:
        return lambda value: f' t="b"><v>{int(value)}</v></c>'
    return _write_float if dtype == "float64" else _write_whole


def _write_text(text: str) -> str:
    return write_text_cell(text, style=TEXT if neutralise_text(text) == text else QUOTED)


def _write_float(number: float) -> str:
    # A workbook knows no infinity.
    written = repr(float(number))
    if math.isinf(number):
        return write_text_cell(written, style=PLAIN)
    return f"><v>{written}</v></c>"


def _write_whole(number: int) -> str:
    if abs(int(number)) > _LARGEST_EXACT:
        return write_text_cell(str(int(number)), style=PLAIN)
    return f"><v>{int(number)}</v></c>"


def _write_date(stamp: np.datetime64) -> str:
    second = stamp.astype("datetime64[s]")
    day = stamp.astype("datetime64[D]")
    if second != stamp or day < _FIRST_SURE_DAY or day > np.datetime64("9999-12-31"):
        return write_text_cell(str(day if day == stamp else stamp), style=TEXT)
    days = int((day - _DAY_ZERO).astype(int))
    seconds = int((second - day).astype(int))
    if not seconds:
        return f' s="{DATE}"><v>{days}</v></c>'
    return f' s="{TIME}"><v>{days + seconds / 86400!r}</v></c>'


def _describe_columns(table: pd.DataFrame) -> dict[str, list[str]]:
    names = [str(name) for name in table.columns]
    known = [find_column(name) for name in names]
    texts = [
        names,
        [str(dtype) for dtype in table.dtypes],
        [(column.unit or "") if column else "" for column in known],
        [column.meaning if column else "" for column in known],
        [SCHEMA_VERSION] * len(names),
    ]
    return dict(zip(COLUMNS_HEADINGS, texts, strict=True))


def read_xlsx(path: Path) -> pd.DataFrame:
    """Read a table that `write_xlsx` wrote, or that a spreadsheet program saved after it.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    DataFrame
        The first sheet that is not `columns`. A column that is not described there has the dtype
        of bodycond's column of this name, or text.

    Raises
    ------
    UnreadableFileError
        If the workbook is damaged, is of another version, or a cell does not fit its column.
    """
    sheets = read_cells(path, read_bytes(path))
    described = _read_description(path, sheets.pop(COLUMNS_SHEET, []))
    if not sheets:
        raise UnreadableFileError(
            needed=f"{path} must hold a sheet beside 'columns'",
            found="none",
            then="Look for the full copy",
        )
    rows = next(iter(sheets.values()))
    heading = rows[0] if rows else {}
    width = 1 + max((position for row in rows for position in row), default=-1)
    names = [heading.get(position, ("s", ""))[1] for position in range(width)]
    series = []
    for position, name in enumerate(names):
        known = find_column(name)
        own = described.get(name, [])
        dtype = own.pop(0) if own else known.dtype if known is not None else "str"
        texts = [_word_cell(row.get(position), dtype) for row in rows[1:]]
        try:
            series.append(cast_texts(texts, dtype))
        except CellCastError as error:
            raise UnreadableFileError(
                needed=f"Each cell of the column {name!r} of {path} must be {dtype}",
                found=f"{'an empty cell' if error.text is None else repr(error.text)} in "
                f"{name_column(position + 1)}{error.row + 2}",
                then="Correct it, or import the file with a recipe",
            ) from error
    table = pd.concat(series, axis=1) if series else pd.DataFrame()
    table.columns = pd.Index(names, dtype="str" if names else object)
    return table


def _read_description(path: Path, rows: list[dict[int, Cell]]) -> dict[str, list[str]]:
    described: dict[str, list[str]] = {}
    for row in rows[1:]:
        name, dtype, _, _, version = (row.get(position, ("s", ""))[1] for position in range(5))
        require_version(path, version)
        if dtype not in DTYPES_KEPT:
            raise UnreadableFileError(
                needed=f"The sheet 'columns' of {path} must name dtypes that bodycond writes",
                found=f"{dtype!r} for the column {name!r}",
                then="Restore the sheet, or delete it",
            )
        described.setdefault(name, []).append(dtype)
    return described


def _word_cell(cell: Cell | None, dtype: str) -> str | None:
    """Give a cell as `cast_texts` takes it; what does not fit is left for it to refuse."""
    if cell is None:
        return None
    kind, text = cell
    if kind == "s" and dtype not in TEXT_DTYPES and not text.strip():
        return None
    if kind == "b":
        return {"1": "true", "0": "false"}.get(text, text)
    if kind == "n" and dtype in DATE_DTYPES:
        try:
            seconds = round(float(text) * 86400)
            return (dt.datetime(1899, 12, 30) + dt.timedelta(seconds=seconds)).isoformat()
        except (ValueError, OverflowError):
            return text
    return text
