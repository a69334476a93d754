"""Workbooks: values from a fast reader, structure from a thorough one where there is any."""

from __future__ import annotations

import io
import re
import zipfile
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from bodycond.errors import UnreadableFileError, name_first_few
from bodycond.legacy.grids import build_grid, name_column
from bodycond.legacy.sheets import Sheet
from bodycond.legacy.workbook_guards import check_container, describe_damaged, describe_locked

# Anything that the fast reader does not tell: hidden parts, merges, formulas, error cells.
_STRUCTURE_IN_SHEET = re.compile(rb'hidden="(1|true)"|<mergeCell |<f[ >/]|t="e"')
_STRIKE = b"<strike"

# What openpyxl raises on parts that are broken; a fault of XML is a SyntaxError there.
_OPENPYXL_ERRORS = (
    KeyError, ValueError, TypeError, OSError, SyntaxError, AttributeError, IndexError,
    zipfile.BadZipFile,
)  # fmt: skip


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
    marks = _find_structure(content)
    if marks:
        structures = _read_structures(path, content, rich_text="struck text" in marks)
        sheets = [_add_structure(sheet, structures.get(sheet.name)) for sheet in sheets]
    return sheets


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


def _find_structure(content: bytes) -> set[str]:
    """Find what the fast reader does not tell, so that the thorough one runs only where needed."""
    marks: set[str] = set()
    if not content.startswith(b"PK"):
        return marks
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        names = archive.namelist()
        if "xl/workbook.xml" not in names:
            return marks
        for name in names:
            low = name.lower()
            if "comments" in low:
                marks.add("comments")
            if not low.endswith(".xml") or not low.startswith("xl/"):
                continue
            part = archive.read(name)
            if low.startswith("xl/worksheets/") and _STRUCTURE_IN_SHEET.search(part):
                marks.add("structure")
            if _STRIKE in part:
                marks.add("struck cells" if low == "xl/styles.xml" else "struck text")
    return marks


def _read_structures(path: Path, content: bytes, *, rich_text: bool) -> dict[str, _Structure]:
    import warnings

    import openpyxl

    try:
        with warnings.catch_warnings():
            # Extensions that the library does not keep (slicers, some validations) hold no cells.
            warnings.simplefilter("ignore", UserWarning)
            workbook = openpyxl.load_workbook(io.BytesIO(content), rich_text=rich_text)
    except _OPENPYXL_ERRORS as error:
        raise describe_damaged(path, str(error)) from error
    return {sheet.title: _read_structure(sheet) for sheet in workbook.worksheets}


def _read_unstruck(text: Iterable[Any]) -> str:
    """Give the parts of a text that are not struck through."""
    kept = [part for part in text if not (hasattr(part, "font") and part.font.strike)]
    return "".join(str(part) for part in kept)


def _read_structure(sheet: Any) -> _Structure:
    from openpyxl.cell.rich_text import CellRichText

    comments: dict[tuple[int, int], str] = {}
    formulas: dict[tuple[int, int], str] = {}
    errors: dict[tuple[int, int], str] = {}
    struck: set[tuple[int, int]] = set()
    partly: dict[tuple[int, int], str] = {}
    # The cells that exist; walking over rows would make every empty one out to the last column.
    for (row, column), cell in sorted(sheet._cells.items()):
        place = (row - 1, column - 1)
        # Cells inside a merged range are stubs without font or comment.
        if getattr(cell, "comment", None) is not None:
            comments[place] = str(cell.comment.text).strip()
        if cell.value is None:
            continue
        if cell.data_type == "f":
            formulas[place] = str(getattr(cell.value, "text", cell.value))
        elif cell.data_type == "e":
            errors[place] = str(cell.value)
        if cell.has_style and cell.font is not None and cell.font.strike:
            struck.add(place)
        elif isinstance(cell.value, CellRichText):
            kept = _read_unstruck(cell.value)
            if kept != str(cell.value):
                partly[place] = kept
    return _Structure(
        fields={
            "comments": comments,
            "formulas": formulas,
            "struck": frozenset(struck),
            "partly_struck": partly,
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
