"""Marked workbooks that came back: what a person filled in, and what was changed elsewhere."""

import datetime as dt
import warnings
import zipfile
from xml.sax.saxutils import escape

import openpyxl
import pandas as pd
import pytest

from bodycond.errors import CorrectionError, UnreadableFileError
from bodycond.legacy.corrections.correction_files import read_corrections
from bodycond.legacy.corrections.marked_workbooks import write_marked_workbook
from bodycond.legacy.files.grids import build_grid
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.ledger import QUARANTINE_COLUMNS
from bodycond.tables_on_disk import name_column


def make_sheet(rows, *, name="book"):
    texts, kinds = build_grid(rows)
    return Sheet(file="book.csv", name=name, texts=texts, kinds=kinds)


def hold(sheet, *places):
    rows = [
        (sheet.file, sheet.name, row + 1, column + 1,
         f"{sheet.name}!{name_column(column + 1)}{row + 1}", sheet.texts[row, column],
         "no number", "185?", "exams.mass_g", None)
        for row, column in places
    ]  # fmt: skip
    return pd.DataFrame(rows, columns=list(QUARANTINE_COLUMNS))


def mark(tmp_path, sheet, *places):
    path = tmp_path / "book.csv.held.xlsx"
    write_marked_workbook([sheet], hold(sheet, *places), path)
    return path


def fill_in(path, changes):
    """Fill in a marked workbook as a person would: by sheet and address."""
    book = openpyxl.load_workbook(path)
    for (sheet, address), value in changes.items():
        book[sheet][address] = value
    book.save(path)


SHEET = make_sheet([["Case", "Wt", "Date"], *[[f"SK-{i}", "18S", "31/2/2019"] for i in range(6)]])


@pytest.mark.parametrize(
    ("title", "where"), [("intake", "and no such sheet"), ("Held cells", "in its sheet")]
)
def test_a_workbook_without_the_list_is_an_error(tmp_path, title, where):
    path = tmp_path / "b.xlsx"
    book = openpyxl.Workbook()
    book.active.title = title
    book.save(path)
    with pytest.raises(UnreadableFileError) as caught:
        read_corrections(path)
    assert str(caught.value).startswith("A marked workbook has a sheet 'Held cells' with the head")
    assert f"{path} without them {where}" in caught.value.found
    assert caught.value.then == (
        "Give a workbook that the import wrote, or a corrections file as CSV"
    )


def test_a_damaged_workbook_is_an_error(tmp_path):
    path = mark(tmp_path, SHEET, (1, 1))
    path.write_bytes(path.read_bytes()[:3000])
    with pytest.raises(UnreadableFileError, match="a damaged or truncated file"):
        read_corrections(path)


def test_a_person_fills_in_the_workbook(tmp_path):
    path = mark(tmp_path, SHEET, (1, 1), (2, 1), (3, 1), (1, 2), (2, 2), (4, 1))
    day = dt.date(2024, 5, 31)
    by = {"K": "S1", "L": "paper card"}
    decisions = {
        2: {"I": "corrected", "J": 185, **by, "M": day},
        3: {"J": 186.5, **by, "M": dt.datetime(2024, 5, 31, 14, 30)},
        4: {"I": "No value", **by, "M": "2024-06-01"},
        5: {"I": "corrected", "J": dt.date(2019, 2, 28), **by},
        6: {"I": "as_written", **by},
    }
    fill_in(path, {
        ("Held cells", f"{column}{row}"): value
        for row, cells in decisions.items() for column, value in cells.items()
    })  # fmt: skip
    got = read_corrections(path)
    assert [row.values for row in got.rows] == [
        ("corrected", "book.csv", "book", "B2", "18S", "185", "", "", "S1", "paper card",
         "2024-05-31"),
        ("corrected", "book.csv", "book", "B3", "18S", "186.5", "", "", "S1", "paper card",
         "2024-05-31"),
        ("no_value", "book.csv", "book", "B4", "18S", "", "", "", "S1", "paper card",
         "2024-06-01"),
        ("corrected", "book.csv", "book", "C2", "31/2/2019", "2019-02-28", "", "", "S1",
         "paper card", ""),
        ("as_written", "book.csv", "book", "C3", "31/2/2019", "", "", "", "S1", "paper card", ""),
    ]  # fmt: skip
    assert got.rows[0].given_in == "book.csv.held.xlsx, row 2 of the list"
    assert got.n_undecided == 1
    assert got.proposals == ()
    assert got.summary().startswith("5 decisions: corrected 3, no_value 1, as_written 1.")


def test_a_workbook_filled_in_without_who_is_an_error_that_names_the_row(tmp_path):
    path = mark(tmp_path, SHEET, (1, 1))
    fill_in(path, {("Held cells", "J2"): "185"})
    with pytest.raises(CorrectionError) as caught:
        read_corrections(path)
    assert caught.value.found == (
        "book.csv.held.xlsx, row 2 of the list: who is empty; book.csv.held.xlsx, row 2 of the "
        "list: why is empty"
    )


def test_lines_above_the_list_and_columns_moved_do_not_matter(tmp_path):
    path = mark(tmp_path, SHEET, (1, 1))
    book = openpyxl.load_workbook(path)
    listed = book["Held cells"]
    cells = {cell.value: cell.column for cell in listed[1]}
    for name, value in {"decision": "not_exam", "who": "S1", "why": "a test weight"}.items():
        listed.cell(2, cells[name], value)
    rows = [list(row) for row in listed.iter_rows(values_only=True)]
    listed.delete_rows(1, 10)
    listed.append(["For Jo, please"])
    for row in rows:
        listed.append(row[::-1])
    book.save(path)
    (row,) = read_corrections(path).rows
    assert (row.decision, row.cell, row.why) == ("not_exam", "B2", "a test weight")


def test_held_cells_changed_in_the_copy_are_proposals_and_never_corrections(tmp_path):
    path = mark(tmp_path, SHEET, (1, 1), (2, 1), (3, 1), (4, 1))
    decided = {"J5": "184", "K5": "S1", "L5": "card"}
    fill_in(path, {
        ("book", "B2"): 185, ("book", "B3"): None, ("book", "B5"): "184",
        **{("Held cells", address): value for address, value in decided.items()},
    })  # fmt: skip
    got = read_corrections(path)
    assert [row.cell for row in got.rows] == ["B5"]
    assert [(row.decision, row.cell, row.raw, row.corrected, row.who) for row in got.proposals] == [
        ("corrected", "B2", "18S", "185", ""),
        ("no_value", "B3", "18S", "", ""),
    ]
    assert "2 held cells were changed in a copy, which counts only with a decision" in got.summary()


def save_as_document(path, sheets):
    """Save sheets of texts as an OpenDocument would hold them."""
    tables = "".join(
        f'<table:table table:name="{name}">'
        + "".join(
            "<table:table-row>"
            + "".join(
                '<table:table-cell office:value-type="string"><text:p>'
                f"{escape('' if text is None else str(text))}</text:p></table:table-cell>"
                for text in row
            )
            + "</table:table-row>"
            for row in rows
        )
        + "</table:table>"
        for name, rows in sheets.items()
    )
    spaces = "".join(
        f' xmlns:{word}="urn:oasis:names:tc:opendocument:xmlns:{word}:1.0"'
        for word in ("office", "table", "text")
    )
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("mimetype", kind)
        archive.writestr("content.xml", f"<office:document-content{spaces}><office:body>"
                         f"<office:spreadsheet>{tables}</office:spreadsheet></office:body>"
                         "</office:document-content>")  # fmt: skip
        archive.writestr("META-INF/manifest.xml", "<manifest/>")


def test_a_workbook_saved_as_a_document_of_the_other_kind_is_read_too(tmp_path):
    path = mark(tmp_path, SHEET, (1, 1))
    fill_in(path, {("Held cells", f"{letter}2"): text for letter, text in
                   {"J": "_x0041_", "K": "S1", "L": "paper card"}.items()})  # fmt: skip
    book = openpyxl.load_workbook(path)
    sheets = {sheet.title: sheet.iter_rows(values_only=True) for sheet in book}
    save_as_document(tmp_path / "held.ods", sheets)
    got = read_corrections(tmp_path / "held.ods")
    assert [(row.cell, row.raw, row.corrected) for row in got.rows] == [("B2", "18S", "_x0041_")]
    assert [(copy.file, copy.name) for copy in got.copies] == [("book.csv", "book")]


def test_copies_that_are_gone_are_said(tmp_path):
    path = mark(tmp_path, SHEET, (1, 1))
    book = openpyxl.load_workbook(path)
    del book["book"]
    book.save(path)
    assert read_corrections(path).notes == (
        "book.csv.held.xlsx: the copy 'book' is gone, so changes in it go unnoticed",
    )
    del book["About"]
    book.save(path)
    assert read_corrections(path).notes == (
        "book.csv.held.xlsx: the sheet 'About' is gone, so changes in the copies go unnoticed",
    )


def test_reading_is_quiet(tmp_path):
    path = mark(tmp_path, SHEET, (1, 1))
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert read_corrections([str(path)]).rows == ()
