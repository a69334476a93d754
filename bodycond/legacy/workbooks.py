"""Workbooks: values from a fast reader, structure from a thorough one where there is any."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from bodycond.errors import UnreadableFileError, name_first_few
from bodycond.legacy.sheets import Sheet, build_grid, name_column

# Container of old Office files; an XLSX inside one is encrypted.
_OLE_HEADER = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"

# A workbook of two million cells unpacks to about 200 MB; far beyond that it is hostile.
LARGEST_UNPACKED_BYTES = 1_000_000_000

# Anything that the fast reader does not tell: hidden parts, merges, formulas, error cells.
_STRUCTURE_IN_SHEET = re.compile(rb'hidden="(1|true)"|<mergeCell |<f[ >/]|t="e"')
_STRIKE_IN_STYLES = re.compile(rb"<strike")


@dataclass(frozen=True, kw_only=True, eq=False)
class _Structure:
    fields: Mapping[str, Any] = field(default_factory=dict)
    errors: Mapping[tuple[int, int], str] = field(default_factory=dict)


def read_workbook(path: Path, content: bytes, *, label: str) -> list[Sheet]:
    """Read every sheet of a workbook.

    Parameters
    ----------
    path : Path
        The file, for its ending and for messages.
    content : bytes
        Its content.
    label : str
        What to call the file.

    Returns
    -------
    list of Sheet
        In the workbook's order. Comments, formulas, merged, hidden and struck-through parts are
        kept for XLSX and XLSM; other kinds give values, merged ranges and hidden sheets.

    Raises
    ------
    UnreadableFileError
        If the workbook is truncated, encrypted or not what its ending says.
    """
    import python_calamine

    zipped = path.suffix.lower() in {".xlsx", ".xlsm"}
    _check_container(path, content)
    try:
        workbook = python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(content))
        sheets = [_read_values(workbook, item, label=label) for item in workbook.sheets_metadata]
    except python_calamine.PasswordError as error:
        raise _locked(path) from error
    except (python_calamine.CalamineError, OSError, ValueError) as error:
        raise _damaged(path, str(error)) from error
    if zipped and _has_structure(content):
        structures = _read_structures(path, content)
        sheets = [_add_structure(sheet, structures.get(sheet.name)) for sheet in sheets]
    return sheets


def _locked(path: Path) -> UnreadableFileError:
    return UnreadableFileError(
        needed=f"The workbook {path} must be open to read",
        found="a workbook locked by a password",
        then="Open it with the password, save a copy without one and give that",
    )


def _damaged(path: Path, why: str) -> UnreadableFileError:
    return UnreadableFileError(
        needed=f"The workbook {path} must be whole and of the kind that its ending says",
        found=f"a damaged or truncated file ({why or 'no readable content'})",
        then="Look for a full copy, or open it in a spreadsheet program and save it anew",
    )


def _check_container(path: Path, content: bytes) -> None:
    if path.suffix.lower() in {".xls"}:
        return
    if content.startswith(_OLE_HEADER):
        raise _locked(path)
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            unpacked = sum(item.file_size for item in archive.infolist())
    except (zipfile.BadZipFile, ValueError, OSError) as error:
        raise _damaged(path, str(error)) from error
    if unpacked > LARGEST_UNPACKED_BYTES:
        raise UnreadableFileError(
            needed=f"The workbook {path} may unpack to at most {LARGEST_UNPACKED_BYTES:,} bytes",
            found=f"{unpacked:,} bytes packed into {len(content):,}",
            then="If the file is honest, split it into smaller workbooks",
        )


def _read_values(workbook: Any, about: Any, *, label: str) -> Sheet:
    import python_calamine

    hidden = about.visible != python_calamine.SheetVisibleEnum.Visible
    if about.typ != python_calamine.SheetTypeEnum.WorkSheet:
        texts, kinds = build_grid([])
        note = ("no table: a sheet of charts or macros",)
        return Sheet(
            file=label, name=about.name, texts=texts, kinds=kinds, hidden=hidden, notes=note
        )
    values = workbook.get_sheet_by_name(about.name)
    texts, kinds = build_grid(values.to_python(skip_empty_area=False))
    merged = tuple(
        (first[0], first[1], last[0], last[1]) for first, last in (values.merged_cell_ranges or [])
    )
    notes = ("the sheet is hidden",) if hidden else ()
    return Sheet(
        file=label, name=about.name, texts=texts, kinds=kinds, hidden=hidden, merged=merged,
        notes=notes,
    )  # fmt: skip


def _has_structure(content: bytes) -> bool:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        for item in archive.infolist():
            name = item.filename.lower()
            if "comments" in name or "notesslide" in name:
                return True
            if name.startswith("xl/worksheets/") and name.endswith(".xml"):
                if _STRUCTURE_IN_SHEET.search(archive.read(item)):
                    return True
            elif name == "xl/styles.xml" and _STRIKE_IN_STYLES.search(archive.read(item)):
                return True
    return False


def _read_structures(path: Path, content: bytes) -> dict[str, _Structure]:
    import warnings

    import openpyxl

    try:
        with warnings.catch_warnings():
            # Extensions that the library does not keep (slicers, some validations) hold no cells.
            warnings.simplefilter("ignore", UserWarning)
            workbook = openpyxl.load_workbook(io.BytesIO(content), data_only=False)
    except (KeyError, ValueError, TypeError, OSError, zipfile.BadZipFile) as error:
        raise _damaged(path, str(error)) from error
    return {sheet.title: _read_structure(sheet) for sheet in workbook.worksheets}


def _read_structure(sheet: Any) -> _Structure:
    comments: dict[tuple[int, int], str] = {}
    formulas: dict[tuple[int, int], str] = {}
    errors: dict[tuple[int, int], str] = {}
    struck: set[tuple[int, int]] = set()
    for row in sheet.iter_rows():
        for cell in row:
            # Cells inside a merged range are stubs without font or comment.
            if getattr(cell, "comment", None) is not None:
                comments[cell.row - 1, cell.column - 1] = str(cell.comment.text).strip()
            if cell.value is None:
                continue
            place = (cell.row - 1, cell.column - 1)
            if cell.data_type == "f":
                formulas[place] = str(getattr(cell.value, "text", cell.value))
            elif cell.data_type == "e":
                errors[place] = str(cell.value)
            if cell.has_style and cell.font is not None and cell.font.strike:
                struck.add(place)
    return _Structure(
        fields={
            "comments": comments,
            "formulas": formulas,
            "struck": frozenset(struck),
            "hidden_rows": frozenset(
                number - 1 for number, about in sheet.row_dimensions.items() if about.hidden
            ),
            "hidden_columns": frozenset(_list_hidden_columns(sheet)),
        },
        errors=errors,
    )


def _list_hidden_columns(sheet: Any) -> list[int]:
    hidden: list[int] = []
    for about in sheet.column_dimensions.values():
        if about.hidden and about.min is not None and about.max is not None:
            # One entry can hide every column to the end of the sheet.
            hidden += range(about.min - 1, min(about.max, sheet.max_column))
    return hidden


def _add_structure(sheet: Sheet, structure: _Structure | None) -> Sheet:
    if structure is None:
        return sheet
    texts, kinds = sheet.texts.copy(), sheet.kinds.copy()
    rows, columns = texts.shape
    places = [*structure.errors, *structure.fields["formulas"]]
    tall = max([rows, *(row + 1 for row, _ in places)])
    wide = max([columns, *(column + 1 for _, column in places)])
    if (tall, wide) != (rows, columns):
        import numpy as np

        grown = np.full((tall, wide), "", dtype=object)
        letters = np.full((tall, wide), " ", dtype="<U1")
        grown[:rows, :columns], letters[:rows, :columns] = texts, kinds
        texts, kinds = grown, letters
    for place, text in structure.errors.items():
        texts[place], kinds[place] = text, "e"
    for place, text in structure.fields["formulas"].items():
        if kinds[place] == " ":
            texts[place], kinds[place] = text, "f"
    notes = sheet.notes + _word_hidden(structure)
    return replace(sheet, texts=texts, kinds=kinds, notes=notes, **structure.fields)


def _word_hidden(structure: _Structure) -> tuple[str, ...]:
    columns = [name_column(number + 1) for number in sorted(structure.fields["hidden_columns"])]
    rows = [number + 1 for number in sorted(structure.fields["hidden_rows"])]
    said = [("column", columns), ("row", rows)]
    return tuple(
        f"hidden and read all the same: {what} {name_first_few(places)}"
        for what, places in said
        if places
    )
