"""Files written whole or not at all, and tables that carry their units with them."""

from __future__ import annotations

import hashlib
import json
import math
import os
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import pandas as pd

from bodycond.columns import find_column
from bodycond.errors import UnreadableFileError

# A spreadsheet program runs a cell that begins with one of these when it opens a CSV file.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")

SCHEMA_VERSION = "1"


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
        Position of the row (from 0) and column of each text cell that got a leading apostrophe
        because a spreadsheet program could have run it.
    """

    path: Path
    n_rows: int
    neutralised: tuple[tuple[int, str], ...]


def write_bytes(path: Path, content: bytes) -> None:
    """Write a file so that a reader sees the old content or the new, never half of it.

    Parameters
    ----------
    path : Path
        Where to write; its folder is made if need be.
    content : bytes
        What to write.

    Raises
    ------
    OSError
        If the folder cannot be written to; the old file is then untouched.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    # Opened by the usual means and not as a temporary file, so that who may read it follows the
    # user's own setting (umask) and not ours.
    unfinished = path.with_name(f".{path.name}.{secrets.token_hex(8)}")
    try:
        with unfinished.open("xb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        unfinished.replace(path)
    except BaseException:
        unfinished.unlink(missing_ok=True)
        raise


def write_text(path: Path, text: str) -> None:
    """Write text as UTF-8 with LF line ends, whole or not at all.

    Parameters
    ----------
    path : Path
        Where to write.
    text : str
        What to write.
    """
    write_bytes(path, text.encode("utf-8"))


def write_json(path: Path, content: object) -> None:
    """Write JSON in a fixed order, so that equal content gives equal bytes.

    Parameters
    ----------
    path : Path
        Where to write.
    content : object
        Anything that `json.dumps` takes. NaN and infinite numbers are written as null, since
        JSON has neither.
    """
    text = json.dumps(
        _without_nan(content), ensure_ascii=False, indent=2, sort_keys=True, allow_nan=False
    )
    write_text(path, text + "\n")


def _without_nan(content: object) -> object:
    if isinstance(content, float) and not math.isfinite(content):
        return None
    if isinstance(content, Mapping):
        return {str(key): _without_nan(value) for key, value in content.items()}
    if isinstance(content, list | tuple):
        return [_without_nan(value) for value in content]
    return content


def write_csv(table: pd.DataFrame, path: Path) -> WrittenCsv:
    """Write a table as CSV that no spreadsheet program can be tricked into running.

    Text cells that begin with ``= + - @``, a tab or a line end get a leading apostrophe; numbers
    are left as they are, at full precision.

    Parameters
    ----------
    table : DataFrame
        The table; its index is not written.
    path : Path
        Where to write, as UTF-8 with LF line ends.

    Returns
    -------
    WrittenCsv
        The path, the rows and the cells that were neutralised.
    """
    safe = table.copy()
    neutralised: list[tuple[int, str]] = []
    for position, name in enumerate(table.columns):
        column = table.iloc[:, position]
        if not (pd.api.types.is_string_dtype(column) or pd.api.types.is_object_dtype(column)):
            continue
        risky = column.map(lambda cell: isinstance(cell, str) and cell.startswith(FORMULA_STARTS))
        risky = risky.fillna(False).astype(bool)
        if risky.any():
            marked = column.astype(object).where(~risky, "'" + column.astype(str))
            safe.isetitem(position, marked.array)
            neutralised += [(int(row), str(name)) for row in risky.to_numpy().nonzero()[0]]
    safe.columns = [
        f"'{name}" if str(name).startswith(FORMULA_STARTS) else name for name in safe.columns
    ]
    text = safe.to_csv(index=False, lineterminator="\n")
    write_text(path, text)
    return WrittenCsv(path=path, n_rows=len(table), neutralised=tuple(neutralised))


def write_parquet(
    table: pd.DataFrame, path: Path, *, about: Mapping[str, str] | None = None
) -> None:
    """Write a table as Parquet with each column's unit and meaning in its metadata.

    Parameters
    ----------
    table : DataFrame
        The table; its index is not written.
    path : Path
        Where to write.
    about : mapping of str to str, optional
        More metadata for the whole table, for example the score scale's name.
    """
    import pyarrow as pa
    import pyarrow.parquet as pq

    arrow = pa.Table.from_pandas(table, preserve_index=False)
    fields = []
    for arrow_field in arrow.schema:
        column = find_column(arrow_field.name)
        described = {}
        if column is not None:
            described = {"meaning": column.meaning, "unit": column.unit or ""}
        fields.append(arrow_field.with_metadata(described))
    metadata = dict(arrow.schema.metadata or {})
    metadata[b"bodycond_schema_version"] = SCHEMA_VERSION.encode()
    for key, value in (about or {}).items():
        metadata[f"bodycond_{key}".encode()] = value.encode()
    sink = pa.BufferOutputStream()
    pq.write_table(arrow.cast(pa.schema(fields, metadata=metadata)), sink)
    write_bytes(path, sink.getvalue().to_pybytes())


def hash_file(path: Path) -> str:
    """Give a file's SHA-256.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    str
        64 hexadecimal digits.

    Raises
    ------
    UnreadableFileError
        If the file cannot be opened.
    """
    try:
        with path.open("rb") as stream:
            return hashlib.file_digest(stream, "sha256").hexdigest()
    except OSError as error:
        raise UnreadableFileError(
            needed=f"The file {path} must be readable",
            found=error.strerror or str(error),
            then="Check the path and that no other program has locked the file",
        ) from error
