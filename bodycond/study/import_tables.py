"""What came in, what was held back and what was flagged, as tables for the report."""

from __future__ import annotations

from pathlib import PurePath
from typing import TYPE_CHECKING

import pandas as pd

from bodycond.errors import name_first_few
from bodycond.exams.faults import MUST_BE_MENDED
from bodycond.study.report_tables import ReportTable, table_of_frame, word_cell

if TYPE_CHECKING:
    from bodycond.legacy import LegacyImport

# A report is read; what is longer stands in the table files.
_MOST_ROWS = 40

OUTCOMES = ("accepted", "converted", "quarantined", "set_aside")
"""Where a raw cell can go; together they are all cells."""


def table_files(imported: LegacyImport) -> ReportTable:
    """Print the files read, and those that were not.

    Parameters
    ----------
    imported : LegacyImport
        The import.

    Returns
    -------
    ReportTable
        One row a file.
    """
    files = imported.files.assign(sha256=imported.files["sha256"].str[:12])
    headings = {"file": "File", "sheets": "Sheets", "sha256": "SHA-256"}
    if not files["readable"].astype(bool).all():
        headings["problem"] = "Problem"
    return table_of_frame(
        files,
        caption="Files, with the first digits of their SHA-256; the manifest has all of them.",
        headings=headings,
    )


def table_reconciliation(imported: LegacyImport) -> ReportTable:
    """Print where every cell and row went, sheet by sheet.

    Parameters
    ----------
    imported : LegacyImport
        The import.

    Returns
    -------
    ReportTable
        One row a sheet.
    """
    counts = imported.reconciliation
    places = [
        name_place(row["file"], row["sheet"])
        for row in counts[["file", "sheet"]].to_dict("records")
    ]
    spread = {"rows_spread": "Further records"} if counts["rows_spread"].any() else {}
    return table_of_frame(
        counts.assign(place=places),
        caption="Where every cell and every row went, by sheet. Raw cells are accepted, "
        "converted, held back or set aside; rows, and further records where one row "
        "holds several, are exams, ratings, held, or neither.",
        headings={
            "place": "File, sheet", "raw_cells": "Raw cells", "accepted": "Accepted",
            "converted": "Converted", "quarantined": "Held back", "set_aside": "Set aside",
            "rows_in": "Rows", **spread, "exams_out": "Exams", "ratings_out": "Ratings",
            "rows_held": "Rows held", "rows_not_exams": "Neither",
        },
    )  # fmt: skip


def table_quarantine(quarantine: pd.DataFrame) -> ReportTable:
    """Print why cells were held back, with a few of them as written.

    Parameters
    ----------
    quarantine : DataFrame
        Cells held back by the import.

    Returns
    -------
    ReportTable
        One row a column and reason, most cells first.
    """
    reasons = (
        quarantine.assign(target=quarantine["target"].str.removeprefix("exams."))
        .groupby(["target", "reason"], dropna=False)
        .agg(n=("raw", "size"), examples=("raw", lambda raw: name_first_few(raw.unique(), limit=3)))
        .reset_index()
        .sort_values("n", ascending=False, kind="stable")
    )
    return table_of_frame(
        reasons.head(_MOST_ROWS),
        caption="Cells held back, by reason; the raw text is kept, with its address, in "
        "tables/quarantine.csv." + _word_rest(len(reasons)),
        headings={
            "reason": "Reason",
            "target": "Meant for",
            "n": "Cells",
            "examples": "As written",
        },
    )


def table_flags(found: pd.DataFrame) -> ReportTable:
    """Print what the check found, what must be mended first.

    Parameters
    ----------
    found : DataFrame
        Rows of `list_flags` that the check found.

    Returns
    -------
    ReportTable
        One row a fault: where, what, why, likely cure.
    """
    must = found["severity"] == MUST_BE_MENDED
    ordered = pd.concat([found.loc[must], found.loc[~must]])
    rows = [
        (
            name_place(row["file"], row["sheet"], row["row"]),
            word_cell(row["severity"]),
            f"{row['column']} {_word_value(row['value'])}".strip(),
            f"{str(row['rule']).replace('_', ' ')}; expected {word_cell(row['expected'])}",
            word_cell(row["cure"]),
        )
        for row in ordered.head(_MOST_ROWS).to_dict("records")
    ]
    return ReportTable(
        caption="Found by the check of exams; the evidence for each is in tables/flags.csv."
        + _word_rest(len(found)),
        headings=("Place", "Severity", "Value", "Why", "Likely cure"),
        rows=tuple(rows),
    )


def name_place(file: object, sheet: object, row: object = None) -> str:
    """Name a place in the files; a text file has no sheet to name.

    Parameters
    ----------
    file, sheet : object
        File and sheet, as the ledger has them.
    row : object, optional
        Row of the sheet, counted from 1.

    Returns
    -------
    str
        The place.

    Examples
    --------
    >>> name_place("book.xlsx", "2019", 4), name_place("exams.csv", "exams")
    ('book.xlsx, sheet 2019, row 4', 'exams.csv')
    """
    parts = [word_cell(file)]
    if word_cell(sheet) != PurePath(word_cell(file)).stem:
        parts.append(f"sheet {word_cell(sheet)}")
    if row is not None:
        parts.append(f"row {word_cell(row)}")
    return ", ".join(part for part in parts if part)


def _word_value(text: object) -> str:
    try:
        return word_cell(float(str(text)))
    except ValueError:
        return word_cell(text)


def _word_rest(number: int) -> str:
    return "" if number <= _MOST_ROWS else f" The first {_MOST_ROWS} of {number}."
