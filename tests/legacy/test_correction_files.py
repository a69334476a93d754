"""Corrections read: from files and filled-in workbooks, with every fault named at once."""

import datetime as dt
import pickle
import warnings
import zipfile
from xml.sax.saxutils import escape

import openpyxl
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodycond.errors import BodycondError, MissingColumnError, UnreadableFileError
from bodycond.legacy.correction_checking import CorrectionError
from bodycond.legacy.correction_files import read_corrections
from bodycond.legacy.correction_records import (
    CORRECTION_COLUMNS,
    DRAFT_COLUMNS,
    Correction,
    Corrections,
    draft_corrections,
)
from bodycond.legacy.grids import build_grid, name_column
from bodycond.legacy.ledger import QUARANTINE_COLUMNS
from bodycond.legacy.marked_workbooks import write_marked_workbook
from bodycond.legacy.sheets import Sheet
from bodycond.tables_on_disk import write_csv

HEADING = ",".join(CORRECTION_COLUMNS)
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
    path = write_lines(
        tmp_path, {**CELL, "decision": "", "corrected": ""}, {**CELL, "decision": ""}, {}
    )
    got = read_corrections([path])
    assert [(row.decision, row.corrected) for row in got.rows] == [("corrected", "185")]
    assert got.n_undecided == 1
    assert got.summary() == "1 decisions: corrected 1. 1 rows have no decision yet."


def test_line_numbers_count_line_ends_inside_cells(tmp_path):
    first = {**CELL, "raw": "18S\n(?)\r\nold", "why": "paper\ncard"}
    path = write_lines(tmp_path, first, {**CELL, "cell": "B3"})
    assert [row.given_in for row in read_corrections(path).rows] == [
        "corrections.csv, line 2", "corrections.csv, line 6",
    ]  # fmt: skip


FAULTS = [
    ({"who": " "}, "who is empty"),
    ({"why": ""}, "why is empty"),
    ({"decision": "fix"}, "the decision 'fix' is none of corrected, no_value, as_written, "
     "not_exam, same_bird, different_birds"),
    ({"file": ""}, "file is empty, and corrected is about a cell"),
    ({"sheet": ""}, "sheet is empty, and corrected is about a cell"),
    ({"cell": ""}, "cell is empty, and corrected is about a cell"),
    ({"cell": "2B"}, "cell is '2B' and no address as in B7"),
    ({"bird_id": "SK-1"}, "bird_id is filled, and corrected is about a cell"),
    ({"same_as": "SK-1"}, "same_as is filled, and corrected is about a cell"),
    ({"corrected": " "}, "corrected is empty; where the cell holds no value, decide no_value"),
    ({"corrected": "18S"}, "corrected is what the cell holds; to keep it so, decide as_written"),
    ({"decision": "no_value"}, "corrected is '185', and no_value takes no text"),
    ({"decision": "not_exam"}, "corrected is '185', and not_exam takes no text"),
    ({"decided_on": "31.5.2024"}, "decided_on is '31.5.2024' and no date as in 2024-05-31"),
    ({"decided_on": "2024-02-31"}, "decided_on is '2024-02-31' and no date as in 2024-05-31"),
    ({"decided_on": "20240531"}, "decided_on is '20240531' and no date as in 2024-05-31"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "fault"), FAULTS)
def test_a_fault_of_a_cells_correction_is_named_with_its_line(tmp_path, change, fault):
    path = write_lines(tmp_path, {**CELL, **change})
    with pytest.raises(CorrectionError) as caught:
        read_corrections(path)
    assert str(caught.value) == (
        "Each correction must say what is decided, by whom and why, and no two may contradict "
        f"each other. Found: corrections.csv, line 2: {fault}. Mend these lines; nothing was "
        "applied."
    )


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"bird_id": ""}, "bird_id is empty, and same_bird is about two birds"),
        ({"same_as": ""}, "same_as is empty, and same_bird is about two birds"),
        ({"same_as": "SK-1"}, "bird_id and same_as are one and the same, 'SK-1'"),
        ({"file": "b"}, "file is filled, and same_bird is about birds"),
        ({"cell": "B2"}, "cell is filled, and same_bird is about birds"),
    ],
)
def test_a_fault_of_a_link_of_birds_is_named_with_its_line(tmp_path, change, fault):
    path = write_lines(tmp_path, {**BIRDS, **change})
    with pytest.raises(CorrectionError) as caught:
        read_corrections(path)
    assert caught.value.found == f"corrections.csv, line 2: {fault}"


def test_every_fault_of_every_file_is_named_at_once(tmp_path):
    first = write_lines(tmp_path, {**CELL, "who": "", "why": ""}, name="a.csv")
    second = tmp_path / "b.csv"
    second.write_text(f"{HEADING}\n{',' * 10},surplus\n", encoding="utf-8")
    third = write_lines(tmp_path, CELL, {**CELL, "decision": "maybe", "cell": "C2"}, name="c.csv")
    with pytest.raises(CorrectionError) as caught:
        read_corrections([first, second, third])
    assert caught.value.found.split("; ") == [
        "b.csv, line 2: 12 cells under 11 headings",
        "a.csv, line 2: who is empty",
        "a.csv, line 2: why is empty",
        "c.csv, line 3: the decision 'maybe' is none of corrected, no_value, as_written, "
        "not_exam, same_bird, different_birds",
    ]
    assert isinstance(caught.value, BodycondError)
    assert str(pickle.loads(pickle.dumps(caught.value))) == str(caught.value)  # noqa: S301


def test_of_very_many_faults_the_first_are_spelled_out(tmp_path):
    rows = [{**CELL, "cell": f"B{i}", "who": ""} for i in range(2, 102)]
    with pytest.raises(CorrectionError) as caught:
        read_corrections(write_lines(tmp_path, *rows))
    assert caught.value.found.count("who is empty") == 30
    assert caught.value.found.endswith("; and 70 more")


def test_two_different_corrections_of_a_cell_name_both_lines(tmp_path):
    first = write_lines(tmp_path, CELL, name="a.csv")
    second = write_lines(tmp_path, {**CELL, "corrected": "188"}, name="b.csv")
    third = write_lines(tmp_path, {**CELL, "decision": "no_value", "corrected": ""}, name="c.csv")
    with pytest.raises(CorrectionError) as caught:
        read_corrections([first, second, third])
    assert caught.value.found == (
        "a.csv, line 2 and b.csv, line 2 decide book!B2 of book.csv differently: corrected '185' "
        "and corrected '188'; a.csv, line 2 and c.csv, line 2 decide book!B2 of book.csv "
        "differently: corrected '185' and no_value"
    )


def test_a_correction_given_twice_counts_once(tmp_path):
    first = write_lines(tmp_path, CELL, name="a.csv")
    second = write_lines(tmp_path, CELL, {**CELL, "who": "K2"}, name="b.csv")
    got = read_corrections([first, second])
    assert [(row.who, row.given_in) for row in got.rows] == [
        ("S1", "a.csv, line 2"), ("K2", "b.csv, line 3"),
    ]  # fmt: skip
    assert got.notes == ("1 corrections are given more than once",)


def test_two_texts_that_a_cell_is_said_to_hold_are_no_contradiction_yet(tmp_path):
    path = write_lines(tmp_path, CELL, {**CELL, "raw": "l8S", "corrected": "188"})
    assert len(read_corrections(path).rows) == 2


def test_birds_cannot_be_one_and_different_over_any_steps(tmp_path):
    rows = [
        BIRDS,
        {**BIRDS, "bird_id": "SK-9", "same_as": "SK-7"},
        {**BIRDS, "decision": "different_birds", "bird_id": "SK-1", "same_as": "SK-9"},
        {**BIRDS, "decision": "different_birds", "bird_id": "SK-1", "same_as": "SK-8"},
    ]
    with pytest.raises(CorrectionError) as caught:
        read_corrections(write_lines(tmp_path, *rows))
    assert caught.value.found == (
        "corrections.csv, line 4 says that 'SK-1' and 'SK-9' are different birds, and they are "
        "one by corrections.csv, line 2, corrections.csv, line 3"
    )
    assert len(read_corrections(write_lines(tmp_path, *rows[:2], rows[3])).bird_links()) == 3


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


def test_reading_is_quiet(tmp_path):
    path = mark(tmp_path, SHEET, (1, 1))
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert read_corrections([str(path)]).rows == ()
