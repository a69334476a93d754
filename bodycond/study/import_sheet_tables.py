"""The import report's tables of files and sheets, bounded, with the file that has the rest."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import PurePath
from typing import TYPE_CHECKING, Any

from bodycond.study.import_findings import ImportFindings
from bodycond.study.report_tables import ReportTable, without_empty_columns, word_cell
from bodycond.study.visible_texts import show_text, word_rest

if TYPE_CHECKING:
    from bodycond.legacy import LegacyImport, Sheet

_MOST_SHEETS = 200
_MOST_ALIKE = 12
_LONGEST_PROBLEM = 240

_UNSEEN = (
    "Hidden sheets", "Hidden rows", "Hidden columns", "Struck through", "Partly struck",
    "Comments", "Formulas", "Merged ranges", "Coloured cells",
)  # fmt: skip

_SHEET_HEADINGS = {
    "raw_cells": "Filled cells", "accepted": "Accepted", "converted": "Converted",
    "quarantined": "Held back", "set_aside": "Set aside", "rows_in": "Rows",
    "rows_spread": "Records that share a row", "exams_out": "Exams", "ratings_out": "Ratings",
    "rows_held": "Rows held", "rows_not_exams": "Neither",
}  # fmt: skip


def table_checks(findings: ImportFindings) -> ReportTable:
    """Print the sums that must agree.

    Parameters
    ----------
    findings : ImportFindings
        The import.

    Returns
    -------
    ReportTable
        One row a sum.
    """
    rows = [
        (row["first"].capitalize(), word_cell(row["first_count"]), row["second"],
         word_cell(row["second_count"]), "yes" if row["agrees"] else "NO")
        for row in findings.checks.to_dict("records")
    ]  # fmt: skip
    return ReportTable(
        caption="Sums that must agree, each counted in two ways.",
        headings=("Count", "Number", "Must equal", "Number", "Agrees"),
        rows=tuple(rows),
    )


def table_source_files(imported: LegacyImport) -> ReportTable:
    """Print the files with their whole hash.

    Parameters
    ----------
    imported : LegacyImport
        The import.

    Returns
    -------
    ReportTable
        One row a file.
    """
    rows = [
        (show_text(row["file"]), word_cell(row["sheets"]), _part_hash(row["sha256"]),
         show_text(row["problem"], limit=_LONGEST_PROBLEM))
        for row in imported.files.head(_MOST_SHEETS).to_dict("records")
    ]  # fmt: skip
    return without_empty_columns(
        ReportTable(
            caption="Files, with their SHA-256 in four parts. None of them was changed."
            + word_rest(len(imported.files), _MOST_SHEETS, "manifest.json"),
            headings=("File", "Sheets", "SHA-256", "Problem"),
            rows=tuple(rows),
        )
    )


def table_sheets(findings: ImportFindings) -> ReportTable:
    """Print where every cell and row went, sheet by sheet, with the sums.

    Parameters
    ----------
    findings : ImportFindings
        The import.

    Returns
    -------
    ReportTable
        One row a sheet, the sums first.
    """
    counts = findings.reconciliation
    names = [name for name in _SHEET_HEADINGS if name in counts.columns]
    if "rows_spread" in names and not counts["rows_spread"].any():
        names.remove("rows_spread")
    rows = [("All files", "", *_word_counts(counts[names].sum(), names))]
    summed = False
    for file, sheets in counts.groupby("file", sort=False):
        shown = show_text(file)
        if len(sheets) > 1:
            label = f"all {len(sheets)} sheets"
            rows.append((shown, label, *_word_counts(sheets[names].sum(), names)))
        if len(sheets) > _MOST_ALIKE:
            # Field forms, a sheet each, would fill pages with rows that are nearly the same.
            summed = True
            continue
        rows += [
            (shown, _name_sheet(row["file"], row["sheet"]), *_word_counts(row, names))
            for row in sheets.to_dict("records")
        ]
    return ReportTable(
        caption="Where every cell and every row went. Filled cells are accepted, converted, held "
        "back or set aside; rows are exams, ratings, held, or neither (titles, headings, totals)."
        + (
            f" Of files of more than {_MOST_ALIKE} sheets the sums are shown; each sheet is in "
            "reconciliation.csv."
            if summed
            else ""
        )
        + word_rest(len(rows), _MOST_SHEETS, "reconciliation.csv"),
        headings=("File", "Sheet", *(_SHEET_HEADINGS[name] for name in names)),
        rows=tuple(rows[:_MOST_SHEETS]),
        grouped=True,
    )


def table_unseen(imported: LegacyImport) -> ReportTable | None:
    """Print what a reader of a sheet may not see: hidden, struck, coloured, commented parts.

    Parameters
    ----------
    imported : LegacyImport
        The import.

    Returns
    -------
    ReportTable or None
        One row a sheet that has any; None where none has.
    """
    by_file: dict[str, list[tuple[str, tuple[int, ...]]]] = {}
    for account in imported.accounts:
        counts = _count_unseen(account.sheet)
        if any(counts):
            file = account.sheet.file
            by_file.setdefault(file, []).append((_name_sheet(file, account.sheet.name), counts))
    if not by_file:
        return None
    rows: list[tuple[str, ...]] = []
    for file, sheets in by_file.items():
        if len(sheets) > _MOST_ALIKE:
            sums = tuple(map(sum, zip(*(counts for _, counts in sheets), strict=True)))
            sheets = [(f"{len(sheets)} sheets together", sums)]
        rows += [
            (show_text(file), name, *(word_cell(count) if count else "" for count in counts))
            for name, counts in sheets
        ]
    return without_empty_columns(
        ReportTable(
            caption="What is on the sheets and easily overlooked. Hidden parts were read like any "
            "other; cells struck through were set aside; comments and formulas stand in the "
            "ledger beside their cell; what a colour means is not known, so colour was not read."
            + word_rest(len(rows), _MOST_SHEETS, "notes.csv"),
            headings=("File", "Sheet", *_UNSEEN),
            rows=tuple(rows[:_MOST_SHEETS]),
            grouped=True,
        )
    )


def _part_hash(digest: Any) -> str:
    """Part a hash, so that it can be read aloud and breaks across lines on paper."""
    text = word_cell(digest)
    return " ".join(text[start : start + 16] for start in range(0, len(text), 16))


def _name_sheet(file: str, sheet: str) -> str:
    return "" if PurePath(file).stem == sheet else show_text(sheet)


def _word_counts(row: Any, names: Sequence[str]) -> tuple[str, ...]:
    return tuple(word_cell(int(row[name])) for name in names)


def _count_unseen(sheet: Sheet) -> tuple[int, ...]:
    """Count in the order of ``_UNSEEN``."""
    coloured = {
        (int(row), int(column))
        for places in (*sheet.fills.values(), *sheet.inks.values())
        for row, column in places
    }
    return (
        int(sheet.hidden), len(sheet.hidden_rows), len(sheet.hidden_columns), len(sheet.struck),
        len(sheet.partly_struck), len(sheet.comments), len(sheet.formulas), len(sheet.merged),
        len(coloured),
    )  # fmt: skip
