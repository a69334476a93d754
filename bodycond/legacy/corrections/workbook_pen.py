"""Cells for a workbook that is given away: nothing in them runs, and equal content, equal bytes."""

from __future__ import annotations

import datetime as dt
import io
import re
import zipfile
from collections.abc import Mapping
from copy import copy
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Any

from bodycond.errors import BodycondError
from bodycond.legacy.corrections.xlsx_texts import escape_text, is_risky, read_back

# Dark ink on each of these has a contrast above 9; a held cell is told by its thick border too.
HELD_FILL, HELD_BORDER = "FFD27F", "0B3C5D"
HEADING_FILL, FILL_IN_FILL, FILL_IN_HEADING = "E3E8ED", "F3F8FC", "CFE4F5"

# A zip cannot hold an earlier date.
_FIXED_DATE = (1980, 1, 1, 0, 0, 0)

_EMPTY_ROW = re.compile(rb'<row r="(\d+)"\s*(?:/>|></row>)')

# Beyond this many letters older programs show a cell in text format as a row of hashes.
_LONGEST_AS_TEXT = 255


@dataclass(frozen=True, kw_only=True, eq=False)
class Pen:
    """Makes the cells of one sheet that is written row by row.

    Parameters
    ----------
    sheet : Any
        The sheet, opened for writing only.
    """

    sheet: Any
    _styles: dict[tuple[str, bool, bool], Any] = field(default_factory=dict)

    def write(self, text: str, style: str = "plain") -> Any:
        """Make a cell of text.

        Parameters
        ----------
        text : str
            The text; never taken for a formula, a number or an error value.
        style : str, default "plain"
            One of ``plain heading wrapped held held_whole struck fill_in fill_in_date
            fill_in_heading link``.

        Returns
        -------
        Any
            The cell.
        """
        whole = read_back(text)
        risky = is_risky(whole)
        cell = self._make(style, risky=risky, as_text=risky or len(whole) <= _LONGEST_AS_TEXT)
        if whole:
            cell.value = escape_text(whole)
            cell.data_type = "s"
        return cell

    def write_number(self, number: float, style: str = "plain") -> Any:
        """Make a cell of a number.

        Parameters
        ----------
        number : int or float
            The number.
        style : str, default "plain"
            As for `write`.

        Returns
        -------
        Any
            The cell.
        """
        cell = self._make(style, risky=False, as_text=False)
        cell.value = number
        return cell

    def _make(self, style: str, *, risky: bool, as_text: bool) -> Any:
        from openpyxl.cell import WriteOnlyCell

        key = (style, risky, as_text)
        if key not in self._styles:
            model = WriteOnlyCell(self.sheet)
            _apply_style(model, style)
            if as_text and style != "fill_in_date":
                model.number_format = "@"
            if risky:
                model.quotePrefix = True
            self._styles[key] = model._style
        cell = WriteOnlyCell(self.sheet)
        cell._style = copy(self._styles[key])
        return cell


def _apply_style(cell: Any, style: str) -> None:
    from openpyxl.styles import Alignment, Border, Font, PatternFill, Side

    fills = {
        "heading": HEADING_FILL, "fill_in_heading": FILL_IN_HEADING, "fill_in": FILL_IN_FILL,
        "fill_in_date": FILL_IN_FILL, "held": HELD_FILL, "held_whole": HELD_FILL,
    }  # fmt: skip
    if style in fills:
        cell.fill = PatternFill("solid", fgColor=f"FF{fills[style]}")
    if style in {"heading", "fill_in_heading"}:
        cell.font = Font(name="Calibri", size=11, bold=True)
    elif style == "struck":
        cell.font = Font(name="Calibri", size=11, strike=True)
    elif style == "link":
        cell.font = Font(name="Calibri", size=11, underline="single", color=f"FF{HELD_BORDER}")
    if style == "held":
        side = Side(style="medium", color=f"FF{HELD_BORDER}")
        cell.border = Border(left=side, right=side, top=side, bottom=side)
    elif style.startswith("fill_in"):
        side = Side(style="thin", color="FF8FA3B3")
        cell.border = Border(left=side, right=side, top=side, bottom=side)
    if style == "fill_in_date":
        cell.number_format = "yyyy-mm-dd"
    wrapped = style not in {"plain", "struck", "held_whole"}
    cell.alignment = Alignment(wrap_text=wrapped, vertical="top")


class _FixedZip(zipfile.ZipFile):
    """An archive whose parts bear one fixed date, and whose sheets get the rows made elsewhere."""

    rows: Mapping[str, Mapping[int, str]] = MappingProxyType({})

    def writestr(
        self,
        zinfo_or_arcname: str | zipfile.ZipInfo,
        data: Any,
        compress_type: int | None = None,
        compresslevel: int | None = None,
    ) -> None:
        name = getattr(zinfo_or_arcname, "filename", zinfo_or_arcname)
        about = zipfile.ZipInfo(str(name), date_time=_FIXED_DATE)
        about.compress_type = self.compression
        about.create_system = 3  # the same on every system
        super().writestr(about, data, compress_type, compresslevel)

    def write(self, filename: Any, arcname: Any = None, *_: Any, **__: Any) -> None:
        content = Path(filename).read_bytes()
        self.writestr(arcname, put_rows(content, self.rows.get(str(arcname), {})))


def put_rows(part: bytes, rows: Mapping[int, str]) -> bytes:
    """Put rows into the places that were left empty for them.

    Parameters
    ----------
    part : bytes
        A sheet's XML.
    rows : mapping of int to str
        The row's XML by its number.

    Returns
    -------
    bytes
        The sheet's XML, filled.

    Raises
    ------
    BodycondError
        If a row has no place, which is a fault of bodycond.

    Examples
    --------
    >>> put_rows(b'<row r="1" /><row r="2" />', {2: '<row r="2"><c r="A2"/></row>'})
    b'<row r="1" /><row r="2"><c r="A2"/></row>'
    """
    if not rows:
        return part
    used: set[int] = set()

    def _fill(found: re.Match[bytes]) -> bytes:
        number = int(found[1])
        if number not in rows:
            return found[0]
        used.add(number)
        return rows[number].encode()

    filled = _EMPTY_ROW.sub(_fill, part)
    if len(used) < len(rows):
        raise BodycondError(
            needed="Each row of a copied sheet must have its place in the workbook",
            found=f"none for row {min(set(rows) - used)}",
            then="This is a fault of bodycond: report it with the version of openpyxl",
        )
    return filled


def fit_page(target: Any, *, title_rows: str | None = None) -> None:
    """Let a sheet be printed as wide as one page, lying.

    Parameters
    ----------
    target : Any
        A sheet of openpyxl.
    title_rows : str, optional
        Rows that stand on every page, such as ``"1:1"``.
    """
    target.page_setup.orientation = "landscape"
    target.page_setup.fitToWidth = 1
    target.page_setup.fitToHeight = 0
    target.sheet_properties.pageSetUpPr.fitToPage = True
    if title_rows is not None:
        target.print_title_rows = title_rows


def open_workbook() -> Any:
    """Open a workbook for writing only, with fixed dates.

    Returns
    -------
    Any
        The workbook, without sheets.
    """
    import openpyxl

    workbook = openpyxl.Workbook(write_only=True)
    workbook.properties.creator = "bodycond"
    workbook.properties.created = workbook.properties.modified = dt.datetime(*_FIXED_DATE)
    return workbook


def pack_workbook(workbook: Any, *, rows: Mapping[str, Mapping[int, str]]) -> bytes:
    """Pack a workbook so that equal content gives equal bytes.

    Parameters
    ----------
    workbook : Any
        From `open_workbook`, filled.
    rows : mapping of str to mapping of int to str
        By sheet, rows that were written as empty ones, by their number and as XML.

    Returns
    -------
    bytes
        The XLSX file's content.
    """
    from openpyxl.writer.excel import ExcelWriter

    # Workbook.save would put today's date into it.
    stream = io.BytesIO()
    with _FixedZip(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.rows = {
            f"xl/worksheets/sheet{number}.xml": rows.get(sheet.title, {})
            for number, sheet in enumerate(workbook.worksheets, start=1)
        }
        ExcelWriter(workbook, archive).write_data()
    return stream.getvalue()
