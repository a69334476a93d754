"""The parts of a plain XLSX workbook: sheets of cells, and the letters that XML cannot hold.

Written here and not by a library, since those at hand cut floats to 16 digits (17 tell every
double from its neighbours), stamp the file with the time of day, and do not escape the letters
that a cell may hold and XML may not.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

from bodycond.tables_on_disk.cell_addresses import name_column

_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_RELATED = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
_SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"
_BOOK_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
_STYLE_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"

# Positions in the list of cell formats below.
PLAIN, TEXT, QUOTED, DATE, TIME, HEADING = range(6)

# 49 is the built-in format of text: what is typed over a ring number stays a text. A quote prefix
# keeps a text that begins like a formula a text when it is edited.
_STYLES = f"""{_HEAD}<styleSheet xmlns="{_MAIN}">\
<numFmts count="2"><numFmt numFmtId="164" formatCode="yyyy\\-mm\\-dd"/>\
<numFmt numFmtId="165" formatCode="yyyy\\-mm\\-dd\\ hh:mm:ss"/></numFmts>\
<fonts count="2"><font><sz val="11"/><name val="Calibri"/></font>\
<font><b/><sz val="11"/><name val="Calibri"/></font></fonts>\
<fills count="2"><fill><patternFill patternType="none"/></fill>\
<fill><patternFill patternType="gray125"/></fill></fills>\
<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>\
<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>\
<cellXfs count="6"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/>\
<xf numFmtId="49" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/>\
<xf numFmtId="49" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1" \
quotePrefix="1"/>\
<xf numFmtId="164" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/>\
<xf numFmtId="165" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/>\
<xf numFmtId="49" fontId="1" fillId="0" borderId="0" xfId="0" applyNumberFormat="1" \
applyFont="1"/></cellXfs>\
<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles></styleSheet>"""

# What XML forbids or, like CR, changes; and an underscore that would read as such an escape.
_NEEDS_ESCAPE = re.compile("[\x00-\x08\x0b-\x1f\ufffe\uffff]|_(?=x[0-9A-Fa-f]{4}_)")
_ESCAPED = re.compile("_x([0-9A-Fa-f]{4})_")


@dataclass(frozen=True, kw_only=True, eq=False)
class SheetCells:
    """A sheet ready to be written.

    Parameters
    ----------
    name : str
        The sheet's name.
    columns : sequence of sequence of str
        By column and row, what stands between ``<c r="A1"`` and the next cell; the empty text for
        an empty cell. The first row is the heading.
    formats : sequence of int
        Format of each column's empty cells.
    """

    name: str
    columns: Sequence[Sequence[str]]
    formats: Sequence[int]


def escape_letters(text: str) -> str:
    """Escape the letters that a workbook's XML cannot hold, as ``_xHHHH_``.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    str
        The text, from which `restore_letters` gives the old one back.

    Examples
    --------
    >>> escape_letters("a\\x01b _x0041_")
    'a_x0001_b _x005F_x0041_'
    """
    return _NEEDS_ESCAPE.sub(lambda found: f"_x{ord(found[0]):04X}_", text)


def restore_letters(text: str) -> str:
    """Undo `escape_letters`.

    Parameters
    ----------
    text : str
        A text as a workbook holds it.

    Returns
    -------
    str
        The text meant.

    Examples
    --------
    >>> restore_letters("a_x0001_b _x005F_x0041_") == "a\\x01b _x0041_"
    True
    """
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)), text)


def write_text_cell(text: str, *, style: int) -> str:
    """Write a text cell from its style on.

    Parameters
    ----------
    text : str
        The text.
    style : int
        Position of its format.

    Returns
    -------
    str
        What follows the cell's address.
    """
    inside = escape(escape_letters(text))
    return f' s="{style}" t="inlineStr"><is><t xml:space="preserve">{inside}</t></is></c>'


def build_workbook(sheets: Sequence[SheetCells]) -> bytes:
    """Build a workbook; equal sheets give equal bytes.

    Parameters
    ----------
    sheets : sequence of SheetCells
        Its sheets.

    Returns
    -------
    bytes
        The XLSX file.
    """
    numbers = range(1, len(sheets) + 1)
    listed = "".join(
        f'<sheet name={quoteattr(sheet.name)} sheetId="{number}" r:id="rId{number}"/>'
        for number, sheet in zip(numbers, sheets, strict=True)
    )
    overrides = "".join(
        f'<Override PartName="/xl/worksheets/sheet{number}.xml" ContentType="{_SHEET_TYPE}"/>'
        for number in numbers
    )
    relations = {f"rId{number}": ("worksheet", f"worksheets/sheet{number}.xml")
                 for number in numbers}  # fmt: skip
    relations[f"rId{len(sheets) + 1}"] = ("styles", "styles.xml")
    parts = {
        "[Content_Types].xml": f'{_HEAD}<Types xmlns="{_PACKAGE}/content-types">'
        '<Default Extension="rels" '
        'ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Default Extension="xml" ContentType="application/xml"/>'
        f'<Override PartName="/xl/workbook.xml" ContentType="{_BOOK_TYPE}"/>{overrides}'
        f'<Override PartName="/xl/styles.xml" ContentType="{_STYLE_TYPE}"/></Types>',
        "_rels/.rels": _write_relations({"rId1": ("officeDocument", "xl/workbook.xml")}),
        "xl/workbook.xml": f'{_HEAD}<workbook xmlns="{_MAIN}" xmlns:r="{_RELATED}">'
        f"<sheets>{listed}</sheets></workbook>",
        "xl/_rels/workbook.xml.rels": _write_relations(relations),
        "xl/styles.xml": _STYLES,
    }
    for number, sheet in zip(numbers, sheets, strict=True):
        parts[f"xl/worksheets/sheet{number}.xml"] = _write_sheet(sheet)
    return _pack(parts)


def _write_relations(relations: Mapping[str, tuple[str, str]]) -> str:
    listed = "".join(
        f'<Relationship Id="{key}" Type="{_RELATED}/{kind}" Target="{target}"/>'
        for key, (kind, target) in relations.items()
    )
    return f'{_HEAD}<Relationships xmlns="{_PACKAGE}/relationships">{listed}</Relationships>'


def _write_sheet(sheet: SheetCells) -> str:
    letters = [name_column(number) for number in range(1, len(sheet.columns) + 1)]
    n_rows = len(sheet.columns[0]) if sheet.columns else 1
    formats = "".join(
        f'<col min="{number}" max="{number}" width="14" style="{style}" customWidth="1"/>'
        for number, style in enumerate(sheet.formats, start=1)
    )
    rows = []
    for row, cells in enumerate(zip(*sheet.columns, strict=True), start=1):
        written = "".join(
            f'<c r="{letter}{row}"{cell}'
            for letter, cell in zip(letters, cells, strict=True)
            if cell
        )
        rows.append(f'<row r="{row}">{written}</row>')
    extent = f"A1:{letters[-1] if letters else 'A'}{n_rows}"
    return (
        f'{_HEAD}<worksheet xmlns="{_MAIN}"><dimension ref="{extent}"/>'
        '<sheetViews><sheetView workbookViewId="0"><pane ySplit="1" topLeftCell="A2" '
        'activePane="bottomLeft" state="frozen"/></sheetView></sheetViews>'
        f"{f'<cols>{formats}</cols>' if formats else ''}"
        f"<sheetData>{''.join(rows)}</sheetData>"
        f'<ignoredErrors><ignoredError sqref="{extent}" numberStoredAsText="1"/></ignoredErrors>'
        "</worksheet>"
    )


def _pack(parts: Mapping[str, str]) -> bytes:
    sink = io.BytesIO()
    with zipfile.ZipFile(sink, "w") as archive:
        for name, text in parts.items():
            # The earliest day that a ZIP file knows, and one system's mark on every system.
            about = zipfile.ZipInfo(name, date_time=(1980, 1, 1, 0, 0, 0))
            about.compress_type = zipfile.ZIP_DEFLATED
            about.create_system = 3
            about.external_attr = 0o644 << 16
            archive.writestr(about, text.encode("utf-8"))
    return sink.getvalue()
