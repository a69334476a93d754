"""Marked workbooks: held cells listed with room to decide, and nothing that runs."""

import datetime as dt
import zipfile

import numpy as np
import openpyxl
import pandas as pd
import pytest

from bodycond.errors import ArgumentError, MissingColumnError
from bodycond.legacy.corrections.correction_records import CELL_DECISIONS
from bodycond.legacy.corrections.held_cell_list import LIST_COLUMNS
from bodycond.legacy.corrections.marked_workbooks import (
    name_marked_workbooks,
    write_marked_workbook,
    write_marked_workbooks,
)
from bodycond.legacy.files.grids import build_grid
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.ledger import QUARANTINE_COLUMNS
from bodycond.tables_on_disk import name_column

ROWS = [
    ["Case", "Date", "Wt", "KS"],
    ["SK-1", dt.date(2019, 4, 3), 186.5, "=2+1"],
    ["SK-2", "31/2/2019", "18S", "#N/A"],
    ["007", None, 0.1 + 0.2, "calm, " * 20],
]


def make_sheet(rows=None, *, file="book.xlsx", name="intake", **more):
    texts, kinds = build_grid(ROWS if rows is None else rows)
    return Sheet(file=file, name=name, texts=texts, kinds=kinds, **more)


def hold(sheet, *places, reason="no number", likely=""):
    """Make the quarantine of some cells, rows and columns counted from 0."""
    rows = [
        {
            "file": sheet.file, "sheet": sheet.name, "row": row + 1, "column": column + 1,
            "address": f"{sheet.name}!{name_column(column + 1)}{row + 1}",
            "raw": sheet.texts[row, column], "reason": reason, "likely": likely,
            "target": "exams.mass_g", "exam_id": None,
        }
        for row, column in places
    ]  # fmt: skip
    whole = {"row", "column"}
    dtypes = {name: "int64" if name in whole else "str" for name in QUARANTINE_COLUMNS}
    return pd.DataFrame(rows, columns=list(QUARANTINE_COLUMNS)).astype(dtypes)


def write(tmp_path, sheet, quarantine, **more):
    path = tmp_path / "held.xlsx"
    return write_marked_workbook([sheet], quarantine, path, **more), openpyxl.load_workbook(path)


def test_the_list_comes_first_and_has_room_for_who_and_why(tmp_path):
    sheet = make_sheet()
    written, book = write(tmp_path, sheet, hold(sheet, (2, 2), likely="185"))
    assert book.sheetnames == ["Held cells", "About", "intake"]
    heading, row = book["Held cells"].iter_rows(values_only=True)
    assert heading == tuple(LIST_COLUMNS)
    assert dict(zip(heading, row, strict=True)) == {
        "file": "book.xlsx", "sheet": "intake", "cell": "C3", "raw": "18S", "reason": "no number",
        "likely": "185", "target": "exams.mass_g", "exam_id": None, "decision": None,
        "corrected": None, "who": None, "why": None, "decided_on": None,
    }  # fmt: skip
    assert written.n_held == 1
    assert written.copies == (("intake", "book.xlsx", "intake"),)


def test_the_list_can_be_read_and_filled_in(tmp_path):
    sheet = make_sheet()
    _, book = write(tmp_path, sheet, hold(sheet, (2, 2), (2, 3)))
    listed = book["Held cells"]
    assert listed.freeze_panes == "D2"
    assert listed.auto_filter.ref == "A1:M3"
    widths = {name: listed.column_dimensions[name].width for name in "ABCDEFGHIJKLM"}
    assert list(widths.values()) == [width for width, _ in LIST_COLUMNS.values()]
    assert all(cell.alignment.wrap_text for cell in listed[2])
    (choices,) = listed.data_validations.dataValidation
    assert choices.formula1 == f'"{",".join(CELL_DECISIONS)}"'
    assert str(choices.sqref) == "I2:I3"
    # Text format keeps a program from turning a typed 2-3 into a date; a day may be a date.
    assert [cell.number_format for cell in listed[2][8:]] == ["@", "@", "@", "@", "yyyy-mm-dd"]


def test_each_row_of_the_list_links_to_its_cell(tmp_path):
    sheet = make_sheet(name="R'n'B 2019")
    _, book = write(tmp_path, sheet, hold(sheet, (2, 2)))
    link = book["Held cells"]["C2"].hyperlink
    assert (link.ref, link.location, link.target) == ("C2", "'R''n''B 2019'!C3", None)


@pytest.mark.parametrize(
    "text", ["=1+1", "=cmd|'/c calc'!A1", "+1", "-1+2", "@SUM(A1)", "#REF!", "\t=1", "=", "'=1"]
)
@pytest.mark.parametrize("held", [True, False])
def test_no_text_of_a_stranger_becomes_a_formula(tmp_path, text, held):
    sheet = make_sheet([["Wt", "x"], [text, "18S"]])
    quarantine = hold(sheet, (1, 0) if held else (1, 1), likely=text, reason=text)
    path = tmp_path / "held.xlsx"
    write_marked_workbook([sheet], quarantine, path)
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    sheets = [part for name, part in parts.items() if name.startswith("xl/worksheets/sheet")]
    assert len(sheets) == 3
    assert not any(b"<f>" in part or b"<f " in part or b't="e"' in part for part in sheets)
    cell = openpyxl.load_workbook(path)["intake"]["A2"]
    assert cell.value == text
    assert cell.data_type == "s"
    # A program that is given the cell to edit takes it for text as well.
    assert cell.quotePrefix == (not text.startswith("'"))


def test_only_sheets_with_held_cells_are_copied_and_their_true_names_are_listed(tmp_path):
    names = ["Held cells", "ABOUT", "2019/20", "2019:20", "x" * 40, "history", "calm"]
    sheets = [make_sheet(name=name) for name in names]
    quarantine = pd.concat([hold(sheet, (2, 2)) for sheet in sheets[:-1]])
    path = tmp_path / "held.xlsx"
    written = write_marked_workbook(sheets, quarantine, path)
    copied = ["Held cells (2)", "ABOUT (2)", "2019_20", "2019_20 (2)", "x" * 31, "history (2)"]
    book = openpyxl.load_workbook(path)
    assert book.sheetnames == ["Held cells", "About", *copied]
    about = list(book["About"].iter_rows(values_only=True))
    start = about.index(("copied_as", "file", "sheet", "held_cells", "said"))
    assert [row[:4] for row in about[start + 1 :]] == [
        (copy, "book.xlsx", name, 1) for copy, name in zip(copied, names, strict=False)
    ]
    assert written.copies == tuple(
        (copy, "book.xlsx", name) for copy, name in zip(copied, names, strict=False)
    )
    for number, copy in enumerate(copied, start=2):
        link = book["Held cells"].cell(number, 3).hyperlink.location
        assert link == f"'{copy}'!C3"


def test_equal_input_gives_equal_bytes_at_any_time(tmp_path, monkeypatch):
    sheet = make_sheet(comments={(1, 0): "note"})
    quarantine = hold(sheet, (2, 2), (2, 3), likely="185")
    first, second = tmp_path / "first.xlsx", tmp_path / "second.xlsx"
    write_marked_workbook([sheet], quarantine, first)
    monkeypatch.setattr("time.time", lambda: 2_000_000_000.0)
    write_marked_workbook([sheet], quarantine, second)
    assert first.read_bytes() == second.read_bytes()
    with zipfile.ZipFile(first) as archive:
        assert {item.date_time for item in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    stamps = openpyxl.load_workbook(first).properties
    assert stamps.created == stamps.modified == dt.datetime(1980, 1, 1)


def test_the_source_is_left_as_it_was(tmp_path):
    sheet = make_sheet()
    texts, kinds = sheet.texts.copy(), sheet.kinds.copy()
    quarantine = hold(sheet, (2, 2))
    before = quarantine.copy()
    write(tmp_path, sheet, quarantine)
    assert np.array_equal(sheet.texts, texts)
    assert np.array_equal(sheet.kinds, kinds)
    pd.testing.assert_frame_equal(quarantine, before)


def test_each_file_with_held_cells_gets_a_workbook(tmp_path):
    sheets = [make_sheet(file=file) for file in ("2019/book.csv", "calm.csv", "2020/book.csv")]
    quarantine = pd.concat([hold(sheets[0], (2, 2)), hold(sheets[2], (2, 2), (2, 3))])
    told = []
    written = write_marked_workbooks(sheets, quarantine, tmp_path / "marked", progress=told.append)
    assert told == ["2019/book.csv", "2020/book.csv"]
    assert [(item.path.name, item.n_held) for item in written] == [
        ("2019_book.csv.held.xlsx", 1),
        ("2020_book.csv.held.xlsx", 2),
    ]
    assert sorted(path.name for path in (tmp_path / "marked").iterdir()) == [
        "2019_book.csv.held.xlsx",
        "2020_book.csv.held.xlsx",
    ]


def test_names_of_workbooks_never_leave_the_folder_nor_meet():
    names = name_marked_workbooks(["../x.csv", "a/b.csv", "a_b.csv", "A_B.csv", "..", 'q"?.csv'])
    assert list(names.values()) == [
        "_x.csv.held.xlsx", "a_b.csv.held.xlsx", "a_b.csv (2).held.xlsx",
        "A_B.csv (2).held.xlsx".replace("(2)", "(3)"), "file.held.xlsx", "q__.csv.held.xlsx",
    ]  # fmt: skip


def test_a_held_cell_that_is_on_no_sheet_is_an_error(tmp_path):
    sheet, other = make_sheet(), make_sheet(name="other")
    with pytest.raises(ArgumentError) as caught:
        write(tmp_path, sheet, hold(other, (2, 2)))
    assert str(caught.value) == (
        "Each held cell must be on one of the sheets. Found: none for book.xlsx other!C3. "
        "Give the sheets and the quarantine of one and the same import."
    )
    assert not list(tmp_path.iterdir())


def test_a_quarantine_without_its_columns_is_an_error(tmp_path):
    sheet = make_sheet()
    with pytest.raises(MissingColumnError, match="A marked workbook needs the column 'likely'"):
        write(tmp_path, sheet, hold(sheet, (2, 2)).drop(columns="likely"))


def test_without_held_cells_the_list_is_empty(tmp_path):
    sheet = make_sheet()
    written, book = write(tmp_path, sheet, hold(sheet))
    assert book.sheetnames == ["Held cells", "About"]
    assert written.n_held == 0


def test_a_long_reason_has_a_row_that_is_high_enough_and_pages_fit(tmp_path):
    sheet = make_sheet()
    quarantine = hold(sheet, (1, 2), (2, 2), reason="no number")
    quarantine.loc[1, "reason"] = "a reason of many words " * 5
    _, book = write(tmp_path, sheet, quarantine)
    held = book["Held cells"]
    assert held.row_dimensions[2].height is None
    # 115 letters in a column of 38 take four lines of 15 points.
    assert held.row_dimensions[3].height == 60
    for page in book.worksheets:
        assert page.page_setup.orientation == "landscape"
        assert page.sheet_properties.pageSetUpPr.fitToPage
    assert held.print_title_rows == "$1:$1"
