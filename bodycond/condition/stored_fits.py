"""Fits on disk: JSON with a format version, from which every number comes back exactly."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pandas as pd

from bodycond.errors import UnreadableFileError
from bodycond.tables_on_disk import write_json

FORMAT = "bodycond scaled mass fit"
FORMAT_VERSION = 1
_TABLES = ("groups", "excluded")
_TUPLES = ("by", "accept")


def save_scaled_mass_fit(stored: dict[str, Any], path: Path) -> None:
    """Write the fields of a scaled mass fit.

    Parameters
    ----------
    stored : dict
        Field names and values.
    path : Path
        Where to write.
    """
    content = {"format": FORMAT, "format_version": FORMAT_VERSION}
    for name, value in stored.items():
        content[name] = _store_table(value) if name in _TABLES else value
    write_json(path, content)


def load_scaled_mass_fit(path: Path, *, names: Sequence[str]) -> dict[str, Any]:
    """Read the fields of a scaled mass fit.

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
            needed=f"{path} must be a scaled mass fit that bodycond saved",
            found=str(error),
            then="Save the fit again with .save(path)",
        ) from error
    header = content if isinstance(content, dict) else {}
    name, version = header.pop("format", None), header.pop("format_version", None)
    if (name, version) != (FORMAT, FORMAT_VERSION):
        raise UnreadableFileError(
            needed=f"{path} must be a {FORMAT}, format version {FORMAT_VERSION}",
            found=f"{name!r}, version {version!r}",
            then="Save the fit again with this version of bodycond",
        )
    lacking, strange = sorted(set(names) - set(header)), sorted(set(header) - set(names))
    if lacking or strange:
        raise _report_damage(path, f"missing: {lacking or 'none'}; unknown: {strange or 'none'}")
    try:
        for table in _TABLES:
            header[table] = _restore_table(header[table])
        for part in _TUPLES:
            header[part] = tuple(header[part])
    except (KeyError, TypeError, ValueError) as error:
        raise _report_damage(path, f"a table that cannot be read ({error})") from error
    return header


def _report_damage(path: Path, found: str) -> UnreadableFileError:
    return UnreadableFileError(
        needed=f"{path} must hold every part of a scaled mass fit",
        found=found,
        then="Save the fit again; the file was changed after bodycond wrote it",
    )


def _store_table(table: pd.DataFrame) -> dict[str, Any]:
    return {
        "columns": list(table.columns),
        "dtypes": [str(dtype) for dtype in table.dtypes],
        "rows": table.astype(object).to_numpy().tolist(),
    }


def _restore_table(stored: dict[str, Any]) -> pd.DataFrame:
    table = pd.DataFrame(stored["rows"], columns=stored["columns"], dtype=object)
    return table.astype(dict(zip(stored["columns"], stored["dtypes"], strict=True)))
