"""The records of all sheets put together into one table of exams or ratings."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd

from bodycond.columns import DTYPES, EXAM_COLUMNS, RATING_COLUMNS, Column
from bodycond.legacy.reading.records import SheetTable
from bodycond.legacy.reading.sheet_reading import SheetImport


def build_table(parts: Sequence[SheetImport], *, table: str) -> pd.DataFrame:
    """Put the records of all sheets together.

    Parameters
    ----------
    parts : sequence of SheetImport
        The sheets, read.
    table : {"exams", "ratings"}
        The table that is wanted.

    Returns
    -------
    DataFrame
        The columns of bodycond in their order, then the recipe's own.
    """
    known = EXAM_COLUMNS if table == "exams" else RATING_COLUMNS
    columns: dict[str, Column] = {column.name: column for column in known}
    used: list[tuple[str, str, SheetTable]] = []
    for part in parts:
        sheet = part.account.sheet
        for rows in part.tables:
            if rows.table == table:
                used.append((sheet.file, sheet.name, rows))
                columns = {**rows.columns, **columns}
    ordered = {column.name: column for column in known}
    ordered |= {name: column for name, column in columns.items() if name not in ordered}
    data = {name: _stack_values(name, used) for name in ordered}
    data["source_file"] = _repeat([(file, len(rows.rows)) for file, _, rows in used])
    data["source_sheet"] = _repeat([(sheet, len(rows.rows)) for _, sheet, rows in used])
    numbers = [rows.rows + 1 for _, _, rows in used]
    data["source_row"] = np.concatenate(numbers).astype(object) if numbers else _no_values()
    frame = pd.DataFrame(
        {name: _cast_column(data[name], column) for name, column in ordered.items()}
    )
    return frame.reset_index(drop=True)


def _no_values() -> np.ndarray[tuple[int], np.dtype[np.object_]]:
    return np.empty(0, dtype=object)


def _repeat(counts: list[tuple[str, int]]) -> np.ndarray[tuple[int], np.dtype[np.object_]]:
    arrays = [np.full(count, text, dtype=object) for text, count in counts]
    return np.concatenate(arrays) if arrays else _no_values()


def _stack_values(
    name: str, used: list[tuple[str, str, SheetTable]]
) -> np.ndarray[tuple[int], np.dtype[np.object_]]:
    arrays = [
        table.values.get(name, np.full(len(table.rows), None, dtype=object)) for _, _, table in used
    ]
    return np.concatenate(arrays) if arrays else _no_values()


def _cast_column(values: np.ndarray[tuple[int], np.dtype[np.object_]], column: Column) -> pd.Series:
    dtype: Any = DTYPES[column.kind]
    if column.kind == "date":
        # Days before 1678 and after 2262 do not come here: the parser knows 1800 to 2100.
        stamps: pd.Series = pd.to_datetime(pd.Series(values, dtype=object))
        return stamps.astype("datetime64[us]")
    return pd.Series(values, dtype=object).astype(dtype)


def fill_sex(exams: pd.DataFrame) -> tuple[pd.DataFrame, list[str]]:
    """Put 'U' where no sex is known, and say how often.

    Parameters
    ----------
    exams : DataFrame
        The exams.

    Returns
    -------
    exams : DataFrame
        A new table.
    notes : list of str
        One note, or none.
    """
    missing = exams["sex"].isna()
    count = int(missing.sum())
    if not count:
        return exams, []
    filled = exams.assign(sex=exams["sex"].where(~missing, "U"))
    return filled, [f"sex is 'U' in {count} exams whose sex was not given or is held"]
