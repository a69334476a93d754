"""Tables as CSV that no spreadsheet program can be tricked into running."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import pandas as pd

from bodycond.columns import find_column
from bodycond.errors import ArgumentError, UnreadableFileError
from bodycond.tables_on_disk.dtypes import (
    DTYPES_KEPT,
    TEXT_DTYPES,
    CellCastError,
    cast_texts,
    require_texts,
)
from bodycond.tables_on_disk.formula_guard import find_risky, neutralise_text, restore_text
from bodycond.tables_on_disk.whole_files import read_bytes, write_text


@dataclass(frozen=True, kw_only=True, eq=False)
class WrittenCsv:
    """What was written to a CSV file.

    Parameters
    ----------
    path : Path
        The file.
    n_rows : int
        Rows written, the heading not counted.
    neutralised : tuple of (int, str)
        Position of the row (from 0) and column of each text cell that got an apostrophe because
        a spreadsheet program could have run it.
    neutralised_headings : tuple of str
        Names of the columns whose heading got one.
    """

    path: Path
    n_rows: int
    neutralised: tuple[tuple[int, str], ...]
    neutralised_headings: tuple[str, ...] = ()


class _LineFeeds(io.StringIO):
    """Text of records that a writer ends with CR LF, kept with LF alone.

    A CSV writer puts a cell in quotation marks if it holds a letter of the record's end; with LF
    alone as the end, a CR inside a cell would split the record for the next reader.
    """

    def write(self, record: str) -> int:
        return super().write(record.removesuffix("\r\n") + "\n")


def write_csv(table: pd.DataFrame, path: Path) -> WrittenCsv:
    """Write a table as CSV that no spreadsheet program can be tricked into running.

    A text gets an apostrophe before each place at which a formula could begin: see
    `neutralise_text`. Numbers are left as they are, at full precision. `read_csv` gives the table
    back.

    Parameters
    ----------
    table : DataFrame
        The table; its index is not written.
    path : Path
        Where to write, as UTF-8 with LF line ends.

    Returns
    -------
    WrittenCsv
        The path, the rows, and the cells and headings that were neutralised.

    Raises
    ------
    ArgumentError
        If a text holds half of a character pair.
    """
    require_texts(table, file_kind="CSV")
    safe = table.copy()
    neutralised: list[tuple[int, str]] = []
    for position, name in enumerate(table.columns):
        column = table.iloc[:, position]
        if not (pd.api.types.is_string_dtype(column) or pd.api.types.is_object_dtype(column)):
            continue
        risky = find_risky(column).to_numpy()
        if risky.any():
            cells = column.astype(object).to_numpy(copy=True)
            cells[risky] = [neutralise_text(text) for text in cells[risky]]
            safe.isetitem(position, cells)
            neutralised += [(int(row), str(name)) for row in risky.nonzero()[0]]
    names = [str(name) for name in table.columns]
    safe.columns = pd.Index([neutralise_text(name) for name in names], dtype=object)
    sink = _LineFeeds(newline="")
    safe.to_csv(sink, index=False, lineterminator="\r\n")
    text = sink.getvalue()
    # A reader takes a first U+FEFF for the mark of the encoding; where it is a letter of the
    # first heading, a mark before it keeps it one.
    write_text(path, "\ufeff" + text if text.startswith("\ufeff") else text)
    return WrittenCsv(
        path=path, n_rows=len(table), neutralised=tuple(neutralised),
        neutralised_headings=tuple(name for name in names if neutralise_text(name) != name),
    )  # fmt: skip


def read_csv(path: Path, *, dtypes: Mapping[str, str] | None = None) -> pd.DataFrame:
    """Read a table that `write_csv` wrote; what it neutralised is undone.

    CSV cannot tell an empty text from a missing one: both come back missing.

    Parameters
    ----------
    path : Path
        The file.
    dtypes : mapping of str to str, optional
        Dtype by column, for columns of the user's own. Default that of bodycond's column of this
        name, or text.

    Returns
    -------
    DataFrame
        The table.

    Raises
    ------
    ArgumentError
        If a dtype is not known.
    UnreadableFileError
        If the file cannot be read, or a cell does not fit its column's dtype.
    """
    own = dict(dtypes or {})
    for name, dtype in own.items():
        if dtype not in DTYPES_KEPT:
            raise ArgumentError(
                needed=f"dtypes= takes {', '.join(sorted(DTYPES_KEPT))}",
                found=f"{dtype!r} for the column {name!r}",
                then="Choose one of them",
            )
    heading, *rows = _split_records(path)
    series: list[pd.Series] = []
    names = [restore_text(name) for name in heading]
    for position, name in enumerate(names):
        known = find_column(name)
        dtype = own.get(name) or (known.dtype if known is not None else "str")
        texts = [row[position] or None for row in rows]
        if dtype in TEXT_DTYPES:
            texts = [text and restore_text(text) for text in texts]
        try:
            series.append(cast_texts(texts, dtype))
        except CellCastError as error:
            raise UnreadableFileError(
                needed=f"Each cell of the column {name!r} of {path} must be {dtype}",
                found=f"{'an empty cell' if error.text is None else repr(error.text)} in "
                f"row {error.row + 2}",
                then="Correct it, or import the file with a recipe",
            ) from error
    table = pd.concat(series, axis=1) if series else pd.DataFrame(index=range(len(rows)))
    table.columns = pd.Index(names, dtype="str" if names else object)
    return table


def _split_records(path: Path) -> list[list[str]]:
    try:
        text = read_bytes(path).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _describe_broken(path, f"bytes that are no UTF-8, at byte {error.start}") from error
    # The limit on a cell's length is there to notice a quotation mark never closed; here one is
    # noticed by the records' lengths. A text can be longer than the limit.
    usual = csv.field_size_limit(max(csv.field_size_limit(), len(text) + 1))
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    except csv.Error as error:
        raise _describe_broken(path, str(error)) from error
    finally:
        csv.field_size_limit(usual)
    if not rows:
        raise _describe_broken(path, "an empty file")
    for number, row in enumerate(rows, start=1):
        if len(row) != len(rows[0]):
            found = f"{len(row)} cells in record {number} and {len(rows[0])} in the heading"
            raise _describe_broken(path, found)
    return rows


def _describe_broken(path: Path, found: str) -> UnreadableFileError:
    return UnreadableFileError(
        needed=f"{path} must be a table that bodycond wrote as CSV",
        found=found,
        then="Write it anew, or import the file with a recipe",
    )
