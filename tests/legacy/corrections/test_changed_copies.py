"""Cells changed in the copy of a sheet: noticed, proposed, never applied."""

import openpyxl
import pandas as pd

from bodycond.legacy.corrections.correction_files import read_corrections
from bodycond.legacy.corrections.correction_log import build_correction_log
from bodycond.legacy.corrections.corrections import (
    apply_to_sheet,
)
from bodycond.legacy.corrections.marked_workbooks import write_marked_workbook
from bodycond.legacy.files.grids import build_grid
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.ledger import QUARANTINE_COLUMNS
from bodycond.tables_on_disk import name_column

ROWS = [["Case", "Wt", "KS"], ["SK-1", "18S", "3"], ["SK-2", 999, "n/d"], ["SK-3", "", "thin"]]


def make_sheet(rows=None, **more):
    texts, kinds = build_grid(ROWS if rows is None else rows)
    return Sheet(**{"file": "book.csv", "name": "book", "texts": texts, "kinds": kinds, **more})


def mark(tmp_path, sheet, *places):
    rows = [
        (sheet.file, sheet.name, row + 1, column + 1,
         f"{sheet.name}!{name_column(column + 1)}{row + 1}", sheet.texts[row, column],
         "no number", "", "exams.mass_g", None)
        for row, column in places
    ]  # fmt: skip
    path = tmp_path / "book.csv.held.xlsx"
    write_marked_workbook([sheet], pd.DataFrame(rows, columns=list(QUARANTINE_COLUMNS)), path)
    return path


def test_cells_changed_in_the_copy_are_noticed_and_not_applied(tmp_path):
    sheet = make_sheet()
    path = mark(tmp_path, sheet, (1, 1))
    book = openpyxl.load_workbook(path)
    for address, value in {"A2": "SK-9", "B3": None, "B4": 190, "E9": "new", "C2": 3}.items():
        book["book"][address] = value
    book["Held cells"]["J2"], book["Held cells"]["K2"] = "185", "S1"
    book["Held cells"]["L2"], book["book"]["B2"] = "card", "185"
    book.save(path)
    corrections = read_corrections(path)
    corrected, logged = apply_to_sheet(sheet, corrections)
    assert corrected.texts.tolist() == [
        ["Case", "Wt", "KS"], ["SK-1", "185", "3"], ["SK-2", "999", "n/d"], ["SK-3", "", "thin"],
    ]  # fmt: skip
    log = build_correction_log(corrections, logged, sheets=[("book.csv", "book")])
    assert log[["decision", "cell", "raw", "corrected", "who"]].values.tolist() == [
        ["corrected", "B2", "18S", "185", "S1"],
        ["corrected", "A2", "SK-1", "SK-9", ""],
        ["no_value", "B3", "999", "", ""],
        ["corrected", "B4", "", "190", ""],
        ["corrected", "E9", "", "new", ""],
    ]
    assert log["applied"].tolist() == [True, False, False, False, False]
    assert set(log["outcome"][1:3]) == {
        "not applied: changed in a marked copy, and a correction needs a decision, who and why"
    }
    assert set(log["outcome"][3:]) == {
        "not applied: written in a marked copy into a cell that is empty in the source, which no "
        "correction can fill"
    }
    assert log["given_in"][1] == "book.csv.held.xlsx"


def test_a_number_that_lost_its_last_digit_on_the_way_is_no_change(tmp_path):
    sheet = make_sheet([["Wt"], [186.12345678901234], ["x"]])
    path = mark(tmp_path, sheet, (2, 0))
    book = openpyxl.load_workbook(path)
    book["book"]["A2"] = 186.1234567890123
    book.save(path)
    assert sheet.texts[1, 0] != "186.1234567890123"
    assert apply_to_sheet(sheet, read_corrections(path))[1] == ()
    book["book"]["A2"] = 186.12345678
    book.save(path)
    (entry,) = apply_to_sheet(sheet, read_corrections(path))[1]
    assert entry.correction.corrected == "186.12345678"


def test_a_copy_that_was_sorted_is_not_taken_for_changes(tmp_path):
    rows = [[f"SK-{i}", 100 + i, f"remark {i}"] for i in range(30)]
    sheet = make_sheet(rows)
    path = mark(tmp_path, sheet, (1, 1))
    book = openpyxl.load_workbook(path)
    for row, values in enumerate(reversed(rows), start=1):
        for column, value in enumerate(values, start=1):
            book["book"].cell(row, column, value)
    book.save(path)
    corrections = read_corrections(path)
    same, (entry,) = apply_to_sheet(sheet, corrections)
    assert same is sheet
    assert entry.outcome == (
        "90 cells of the marked copy differ, as after sorting or putting in rows; they are not "
        "taken for changes"
    )
    log = build_correction_log(corrections, [entry], sheets=[("book.csv", "book")])
    assert log.loc[0, ["decision", "cell", "applied"]].tolist() == ["", "", False]


def test_a_whole_column_changed_in_the_copy_is_proposed_cell_by_cell(tmp_path):
    sheet = make_sheet([[f"SK-{i}", f"{i}?", "x"] for i in range(30)])
    path = mark(tmp_path, sheet, (1, 1))
    book = openpyxl.load_workbook(path)
    for row in range(1, 31):
        book["book"].cell(row, 2, row)
    book.save(path)
    _, logged = apply_to_sheet(sheet, read_corrections(path))
    assert [entry.correction.cell for entry in logged] == [f"B{i}" for i in range(1, 31)]
