"""What an XLSX workbook says beside its values, against workbooks made here."""

import datetime as dt
import io
import zipfile

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont
from openpyxl.comments import Comment
from openpyxl.formatting.rule import CellIsRule
from openpyxl.styles import Font, PatternFill
from openpyxl.utils.datetime import CALENDAR_MAC_1904

from bodycond.errors import UnreadableFileError
from bodycond.legacy import read_sheets
from bodycond.legacy.files import sheet_scanning, workbook_structure
from bodycond.legacy.files.number_formats import read_zeros, show_number
from bodycond.legacy.files.sheet_scanning import find_formats, read_place, scan_sheet
from bodycond.legacy.files.workbook_structure import read_comments, read_struck_strings
from bodycond.legacy.files.workbook_styles import CellFormat, read_formats


@pytest.fixture
def book():
    made = openpyxl.Workbook()
    for row in (["Ring", "Mass", "Note"], [12345, 186, "calm"], [7, 190.5, "thin"]):
        made.active.append(row)
    return made


def save(book, path, *, change=None):
    """Save a workbook and read its first sheet, a part of it changed by hand if wanted."""
    stream = io.BytesIO()
    book.save(stream)
    with zipfile.ZipFile(stream) as old, zipfile.ZipFile(path, "w") as new:
        parts = {name: old.read(name) for name in old.namelist()}
        for name, content in {**parts, **(change(parts) if change else {})}.items():
            new.writestr(name, content)
    return read_sheets(path)[0]


def replace_in(name, old, new):
    def change(parts):
        assert old in parts[name]
        return {name: parts[name].replace(old, new)}

    return change


MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
SHEET = "xl/worksheets/sheet1.xml"


def test_plain_workbook_is_not_scanned(book, tmp_path, monkeypatch):
    def refuse(*_, **__):
        raise AssertionError("scanned")

    monkeypatch.setattr(workbook_structure, "scan_sheet", refuse)
    sheet = save(book, tmp_path / "a.xlsx")
    assert sheet.texts[1].tolist() == ["12345", "186", "calm"]
    assert sheet.notes == ()


def test_old_comment_is_kept(book, tmp_path):
    book.active["B2"].comment = Comment("S1:\nweighed twice", "S1")
    assert save(book, tmp_path / "a.xlsx").comments == {(1, 1): "S1:\nweighed twice"}


def test_conversation_takes_the_place_of_its_stand_in():
    stand_in = b'<c><commentList><comment ref="B2"><text><r><t>[Threaded comment]</t></r></text>'
    talk = (
        b'<T><threadedComment ref="B2" id="1"><text>wrap on?</text></threadedComment>'
        b'<threadedComment ref="B2" id="2" parentId="1"><text>yes</text></threadedComment></T>'
    )
    old = stand_in + b'</comment><comment ref="C3"><text><t>calm</t></text></comment>'
    parts = {"comments": old + b"</commentList></c>", "threadedComment": talk}
    assert read_comments(parts) == {(1, 1): "wrap on?\nyes", (2, 2): "calm"}


def test_conversation_is_found_by_the_sheets_relations(book, tmp_path):
    book.active["B2"].comment = Comment("[Threaded comment]", "S1")

    def add_talk(parts):
        name = next(name for name in parts if name.endswith("sheet1.xml.rels"))
        kind = "http://schemas.microsoft.com/office/2017/10/relationships/threadedComment"
        link = f'<Relationship Id="t1" Type="{kind}" Target="/xl/threadedComments/t1.xml"/>'
        talk = '<T><threadedComment ref="B2"><text>wrap on</text></threadedComment></T>'
        end = b"</Relationships>"
        return {
            name: parts[name].replace(end, link.encode() + end),
            "xl/threadedComments/t1.xml": talk.encode(),
        }

    assert save(book, tmp_path / "a.xlsx", change=add_talk).comments == {(1, 1): "wrap on"}


def test_shared_formula_is_written_out_for_each_cell(book, tmp_path):
    change = replace_in(
        SHEET,
        b"</sheetData>",
        b'<row r="4"><c r="A4"><f t="shared" ref="A4:A6" si="0">B2*$B$3+1</f><v>9</v></c></row>'
        b'<row r="5"><c r="A5"><f t="shared" si="0"/><v>8</v></c></row>'
        b'<row r="6"><c r="A6"><f t="shared" si="0"/></c></row></sheetData>',
    )
    sheet = save(book, tmp_path / "a.xlsx", change=change)
    assert sheet.formulas == {
        (3, 0): "=B2*$B$3+1", (4, 0): "=B3*$B$3+1", (5, 0): "=B4*$B$3+1",
    }  # fmt: skip
    # A stored result is the value; without one the formula itself is what stands there.
    assert sheet.texts[3:, 0].tolist() == ["9", "8", "=B4*$B$3+1"]
    assert "".join(sheet.kinds[3:, 0]) == "nnf"


def test_error_behind_a_formula_is_an_error_with_its_formula(book, tmp_path):
    change = replace_in(
        SHEET,
        b"</sheetData>",
        b'<row r="4"><c r="B4" t="e"><f>B2/0</f><v>#DIV/0!</v></c></row></sheetData>',
    )
    sheet = save(book, tmp_path / "a.xlsx", change=change)
    assert (sheet.texts[3, 1], sheet.kinds[3, 1]) == ("#DIV/0!", "e")
    assert sheet.formulas == {(3, 1): "=B2/0"}


def test_array_formula_and_data_table_are_formulas():
    part = (
        b'<worksheet><sheetData><row r="1"><c r="A1"><f t="array" ref="A1:A2">B1:B2*2</f></c>'
        b'<c r="B1"><f t="dataTable" ref="B1" r1="A1"/></c></row></sheetData></worksheet>'
    )
    found = scan_sheet(part, formats={}, strings={})
    assert found.formulas == {(0, 0): "=B1:B2*2", (0, 1): "=TABLE()"}


def test_cells_without_references_stand_side_by_side():
    part = (
        b'<x:worksheet xmlns:x="u"><x:sheetData><x:row><x:c/><x:c><x:f>1+1</x:f></x:c></x:row>'
        b'<x:row hidden="true"><x:c r="C2"/><x:c t="e"><x:v>#N/A</x:v></x:c></x:row>'
        b"</x:sheetData></x:worksheet>"
    )
    found = scan_sheet(part, formats={}, strings={})
    assert found.formulas == {(0, 1): "=1+1"}
    assert found.errors == {(1, 3): "#N/A"}
    assert found.hidden_rows == [(1, 1)]


def test_hidden_rows_and_columns_end_with_the_table(book, tmp_path):
    book.active.row_dimensions[2].hidden = True
    book.active.row_dimensions[400].hidden = True
    book.active.column_dimensions.group("C", "XFD", hidden=True)
    sheet = save(book, tmp_path / "a.xlsx")
    assert (sheet.hidden_rows, sheet.hidden_columns) == ({1}, {2})


def test_struck_cell_is_struck_and_an_empty_one_is_not(book, tmp_path):
    for name in ("B2", "C9"):
        book.active[name].font = Font(strike=True)
    book.active["B3"].font = Font(strike=False)
    sheet = save(book, tmp_path / "a.xlsx")
    assert sheet.struck == {(1, 1)}


@pytest.mark.parametrize("shared", [True, False])
def test_partly_struck_text_keeps_what_is_not(book, tmp_path, shared):
    off, on = InlineFont(strike=True), InlineFont(b=True)
    book.active["C2"] = CellRichText("calm ", TextBlock(off, "thin "), TextBlock(on, "weak"))
    book.active["C3"] = CellRichText(TextBlock(off, "all "), TextBlock(off, "gone"))

    def share(parts):
        content, end = parts[SHEET].decode(), "</Relationships>"
        texts = [text.split("</is>")[0] for text in content.split("<is>")[1:]]
        for number, text in enumerate(texts):
            content = content.replace(f"<is>{text}</is>", f"<v>{number}</v>", 1)
        links = parts["xl/_rels/workbook.xml.rels"].decode()
        kind = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings"
        link = f'<Relationship Id="s1" Type="{kind}" Target="sharedStrings.xml"/>'
        items = "".join(f"<si>{text}</si>" for text in texts)
        return {
            SHEET: content.replace('t="inlineStr"', 't="s"').encode(),
            "xl/_rels/workbook.xml.rels": links.replace(end, link + end).encode(),
            "xl/sharedStrings.xml": f'<sst xmlns="{MAIN}">{items}</sst>'.encode(),
        }

    sheet = save(book, tmp_path / "a.xlsx", change=share if shared else None)
    assert sheet.texts[1:, 2].tolist() == ["calm thin weak", "all gone"]
    assert sheet.partly_struck == {(1, 2): "calm weak"}
    assert sheet.struck == {(2, 2)}


def test_strike_that_is_switched_off_strikes_nothing():
    content = b'<s><si><r><rPr><strike val="0"/></rPr><t>thin</t></r></si></s>'
    assert read_struck_strings(content) == {}


def test_colours_are_said_and_not_read(book, tmp_path):
    for name, colour in (("B2", "FFFFFF00"), ("B3", "FFFFFF00"), ("C2", "FF00B050")):
        book.active[name].fill = PatternFill("solid", fgColor=colour)
    book.active["A1"].fill = PatternFill("solid", fgColor="FFFFFFFF")
    book.active["Z99"].fill = PatternFill("solid", fgColor="FFFFFF00")
    book.active["C3"].font = Font(color="FFFF0000")
    book.active["A2"].font = Font(color="FF000000")
    sheet = save(book, tmp_path / "a.xlsx")
    assert {name: places.tolist() for name, places in sheet.fills.items()} == {
        "#FFFF00": [[1, 1], [2, 1]], "#00B050": [[1, 2]],
    }  # fmt: skip
    assert {name: places.tolist() for name, places in sheet.inks.items()} == {"#FF0000": [[2, 2]]}
    assert sheet.notes == (
        "coloured cells, their colour not read: 3 in 2 colours, first B2 (#FFFF00 2 from B2, "
        "#00B050 1 from C2)",
        "cells written in colour, their colour not read: 1 in 1 colour, first C3 (#FF0000 1 from "
        "C3)",
    )


def test_rules_that_colour_cells_are_said(book, tmp_path):
    red = PatternFill(bgColor="FFFF0000")
    rule = CellIsRule(operator="lessThan", formula=["100"], fill=red)
    book.active.conditional_formatting.add("B2:B3", rule)
    sheet = save(book, tmp_path / "a.xlsx")
    assert sheet.notes == ("cells coloured by rules of the sheet (conditional formats): not read",)


def test_colours_of_the_theme_and_of_the_palette_have_names():
    styles = (
        b"<s><fonts><font/></fonts><fills><fill/>"
        b'<fill><patternFill patternType="solid"><fgColor theme="4" tint="0.59"/></patternFill>'
        b'</fill><fill><patternFill patternType="solid"><fgColor indexed="13"/></patternFill>'
        b"</fill>"
        b'<fill><patternFill patternType="lightUp"/></fill><fill><gradientFill/></fill>'
        b'<fill><patternFill patternType="gray125"/></fill></fills>'
        b'<cellXfs><xf/><xf fillId="1"/><xf fillId="2"/><xf fillId="3"/><xf fillId="4"/>'
        b'<xf fillId="5"/></cellXfs></s>'
    )
    assert {number: form.fill for number, form in read_formats(styles).items()} == {
        "1": "theme colour 4, tint 0.59", "2": "palette colour 13", "3": "the pattern lightUp",
        "4": "a gradient",
    }  # fmt: skip


def test_number_shown_with_zeros_is_kept_as_shown(book, tmp_path):
    book.active["A2"].number_format = "0000000"
    book.active["A3"].number_format = "0"
    book.active["B2"].number_format = "000-00000"
    book.active["C2"].number_format = "00000"
    sheet = save(book, tmp_path / "a.xlsx")
    assert sheet.shown == {(1, 0): "0012345", (1, 1): "000-00186"}
    assert sheet.texts[1, 0] == "12345"
    assert sheet.notes == (
        "numbers shown with zeros, marks or words that they do not hold: 2, first A2, 12345 "
        "shown as 0012345",
    )


@pytest.mark.parametrize(
    ("code", "zeros"),
    [
        ("00000", "00000"), ("000\\-00000", "000-00000"), ('000"-"00000', "000-00000"),
        ("00000;-00000", "00000"), ("0", ""), ("0.00", ""), ("#,##0", ""), ("General", ""),
        ("yyyy-mm-dd", ""),
    ],
)  # fmt: skip
def test_formats_of_zeros_are_told_from_others(code, zeros):
    assert read_zeros(code) == zeros


@given(st.integers(min_value=0, max_value=10**12), st.sampled_from(["00000", "000-00000", "0/00"]))
def test_shown_number_holds_its_digits_and_the_marks(number, zeros):
    shown = show_number(str(number), zeros)
    assert int("".join(mark for mark in shown if mark.isdigit())) == number
    assert len(shown) >= len(zeros)
    assert [mark for mark in shown if not mark.isdigit()] == [m for m in zeros if m != "0"]


def test_dates_counted_from_1904_are_right(book, tmp_path):
    book.epoch = CALENDAR_MAC_1904
    book.active["B2"] = dt.datetime(2019, 5, 1)
    book.active["B3"] = dt.datetime(2019, 5, 1, 8, 30)
    sheet = save(book, tmp_path / "a.xlsx")
    assert sheet.texts[1:, 1].tolist() == ["2019-05-01", "2019-05-01 08:30:00"]


def test_second_sheet_keeps_its_own_structure(book, tmp_path):
    other = book.create_sheet("2020")
    other["B2"] = 200
    other["B2"].comment = Comment("wet", "K2")
    path = tmp_path / "a.xlsx"
    book.save(path)
    first, second = read_sheets(path)
    assert (first.comments, second.comments) == ({}, {(1, 1): "wet"})


def test_broken_styles_are_said_to_be_damaged(book, tmp_path):
    with pytest.raises(UnreadableFileError, match=r"a\.xlsx must be whole"):
        save(book, tmp_path / "a.xlsx", change=lambda _: {"xl/styles.xml": b"<styleSheet>"})


def test_reference_of_no_cell_is_refused():
    assert read_place("$AB$12") == (11, 27)
    with pytest.raises(ValueError, match="'12' is no cell"):
        read_place("12")


def test_entities_are_refused_in_every_part():
    bomb = b'<!DOCTYPE a [<!ENTITY b "b">]><a>&b;</a>'
    for read in (
        read_formats,
        lambda part: scan_sheet(part, formats={}, strings={}),
        lambda part: read_formats(part.decode().encode("utf-16")),
        lambda part: read_struck_strings(part + b"<!--strike-->"),
    ):
        with pytest.raises(ValueError, match="definitions of XML entities"):
            read(bomb)


STYLED = st.lists(
    st.tuples(st.integers(0, 3), st.booleans(), st.sampled_from(["<v>1</v>", "", "<is/>"])),
    max_size=12,
)


@given(STYLED)
def test_cells_of_a_few_formats_are_found_as_by_a_full_reading(cells):
    formats = {"1": CellFormat(struck=True, fill="#FFFF00"), "3": CellFormat(ink="#FF0000")}
    written = "".join(
        f'<row r="{row}" s="1"><c s="{style}" r="AB{row}">{inside}</c></row>'
        if first
        else f'<row r="{row}"><c r="AB{row}" s="{style}" t="n">{inside}</c></row>'
        for row, (style, first, inside) in enumerate(cells, start=1)
    )
    part = f"<worksheet><sheetData>{written}</sheetData></worksheet>".encode()
    quick, full = find_formats(part, formats), scan_sheet(part, formats=formats, strings={})
    assert (quick.struck, quick.fills, quick.inks) == (full.struck, full.fills, full.inks)


def test_coloured_headings_alone_need_no_full_reading(book, tmp_path, monkeypatch):
    monkeypatch.delattr(workbook_structure, "scan_sheet")
    for cell in book.active[1]:
        cell.fill = PatternFill("solid", fgColor="FFC0C0C0")
    sheet = save(book, tmp_path / "a.xlsx")
    assert sheet.fills["#C0C0C0"].tolist() == [[0, 0], [0, 1], [0, 2]]


@pytest.mark.parametrize("most", [1, 100])
def test_many_coloured_cells_are_read_in_full(book, tmp_path, monkeypatch, most):
    monkeypatch.setattr(sheet_scanning, "_MOST_FOUND", most)
    for cell in book.active["B"]:
        cell.fill = PatternFill("solid", fgColor="FFC0C0C0")
    sheet = save(book, tmp_path / "a.xlsx")
    assert sheet.fills["#C0C0C0"].tolist() == [[0, 1], [1, 1], [2, 1]]


def test_styled_cell_without_a_reference_needs_a_full_reading():
    part = b'<worksheet><sheetData><row><c s="1"/></row></sheetData></worksheet>'
    assert find_formats(part, {"1": CellFormat(struck=True)}) is None


@pytest.mark.parametrize("formula", ["A1+&quot;", "#REF!A1)", "{1,2"])
def test_shared_formula_that_cannot_be_moved_says_where_it_stands(formula):
    part = (
        f'<worksheet><sheetData><row r="1"><c r="A1"><f t="shared" si="0">{formula}</f></c>'
        '<c r="B1"><f t="shared" si="0"/></c></row></sheetData></worksheet>'
    ).encode()
    found = scan_sheet(part, formats={}, strings={})
    written = found.formulas[0, 0]
    assert found.formulas[0, 1] in {f"{written} (as in A1)", written.replace("A1", "B1")}


def test_comment_nested_without_end_is_said_to_be_damaged(book, tmp_path):
    book.active["B2"].comment = Comment("calm", "S1")

    def nest(parts):
        name = next(name for name in parts if "comment" in name and name.endswith(".xml"))
        deep = "<text>" * 5000 + "</text>" * 5000
        return {name: f'<c><comment ref="B2">{deep}</comment></c>'.encode()}

    with pytest.raises(UnreadableFileError, match=r"a\.xlsx must be whole"):
        save(book, tmp_path / "a.xlsx", change=nest)


def test_formula_of_a_rule_is_no_cells_formula():
    part = (
        b'<worksheet xmlns:xm="u"><sheetData><row r="1"><c r="A1"><v>1</v></c>'
        b'<c r="B1"/></row></sheetData><extLst><ext><xm:f>Keys!A1:A9</xm:f></ext></extLst>'
        b"</worksheet>"
    )
    assert scan_sheet(part, formats={}, strings={}).formulas == {}
