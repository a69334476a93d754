"""The sheets of the old books as lists of rows, with every cell as it will be written."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any

import pandas as pd
from notation import FILES, SEX_WORDS, SPECIES_WORDS

Cell = str | int | float | datetime.datetime | None
Row = dict[str, Cell]

# Field -> heading, in the order of the columns. "cage" is the hidden column.
HEADINGS: dict[str, dict[str, str]] = {
    "early": {
        "exam_id": "Exam no.", "bird_id": "Case no.", "ring_number": "Ring", "species": "Sp.",
        "sex": "Sex", "age_class": "Age", "exam_date": "Date", "mass_g": "Wt", "wing_mm": "Wing",
        "tarsus_mm": "Tarsus", "keel": "KS", "scorer": "By", "cage": "Cage", "in_moult": "Moult",
        "remarks": "Remarks",
    },
    "late": {
        "exam_id": "Record", "bird_id": "Patient", "ring_number": "Ring no.",
        "species": "Species", "sex": "M/F", "age_class": "Life stage", "exam_date": "Exam date",
        "exam_reason": "Reason", "mass_g": "Body mass (g)", "wing_mm": "Wing chord (mm)",
        "tarsus_mm": "Tars (mm)", "crop_fill": "Crop (0-4)", "keel": "Keel score (1-5)",
        "scorer": "Scorer", "in_moult": "In moult", "gravid": "Gravid", "remarks": "Comments",
    },
    "aviary": {
        "exam_id": "Lfd. Nr.", "bird_id": "Patient", "ring_number": "Ringnr.", "species": "Art",
        "sex": "Geschl.", "age_class": "Alter", "exam_date": "Datum", "mass_g": "Gewicht (g)",
        "wing_mm": "Flügel", "tarsus_mm": "Lauf", "keel": "Brustbein (1-5)", "scorer": "Beob.",
        "mass_known_when_scored": "Gewicht bekannt", "crop_fill": "Kropf", "in_moult": "Mauser",
        "gravid": "Legereif", "remarks": "Bemerkung",
    },
    "station": {
        "exam_id": "Capture no.", "bird_id": "Individual ID", "ring_number": "BandNumber",
        "species": "species", "sex": "sex", "age_class": "Age (EURING)", "exam_date": "capdt",
        "mass_g": "Mass", "wing_mm": "wing", "tarsus_mm": "tarsus", "crop_fill": "Crop",
        "keel": "Keel", "scorer": "scorer code", "keel_blind": "Scored blind",
        "mass_known_when_scored": "Mass seen first", "in_moult": "molt", "gravid": "gravid",
        "remarks": "notes",
    },
}  # fmt: skip
IDENTITY = ("bird_id", "ring_number", "species", "sex", "age_class")
FLAG_WORDS = {
    "early": ("y", "n"), "late": ("yes", "no"), "aviary": ("ja", "nein"), "station": ("Y", "N"),
}  # fmt: skip
NO_CROP_WORDS = {"early": "", "late": "n/a", "aviary": "entfällt", "station": "no crop"}
# Not from the system, whose language differs between machines.
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
REASONS = {"first": "intake", "later": "recheck", "last": "pre-release"}


@dataclass(frozen=True, eq=False, kw_only=True)
class Page:
    """One sheet: its rows of cells by field."""

    book: str
    sheet: str
    rows: list[Row]

    @property
    def file(self) -> str:
        """Name of the file."""
        return FILES[self.book]

    @property
    def headings(self) -> dict[str, str]:
        """Heading of each field, in the order of the columns."""
        return HEADINGS[self.book]


def write_pages(exams: pd.DataFrame) -> list[Page]:
    """Write the exams into the pages of the four books, one page a sheet."""
    pages = []
    for book in FILES:
        part = exams[exams["book"] == book]
        if book == "early":
            years = part["exam_date"].dt.year
            pages += [
                Page(book=book, sheet=str(year), rows=_write_rows(part[years == year], book=book))
                for year in sorted(years.unique())
            ]
        else:
            sheet = {"late": "Exams", "aviary": "", "station": "Captures"}[book]
            pages.append(Page(book=book, sheet=sheet, rows=_write_rows(part, book=book)))
    return pages


def place_rows(page: Page) -> list[int]:
    """Give the row of the sheet, counted from 1, in which each row of the page stands.

    Above the rows stand: a title, a note, a blank, headings and units in the early book; title
    and headings in the aviary's; headings in the station's. The late book has a blank row, the
    year and the headings anew wherever a year begins.
    """
    first = {"early": 6, "aviary": 3, "station": 2}
    if page.book != "late":
        return list(range(first[page.book], first[page.book] + len(page.rows)))
    places, place, year = [], 1, None
    for row in page.rows:
        place += 1
        if (row_year := year_of(row["exam_date"])) != year:
            place, year = place + 3, row_year
        places.append(place)
    return places


def year_of(cell: Cell) -> int:
    """Give the year of a real date cell."""
    if not isinstance(cell, datetime.datetime):
        raise TypeError(f"{cell!r} is no date cell")
    return cell.year


def write_cell(cell: Cell) -> str:
    """Write a cell's content as text: dates as ISO days, numbers as short as they go."""
    if cell is None:
        return ""
    if isinstance(cell, datetime.datetime):
        return f"{cell:%Y-%m-%d}"
    # A workbook does not tell 35.0 from 35.
    return str(int(cell)) if isinstance(cell, float) and cell.is_integer() else str(cell)


def _write_rows(part: pd.DataFrame, *, book: str) -> list[Row]:
    writers = _choose_writers(book)
    return [
        {name: writers[name](exam) for name in HEADINGS[book]}
        for exam in part.to_dict(orient="records")
    ]


def _choose_writers(book: str) -> dict[str, Callable[[Mapping[Hashable, Any]], Cell]]:
    """Give the function that writes each field of a book's row from an exam."""
    writers: dict[str, Callable[[Mapping[Hashable, Any]], Cell]] = {
        "species": lambda exam: SPECIES_WORDS[book].get(exam["species"], exam["species"]),
        "sex": lambda exam: SEX_WORDS[book][exam["sex"]],
        "exam_date": lambda exam: _write_date(exam["exam_date"], book=book),
        "exam_reason": lambda exam: REASONS[exam["stage"]],
        "crop_fill": lambda exam: _write_crop(exam["crop_fill"], book=book),
    }
    for name in ("wing_mm", "tarsus_mm"):
        writers[name] = partial(_write_length, name=name, book=book)
    for name in ("in_moult", "gravid", "keel_blind", "mass_known_when_scored"):
        writers[name] = partial(_write_flag, name=name, book=book)
    for name in ("exam_id", "bird_id", "ring_number", "scorer", "cage", "remarks"):
        writers[name] = partial(_copy_cell, name=name)
    for name, source in (("age_class", "age_code"), ("mass_g", "mass_cell"), ("keel", "keel_cell")):
        writers[name] = partial(_copy_cell, name=source)
    return writers


def _copy_cell(exam: Mapping[Hashable, Any], *, name: str) -> Cell:
    cell: Cell = exam[name]
    return None if pd.isna(cell) else cell


def _write_flag(exam: Mapping[Hashable, Any], *, name: str, book: str) -> Cell:
    yes, no = FLAG_WORDS[book]
    return yes if exam[name] else no


def _write_crop(crop: str, *, book: str) -> Cell:
    return NO_CROP_WORDS[book] if crop == "no_crop" else int(crop)


def _write_length(exam: Mapping[Hashable, Any], *, name: str, book: str) -> Cell:
    length = float(exam[name])
    if pd.isna(length):
        return None
    if book == "aviary":
        return f"{length:g}".replace(".", ",")
    return int(length) if length == int(length) else length


def _write_date(date: pd.Timestamp, *, book: str) -> Cell:
    """Write a day: text in the way of the year's clerk, or a real date cell."""
    if book == "aviary":
        return f"{date:%d.%m.%Y}"
    if book == "early":
        if date.year == 2020:
            return f"{date.day:02d}-{MONTHS[date.month - 1]}-{date.year % 100:02d}"
        return f"{date:%d/%m/%Y}" if date.year == 2019 else f"{date:%Y-%m-%d}"
    return datetime.datetime(date.year, date.month, date.day)
