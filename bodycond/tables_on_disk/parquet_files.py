"""Tables as Parquet, with each column's unit and meaning in the file."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

import pandas as pd

from bodycond.columns import find_column
from bodycond.errors import ArgumentError, UnreadableFileError, name_first_few
from bodycond.tables_on_disk.dtypes import DATE_DTYPES, require_texts
from bodycond.tables_on_disk.whole_files import read_bytes, write_bytes

SCHEMA_VERSION = "1"
_VERSION_KEY = b"bodycond_schema_version"


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

    Raises
    ------
    ArgumentError
        If two columns have one name, or a text holds half of a character pair.
    """
    import pyarrow as pa
    import pyarrow.parquet as pq

    twice = table.columns[table.columns.duplicated()]
    if len(twice):
        raise ArgumentError(
            needed="Each column of a Parquet file must have a name of its own",
            found=f"more than one column called {name_first_few(map(repr, twice))}",
            then="Rename one of them",
        )
    require_texts(table, file_kind="Parquet")
    arrow = pa.Table.from_pandas(table, preserve_index=False)
    fields = []
    for arrow_field in arrow.schema:
        column = find_column(arrow_field.name)
        described = {}
        if column is not None:
            described = {"meaning": column.meaning, "unit": column.unit or ""}
        fields.append(arrow_field.with_metadata(described))
    metadata = dict(arrow.schema.metadata or {})
    metadata[_VERSION_KEY] = SCHEMA_VERSION.encode()
    for key, value in (about or {}).items():
        metadata[f"bodycond_{key}".encode()] = value.encode()
    sink = pa.BufferOutputStream()
    pq.write_table(arrow.cast(pa.schema(fields, metadata=metadata)), sink)
    write_bytes(path, sink.getvalue().to_pybytes())


def read_parquet(path: Path) -> pd.DataFrame:
    """Read a table that `write_parquet` wrote.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    DataFrame
        The table, every dtype as it was; rows are numbered from 0.

    Raises
    ------
    UnreadableFileError
        If the file cannot be read, is no table of bodycond, or is one of another version.
    """
    import pyarrow as pa
    import pyarrow.parquet as pq

    content = read_bytes(path)
    try:
        arrow = pq.read_table(pa.BufferReader(content))
        table: pd.DataFrame = arrow.to_pandas()
    except (pa.ArrowException, OSError, ValueError) as error:
        raise UnreadableFileError(
            needed=f"{path} must be a whole Parquet file",
            found=(str(error) or type(error).__name__).splitlines()[0].rstrip("."),
            then="Look for the full copy, or write it anew",
        ) from error
    metadata = arrow.schema.metadata or {}
    require_version(path, metadata.get(_VERSION_KEY, b"").decode("utf-8", errors="replace"))
    written = json.loads(metadata.get(b"pandas", b"{}")).get("columns", [])
    # Texts of an object column come back as str, whole seconds as thousandths.
    wanted = {
        item["name"]: item["numpy_type"]
        for item in written
        if item["numpy_type"] in {"object", *DATE_DTYPES}
    }
    changed = {name: dtype for name, dtype in wanted.items() if str(table[name].dtype) != dtype}
    return table.astype(changed) if changed else table


def require_version(path: Path, version: str) -> None:
    """Raise unless a table has the version that this bodycond reads.

    Parameters
    ----------
    path : Path
        The file, for the message.
    version : str
        The version that it names; the empty text where it names none.

    Raises
    ------
    UnreadableFileError
        If it names none or another.
    """
    if version == SCHEMA_VERSION:
        return
    found = f"one of version {version!r}" if version else "a table that names no version"
    raise UnreadableFileError(
        needed=f"{path} must be a table of bodycond, version {SCHEMA_VERSION}",
        found=found,
        then="Read it with the bodycond that wrote it" if version else "Import it with a recipe",
    )
