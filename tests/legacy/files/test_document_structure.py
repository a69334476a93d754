"""What an OpenDocument spreadsheet says beside its values."""

import zipfile

import pytest

from bodycond.errors import UnreadableFileError
from bodycond.legacy import read_sheets

NAMES = "urn:oasis:names:tc:opendocument:xmlns"
STYLES = """
<number:number-style style:name="N7"><number:number number:decimal-places="0"
 number:min-integer-digits="7"/></number:number-style>
<style:style style:name="off" style:family="table-cell">
 <style:text-properties style:text-line-through-style="solid"/></style:style>
<style:style style:name="on" style:family="table-cell" style:parent-style-name="off">
 <style:text-properties style:text-line-through-style="none"/></style:style>
<style:style style:name="yellow" style:family="table-cell" style:parent-style-name="off">
 <style:table-cell-properties fo:background-color="#ffff00"/></style:style>
<style:style style:name="white" style:family="table-cell">
 <style:table-cell-properties fo:background-color="#ffffff"/></style:style>
<style:style style:name="red" style:family="table-cell">
 <style:text-properties fo:color="#ff0000"/></style:style>
<style:style style:name="ring" style:family="table-cell" style:data-style-name="N7"/>
<style:style style:name="gone" style:family="text">
 <style:text-properties style:text-line-through-type="single"/></style:style>
"""


def write_document(path, table, *, styles=STYLES):
    spaces = " ".join(
        f'xmlns:{short}="{NAMES}:{long}:1.0"'
        for short, long in (
            ("office", "office"), ("table", "table"), ("text", "text"), ("style", "style"),
            ("fo", "xsl-fo-compatible"), ("number", "datastyle"),
        )
    )  # fmt: skip
    content = (
        f'<office:document-content {spaces} xmlns:calcext="urn:calcext" xmlns:dc="urn:dc">'
        f"<office:automatic-styles>{styles}</office:automatic-styles>"
        f"<office:body><office:spreadsheet>{table}</office:spreadsheet></office:body>"
        "</office:document-content>"
    )
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("META-INF/manifest.xml", f'<m:manifest xmlns:m="{NAMES}:manifest:1.0"/>')
        archive.writestr("content.xml", content)


def cell(text, *, style="", more="", inside=""):
    named = f' table:style-name="{style}"' if style else ""
    return (
        f'<table:table-cell office:value-type="string"{named}{more}>{inside}'
        f"<text:p>{text}</text:p></table:table-cell>"
    )


def row(*cells, about=""):
    return f"<table:table-row{about}>{''.join(cells)}</table:table-row>"


def table(*parts):
    return f'<table:table table:name="2019">{"".join(parts)}</table:table>'


NUMBER = '<table:table-cell office:value-type="float" office:value="{0}"{1}/>'


@pytest.fixture
def sheet(tmp_path):
    path = tmp_path / "book.ods"
    note = (
        "<office:annotation><dc:creator>S1</dc:creator><dc:date>2019-05-01</dc:date>"
        "<text:p>weighed</text:p><text:p>twice</text:p></office:annotation>"
    )
    write_document(path, table(
        '<table:table-column/><table:table-column table:visibility="collapse"/>'
        '<table:table-column table:number-columns-repeated="16382" '
        'table:default-cell-style-name="red"/>',
        row(cell("Mass"), cell("Ring"), cell("Note")),
        row(cell("186", inside=note), NUMBER.format(12345, ' table:style-name="ring"'),
            cell("calm")),
        row(cell("190", style="off"), cell("B2", style="on"),
            cell('thin<text:span text:style-name="gone"> weak</text:span>', style="white"),
            about=' table:visibility="filter"'),
        row(cell("200", style="yellow"),
            NUMBER.format(7, ' table:formula="of:=[.A2]+1"'),
            '<table:table-cell table:number-columns-spanned="2" office:value-type="string">'
            "<text:p>x</text:p></table:table-cell>"),
        row('<table:table-cell table:number-columns-repeated="16000" table:style-name="yellow"/>',
            about=' table:number-rows-repeated="1000000"'),
    ))  # fmt: skip
    (found,) = read_sheets(path)
    return found


def test_values_are_as_without_structure(sheet):
    assert sheet.texts.tolist() == [
        ["Mass", "Ring", "Note"], ["186", "12345", "calm"], ["190", "B2", "thin weak"],
        ["200", "7", "x"],
    ]  # fmt: skip


def test_comments_formulas_and_merged_ranges_are_kept(sheet):
    assert sheet.comments == {(1, 0): "weighed\ntwice"}
    assert sheet.formulas == {(3, 1): "=[.A2]+1"}
    assert sheet.merged == ((3, 2, 3, 3),)


def test_hidden_rows_and_columns_are_kept_and_said(sheet):
    assert (sheet.hidden_rows, sheet.hidden_columns) == ({2}, {1})
    assert "hidden and read all the same: column B" in sheet.notes
    assert "hidden and read all the same: row 3" in sheet.notes


def test_struck_cells_rest_on_the_formats_that_they_name(sheet):
    # The yellow format rests on the struck one; another takes the line off again.
    assert sheet.struck == {(2, 0), (3, 0)}
    assert sheet.partly_struck == {(2, 2): "thin"}


def test_colours_are_said_and_not_read(sheet):
    assert {name: places.tolist() for name, places in sheet.fills.items()} == {"#FFFF00": [[3, 0]]}
    # The column's own format, where the cell has none.
    assert {name: places.tolist() for name, places in sheet.inks.items()} == {
        "#FF0000": [[0, 2], [1, 2], [3, 2]]
    }
    assert "coloured cells, their colour not read: 1 in 1 colour, first A4 (#FFFF00 1 from A4)" in (
        sheet.notes
    )


def test_number_shown_with_zeros_is_kept_as_shown(sheet):
    assert sheet.shown == {(1, 1): "0012345"}


def test_error_value_is_an_error(tmp_path):
    path = tmp_path / "error.ods"
    wrong = cell("#N/A", more=' calcext:value-type="error"')
    write_document(path, table(row(cell("Mass"), cell("Keel")), row(wrong, cell("3"))))
    (sheet,) = read_sheets(path)
    assert (sheet.texts[1, 0], sheet.kinds[1, 0]) == ("#N/A", "e")


def test_formats_that_depend_on_values_are_said(tmp_path):
    path = tmp_path / "rules.ods"
    rules = '<calcext:conditional-format calcext:target-range-address="A1"/>'
    write_document(path, table(row(cell("Mass"), cell("Keel")), rules))
    (sheet,) = read_sheets(path)
    assert sheet.notes == ("cells coloured by rules of the sheet (conditional formats): not read",)


def test_broken_content_is_said_to_be_damaged(tmp_path):
    path = tmp_path / "broken.ods"
    write_document(path, table(row(cell("Mass"))) + "<broken>")
    with pytest.raises(UnreadableFileError, match=r"broken\.ods must be whole"):
        read_sheets(path)
