"""Workbooks as a spreadsheet program saved them: what stands in them, whatever their kind."""

import struct
import zipfile
from pathlib import Path

import pytest

from bodycond.legacy import ImportRecipe, import_legacy, read_sheets
from bodycond.legacy.files.document_styles import DocumentStyles
from bodycond.legacy.files.document_times import word_long_time
from bodycond.legacy.files.number_formats import read_zeros
from bodycond.legacy.files.old_workbook_structure import read_old_structures
from bodycond.legacy.files.sheet_scanning import scan_sheet
from bodycond.legacy.files.workbook_structure import read_struck_strings
from bodycond.legacy.files.workbook_styles import CellFormat

SAVED = Path(__file__).parent / "saved"
BOOKS = ("field_book.xls", "field_book.ods", "field_book.xlsx")


def read(name):
    if name.endswith(".xls"):
        pytest.importorskip("xlrd")
    return read_sheets(SAVED / name)


@pytest.fixture(params=BOOKS)
def sheet(request):
    return read(request.param)[0]


def at(sheet, place):
    row, column = int(place[1:]) - 1, ord(place[0]) - ord("A")
    return sheet.texts[row, column], str(sheet.kinds[row, column])


def test_texts_keep_their_lines_tabs_letters_and_zeros(sheet):
    assert at(sheet, "A1") == ("Kestrels ringed in 2019", "t")
    assert at(sheet, "D2") == ("Wing\n(mm)", "t")
    assert at(sheet, "F3") == ("two\nlines", "t")
    assert at(sheet, "F4") == ("♀ „ruhig“", "t")
    assert at(sheet, "F5") == ("a\tb", "t")
    assert at(sheet, "A5") == ("0012347", "t")
    assert at(sheet, "E3") == ("1", "t")


def test_numbers_days_and_times_have_their_kinds(sheet):
    assert at(sheet, "D3") == ("240.5", "n")
    assert at(sheet, "H5") == ("0.25", "n")
    assert at(sheet, "B8") == ("2019-05-06", "d")
    assert at(sheet, "E6") == ("2019-03-02", "d")
    assert at(sheet, "G3") == ("08:30:00", "h")
    # 38 hours, which another format than that of a time of day shows.
    assert at(sheet, "G8") == ("1 day, 14:00:00", "h")


def test_results_of_formulas_are_the_values(sheet):
    assert at(sheet, "C3") == ("215", "n")
    assert at(sheet, "D9") == ("242.5", "n")
    assert at(sheet, "H4") == ("TRUE", "b")
    assert float(at(sheet, "I3")[0]) == pytest.approx(215 / 240.5)


def test_errors_are_errors_whether_typed_or_worked_out(sheet):
    assert at(sheet, "C4") == ("#N/A", "e")
    assert at(sheet, "C5") == ("#DIV/0!", "e")
    assert at(sheet, "C9") == ("#N/A", "e")


def test_formula_that_gives_an_empty_text_leaves_the_cell_empty_and_is_said(sheet):
    assert at(sheet, "H3") == ("", " ")
    (note,) = [note for note in sheet.notes if "empty text" in note]
    assert note.startswith("cells taken as empty, in which a formula gives an empty text: 1, first")
    assert "H3 (=IF(" in note


@pytest.mark.parametrize("name", ["field_book.xls", "field_book.xlsx"])
def test_formulas_are_kept_those_of_a_group_too(name):
    first, second = read(name)
    formulas = first.formulas
    assert formulas[2, 2] == "=200+15"
    assert formulas[4, 2] == "=D5/0"
    assert formulas[8, 3] == "=AVERAGE(D3:D8)"
    assert [formulas[row, 8] for row in range(2, 8)] == [f"=C{n}/D{n}" for n in range(3, 9)]
    assert second.formulas == {(1, 1): "='Bücher 2019'!C3*2"}


def test_formulas_of_an_open_document_are_kept_in_its_own_words():
    first, second = read("field_book.ods")
    assert first.formulas[2, 2] == "=200+15"
    assert first.formulas[8, 3] == "=AVERAGE([.D3:.D8])"
    assert second.formulas == {(1, 1): "=[$'Bücher 2019'.C3]*2"}


def test_comments_are_kept_those_on_empty_cells_too(sheet):
    assert sheet.comments == {(6, 2): "weighed twice\nbalance 2", (7, 3): "feather broken"}
    assert at(sheet, "D8") == ("", " ")


def test_struck_texts_are_told_from_those_struck_in_part(sheet):
    # F7 has a struck format, of which the letters of 'new' are free; F8 is struck piece by piece.
    assert sheet.struck == {(5, 2), (7, 5)}
    assert sheet.partly_struck == {(5, 5): "calm ", (6, 5): "new"}


def test_hidden_and_merged_parts_are_kept(sheet):
    assert (sheet.hidden_rows, sheet.hidden_columns) == ({4}, {6})
    assert sheet.merged == ((0, 0, 0, 3),)


@pytest.mark.parametrize("name", BOOKS)
def test_hidden_sheet_is_read_and_said(name):
    first, second = read(name)
    assert (first.name, first.hidden) == ("Bücher 2019", False)
    assert (second.name, second.hidden) == ("keys", True)
    assert second.texts.tolist() == [["1", "emaciated"], ["2", "430"]]
    assert "the sheet is hidden" in second.notes


def test_colours_and_rules_that_colour_are_said(sheet):
    assert {name: places.tolist() for name, places in sheet.fills.items()} == {"#FFFF00": [[7, 2]]}
    assert {name: places.tolist() for name, places in sheet.inks.items()} == {"#FF0000": [[6, 3]]}
    assert "cells coloured by rules of the sheet (conditional formats): not read" in sheet.notes


def test_ring_numbers_are_shown_with_zeros_and_dashes(sheet):
    assert sheet.shown == {
        (2, 0): "0012345", (3, 0): "001-2346", (6, 0): "0012349", (7, 0): "0012350",
    }  # fmt: skip
    assert at(sheet, "A4") == ("12346", "n")


@pytest.mark.parametrize("name", ["days_of_1904.xls", "days_of_1904.ods"])
def test_days_counted_from_1904_and_empty_rows_before_the_table(name):
    (sheet,) = read(name)
    assert sheet.texts[3:, 2:].tolist() == [
        ["Ring no.", "Date", "Stamp", "Time"],
        ["TR-1", "1998-05-01", "1998-05-01 23:59:59", "06:05:07"],
        ["TR-2", "1904-01-03", "1904-01-03 23:59:59", "07:05:07"],
        ["TR-3", "2000-02-29", "2000-02-29 23:59:59", "08:05:07"],
    ]
    assert not sheet.filled[:3].any()
    assert not sheet.filled[:, :2].any()


@pytest.mark.parametrize("name", BOOKS)
def test_import_is_that_of_the_sheet_whatever_its_kind(name):
    read(name)
    recipe = ImportRecipe.from_text("""
version: 1
sheets:
- sheet: "Bücher 2019"
  file: "*"
  heading_row: 2
  columns:
    Ring no.: {field: ring_number}
    Date: {field: exam_date}
    Weight (g): {field: mass_g, unit: g}
    Wing (mm): {field: wing_mm, unit: mm}
- sheet: keys
  file: "*"
  table: set_aside
  why: a list of codes
""")
    imported = import_legacy(SAVED / name, recipe)
    exams = imported.exams
    # The averages at the foot are formulas over the column, and no exam.
    assert exams["ring_number"].tolist() == [
        "0012345", "001-2346", "0012347", "AB 12348", "0012349", "0012350",
    ]  # fmt: skip
    assert exams["mass_g"].fillna(-1).tolist() == [215, -1, -1, -1, 194, 195]
    assert exams["wing_mm"].fillna(-1).tolist() == [240.5, 241.5, 242.5, 243.5, 244.5, -1]
    assert exams["exam_date"].dt.day.tolist() == [1, 2, 3, 4, 5, 6]
    ledger = imported.ledger.set_index("address")
    assert ledger.loc["Bücher 2019!C6", "outcome"] == "set_aside"
    assert "comment: weighed twice" in ledger.loc["Bücher 2019!C7", "reason"]
    assert "formula: =200+15" in ledger.loc["Bücher 2019!C3", "reason"]


def test_words_of_a_text_box_are_not_those_of_the_cell_below_it():
    (sheet,) = read("text_box.ods")
    assert at(sheet, "B5") == ("201 g", "t")
    assert (4, 1) not in sheet.partly_struck


def test_groups_links_spans_and_covered_cells_of_an_open_document():
    (sheet,) = read("text_box.ods")
    assert (sheet.hidden_rows, sheet.hidden_columns) == ({1, 2, 3}, {1, 2})
    assert at(sheet, "A2") == at(sheet, "A3") == ("T  1", "t")
    assert at(sheet, "A4") == ("link tail", "t")
    assert at(sheet, "E4") == ("beneath", "t")
    assert sheet.merged == ((3, 3, 3, 4),)
    assert sheet.struck == frozenset()
    assert sheet.partly_struck == {(4, 0): "new", (4, 3): "cc"}
    assert at(sheet, "C2") == at(sheet, "C4") == ("TRUE", "b")
    assert [at(sheet, place) for place in ("E2", "E5")] == [
        ("1 day, 2:05:07.500000", "h"), ("-2:30:00", "h"),
    ]  # fmt: skip
    # The format puts letters before the zeros, and both are shown.
    assert at(sheet, "B4") == ("45", "n")
    assert sheet.shown == {(3, 1): "AB 000045"}


def test_result_of_an_old_formula_is_empty_only_where_its_record_says_so():
    pytest.importorskip("xlrd")
    content = (SAVED / "field_book.xls").read_bytes()
    whole = read_old_structures(content)["Bücher 2019"]
    assert whole.empty_results == {(2, 7)}
    # A result is at byte 6 of its record; 3 says that it is an empty text.
    place = content.index(struct.pack("<HH", 2, 7), content.index(b"\x06\x00"))
    changed = content.replace(content[place : place + 14], content[place : place + 6] + bytes(8))
    assert read_old_structures(changed)["Bücher 2019"].empty_results == set()


@pytest.mark.parametrize(
    ("runs", "struck", "kept"),
    [
        ('<r><rPr><strike/></rPr><t>old </t></r><r><rPr><b/></rPr><t>new</t></r>', True, "new"),
        ('<r><rPr><strike/></rPr><t>old </t></r><r><t>new</t></r>', True, None),
        ('<r><rPr><strike/></rPr><t>old </t></r><r><t>new</t></r>', False, "new"),
        ('<r><rPr><b/></rPr><t>new</t></r>', True, "new"),
        ('<r><rPr><b/></rPr><t>new</t></r>', False, None),
    ],
)  # fmt: skip
def test_pieces_of_a_text_say_more_than_the_cells_format(runs, struck, kept):
    formats = {"1": CellFormat(struck=True)}
    cell = f'<c r="A1" s="{int(struck)}" t="inlineStr"><is>{runs}</is></c>'
    part = f'<worksheet><sheetData><row r="1">{cell}</row></sheetData></worksheet>'.encode()
    found = scan_sheet(part, formats=formats, strings={})
    assert found.partly_struck == ({} if kept is None else {(0, 0): kept})
    assert found.struck == ({(0, 0)} if struck and kept is None else set())
    shared = f"<sst><si>{runs}</si></sst>".encode()
    assert read_struck_strings(shared, cell_struck=struck) == ({} if kept is None else {0: kept})


def test_cell_beside_a_struck_text_is_not_struck():
    part = (
        b'<worksheet><sheetData><row r="1"><c r="A1" t="inlineStr"><is><r><rPr><strike/></rPr>'
        b'<t>gone</t></r></is></c><c r="B1" t="inlineStr"><is><t>calm</t></is></c></row>'
        b"</sheetData></worksheet>"
    )
    found = scan_sheet(part, formats={}, strings={})
    assert found.partly_struck == {(0, 0): ""}


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("PT26H05M07.5S", "1 day, 2:05:07.500000"), ("P2DT1H", "2 days, 1:00:00"),
        ("-PT02H30M00S", "-2:30:00"), ("PT23H59M59S", ""), ("PT0S", ""), ("-PT0S", ""),
        ("noon", ""),
    ],
)  # fmt: skip
def test_times_beyond_a_day_are_written_out(written, said):
    assert word_long_time(written) == said


def name_zeros(*steps):
    styles = DocumentStyles()
    for name, about, text in (
        ("style:style", {"style:name": "a", "style:family": "table-cell",
                         "style:data-style-name": "N"}, None),
        *steps,
    ):  # fmt: skip
        if name.startswith("/"):
            styles.end(name[1:])
        else:
            styles.start(name, about)
            if text is not None:
                styles.hear(text)
        if name == "style:style":
            styles.end(name)
    return styles.find("a").zeros


NUMBER = ("number:number-style", {"style:name": "N"}, None)
DIGITS = ("number:number", {"number:decimal-places": "0", "number:min-integer-digits": "7"}, None)
END = ("/number:number-style", {}, None)


def test_marks_stand_among_zeros_where_the_document_puts_them():
    def mark(place, text):
        return ("number:embedded-text", {"number:position": str(place)}, text)

    assert name_zeros(NUMBER, DIGITS, END) == "0000000"
    assert name_zeros(NUMBER, DIGITS, mark(5, "-"), mark(2, "/"), END) == "00-000/00"
    assert name_zeros(NUMBER, ("number:text", {}, "AB "), DIGITS, END) == ""
    assert name_zeros(NUMBER, DIGITS, ("number:text", {}, " g"), END) == ""


def test_stroke_that_is_not_quoted_makes_a_fraction():
    # The program shows 20190012 in the first of these as 20190012/0001.
    assert read_zeros("0000/0000") == ""
    assert read_zeros("0000\\/0000") == read_zeros('0000"/"0000') == "0000/0000"


def test_format_of_numbers_that_are_not_negative_counts():
    positive = ("number:number-style", {"style:name": "P"}, None)
    when = ("style:map", {"style:condition": "value()>=0", "style:apply-style-name": "P"}, None)
    minus = ("number:text", {}, "-")
    assert name_zeros(positive, DIGITS, END, NUMBER, minus, DIGITS, when, END) == "0000000"
    assert name_zeros(NUMBER, minus, DIGITS, END) == ""


def read_changed(tmp_path, old, new):
    """Read the document with a text box after a change to its content."""
    path = tmp_path / "changed.ods"
    with zipfile.ZipFile(SAVED / "text_box.ods") as saved, zipfile.ZipFile(path, "w") as archive:
        for name in saved.namelist():
            content = saved.read(name).decode("utf-8") if name == "content.xml" else None
            if content is not None:
                assert old in content
            archive.writestr(name, content.replace(old, new) if content else saved.read(name))
    return read_sheets(path)[0]


def test_line_break_and_tab_inside_a_paragraph_are_kept(tmp_path):
    written = "201 g<text:line-break/>twice<text:tab/>wet"
    sheet = read_changed(tmp_path, "<text:p>201 g", f"<text:p>{written}")
    assert at(sheet, "B5") == ("201 g\ntwice\twet", "t")


@pytest.mark.parametrize("shown", ["#DIV/0!", "#WERT!", "Err:502", "Fehler:504"])
def test_error_that_is_stored_as_the_number_nought_is_an_error(tmp_path, shown):
    old = 'office:value-type="float" office:value="400" calcext:value-type="float"><text:p>400<'
    new = f'office:value-type="float" office:value="0"><text:p>{shown}<'
    assert at(read_changed(tmp_path, old, new), "D6") == (shown, "e")


@pytest.mark.parametrize("shown", ["#5", "12:30", "0"])
def test_number_that_shows_otherwise_stays_a_number(tmp_path, shown):
    old = 'office:value-type="float" office:value="400" calcext:value-type="float"><text:p>400<'
    new = f'office:value-type="float" office:value="0"><text:p>{shown}<'
    assert at(read_changed(tmp_path, old, new), "D6") == ("0", "n")


@pytest.mark.parametrize(("style", "read_as"), [("Default", ("TRUE", "b")), ("pre", ("1", "n"))])
def test_word_for_a_truth_value_counts_in_a_plain_format_alone(tmp_path, style, read_as):
    old = 'office:value-type="float" office:value="400" calcext:value-type="float"><text:p>400<'
    new = (
        f'table:style-name="{style}" office:value-type="float" office:value="1" '
        'calcext:value-type="float"><text:p>WAHR<'
    )
    assert at(read_changed(tmp_path, old, new), "D6") == read_as


@pytest.mark.parametrize(("user", "is_said"), [("pre", True), ("nobody", False)])
def test_format_that_depends_on_the_value_is_said_where_a_cell_has_it(tmp_path, user, is_said):
    rule = '<style:map style:condition="cell-content()&lt;200" style:apply-style-name="Default"/>'
    old = '<style:style style:name="pre" style:family="table-cell" '
    ruled = old.replace('"pre"', f'"{user}"') + f">{rule}</style:style>"
    sheet = read_changed(
        tmp_path, old, ruled + (old if user != "pre" else old.replace("pre", "unused"))
    )
    assert any("rules of the sheet" in note for note in sheet.notes) == is_said
