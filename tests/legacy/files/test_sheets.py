"""Files opened as grids: encodings, delimiters, workbooks, and files that cannot be read."""

import codecs
import datetime as dt
import zipfile

import openpyxl
import pytest
from openpyxl.comments import Comment
from openpyxl.styles import Font

from bodycond.errors import UnreadableFileError
from bodycond.legacy import read_sheets
from bodycond.legacy.files import workbook_guards
from bodycond.legacy.files.grids import write_cell_text
from bodycond.legacy.files.source_files import label_files
from bodycond.legacy.files.text_tables import find_delimiter

TABLE = "Ring;Flügel;Gewicht\r\n0012;384,5;871,0\r\n0013;;860,5\r\n"


@pytest.mark.parametrize(
    ("content", "encoding"),
    [
        (TABLE.encode("utf-8"), "utf-8"),
        (codecs.BOM_UTF8 + TABLE.encode("utf-8"), "utf-8-sig"),
        (TABLE.encode("cp1252"), "cp1252"),
        (TABLE.encode("utf-16"), "utf-16"),
        (TABLE.encode("utf-16-le"), "utf-16-le"),
        (TABLE.encode("utf-16-be"), "utf-16-be"),
        (TABLE.encode("cp1252") + b"\x81", "latin-1"),
    ],
)
def test_text_file_is_read_in_its_encoding(tmp_path, content, encoding):
    path = tmp_path / "book.csv"
    path.write_bytes(content)
    (sheet,) = read_sheets(path)
    assert sheet.row_texts(0) == ["Ring", "Flügel", "Gewicht"]
    assert sheet.texts[1].tolist() == ["0012", "384,5", "871,0"]
    assert sheet.notes[0] == f"read as {encoding}, delimiter semicolon"
    guessed = [f"{encoding} is a guess" in note and "'Flügel'" in note for note in sheet.notes[1:]]
    assert guessed == ([True] if encoding in {"cp1252", "latin-1"} else [])
    assert sheet.filled[2].tolist() == [True, False, True]


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_delimiter_is_found(delimiter):
    rows = [["Ring", "Mass", "Note"], ["1", "186", "calm"], ["2", "190", "thin, weak"]]
    text = "\n".join(
        delimiter.join(f'"{cell}"' if "," in cell else cell for cell in row) for row in rows
    )
    assert find_delimiter(text) == (delimiter, False)


def test_delimiter_named_in_the_first_line(tmp_path):
    path = tmp_path / "a.csv"
    path.write_text("sep=|\na|b\n1|2\n", encoding="utf-8")
    (sheet,) = read_sheets(path)
    assert sheet.row_texts(1) == ["a", "b"]
    assert sheet.notes[1] == "row 1 names the delimiter"


def test_line_break_inside_quotes_stays_in_its_cell(tmp_path):
    path = tmp_path / "a.csv"
    path.write_bytes(b'"Wing\nmm",Mass\r\n210,180\r\n\r\n211,181\r\n')
    (sheet,) = read_sheets(path)
    assert sheet.texts[0, 0] == "Wing\nmm"
    assert sheet.texts[3].tolist() == ["211", "181"]
    assert not sheet.filled[2].any()


def test_workbook_keeps_values_and_structure(tmp_path):
    book = openpyxl.Workbook()
    sheet = book.active
    sheet["A1"], sheet["B1"] = "Mass", "Keel"
    sheet["A2"], sheet["B2"] = 186.0, dt.datetime(2026, 3, 2)
    sheet["A3"], sheet["B3"] = "=A2+1", "#N/A"
    sheet["A4"], sheet["B4"] = True, dt.time(13, 30)
    sheet["A5"] = "200"
    sheet["A5"].font = Font(strike=True)
    sheet["A2"].comment = Comment("weighed twice", "clerk")
    sheet.merge_cells("A6:B6")
    sheet["A6"] = "end"
    sheet.row_dimensions[4].hidden = True
    sheet.column_dimensions["B"].hidden = True
    book.create_sheet("Keys").sheet_state = "hidden"
    path = tmp_path / "a.xlsx"
    book.save(path)
    first, second = read_sheets(path)
    assert first.texts.tolist() == [
        ["Mass", "Keel"], ["186", "2026-03-02"], ["=A2+1", "#N/A"], ["TRUE", "13:30:00"],
        ["200", ""], ["end", ""],
    ]  # fmt: skip
    assert "".join(first.kinds.ravel()) == "ttndfebht t "
    assert first.comments == {(1, 0): "weighed twice"}
    assert first.formulas == {(2, 0): "=A2+1"}
    assert first.struck == {(4, 0)}
    assert first.merged == ((5, 0, 5, 1),)
    assert (first.hidden_rows, first.hidden_columns) == ({3}, {1})
    assert first.notes == (
        "hidden and read all the same: column B", "hidden and read all the same: row 4",
    )  # fmt: skip
    assert second.hidden
    assert second.notes == ("the sheet is hidden",)


def test_open_document_is_read(tmp_path):
    cells = "".join(
        f'<table:table-cell office:value-type="string"><text:p>{text}</text:p></table:table-cell>'
        for text in ("Mass", "Keel")
    )
    number = '<table:table-cell office:value-type="float" office:value="186.5"/>'
    names = "urn:oasis:names:tc:opendocument:xmlns"
    content = (
        f'<office:document-content xmlns:office="{names}:office:1.0" '
        f'xmlns:table="{names}:table:1.0" xmlns:text="{names}:text:1.0"><office:body>'
        f'<office:spreadsheet><table:table table:name="2019"><table:table-row>{cells}'
        f"</table:table-row><table:table-row>{number}</table:table-row></table:table>"
        "</office:spreadsheet></office:body></office:document-content>"
    )
    path = tmp_path / "book.ods"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("META-INF/manifest.xml", f'<m:manifest xmlns:m="{names}:manifest:1.0"/>')
        archive.writestr("content.xml", content)
    (sheet,) = read_sheets(path)
    assert sheet.name == "2019"
    assert sheet.texts.tolist() == [["Mass", "Keel"], ["186.5", ""]]
    assert sheet.kinds[1, 0] == "n"


def test_values_are_written_as_text_without_loss():
    assert write_cell_text(29.1000003814697) == ("29.1000003814697", "n")
    assert write_cell_text(877761234.0) == ("877761234", "n")
    assert write_cell_text(dt.datetime(2026, 3, 2, 8, 30)) == ("2026-03-02 08:30:00", "d")
    assert write_cell_text(" ") == (" ", "t")


def test_files_of_one_name_are_told_apart():
    labels = label_files(["x/2019/a.csv", "x/2020/a.csv", "x/b.csv", "x/b.csv"])
    assert list(labels.values()) == ["2019/a.csv", "2020/a.csv", "b.csv"]


@pytest.fixture
def workbook_bytes(tmp_path):
    book = openpyxl.Workbook()
    book.active.append(["Mass", "Wing"])
    path = tmp_path / "whole.xlsx"
    book.save(path)
    return path.read_bytes()


def test_truncated_workbook_is_said_to_be_damaged(tmp_path, workbook_bytes):
    path = tmp_path / "cut.xlsx"
    path.write_bytes(workbook_bytes[: len(workbook_bytes) // 2])
    message = r"The workbook .*cut\.xlsx must be whole.*damaged or truncated.*Look for a full copy"
    with pytest.raises(UnreadableFileError, match=message):
        read_sheets(path)


def test_encrypted_workbook_is_said_to_be_locked(tmp_path):
    path = tmp_path / "locked.xlsx"
    stream = "EncryptedPackage".encode("utf-16-le")
    path.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(512) + stream)
    message = r"locked\.xlsx must be open to read\. Found: a workbook locked by a password"
    with pytest.raises(UnreadableFileError, match=message):
        read_sheets(path)


@pytest.mark.parametrize("name", ["junk.xls", "junk.ods", "junk.xlsx", "junk.xlsb"])
def test_junk_under_a_workbooks_name_is_said_to_be_damaged(tmp_path, name):
    path = tmp_path / name
    path.write_bytes(b"this is no workbook")
    with pytest.raises(UnreadableFileError, match=r"must be whole and of the kind"):
        read_sheets(path)


def test_workbook_that_unpacks_to_too_much_is_refused(tmp_path, workbook_bytes, monkeypatch):
    monkeypatch.setattr(workbook_guards, "LARGEST_UNPACKED_BYTES", 100)
    path = tmp_path / "bomb.xlsx"
    path.write_bytes(workbook_bytes)
    with pytest.raises(UnreadableFileError, match=r"may unpack to at most 100 bytes"):
        read_sheets(path)


@pytest.mark.parametrize(
    ("name", "content", "message"),
    [
        ("empty.csv", b"", r"must hold a table\. Found: an empty file"),
        ("empty.xlsx", b"", r"must hold a table\. Found: an empty file"),
        ("blank.csv", b" \r\n\r\n", r"Found: a file of blanks alone"),
        ("notes.pdf", b"%PDF", r"The import reads CSV, TSV.*with the ending '\.pdf'"),
        ("binary.csv", b"\x00\x01\x02\x00\x00\x07data", r"must be text\. Found: zero bytes"),
        ("half.csv", codecs.BOM_UTF8 + b"a,b\xff", r"begins as utf-8-sig .*broken character"),
    ],
)
def test_unreadable_file_says_what_and_what_to_do(tmp_path, name, content, message):
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(UnreadableFileError, match=message):
        read_sheets(path)


def test_missing_file_is_named(tmp_path):
    with pytest.raises(UnreadableFileError, match=r"gone\.csv must be readable"):
        read_sheets(tmp_path / "gone.csv")


def test_runaway_quote_is_said(tmp_path):
    path = tmp_path / "quote.csv"
    path.write_text('a,b\n1,"' + "x" * 140_000 + "\n", encoding="utf-8")
    with pytest.raises(UnreadableFileError, match=r"a quotation mark that is opened and never"):
        read_sheets(path)
