"""Workbooks looked at before they are unpacked: locked, cut off, hostile, or too large to hold."""

from __future__ import annotations

import io
import lzma
import re
import struct
import zipfile
import zlib
from pathlib import Path

from bodycond.errors import UnreadableFileError
from bodycond.legacy.files.file_kinds import (
    ENCRYPTED_STREAM,
    OLE_HEADER,
    describe_text,
    name_other_kind,
)
from bodycond.legacy.files.grids import require_grid_size
from bodycond.tables_on_disk import number_column

# Workbooks before 1993 have no container and begin with the first record of a sheet.
_OLD_WORKBOOK_STARTS = frozenset(
    {b"\x09\x00\x04\x00", b"\x09\x02\x06\x00", b"\x09\x04\x06\x00", b"\x09\x08\x08\x00"}
)

# What an archive that is broken somewhere inside makes the reader raise; RuntimeError is a part
# that wants a password.
_ARCHIVE_ERRORS = (
    zipfile.BadZipFile, zlib.error, lzma.LZMAError, struct.error, ValueError, OSError,
    NotImplementedError, RuntimeError, EOFError,
)  # fmt: skip

# A workbook of two million cells unpacks to about 200 MB; far beyond that it is hostile.
LARGEST_UNPACKED_BYTES = 1_000_000_000

# XML of real sheets packs to a tenth, of sheets that repeat one value to a fiftieth.
LARGEST_RATIO = 150
_RATIO_COUNTS_FROM_BYTES = 50_000_000

# The reader lays a sheet out from A1 to its furthest value and ends the process where memory
# runs out, so that the furthest value is looked for first.
_ROW = re.compile(rb'<row\b[^>]*?\br="(\d+)"')
_ROW_WITH_PREFIX = re.compile(rb'<(?:\w+:)?row\b[^>]*?\br="(\d+)"')
# Finds too much rather than too little, and is only a bound.
_WIDE_CELL = re.compile(rb'r="([A-Z]{2,3})\d')
_CELL = re.compile(rb'<(?:\w+:)?c\b[^>]*?\br="([A-Z]{1,3})(\d+)"[^>]*(?<!/)>')
_MERGED = re.compile(rb'<(?:\w+:)?mergeCell\b[^>]*?\bref="([A-Z]{1,3})(\d+):([A-Z]{1,3})(\d+)"')
_OPEN_TAG = re.compile(rb"<table:(table-row|(?:covered-)?table-cell|table)\b([^>]*)>")
# A part in UTF-16 would hide them from a search for plain letters.
_DEFINITIONS = tuple(
    word.encode(codec)
    for word in ("<!DOCTYPE", "<!ENTITY")
    for codec in ("ascii", "utf-16-le", "utf-16-be")
)
_REPEATED = re.compile(rb'number-(?:rows|columns)-repeated="(\d+)"')


def check_container(path: Path, content: bytes) -> None:
    """Raise if a workbook is locked, cut off, or would fill the memory.

    Parameters
    ----------
    path : Path
        The file, for its ending and for messages.
    content : bytes
        Its content.

    Raises
    ------
    UnreadableFileError
        If the workbook cannot be read, with what to do.
    """
    _check_kind(path, content)
    # What counts is the content: an XLSX is often sent under the ending of an XLS.
    if not content.startswith(b"PK") and path.suffix.lower() == ".xls":
        return
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            _check_size(path, archive, packed=len(content))
            for item in archive.infolist():
                _check_part(path, item.filename.lower(), archive, item)
    except UnreadableFileError:
        raise
    except _ARCHIVE_ERRORS as error:
        raise describe_damaged(path, str(error)) from error


def _check_kind(path: Path, content: bytes) -> None:
    """Raise if the first bytes are those of something that no workbook is."""
    if content.startswith(OLE_HEADER):
        if ENCRYPTED_STREAM in content:
            raise describe_locked(path)
        if path.suffix.lower() != ".xls":
            found = "an old XLS, or a document of another program, by its start"
            raise describe_damaged(path, found)
    if content.startswith((b"PK", OLE_HEADER)) or content[:4] in _OLD_WORKBOOK_STARTS:
        return
    kind = name_other_kind(content) or describe_text(content)
    if kind is not None:
        raise UnreadableFileError(
            needed=f"The workbook {path} must be whole and of the kind that its ending says",
            found=kind[0],
            then=kind[1],
        )


def describe_locked(path: Path) -> UnreadableFileError:
    """Make the error for a workbook that wants a password.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    UnreadableFileError
        To be raised.
    """
    return UnreadableFileError(
        needed=f"The workbook {path} must be open to read",
        found="a workbook locked by a password",
        then="Open it with the password, save a copy without one and give that",
    )


def describe_damaged(path: Path, why: str) -> UnreadableFileError:
    """Make the error for a workbook that is not what its ending says.

    Parameters
    ----------
    path : Path
        The file.
    why : str
        What the reader said; its first line is kept.

    Returns
    -------
    UnreadableFileError
        To be raised.
    """
    first = next((line.strip() for line in why.splitlines() if line.strip()), "")
    return UnreadableFileError(
        needed=f"The workbook {path} must be whole and of the kind that its ending says",
        found=f"a damaged or truncated file ({first or 'no readable content'})",
        then="Look for a full copy, or open it in a spreadsheet program and save it anew",
    )


def _check_size(path: Path, archive: zipfile.ZipFile, *, packed: int) -> None:
    unpacked = sum(item.file_size for item in archive.infolist())
    swollen = unpacked > _RATIO_COUNTS_FROM_BYTES and unpacked > LARGEST_RATIO * packed
    if unpacked > LARGEST_UNPACKED_BYTES or swollen:
        limit = min(LARGEST_UNPACKED_BYTES, max(LARGEST_RATIO * packed, _RATIO_COUNTS_FROM_BYTES))
        raise UnreadableFileError(
            needed=f"The workbook {path} may unpack to at most {limit:,} bytes",
            found=f"{unpacked:,} bytes packed into {packed:,}",
            then="If the file is honest, split it into smaller workbooks",
        )


def _check_part(path: Path, name: str, archive: zipfile.ZipFile, item: zipfile.ZipInfo) -> None:
    if not name.endswith((".xml", ".rels", ".vml")):
        return
    part = archive.read(item)
    suspect = b"<!" in part or b"\x00" in part[:64]
    if suspect and any(word in part for word in _DEFINITIONS):
        # Readers drop what an entity stands for, and a cell with it, without a word.
        raise UnreadableFileError(
            needed=f"The workbook {path} must hold plain cells",
            found=f"definitions of XML entities in its part {item.filename}, which no spreadsheet "
            "program writes",
            then="Do not trust the file; ask whoever made it for a copy saved as XLSX or CSV",
        )
    if name.startswith("xl/worksheets/"):
        _check_sheet_extent(path, part)
    elif name == "content.xml":
        _check_document_extent(path, part)


def _check_sheet_extent(path: Path, part: bytes) -> None:
    merged = _MERGED.findall(part) if b"mergeCell" in part else ()
    for first, top, last, bottom in merged:
        height = int(bottom) - int(top) + 1
        require_grid_size(path, height, _count_columns(last) - _count_columns(first) + 1)
    # Two bounds that are cheap to find settle it for nearly every sheet.
    pattern = _ROW_WITH_PREFIX if b":row" in part else _ROW
    rows = max(map(int, pattern.findall(part)), default=part.count(b"<row"))
    columns = max((_count_columns(name) for name in set(_WIDE_CELL.findall(part))), default=26)
    try:
        require_grid_size(path, rows, columns)
    except UnreadableFileError:
        # Cells that have a format and no value do not count.
        cells = _CELL.findall(part)
        rows = max((int(row) for _, row in cells), default=0)
        columns = max((_count_columns(name) for name in {name for name, _ in cells}), default=0)
        require_grid_size(path, rows, columns)


def _count_columns(letters: bytes) -> int:
    return number_column(letters.decode("ascii"))


def _check_document_extent(path: Path, part: bytes) -> None:
    """Check the tables of an OpenDocument, which says 'and a million more of these' in a word."""
    above = here = columns = width = 0
    for kind, attributes in _OPEN_TAG.findall(part):
        found = _REPEATED.search(attributes)
        count = int(found[1]) if found else 1
        if kind == b"table":
            above = here = columns = width = 0
        elif kind == b"table-row":
            above, here, width = above + here, count, 0
        else:
            width += count
            if b"value-type=" in attributes or b"formula=" in attributes:
                columns = max(columns, width)
                require_grid_size(path, above + here, columns)
