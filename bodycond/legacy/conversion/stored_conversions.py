"""Conversions on disk: JSON with a format version, from which every number comes back exactly."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from bodycond.errors import ArgumentError, UnreadableFileError
from bodycond.tables_on_disk import write_json

FORMAT = "bodycond score conversion"
FORMAT_VERSION = 1
_TABLES = ("table", "scores")
_TUPLES = ("species", "scorers", "notes")


def save_conversion(stored: Mapping[str, Any], path: Path) -> None:
    """Write the fields of a conversion.

    Parameters
    ----------
    stored : mapping
        Field names and values.
    path : Path
        Where to write.

    Raises
    ------
    ArgumentError
        If an index holds anything but text or whole numbers.
    """
    content: dict[str, Any] = {"format": FORMAT, "format_version": FORMAT_VERSION}
    for name, value in stored.items():
        content[name] = _store_table(value) if name in _TABLES else value
    if isinstance(content["seed"], np.integer):
        content["seed"] = int(content["seed"])
    content["n_draws"] = int(content["n_draws"])
    write_json(path, content)


def load_conversion(path: Path, *, names: Sequence[str]) -> dict[str, Any]:
    """Read the fields of a conversion.

    Parameters
    ----------
    path : Path
        The file.
    names : sequence of str
        The fields that it must hold.

    Returns
    -------
    dict
        Field names and values.

    Raises
    ------
    UnreadableFileError
        If the file is absent, is no JSON, was written in another format version, or lacks a part.
    """
    try:
        content = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise UnreadableFileError(
            needed=f"{path} must be a score conversion that bodycond saved",
            found=str(error),
            then="Save the conversion again with .save(path)",
        ) from error
    parts = content if isinstance(content, dict) else {}
    name, version = parts.pop("format", None), parts.pop("format_version", None)
    if (name, version) != (FORMAT, FORMAT_VERSION):
        raise UnreadableFileError(
            needed=f"{path} must be a {FORMAT}, format version {FORMAT_VERSION}",
            found=f"{name!r}, version {version!r}",
            then="Save the conversion again with this version of bodycond",
        )
    lacking, strange = sorted(set(names) - set(parts)), sorted(set(parts) - set(names))
    if lacking or strange:
        raise _report_damage(path, f"missing: {lacking or 'none'}; unknown: {strange or 'none'}")
    try:
        for table in _TABLES:
            parts[table] = _restore_table(parts[table])
        for part in _TUPLES:
            parts[part] = tuple(parts[part])
    except (KeyError, TypeError, ValueError) as error:
        raise _report_damage(path, f"a table that cannot be read ({error})") from error
    return parts


def _report_damage(path: Path, found: str) -> UnreadableFileError:
    return UnreadableFileError(
        needed=f"{path} must hold every part of a score conversion",
        found=found,
        then="Save the conversion again; the file was changed after bodycond wrote it",
    )


def _store_table(table: pd.DataFrame) -> dict[str, Any]:
    labels = table.index.tolist()
    if not all(isinstance(label, str | int) and not isinstance(label, bool) for label in labels):
        raise ArgumentError(
            needed="A conversion is saved with an index of text or whole numbers",
            found=f"an index of {table.index.dtype}",
            then="Convert the scores with exam_id as their index",
        )
    return {
        "columns": list(table.columns),
        "dtypes": [str(dtype) for dtype in table.dtypes],
        "index": labels,
        "index_dtype": str(table.index.dtype),
        "index_name": table.index.name,
        "rows": table.astype(object).to_numpy().tolist(),
    }


def _restore_table(stored: dict[str, Any]) -> pd.DataFrame:
    index = pd.Index(stored["index"], dtype=stored["index_dtype"], name=stored["index_name"])
    table = pd.DataFrame(stored["rows"], columns=stored["columns"], index=index, dtype=object)
    return table.astype(dict(zip(stored["columns"], stored["dtypes"], strict=True)))
