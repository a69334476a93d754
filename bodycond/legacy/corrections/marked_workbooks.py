"""Workbooks to walk through with the person who typed them: held cells listed and marked."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from bodycond.errors import ArgumentError, name_first_few, require_columns
from bodycond.legacy.corrections.held_cell_list import (
    HELD_CELLS_SHEET,
    as_text,
    write_held_cell_list,
)
from bodycond.legacy.corrections.held_spans import HeldSpan, split_held
from bodycond.legacy.corrections.marked_copies import HeldCell, HeldCells, copy_sheet
from bodycond.legacy.corrections.workbook_pen import Pen, fit_page, open_workbook, pack_workbook
from bodycond.legacy.corrections.xlsx_texts import name_sheets
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.ledger import QUARANTINE_COLUMNS
from bodycond.tables_on_disk import name_column, write_bytes

ABOUT_SHEET = "About"

COPY_COLUMNS: tuple[str, ...] = ("copied_as", "file", "sheet", "held_cells", "said")

_HOW_TO = (
    "Each row of 'Held cells' is a cell that could not be read with certainty. Its cell is marked "
    "in the copy of its sheet, with a fill, a thick border and a note.",
    "Fill in the tinted columns of 'Held cells'. A row without a decision is left as it is.",
    "A column or sheet that the recipe has not decided yet is one row at the end of the list, as "
    "in F2:F6537, and its cells have the fill alone. Nothing is decided here about these: one "
    "answer in the recipe frees them all.",
    "decision: corrected = the cell should read as in 'corrected'; no_value = the cell holds no "
    "value; as_written = what is written is right, keep it and ask no more; not_exam = the row is "
    "no exam; where tables stand side by side, the row of the cell's own table.",
    "A row of all tables side by side is no exam: add a line with file, sheet, cell as in 7:7, raw "
    "as in the row's first cell, and not_exam.",
    "who and why are needed for every decision: a name or code, and how it is known (the paper "
    "card, the person's memory, the ring list).",
    "What was written stays on record beside the correction. Changes made in the copies are "
    "noticed but not taken over; decide in 'Held cells'.",
)


@dataclass(frozen=True, kw_only=True, eq=False)
class MarkedWorkbook:
    """What was written to a marked workbook.

    Parameters
    ----------
    path : Path
        The file.
    n_held : int
        Held cells.
    copies : tuple of (str, str, str)
        The copy's name, the file and the sheet's true name.
    notes : tuple of str
        What the workbook does not show as the source did.
    """

    path: Path
    n_held: int
    copies: tuple[tuple[str, str, str], ...]
    notes: tuple[str, ...]


def write_marked_workbooks(
    sheets: Sequence[Sheet],
    quarantine: pd.DataFrame,
    folder: Path,
    *,
    heading_rows: Mapping[tuple[str, str], int] | None = None,
    progress: Callable[[str], None] | None = None,
) -> tuple[MarkedWorkbook, ...]:
    """Write one marked workbook for each file that has held cells.

    Parameters
    ----------
    sheets : sequence of Sheet
        The sheets of all files.
    quarantine : DataFrame
        As `LegacyImport.quarantine`.
    folder : Path
        Where to write; see `name_marked_workbooks` for the names.
    heading_rows : mapping of (str, str) to int, optional
        Last row of headings, counted from 1, by file and sheet; it stays in sight. Default 1.
    progress : callable, optional
        Called with each file's label before its workbook is written.

    Returns
    -------
    tuple of MarkedWorkbook
        In the order of the files.
    """
    files = list(dict.fromkeys(sheet.file for sheet in sheets))
    names = name_marked_workbooks(files)
    held = set(quarantine["file"])
    written = []
    for file in files:
        if file not in held:
            continue
        if progress is not None:
            progress(file)
        workbook = write_marked_workbook(
            [sheet for sheet in sheets if sheet.file == file],
            quarantine[quarantine["file"] == file],
            folder / names[file],
            heading_rows=heading_rows,
        )
        written.append(workbook)
    return tuple(written)


def name_marked_workbooks(files: Sequence[str]) -> dict[str, str]:
    """Name the marked workbook of each file.

    Parameters
    ----------
    files : sequence of str
        Labels of files, all of an import, so that a name does not hang on what is held.

    Returns
    -------
    dict of str to str
        By label; folders become a part of the name.

    Examples
    --------
    >>> name_marked_workbooks(["2019/book.csv", "book.xlsx"])
    {'2019/book.csv': '2019_book.csv.held.xlsx', 'book.xlsx': 'book.xlsx.held.xlsx'}
    """
    names: dict[str, str] = {}
    used: set[str] = set()
    for file in files:
        stem = re.sub(r'[/\\:*?"<>|\x00-\x1f]', "_", file).lstrip(".") or "file"
        name, number = f"{stem}.held.xlsx", 1
        while name.casefold() in used:
            number += 1
            name = f"{stem} ({number}).held.xlsx"
        used.add(name.casefold())
        names[file] = name
    return names


def write_marked_workbook(
    sheets: Sequence[Sheet],
    quarantine: pd.DataFrame,
    path: Path,
    *,
    heading_rows: Mapping[tuple[str, str], int] | None = None,
) -> MarkedWorkbook:
    """Write the held cells of a file as a list to fill in, and the sheets with the cells marked.

    Nothing of the source is written as a formula. Equal input gives equal bytes.

    Parameters
    ----------
    sheets : sequence of Sheet
        The file's sheets; those without held cells are left out.
    quarantine : DataFrame
        The file's held cells, as `LegacyImport.quarantine`.
    path : Path
        Where to write.
    heading_rows : mapping of (str, str) to int, optional
        Last row of headings, counted from 1, by file and sheet; it stays in sight. Default 1.

    Returns
    -------
    MarkedWorkbook
        The path and what was written.

    Raises
    ------
    MissingColumnError
        If the quarantine lacks a column.
    ArgumentError
        If a held cell is on none of the sheets.
    """
    require_columns(quarantine.columns, QUARANTINE_COLUMNS, purpose="A marked workbook")
    _require_sheets(sheets, quarantine)
    single, spans = split_held(quarantine)
    held = _sort_held(sheets, single, spans)
    copied = [sheet for sheet in sheets if held[sheet.file, sheet.name].n_cells]
    names = name_sheets([sheet.name for sheet in copied], taken=[HELD_CELLS_SHEET, ABOUT_SHEET])
    copies = {(sheet.file, sheet.name): name for sheet, name in zip(copied, names, strict=True)}
    workbook = open_workbook()
    notes = list(write_held_cell_list(workbook, single, copies, spans=spans))
    about = workbook.create_sheet(ABOUT_SHEET)
    rows: dict[str, dict[int, str]] = {}
    said: list[tuple[str, ...]] = []
    for sheet, name in zip(copied, names, strict=True):
        key = (sheet.file, sheet.name)
        heading_row = (heading_rows or {}).get(key, 1)
        rows[name], some = copy_sheet(
            workbook, sheet, name=name, held=held[key], heading_row=heading_row
        )
        said.append(some)
    _write_about(about, copied, copies, held, said, notes)
    notes += [f"{name}: {note}" for name, some in zip(names, said, strict=True) for note in some]
    write_bytes(path, pack_workbook(workbook, rows=rows))
    return MarkedWorkbook(
        path=path,
        n_held=len(quarantine),
        copies=tuple((name, file, sheet) for (file, sheet), name in copies.items()),
        notes=tuple(notes),
    )


def _require_sheets(sheets: Sequence[Sheet], quarantine: pd.DataFrame) -> None:
    shapes = {(sheet.file, sheet.name): sheet.texts.shape for sheet in sheets}
    homeless: list[str] = []
    for (file, name), cells in quarantine.groupby(["file", "sheet"], sort=False):
        rows, columns = shapes.get((str(file), str(name)), (0, 0))
        outside = cells.loc[(cells["row"] > rows) | (cells["column"] > columns), "address"]
        homeless += [f"{file} {address}" for address in outside]
    if homeless:
        raise ArgumentError(
            needed="Each held cell must be on one of the sheets",
            found=f"none for {name_first_few(homeless)}",
            then="Give the sheets and the quarantine of one and the same import",
        )


def _sort_held(
    sheets: Sequence[Sheet], single: pd.DataFrame, spans: Sequence[HeldSpan]
) -> dict[tuple[str, str], HeldCells]:
    held = {
        (sheet.file, sheet.name): HeldCells(
            single={}, whole=np.zeros(sheet.texts.shape, dtype=np.bool_)
        )
        for sheet in sheets
    }
    cell: Any
    for cell in single.itertuples(index=False):
        held[str(cell.file), str(cell.sheet)].single[cell.row - 1, cell.column - 1] = HeldCell(
            reason=as_text(cell.reason), likely=as_text(cell.likely)
        )
    for span in spans:
        held[span.file, span.sheet].whole[span.rows - 1, span.columns - 1] = True
    return held


def _write_about(
    about: Any,
    copied: Sequence[Sheet],
    copies: Mapping[tuple[str, str], str],
    held: Mapping[tuple[str, str], HeldCells],
    said: Sequence[tuple[str, ...]],
    notes: Sequence[str],
) -> None:
    for column, width in enumerate((34, 40, 30, 12, 70), start=1):
        about.column_dimensions[name_column(column)].width = width
    fit_page(about)
    pen = Pen(sheet=about)
    # Plain and not wrapped, so that a line runs on over the empty cells beside it.
    for text in (*_HOW_TO, *notes):
        about.append([pen.write(text)])
    about.append([])
    about.append([pen.write(name, "heading") for name in COPY_COLUMNS])
    for sheet, remarks in zip(copied, said, strict=True):
        key = (sheet.file, sheet.name)
        about.append(
            [
                pen.write(copies[key], "wrapped"),
                pen.write(sheet.file, "wrapped"),
                pen.write(sheet.name, "wrapped"),
                pen.write_number(held[key].n_cells, "wrapped"),
                pen.write("; ".join(remarks), "wrapped"),
            ]
        )
