"""Lay the pages out as messy files, byte for byte the same on every machine."""

from __future__ import annotations

import datetime
import io
import os
import re
import zipfile
from collections.abc import Sequence
from pathlib import Path

# openpyxl writes through lxml where it finds it, with other bytes; this must stand before it.
os.environ["OPENPYXL_LXML"] = "False"

import numpy as np
import pandas as pd
from notation import SPECIES_WORDS
from openpyxl import Workbook
from openpyxl.comments import Comment
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet
from pages import Cell, Page, Row, place_rows, year_of

FIXED_STAMP = "2025-01-01T00:00:00Z"
ZIP_STAMP = (2025, 1, 1, 0, 0, 0)
UNITS = {"mass_g": "g, kg or lb+oz", "wing_mm": "mm", "tarsus_mm": "mm", "keel": "1-5"}
DITTO = '"'
DITTO_SHEET = "2019"
DITTO_SHARE = 0.6
SESSIONS_FILE = "scoring_sessions.xlsx"


def write_workbooks(pages: list[Page], *, folder: Path, rng: np.random.Generator) -> None:
    """Write the four books of exams."""
    folder.mkdir(parents=True, exist_ok=True)
    by_book: dict[str, list[Page]] = {}
    for page in pages:
        by_book.setdefault(page.book, []).append(page)
    _write_early_book(by_book["early"], folder=folder, rng=rng)
    _write_late_book(by_book["late"][0], folder=folder)
    _write_aviary_book(by_book["aviary"][0], folder=folder)
    _write_station_book(by_book["station"][0], folder=folder)


def _write_early_book(pages: list[Page], *, folder: Path, rng: np.random.Generator) -> None:
    """A sheet a year: title, note, headings, units, rows, total and average, a key of codes."""
    book = Workbook()
    book.remove(book.active)
    for page in pages:
        sheet = book.create_sheet(page.sheet)
        names = list(page.headings)
        sheet["A1"] = f"Skelbeck Hospital: exam book {page.sheet}"
        sheet.merge_cells(start_row=1, start_column=1, end_row=1, end_column=len(names))
        sheet["A2"] = "Weights without wrap. Tarnmere Raptor Network"
        _write_row(sheet, 4, list(page.headings.values()))
        _write_row(sheet, 5, [UNITS.get(name) for name in names])
        places = place_rows(page)
        rows = _put_dittos(page.rows, rng=rng) if page.sheet == DITTO_SHEET else page.rows
        for place, row in zip(places, rows, strict=True):
            _write_row(sheet, place, list(row.values()))
        _write_totals(sheet, page)
        hidden = get_column_letter(names.index("cage") + 1)
        sheet.column_dimensions[hidden].hidden = True
        if page.sheet == DITTO_SHEET:
            weight = sheet.cell(row=places[3], column=names.index("mass_g") + 1)
            weight.comment = Comment("weighed twice, same result", "records")
    key = book.create_sheet("Codes")
    _write_row(key, 1, ["Code", "Meaning"])
    for place, (species, code) in enumerate(SPECIES_WORDS["early"].items(), start=2):
        _write_row(key, place, [code, species])
    _save(book, folder / pages[0].file)


def _put_dittos(rows: list[Row], *, rng: np.random.Generator) -> list[Row]:
    """Write a ditto mark for many a species, day and scorer that repeats the row above."""
    marked = [dict(row) for row in rows]
    for above, row, below in zip(rows, rows[1:], marked[1:], strict=False):
        for name in ("species", "exam_date", "scorer"):
            luck = rng.random()
            if row[name] == above[name] and luck < DITTO_SHARE:
                below[name] = DITTO
    return marked


def _write_totals(sheet: Worksheet, page: Page) -> None:
    """Write the number of exams, and the mean wing as the clerk's program showed it."""
    names = list(page.headings)
    wings = [row["wing_mm"] for row in page.rows if isinstance(row["wing_mm"], int)]
    last = place_rows(page)[-1]
    _write_row(sheet, last + 2, ["Total", len(page.rows)])
    average: list[Cell] = [None] * len(names)
    average[0] = "Average"
    average[names.index("wing_mm")] = round(sum(wings) / len(wings), 1)
    _write_row(sheet, last + 3, average)


def _write_late_book(page: Page, *, folder: Path) -> None:
    """One sheet, the headings once more above each year, real date cells."""
    book = Workbook()
    sheet = book.active
    sheet.title = page.sheet
    sheet["A1"] = "Skelbeck Hospital, exams from 2022 on"
    year = None
    for place, row in zip(place_rows(page), page.rows, strict=True):
        if (row_year := year_of(row["exam_date"])) != year:
            year = row_year
            _write_row(sheet, place - 2, [f"Year {year}"])
            _write_row(sheet, place - 1, list(page.headings.values()))
        _write_row(sheet, place, list(row.values()))
    _format_dates(sheet, page)
    _save(book, folder / page.file)


def _write_aviary_book(page: Page, *, folder: Path) -> None:
    """Semicolons, decimal commas, code page 1252, CRLF, a title line above the headings."""
    lines = [["Orrinfold Aviary, Untersuchungsbuch 2019 bis 2024"], list(page.headings.values())]
    lines += [["" if cell is None else str(cell) for cell in row.values()] for row in page.rows]
    width = len(page.headings)
    text = "".join(";".join(line + [""] * (width - len(line))) + "\r\n" for line in lines)
    (folder / page.file).write_bytes(text.encode("cp1252"))


def _write_station_book(page: Page, *, folder: Path) -> None:
    """One tidy-looking sheet, headings in row 1."""
    book = Workbook()
    sheet = book.active
    sheet.title = page.sheet
    _write_row(sheet, 1, list(page.headings.values()))
    for place, row in zip(place_rows(page), page.rows, strict=True):
        _write_row(sheet, place, list(row.values()))
    _format_dates(sheet, page)
    _save(book, folder / page.file)


def write_sessions(ratings: pd.DataFrame, *, folder: Path) -> None:
    """Write the session book, one row a rating; S04 writes half grades now as 2.5, now as 2½."""
    folder.mkdir(parents=True, exist_ok=True)
    book = Workbook()
    sheet = book.active
    sheet.title = "Ratings"
    _write_row(sheet, 1, ["Session", "Bird", "Scorer", "Round", "Date", "Keel", "Mass known"])
    for place, rating in enumerate(ratings.to_dict(orient="records"), start=2):
        _write_row(
            sheet,
            place,
            [
                rating["session"], rating["bird_id"], rating["scorer"], rating["round"],
                pd.Timestamp(rating["rated_on"]).to_pydatetime(), rating["keel_cell"], "no",
            ],
        )  # fmt: skip
        sheet.cell(row=place, column=5).number_format = "yyyy-mm-dd"
    _save(book, folder / SESSIONS_FILE)


def _write_row(sheet: Worksheet, place: int, cells: Sequence[Cell]) -> None:
    for column, cell in enumerate(cells, start=1):
        if cell is not None and cell != "":
            sheet.cell(row=place, column=column).value = cell


def _format_dates(sheet: Worksheet, page: Page) -> None:
    """Show exam days as days; a date in the keel column shows as the program made it: 2-Mar."""
    names = list(page.headings)
    for place, row in zip(place_rows(page), page.rows, strict=True):
        sheet.cell(row=place, column=names.index("exam_date") + 1).number_format = "dd/mm/yyyy"
        if isinstance(row["keel"], datetime.datetime):
            sheet.cell(row=place, column=names.index("keel") + 1).number_format = "d-mmm"


def _save(book: Workbook, path: Path) -> None:
    """Save with fixed times, and uncompressed, since compressors differ between machines."""
    raw = io.BytesIO()
    book.properties.creator = "Tarnmere Raptor Network (invented)"
    book.save(raw)
    fixed = io.BytesIO()
    with zipfile.ZipFile(raw) as source, zipfile.ZipFile(fixed, "w") as target:
        for name in source.namelist():
            content = source.read(name)
            if name == "docProps/core.xml":
                content = re.sub(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", FIXED_STAMP.encode(), content)
            entry = zipfile.ZipInfo(name, date_time=ZIP_STAMP)
            entry.create_system = 3
            entry.external_attr = 0o644 << 16
            target.writestr(entry, content)
    path.write_bytes(fixed.getvalue())
