"""Results on disk: JSON with a format version, from which every number comes back exactly."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any, TypeVar, get_origin, get_type_hints

import numpy as np
import pandas as pd

from bodycond.errors import UnreadableFileError
from bodycond.tables_on_disk.stored_tables import (
    PLAIN_TYPES,
    is_finite,
    refuse_part,
    require_list,
    require_text,
    restore_table,
    store_table,
)
from bodycond.tables_on_disk.whole_files import write_json

Result = TypeVar("Result")


@dataclass(frozen=True, kw_only=True)
class ResultKind:
    """What a kind of result is called, in its files and in messages.

    Parameters
    ----------
    name : str
        For example ``scaled mass fit``; with ``bodycond`` before it, the name of the format.
    word : str
        For short, as in ``fit``.
    rows : str
        What to do where the index of a table cannot be saved.
    with_index : bool, default False
        Save the index of each table, even where it only counts the rows. It is always saved where
        it says more.
    format_version : int, default 1
        Version of the format.
    """

    name: str
    word: str
    rows: str
    with_index: bool = False
    format_version: int = 1

    @property
    def format(self) -> str:
        """Give the name of the format.

        Returns
        -------
        str
            As the files have it.
        """
        return f"bodycond {self.name}"


def save_result(result: Any, path: Path, *, kind: ResultKind) -> None:
    """Write the fields of a result as JSON, from which `load_result` makes the same result.

    Parameters
    ----------
    result : dataclass
        Its fields are tables, tuples and mappings of plain values, and plain values: texts, truth
        values, numbers, None.
    path : Path
        Where to write.
    kind : ResultKind
        What it is called.

    Raises
    ------
    ArgumentError
        If a part of it would not come back as it is: an index of anything but text or whole
        numbers, a column that is not of texts, numbers or truth values, names of columns that
        are no different texts, a single number that is not finite, half of a character pair.
    """
    content: dict[str, Any] = {"format": kind.format, "format_version": kind.format_version}
    for name, shape in _find_shapes(type(result)).items():
        value = getattr(result, name)
        where = f"{name!r}"
        if shape is pd.DataFrame:
            content[name] = store_table(
                value, where=where, word=kind.word, rows=kind.rows, with_index=kind.with_index
            )
        elif shape is tuple:
            content[name] = [_store_value(part, where, kind) for part in value]
        elif shape is dict:
            content[name] = {
                require_text(key, where=where, word=kind.word): _store_value(part, where, kind)
                for key, part in value.items()
            }
        else:
            content[name] = _store_value(value, where, kind)
    try:
        write_json(path, content)
    except UnicodeEncodeError as error:
        half = f"half of a character pair (U+{ord(error.object[error.start]):04X})"
        raise refuse_part(kind.word, "texts of whole Unicode", half) from error


def load_result(result_type: type[Result], path: Path, *, kind: ResultKind) -> Result:
    """Read a result that `save_result` wrote.

    Parameters
    ----------
    result_type : type
        Its dataclass.
    path : Path
        The file.
    kind : ResultKind
        What it is called.

    Returns
    -------
    result_type
        The result, with every number as it was.

    Raises
    ------
    UnreadableFileError
        If the file is absent, is no JSON, was written in another format version, lacks a part or
        was changed since.
    """
    parts = _read_parts(path, kind)
    shapes = _find_shapes(result_type)
    lacking, strange = sorted(set(shapes) - set(parts)), sorted(set(parts) - set(shapes))
    if lacking or strange:
        found = f"missing: {lacking or 'none'}; unknown: {strange or 'none'}"
        raise _report_damage(path, kind, found)
    restored: dict[str, Any] = {}
    for name, shape in shapes.items():
        try:
            restored[name] = _restore_part(parts[name], shape, kind)
        except (KeyError, TypeError, ValueError, OverflowError) as error:
            what = "value" if shape in (dict, object) else "table"
            found = f"a {what} that cannot be read ({error})"
            raise _report_damage(path, kind, found) from error
    return result_type(**restored)


def _find_shapes(result_type: type) -> dict[str, type]:
    """Tell by field whether it is a table, a tuple, a mapping or a plain value (object)."""
    hints = get_type_hints(result_type)
    shapes = {}
    for item in fields(result_type):
        shape = get_origin(hints[item.name]) or hints[item.name]
        shapes[item.name] = shape if shape in (pd.DataFrame, tuple, dict) else object
    return shapes


def _read_parts(path: Path, kind: ResultKind) -> dict[str, Any]:
    try:
        content = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError) as error:
        raise UnreadableFileError(
            needed=f"{path} must be a {kind.name} that bodycond saved",
            found=str(error),
            then=f"Save the {kind.word} again with .save(path)",
        ) from error
    parts = content if isinstance(content, dict) else {}
    name, version = parts.pop("format", None), parts.pop("format_version", None)
    if (name, version) != (kind.format, kind.format_version):
        raise UnreadableFileError(
            needed=f"{path} must be a {kind.format}, format version {kind.format_version}",
            found=f"{name!r}, version {version!r}",
            then=f"Save the {kind.word} again with this version of bodycond",
        )
    return parts


def _report_damage(path: Path, kind: ResultKind, found: str) -> UnreadableFileError:
    return UnreadableFileError(
        needed=f"{path} must hold every part of a {kind.name}",
        found=found,
        then=f"Save the {kind.word} again; the file was changed after bodycond wrote it",
    )


def _store_value(value: Any, where: str, kind: ResultKind) -> Any:
    plain = value.item() if isinstance(value, np.generic) else value
    if not isinstance(plain, PLAIN_TYPES) or not is_finite(plain):
        wanted = "texts, truth values and finite numbers"
        raise refuse_part(kind.word, wanted, f"{value!r} in {where}")
    return plain


def _restore_part(stored: Any, shape: type, kind: ResultKind) -> Any:
    if shape is pd.DataFrame:
        return restore_table(stored, with_index=kind.with_index)
    inside: Sequence[Any] = [stored]
    if shape is tuple:
        inside = require_list(stored)
    elif shape is dict:
        if not isinstance(stored, dict):
            raise TypeError(f"{stored!r} is no mapping")
        inside = list(stored.values())
    if not all(isinstance(value, PLAIN_TYPES) for value in inside):
        raise TypeError(f"{stored!r} holds more than plain values")
    return tuple(stored) if shape is tuple else stored
