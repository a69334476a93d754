"""Cells turned into the dtype of their column, and the cells that cannot be."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.columns import EXAM_COLUMNS, RATING_COLUMNS, Column
from bodycond.errors import ArgumentError, BodycondError, name_first_few

FLAG_TEXTS: dict[str, bool] = {
    "true": True, "yes": True, "1": True, "false": False, "no": False, "0": False,
}  # fmt: skip

# A date is taken only in the ISO order: any other order is a guess about day and month, and a
# bare year or month would be given a day that nobody wrote.
_ISO_DATE = r"\d{4}-\d{2}-\d{2}(?:[ T]\d{2}:\d{2}(?::\d{2}(?:\.\d+)?)?)?"

NEEDS: dict[str, str] = {
    "text": "text",
    "code": "text",
    "number": "a finite number, with a point for the decimals and no unit",
    "grade": "a finite number, with a point for the decimals",
    "count": "a whole number",
    "date": "a date, or text such as 2024-05-31",
    "flag": "True or False, yes or no, 1 or 0",
}
"""What a cell of each kind of column must be, in words."""


class ConversionError(BodycondError):
    """Cells of a table cannot be converted to the dtype of their column.

    Parameters
    ----------
    needed, found, then : str
        The three parts of the message.
    cells : DataFrame
        Every cell that cannot be converted: ``row`` (index label), ``column``, ``value``,
        ``needed``.
    """

    def __init__(self, *, needed: str, found: str, then: str, cells: pd.DataFrame) -> None:
        super().__init__(needed=needed, found=found, then=then)
        self.cells = cells


@dataclass(frozen=True, kw_only=True, eq=False)
class ConvertedColumn:
    """A column in its proper dtype, and where that failed.

    Parameters
    ----------
    values : Series
        The converted column; missing where a cell could not be converted.
    failed : ndarray of bool
        True where the cell held something and could not be converted.
    """

    values: pd.Series
    failed: npt.NDArray[np.bool_]


def convert_column(values: pd.Series, *, column: Column) -> ConvertedColumn:
    """Convert one column, cell by cell, without raising.

    Blank text counts as missing in every column that is not text.

    Parameters
    ----------
    values : Series
        The column as it came.
    column : Column
        What it should be.

    Returns
    -------
    ConvertedColumn
        The converted column and the cells that failed.
    """
    if column.kind in ("text", "code"):
        return ConvertedColumn(values=_to_text(values), failed=np.zeros(len(values), dtype=bool))
    if not (pd.api.types.is_numeric_dtype(values) or pd.api.types.is_datetime64_any_dtype(values)):
        values = values.astype(object)
        blank = values.map(lambda cell: isinstance(cell, str) and not cell.strip()).astype(bool)
        values = values.mask(blank, None)
    held = values.notna().to_numpy()
    if column.kind == "date":
        converted = _to_date(values)
    elif column.kind == "flag":
        converted = _to_flag(values)
    else:
        converted = _to_number(values)
        if column.kind == "count":
            whole = converted.where(converted == np.floor(converted))
            converted = whole.astype("Int64")
    return ConvertedColumn(values=converted, failed=held & converted.isna().to_numpy())


def _to_number(values: pd.Series) -> pd.Series:
    if values.dtype.kind in "bcM":  # truth values, complex numbers, dates
        return pd.Series(np.nan, index=values.index, dtype="float64")
    if pd.api.types.is_numeric_dtype(values):
        numbers = pd.Series(values.to_numpy(dtype=np.float64, na_value=np.nan), index=values.index)
    else:
        plain = values.map(lambda cell: isinstance(cell, str | int | float | np.number))
        flags = values.map(lambda cell: isinstance(cell, bool | np.bool_))
        usable = values.where(plain.astype(bool) & ~flags.astype(bool))
        numbers = pd.to_numeric(usable, errors="coerce").astype("float64")
    return numbers.where(np.isfinite(numbers))


def _to_date(values: pd.Series) -> pd.Series:
    if pd.api.types.is_datetime64_any_dtype(values):
        naive = values if values.dt.tz is None else values.dt.tz_localize(None)
        return naive.astype("datetime64[us]")
    if pd.api.types.is_numeric_dtype(values):
        return pd.Series(pd.NaT, index=values.index, dtype="datetime64[us]")
    texts = values.map(_to_iso_text).astype("str")
    iso = texts.where(texts.str.fullmatch(_ISO_DATE).fillna(False).astype(bool))
    return pd.to_datetime(iso, format="ISO8601", errors="coerce").astype("datetime64[us]")


def _to_iso_text(cell: object) -> str | None:
    if isinstance(cell, str):
        return cell.strip()
    if isinstance(cell, datetime.datetime):
        return None if pd.isna(cell) else cell.replace(tzinfo=None).isoformat()
    return cell.isoformat() if isinstance(cell, datetime.date) else None


def _to_flag(values: pd.Series) -> pd.Series:
    if pd.api.types.is_bool_dtype(values):
        return values.astype("boolean")
    if pd.api.types.is_datetime64_any_dtype(values):
        return pd.Series(pd.NA, index=values.index, dtype="boolean")
    texts = values.map(_read_flag)
    return pd.Series(
        pd.array([None if pd.isna(cell) else bool(cell) for cell in texts], dtype="boolean"),
        index=values.index,
    )


def _read_flag(cell: object) -> bool | None:
    if isinstance(cell, bool | np.bool_):
        return bool(cell)
    if isinstance(cell, int | float | np.number):
        return bool(cell) if cell in (0, 1) else None
    return FLAG_TEXTS.get(cell.strip().casefold()) if isinstance(cell, str) else None


def _to_text(values: pd.Series) -> pd.Series:
    if values.dtype == "str":
        return values
    if pd.api.types.is_float_dtype(values):
        # A ring number or crop code that a spreadsheet turned into 2.0 is the text "2".
        return values.map(_write_number, na_action="ignore").astype("str")
    as_objects = values.astype(object)
    return as_objects.map(_write_number, na_action="ignore").astype("str")


def _write_number(cell: object) -> str:
    if isinstance(cell, float) and cell.is_integer() and abs(cell) < 2**53:
        return str(int(cell))
    return str(cell)


def require_unique_headings(table: pd.DataFrame) -> None:
    """Raise if what should be a table is none, or two of its columns have one name.

    Parameters
    ----------
    table : DataFrame
        The table.

    Raises
    ------
    ArgumentError
        If it is no DataFrame or a name occurs twice.
    """
    if not isinstance(table, pd.DataFrame):
        raise ArgumentError(
            needed="A check or conversion needs a pandas DataFrame, one row an exam or rating",
            found=f"an object of type {type(table).__name__}",
            then="Read the table first, for example with pandas.read_parquet",
        )
    twice = table.columns[table.columns.duplicated()].unique()
    if len(twice):
        raise ArgumentError(
            needed="A table needs a different name for each column",
            found=f"more than one column called {name_first_few(repr(name) for name in twice)}",
            then="Rename or drop the repeats, so that it is plain which one is meant",
        )


def coerce_exams(table: pd.DataFrame) -> pd.DataFrame:
    """Bring an exam table into the shape that `build_exam_schema` asks for.

    Known columns come first and in order; absent ones are added, all missing; columns that
    bodycond does not know follow as they are. Values are converted, never mended: what the
    cells hold is not judged here.

    Parameters
    ----------
    table : DataFrame
        Exams, one row each, with any of the columns of `bodycond.columns.EXAM_COLUMNS`.

    Returns
    -------
    DataFrame
        A new table on the same index.

    Raises
    ------
    ConversionError
        If cells cannot be converted; it names all of them in ``.cells``.
    ArgumentError
        If two columns have one name.

    Examples
    --------
    >>> import pandas as pd
    >>> tidy = coerce_exams(pd.DataFrame({"exam_id": [1, 2], "mass_g": ["212", None]}))
    >>> tidy["mass_g"].tolist(), tidy["exam_id"].tolist(), str(tidy["keel_blind"].dtype)
    ([212.0, nan], ['1', '2'], 'boolean')
    """
    return _coerce(table, columns=EXAM_COLUMNS, what="exam table")


def coerce_ratings(table: pd.DataFrame) -> pd.DataFrame:
    """Bring a table of ratings into the shape that `build_rating_schema` asks for.

    Parameters
    ----------
    table : DataFrame
        Ratings, one row per scorer and exam, with any of the columns of
        `bodycond.columns.RATING_COLUMNS`.

    Returns
    -------
    DataFrame
        A new table on the same index: known columns first, absent ones added all missing.

    Raises
    ------
    ConversionError
        If cells cannot be converted; it names all of them in ``.cells``.
    ArgumentError
        If two columns have one name.
    """
    return _coerce(table, columns=RATING_COLUMNS, what="rating table")


def _coerce(table: pd.DataFrame, *, columns: Sequence[Column], what: str) -> pd.DataFrame:
    require_unique_headings(table)
    parts: dict[str, pd.Series] = {}
    failures: list[pd.DataFrame] = []
    for column in columns:
        if column.name not in table.columns:
            parts[column.name] = pd.Series(index=table.index, dtype=column.dtype)
            continue
        converted = convert_column(table[column.name], column=column)
        parts[column.name] = converted.values
        where = np.flatnonzero(converted.failed)
        if where.size:
            cells = table[column.name].iloc[where]
            failures.append(
                pd.DataFrame(
                    {
                        "row": cells.index,
                        "column": column.name,
                        "value": cells.to_numpy(dtype=object),
                        "needed": NEEDS[column.kind],
                    }
                )
            )
    if failures:
        _raise_conversion_error(pd.concat(failures, ignore_index=True), what=what)
    known = {column.name for column in columns}
    extra = {str(name): table[name] for name in table.columns if name not in known}
    return pd.DataFrame({**parts, **extra}, index=table.index)


def _raise_conversion_error(cells: pd.DataFrame, *, what: str) -> None:
    addresses = [
        f"{cell.column} in row {cell.row}: {cell.value!r}" for cell in cells.itertuples(index=False)
    ]
    kinds = cells.drop_duplicates("column")
    needs = "; ".join(f"{cell.column}: {cell.needed}" for cell in kinds.itertuples(index=False))
    raise ConversionError(
        needed=f"Every cell of the {what} must suit its column ({needs})",
        found=f"{len(cells)} cell{'' if len(cells) == 1 else 's'} that cannot be converted: "
        f"{name_first_few(addresses, limit=10)}",
        then="Correct them in the source, or run check_exams for the full list; .cells of this "
        "error holds all of them",
        cells=cells,
    )
