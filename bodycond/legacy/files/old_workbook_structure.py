"""What an XLS workbook says beside its values, as far as its reader keeps it."""

from __future__ import annotations

import io
import struct
from typing import Any

from bodycond.legacy.files.number_formats import NO_WORDS, read_words, read_zeros
from bodycond.legacy.files.old_workbook_formulas import OldFormulas, read_old_formulas
from bodycond.legacy.files.sheet_structure import SheetStructure
from bodycond.legacy.files.workbook_styles import CellFormat, is_plain_fill, is_plain_ink

# What the reader raises on records that it cannot follow, beside its own error.
_READER_ERRORS = (
    AssertionError, AttributeError, IndexError, KeyError, NotImplementedError, OverflowError,
    TypeError, UnicodeDecodeError, ValueError, struct.error,
)  # fmt: skip

# A font's colour that follows the screen's, and those of the palette that do.
_AUTOMATIC = frozenset({0x7FFF, 0x40, 0x41, 0x51})


def read_old_structures(content: bytes) -> dict[str, SheetStructure] | None:
    """Read comments, formulas, hidden, struck-through and coloured cells of an XLS workbook.

    Parameters
    ----------
    content : bytes
        The workbook.

    Returns
    -------
    dict of str to SheetStructure or None
        By the sheet's name; None where they cannot be read.
    """
    try:
        import xlrd
    except ModuleNotFoundError:
        return None
    try:
        # Only a workbook that is read sheet by sheet keeps its stream, in which formulas are.
        book = xlrd.open_workbook(
            file_contents=content, formatting_info=True, on_demand=True, logfile=io.StringIO()
        )
        formats = _list_formats(book)
        words = xlrd.error_text_from_code
        found = {sheet.name: read_sheet(book, sheet, formats, words) for sheet in book.sheets()}
        for structure, formulas in zip(found.values(), read_old_formulas(book), strict=False):
            _add_formulas(structure, formulas)
        return found
    except (xlrd.XLRDError, xlrd.compdoc.CompDocError, *_READER_ERRORS):
        return None


def _add_formulas(structure: SheetStructure, found: OldFormulas) -> None:
    structure.formulas = found.formulas
    structure.empty_results = found.empty_results
    structure.coloured_by_rule = found.has_rules


def _list_formats(book: Any) -> dict[int, CellFormat]:
    formats: dict[int, CellFormat] = {}
    for number, item in enumerate(book.xf_list):
        font = book.font_list[item.font_index]
        ground = item.background
        fill = _word_colour(book, ground.pattern_colour_index) if ground.fill_pattern else ""
        ink = _word_colour(book, font.colour_index)
        code = book.format_map.get(item.format_key)
        form = CellFormat(
            struck=bool(font.struck_out), fill="" if is_plain_fill(fill) else fill,
            ink="" if is_plain_ink(ink) else ink,
            zeros=read_zeros(code.format_str or "") if code is not None else "",
            words=read_words(code.format_str or "") if code is not None else NO_WORDS,
        )  # fmt: skip
        if form != CellFormat():
            formats[number] = form
    return formats


def _word_colour(book: Any, index: int) -> str:
    rgb = book.colour_map.get(index)
    if index in _AUTOMATIC or rgb is None:
        return ""
    return "#{:02X}{:02X}{:02X}".format(*rgb)


def read_sheet(
    book: Any, sheet: Any, formats: dict[int, CellFormat], error_words: dict[int, str]
) -> SheetStructure:
    """Read what one sheet says beside its values.

    Parameters
    ----------
    book, sheet : object
        The reader's workbook and sheet.
    formats : dict of int to CellFormat
        Formats that are not plain, by their number.
    error_words : dict of int to str
        Error values by their code.

    Returns
    -------
    SheetStructure
        What was found; formulas are not among it: `read_old_formulas` reads them.
    """
    found = SheetStructure()
    for place, note in sheet.cell_note_map.items():
        found.comments[place] = note.text.strip()
    found.hidden_rows = [(row, row) for row, about in sheet.rowinfo_map.items() if about.hidden]
    found.hidden_columns = [
        (column, column) for column, about in sheet.colinfo_map.items() if about.hidden
    ]
    for row in range(sheet.nrows):
        for column, kind in enumerate(sheet.row_types(row)):
            if kind == 5:
                found.errors[row, column] = error_words[sheet.cell_value(row, column)]
            if formats and (number := sheet.cell_xf_index(row, column)) in formats:
                found.put_format((row, column), formats[number])
    for (row, column), runs in sheet.rich_text_runlist_map.items():
        text = str(sheet.cell_value(row, column))
        own = book.xf_list[sheet.cell_xf_index(row, column)].font_index
        kept = _keep_unstruck(book, text, [(0, own), *runs])
        if kept != text:
            # Its own pieces say more than the format of the cell.
            found.struck.discard((row, column))
            found.partly_struck[row, column] = kept
    return found


def _keep_unstruck(book: Any, text: str, runs: list[tuple[int, int]]) -> str:
    ends = [start for start, _ in runs[1:]] + [len(text)]
    return "".join(
        text[start:end]
        for (start, font), end in zip(runs, ends, strict=True)
        if not book.font_list[font].struck_out
    )
