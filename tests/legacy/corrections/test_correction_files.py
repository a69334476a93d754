"""Corrections read from files, whatever a spreadsheet program did to them, and saved again."""

import openpyxl
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodycond.errors import MissingColumnError, UnreadableFileError
from bodycond.legacy.corrections.correction_files import read_corrections
from bodycond.legacy.corrections.correction_records import (
    CORRECTION_COLUMNS,
    DRAFT_COLUMNS,
    Correction,
    Corrections,
    draft_corrections,
)
from bodycond.legacy.corrections.marked_workbooks import write_marked_workbook
from bodycond.legacy.files.grids import build_grid
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.ledger import QUARANTINE_COLUMNS
from bodycond.tables_on_disk import name_column, write_csv

CELL = {
    "decision": "corrected", "file": "book.csv", "sheet": "book", "cell": "B2", "raw": "18S",
    "corrected": "185", "who": "S1", "why": "paper card",
}  # fmt: skip
BIRDS = {
    "decision": "same_bird", "bird_id": "SK-1", "same_as": "SK-7", "who": "S1", "why": "ring list",
}  # fmt: skip


def write_lines(tmp_path, *rows, name="corrections.csv"):
    empty = dict.fromkeys(CORRECTION_COLUMNS, "")
    write_csv(pd.DataFrame([{**empty, **row} for row in rows]).astype("str"), tmp_path / name)
    return tmp_path / name


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


def test_a_corrections_file_gives_what_it_says(tmp_path):
    path = write_lines(
        tmp_path, {**CELL, "decided_on": "2024-05-31"}, {**CELL, "cell": "B3", "why": "-"}, BIRDS
    )
    got = read_corrections(path)
    assert got.rows[0].values == (
        "corrected", "book.csv", "book", "B2", "18S", "185", "", "", "S1", "paper card",
        "2024-05-31",
    )  # fmt: skip
    assert got.rows[1].why == "-"
    assert [row.given_in for row in got.rows] == [
        "corrections.csv, line 2", "corrections.csv, line 3", "corrections.csv, line 4",
    ]  # fmt: skip
    assert got.bird_links() == (got.rows[2],)
    assert got.for_sheet(file="book.csv", sheet="book") == got.rows[:2]
    assert got.for_sheet(file="book.csv", sheet="other") == ()


@pytest.mark.parametrize(
    ("content", "cells"),
    [
        (b"\xef\xbb\xbfdecision,who,why,file,sheet,cell,raw\nno_value,S1,x,f,s,B2,?\n", "B2"),
        (b"Decision ;WHO;why;file;sheet;cell;raw\r\nNo value;S1;x;f;s;$b$2;?\r\n", "B2"),
        ("decision\twho\twhy\tfile\tsheet\tcell\traw\nNO-VALUE\tS1\tx\tf\ts\ts!B2\t?\n".encode(
            "utf-16"), "B2"),
    ],
)  # fmt: skip
def test_what_spreadsheet_programs_do_to_a_file_is_undone(tmp_path, content, cells):
    path = tmp_path / "c.csv"
    path.write_bytes(content)
    (row,) = read_corrections(path).rows
    assert (row.decision, row.cell, row.raw, row.who) == ("no_value", cells, "?", "S1")


def test_rows_without_a_decision_are_passed_over_and_counted(tmp_path):
    undecided = {**CELL, "decision": "", "corrected": "", "who": "", "why": ""}
    path = write_lines(tmp_path, undecided, {**CELL, "decision": ""}, {})
    got = read_corrections([path])
    assert [(row.decision, row.corrected) for row in got.rows] == [("corrected", "185")]
    assert got.n_undecided == 1
    assert got.summary() == "1 decisions: corrected 1. 1 rows have no decision yet."


def test_who_or_why_without_a_decision_is_said(tmp_path):
    path = write_lines(tmp_path, {**CELL, "decision": "", "corrected": ""})
    assert read_corrections(path).notes == (
        "corrections.csv, line 2: who or why is filled in, and no decision",
    )


def test_line_numbers_count_line_ends_inside_cells(tmp_path):
    first = {**CELL, "raw": "18S\n(?)\r\nold", "why": "paper\ncard"}
    path = write_lines(tmp_path, first, {**CELL, "cell": "B3"})
    assert [row.given_in for row in read_corrections(path).rows] == [
        "corrections.csv, line 2", "corrections.csv, line 6",
    ]  # fmt: skip


def test_a_correction_given_twice_counts_once(tmp_path):
    first = write_lines(tmp_path, CELL, name="a.csv")
    second = write_lines(tmp_path, CELL, {**CELL, "who": "K2"}, name="b.csv")
    got = read_corrections([first, second])
    assert [(row.who, row.given_in) for row in got.rows] == [
        ("S1", "a.csv, line 2"), ("K2", "b.csv, line 3"),
    ]  # fmt: skip
    assert got.notes == ("1 corrections are given more than once",)


@pytest.mark.parametrize(
    ("content", "found"),
    [
        ("file,cell\n", "with no decision, who, why in line 1"),
        ("decision,who,why,who\n", "with more than one who in line 1"),
        ("decision,who,who\n", "with no why and more than one who in line 1"),
        ("", "with no decision, who, why in line 1"),
    ],
)
def test_a_file_without_the_columns_is_an_error(tmp_path, content, found):
    path = tmp_path / "c.csv"
    path.write_text(content, encoding="utf-8")
    with pytest.raises(UnreadableFileError) as caught:
        read_corrections(path)
    assert str(caught.value) == (
        f"A corrections file has the columns {', '.join(CORRECTION_COLUMNS)}. Found: {path} "
        f"{found}. Begin with a draft that bodycond writes, and keep its headings."
    )


def test_a_file_that_is_no_utf8_is_an_error(tmp_path):
    path = tmp_path / "c.csv"
    path.write_bytes(b"decision,who,why\ncorrected,J\xfcrg,card\n")
    with pytest.raises(UnreadableFileError) as caught:
        read_corrections(path)
    assert str(caught.value) == (
        f"The corrections file {path} must be text in UTF-8. Found: bytes that are none, at byte "
        "28. Save it from the spreadsheet program as 'CSV UTF-8', or use the marked workbook."
    )


def test_a_quotation_mark_gone_wrong_is_an_error(tmp_path):
    path = tmp_path / "c.csv"
    path.write_text('decision,who,why\ncorrected,S1,"card\n', encoding="utf-8")
    with pytest.raises(UnreadableFileError) as caught:
        read_corrections(path)
    assert str(caught.value) == (
        f"The corrections file {path} must be a CSV table. Found: unexpected end of data, in or "
        "after line 2. Look there for a quotation mark that is not doubled or never closed."
    )


def test_another_kind_of_file_is_an_error(tmp_path):
    with pytest.raises(UnreadableFileError) as caught:
        read_corrections(tmp_path / "c.docx")
    assert str(caught.value) == (
        "Corrections come as CSV, or as a marked workbook (XLSX, XLSM, ODS). Found: "
        f"{tmp_path / 'c.docx'} with the ending '.docx'. Save it as one of these."
    )


@pytest.mark.parametrize("name", ["gone.csv", "gone.xlsx"])
def test_a_file_that_is_gone_is_an_error(tmp_path, name):
    with pytest.raises(UnreadableFileError, match="No such file"):
        read_corrections(tmp_path / name)


def test_a_workbook_saved_as_a_corrections_file_says_the_same(tmp_path):
    sheet = make_sheet([["Wt"], ["=1+1"], ["a;\r\n-b\x07"], ["'=x"]])
    path = mark(tmp_path, sheet, (1, 0), (2, 0), (3, 0))
    fill_in(path, {
        ("Held cells", f"{column}{row}"): text
        for row in (2, 3, 4) for column, text in {"J": "+185", "K": "@S1", "L": "- card"}.items()
    })  # fmt: skip
    got = read_corrections(path)
    written = got.save(tmp_path / "c.csv")
    assert written.n_rows == 3
    again = read_corrections(tmp_path / "c.csv")
    assert [row.values for row in again.rows] == [row.values for row in got.rows]
    assert [row.raw for row in again.rows] == ["=1+1", "a;\r\n-b\x07", "'=x"]
    text = (tmp_path / "c.csv").read_text(encoding="utf-8")
    assert "'=1+1" in text
    assert "'+185" in text


@given(st.lists(st.tuples(st.text(st.characters(codec="utf-8")), st.text("=+-@'\t\r\n;,\" a"))))
def test_any_texts_survive_saving_and_reading(tmp_path_factory, texts):
    path = tmp_path_factory.mktemp("saved") / "c.csv"
    rows = tuple(
        Correction(**{**CELL, "cell": f"B{i + 2}", "raw": raw, "corrected": f"{corrected}x{raw}"})
        for i, (raw, corrected) in enumerate(texts)
    )
    Corrections(rows=rows).save(path)
    assert [row.values for row in read_corrections(path).rows] == [row.values for row in rows]


def test_a_draft_lists_the_held_cells_and_decides_nothing(tmp_path):
    draft = draft_corrections(hold(SHEET, (1, 1), (2, 2)))
    assert tuple(draft.columns) == DRAFT_COLUMNS
    assert draft.iloc[1].to_dict() == {
        **dict.fromkeys(CORRECTION_COLUMNS, ""), "file": "book.csv", "sheet": "book",
        "cell": "C3", "raw": "31/2/2019", "reason": "no number", "likely": "185?",
    }  # fmt: skip
    write_csv(draft, tmp_path / "draft.csv")
    got = read_corrections(tmp_path / "draft.csv")
    assert got.rows == ()
    assert got.n_undecided == 2
    assert got.summary() == "0 decisions: none. 2 rows have no decision yet."
    assert draft_corrections(hold(SHEET)).empty
    unknown = hold(SHEET, (1, 1)).assign(likely=float("nan"))
    assert draft_corrections(unknown)["likely"].tolist() == [""]


def test_a_draft_of_another_table_is_an_error():
    with pytest.raises(MissingColumnError, match="A draft of corrections needs the columns 'file'"):
        draft_corrections(pd.DataFrame({"a": [1]}))
