"""The cells of a plain workbook read, whichever program saved it last."""

from __future__ import annotations

import io
import posixpath
import re
import struct
import zipfile
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from bodycond.errors import UnreadableFileError
from bodycond.tables_on_disk.cell_addresses import number_column
from bodycond.tables_on_disk.workbook_parts import restore_letters

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

# Of what unpacks to more than this, no table of ours could fill a tenth.
LARGEST_UNPACKED = 2 * 1024**3
LARGEST_REACH = 50_000_000
"""Rows times columns that a sheet may reach over, empty cells included."""

# What broken parts make the readers of ZIP, XML and numbers raise; a fault of XML is a SyntaxError.
_BROKEN = (
    zipfile.BadZipFile, zlib.error, SyntaxError, LookupError, ValueError, TypeError, OSError,
    EOFError, RuntimeError, struct.error,
)  # fmt: skip

Cell = tuple[str, str]
"""Kind and text: ``s`` text, ``n`` number, ``b`` truth value, ``d`` ISO date, ``e`` error."""


def read_cells(path: Path, content: bytes) -> dict[str, list[dict[int, Cell]]]:
    """Read the cells of every sheet of a workbook.

    Parameters
    ----------
    path : Path
        The file, for messages.
    content : bytes
        Its content.

    Returns
    -------
    dict of str to list of dict
        By sheet a list of rows; a row is its cells by column, counted from 0. A cell with an
        empty text is there, an empty cell is not.

    Raises
    ------
    UnreadableFileError
        If the workbook is damaged, declares entities, or unpacks to more than memory should hold.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            if sum(item.file_size for item in archive.infolist()) > LARGEST_UNPACKED:
                raise _describe_broken(path, "parts that unpack to more than 2 GiB")
            shared = _read_shared(path, archive)
            return {
                name: _read_rows(path, archive, part, shared)
                for name, part in _find_sheets(path, archive)
            }
    except _BROKEN as error:
        if isinstance(error, UnreadableFileError):
            raise
        raise _describe_broken(path, str(error) or type(error).__name__) from error


def _describe_broken(path: Path, found: str) -> UnreadableFileError:
    return UnreadableFileError(
        needed=f"{path} must be a whole XLSX workbook",
        found=found,
        then="Look for the full copy, or write it anew",
    )


def _local(element: Element) -> str:
    return str(element.tag).rpartition("}")[2]


def _parse(path: Path, archive: zipfile.ZipFile, part: str) -> Iterator[tuple[str, Element]]:
    from xml.etree.ElementTree import iterparse

    content = archive.read(part)
    # Workbooks declare no types; an entity could be made to fill the memory.
    if re.search(rb"<!(?:DOCTYPE|ENTITY)", content[:4096]) or b"<!ENTITY" in content:
        raise _describe_broken(path, f"declarations of entities in {part}")
    yield from iterparse(io.BytesIO(content), events=("end",))  # noqa: S314


def _read_shared(path: Path, archive: zipfile.ZipFile) -> list[str]:
    if "xl/sharedStrings.xml" not in archive.namelist():
        return []
    texts = []
    for _, element in _parse(path, archive, "xl/sharedStrings.xml"):
        if _local(element) == "si":
            texts.append(_join_text(element))
            element.clear()
    return texts


def _join_text(element: Element) -> str:
    """Join the runs of a text; sounds written beside Japanese text are no part of it."""
    parts = []
    for child in element:
        if _local(child) == "t":
            parts.append(child.text or "")
        elif _local(child) == "r":
            parts += [inner.text or "" for inner in child if _local(inner) == "t"]
    return restore_letters("".join(parts))


def _find_sheets(path: Path, archive: zipfile.ZipFile) -> list[tuple[str, str]]:
    targets = {
        element.get("Id", ""): element.get("Target", "")
        for _, element in _parse(path, archive, "xl/_rels/workbook.xml.rels")
        if _local(element) == "Relationship"
    }
    found = []
    for _, element in _parse(path, archive, "xl/workbook.xml"):
        if _local(element) == "sheet":
            keys = [value for name, value in element.items() if name.endswith("}id")]
            part = posixpath.normpath(posixpath.join("/xl", targets[keys[0]])).lstrip("/")
            found.append((element.get("name", ""), part))
    return found


def _read_rows(
    path: Path, archive: zipfile.ZipFile, part: str, shared: list[str]
) -> list[dict[int, Cell]]:
    rows: list[dict[int, Cell]] = []
    widest = 0
    for _, element in _parse(path, archive, part):
        if _local(element) != "row":
            continue
        number = int(element.get("r", len(rows) + 1))
        if number > 1_048_576 or number <= len(rows):
            raise _describe_broken(path, f"a row numbered {number} behind row {len(rows)}")
        rows += [{} for _ in range(number - len(rows))]
        position = -1
        for child in element:
            if _local(child) != "c":
                continue
            address = child.get("r")
            position = _find_column(address) if address else position + 1
            cell = _read_cell(child, shared)
            if cell is not None:
                rows[-1][position] = cell
                widest = max(widest, position + 1)
        element.clear()
        if len(rows) * widest > LARGEST_REACH:
            raise _describe_broken(path, f"cells as far as row {len(rows)}, column {widest}")
    return rows


def _find_column(address: str) -> int:
    letters = re.match("[A-Z]{1,3}", address)
    if letters is None:
        raise ValueError(f"the address {address!r}")
    return number_column(letters[0]) - 1


def _read_cell(element: Element, shared: list[str]) -> Cell | None:
    kind = element.get("t", "n")
    for child in element:
        if kind == "inlineStr" and _local(child) == "is":
            return "s", _join_text(child)
        if _local(child) == "v":
            text = child.text or ""
            if kind == "s":
                return "s", shared[int(text)]
            if kind == "str":
                return "s", restore_letters(text)
            return (kind, text) if text else None
    return None
