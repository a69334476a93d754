"""Workbooks that are locked, cut, hostile or too far-flung give a clear error, and in time."""

import io
import zipfile

import openpyxl
import pytest

from bodycond.errors import UnreadableFileError
from bodycond.legacy import import_legacy, read_sheets
from bodycond.legacy.recipes.recipe import ImportRecipe

SHEET = "xl/worksheets/sheet1.xml"
END = b"</sheetData>"
NAMES = "urn:oasis:names:tc:opendocument:xmlns"


def write_workbook(path, changes):
    """Save a small workbook with parts of its XML changed."""
    book = openpyxl.Workbook()
    book.active.append(["No", "Wt"])
    book.active.append(["a", 186])
    whole = io.BytesIO()
    book.save(whole)
    with (
        zipfile.ZipFile(whole) as source,
        zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as target,
    ):
        for item in source.infolist():
            change = changes.get(item.filename, bytes)
            target.writestr(item.filename, change(source.read(item)))
    return path


def add_rows(xml):
    return lambda part: part.replace(END, xml + END)


@pytest.mark.parametrize(
    "cell",
    [
        b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>',
        b'<row r="1048576"><c r="XFD1048576" t="e"><v>#N/A</v></c></row>',
        b'<row r="1048576"><c r="XFD1048576"><f>1+1</f></c></row>',
    ],
)
def test_a_stray_value_at_the_far_corner_is_refused_and_not_laid_out(tmp_path, cell):
    path = write_workbook(tmp_path / "far.xlsx", {SHEET: add_rows(cell)})
    message = r"at most 5,000,000 cells\. Found: .*far\.xlsx .* row 1,048,576 and column XFD"
    with pytest.raises(UnreadableFileError, match=message):
        read_sheets(path)


def test_a_range_merged_over_the_whole_sheet_is_refused(tmp_path):
    merged = b'</sheetData><mergeCells count="1"><mergeCell ref="A3:XFD1048576"/></mergeCells>'
    path = write_workbook(tmp_path / "merged.xlsx", {SHEET: lambda part: part.replace(END, merged)})
    with pytest.raises(UnreadableFileError, match="Delete the stray values"):
        read_sheets(path)


def test_formatted_empty_cells_far_away_cost_nothing(tmp_path):
    far = b'<row r="1048576"><c r="XFD1048576" s="0"/></row>'
    merged = END + b'<mergeCells count="1"><mergeCell ref="A3:B3"/></mergeCells>'
    path = write_workbook(
        tmp_path / "format.xlsx", {SHEET: lambda part: part.replace(END, far + merged)}
    )
    (sheet,) = read_sheets(path)
    assert sheet.texts.tolist() == [["No", "Wt"], ["a", "186"]]


@pytest.mark.parametrize("part", [SHEET, "xl/styles.xml"])
def test_xml_entities_are_refused_since_readers_drop_them(tmp_path, part):
    bomb = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aa"><!ENTITY b "&a;&a;">]>'
    path = write_workbook(
        tmp_path / "entity.xlsx",
        {part: lambda xml: bomb + xml.split(b"?>", 1)[-1].replace(b">186<", b">&b;<")},
    )
    with pytest.raises(UnreadableFileError, match=rf"XML entities in its part {part}"):
        read_sheets(path)


def test_a_zip_bomb_is_refused_by_how_much_it_swells(tmp_path):
    path = write_workbook(
        tmp_path / "bomb.xlsx",
        {SHEET: lambda part: part.replace(b"<sheetData>", b"<sheetData>" + b" " * 60_000_000)},
    )
    with pytest.raises(UnreadableFileError, match=r"may unpack to at most 50,000,000 bytes"):
        read_sheets(path)


def test_two_sheets_of_one_name_are_refused_since_the_second_would_be_lost(tmp_path):
    book = openpyxl.Workbook()
    book.active.title = "AA"
    book.create_sheet("BB")
    whole = io.BytesIO()
    book.save(whole)
    path = tmp_path / "twice.xlsx"
    with zipfile.ZipFile(whole) as source, zipfile.ZipFile(path, "w") as target:
        for item in source.infolist():
            target.writestr(item.filename, source.read(item).replace(b'name="BB"', b'name="AA"'))
    with pytest.raises(UnreadableFileError, match=r"more than one sheet called 'AA'"):
        read_sheets(path)


def write_document(path, rows, columns):
    content = (
        f'<office:document-content xmlns:office="{NAMES}:office:1.0" '
        f'xmlns:table="{NAMES}:table:1.0" xmlns:text="{NAMES}:text:1.0"><office:body>'
        '<office:spreadsheet><table:table table:name="2019">'
        f'<table:table-row table:number-rows-repeated="{rows}">'
        f'<table:table-cell table:number-columns-repeated="{columns}" '
        'office:value-type="string"><text:p>x</text:p></table:table-cell></table:table-row>'
        '<table:table-row table:number-rows-repeated="1048000"><table:table-cell/>'
        "</table:table-row></table:table></office:spreadsheet></office:body>"
        "</office:document-content>"
    )
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("META-INF/manifest.xml", f'<m:manifest xmlns:m="{NAMES}:manifest:1.0"/>')
        archive.writestr("content.xml", content)
    return path


def test_an_open_document_that_repeats_itself_is_refused(tmp_path):
    (sheet,) = read_sheets(write_document(tmp_path / "small.ods", 3, 4))
    assert sheet.texts.shape == (3, 4)
    with pytest.raises(UnreadableFileError, match=r"as far as row 1,000,000 and column SF"):
        read_sheets(write_document(tmp_path / "large.ods", 1_000_000, 500))


def test_an_old_workbook_under_a_new_ending_is_not_called_locked(tmp_path):
    path = tmp_path / "old.xlsx"
    path.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(512))
    with pytest.raises(UnreadableFileError, match="an old XLS, or a document of another program"):
        read_sheets(path)


def test_a_new_workbook_under_an_old_ending_keeps_its_structure(tmp_path):
    book = openpyxl.Workbook()
    book.active.append(["Mass"])
    book.active["A2"] = "=1+1"
    path = tmp_path / "new.xls"
    book.save(tmp_path / "new.xlsx")
    path.write_bytes((tmp_path / "new.xlsx").read_bytes())
    (sheet,) = read_sheets(path)
    assert sheet.formulas == {(1, 0): "=1+1"}


def test_a_folder_is_no_file_and_the_others_go_on(tmp_path):
    folder, good = tmp_path / "folder.csv", tmp_path / "good.csv"
    folder.mkdir()
    good.write_text("No,Wt\n1,186\n", encoding="utf-8")
    imported = import_legacy([folder, good], ImportRecipe(sheets=()))
    assert imported.files["readable"].tolist() == [False, True]
    assert "must be readable" in imported.files["problem"].iloc[0]
