"""Workbooks: values from a fast reader, structure from a thorough one where there is any."""

from __future__ import annotations

import io
import zipfile
import zlib
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import Any
from xml.parsers.expat import ExpatError

from bodycond.errors import UnreadableFileError, name_first_few
from bodycond.legacy.files.document_structure import read_document_structures
from bodycond.legacy.files.grids import build_grid
from bodycond.legacy.files.old_workbook_structure import read_old_structures
from bodycond.legacy.files.sheet_structure import add_structure
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.files.workbook_guards import check_container, describe_damaged, describe_locked
from bodycond.legacy.files.workbook_structure import read_structures

# What is raised on parts that are broken; a fault of XML is a SyntaxError in one of two readers.
_STRUCTURE_ERRORS = (
    KeyError, ValueError, OSError, SyntaxError, RecursionError, zipfile.BadZipFile, zlib.error,
    NotImplementedError, ExpatError,
)  # fmt: skip

_NOT_LOOKED_AT = (
    "comments, hidden rows and columns, struck-through and coloured cells of this kind of workbook "
    "are not looked at; saved as XLSX they are"
)


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
        In the workbook's order. Comments, formulas, merged, hidden, struck-through and coloured
        parts are kept; XLSB gives values and hidden sheets, and says so.

    Raises
    ------
    UnreadableFileError
        If the workbook is truncated, encrypted or not what its ending says.
    """
    import python_calamine

    check_container(path, content)
    try:
        workbook = python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(content))
        _require_unique_names(path, workbook.sheet_names)
        sheets = [_read_values(workbook, item, label=label) for item in workbook.sheets_metadata]
    except python_calamine.PasswordError as error:
        raise describe_locked(path) from error
    except UnreadableFileError:
        raise
    except (python_calamine.CalamineError, OSError, ValueError) as error:
        raise describe_damaged(path, str(error)) from error
    if not content.startswith(b"PK") or path.suffix.lower() == ".xlsb":
        return _add_old_structures(path, content, sheets)
    shapes = {sheet.name: (sheet.texts.shape[0], sheet.texts.shape[1]) for sheet in sheets}
    try:
        structures = read_structures(content) or read_document_structures(content, shapes=shapes)
    except _STRUCTURE_ERRORS as error:
        raise describe_damaged(path, str(error)) from error
    return [add_structure(sheet, structures.get(sheet.name), path=path) for sheet in sheets]


def _add_old_structures(path: Path, content: bytes, sheets: list[Sheet]) -> list[Sheet]:
    is_old = not content.startswith(b"PK")
    structures = read_old_structures(content) if is_old else None
    if structures is None:
        return [replace(sheet, notes=(*sheet.notes, _NOT_LOOKED_AT)) for sheet in sheets]
    return [add_structure(sheet, structures.get(sheet.name), path=path) for sheet in sheets]


def _require_unique_names(path: Path, names: list[str]) -> None:
    # Readers look sheets up by name: of two they would give the first one twice.
    twice = [name for name, count in Counter(names).items() if count > 1]
    if twice:
        raise UnreadableFileError(
            needed=f"Each sheet of the workbook {path} must have a name of its own",
            found=f"more than one sheet called {name_first_few(repr(name) for name in twice)}",
            then="Open it in a spreadsheet program, rename the sheets and save it anew",
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
