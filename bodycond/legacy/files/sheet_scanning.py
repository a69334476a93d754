"""One sheet of an XLSX workbook scanned for what stands beside its values."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any
from xml.parsers import expat

from bodycond.legacy.files.sheet_structure import Place, SheetStructure
from bodycond.legacy.files.workbook_styles import CellFormat
from bodycond.legacy.files.xml_parts import refuse_entities
from bodycond.tables_on_disk import name_column, number_column

_REFERENCE = re.compile(r"\$?([A-Za-z]{1,3})\$?([0-9]+)")
_CELL_TAG = re.compile(rb"<c\s")
_CELL_PLACE = re.compile(rb'\sr="([A-Z]{1,3}[0-9]+)"')
# Beyond as many cells the full reading is no slower than looking for each.
_MOST_FOUND = 100_000
_YES = frozenset({"1", "true", "on"})
_NO = frozenset({"0", "false", "off"})


def read_place(reference: str) -> Place:
    """Read a cell's reference.

    Parameters
    ----------
    reference : str
        For example ``"B12"``; of a range the first cell counts.

    Returns
    -------
    tuple of (int, int)
        Row and column, counted from 0.

    Raises
    ------
    ValueError
        If it is no reference.

    Examples
    --------
    >>> read_place("AB12")
    (11, 27)
    """
    found = _REFERENCE.match(reference)
    if found is None:
        raise ValueError(f"{reference!r} is no cell")
    return int(found[2]) - 1, number_column(found[1].upper()) - 1


def find_formats(part: bytes, formats: Mapping[str, CellFormat]) -> SheetStructure | None:
    """Find the cells of a few formats without reading the whole part.

    Parameters
    ----------
    part : bytes
        The sheet's part of the workbook, in UTF-8 and without prefixes.
    formats : mapping of str to CellFormat
        Formats that are not plain, by their number.

    Returns
    -------
    SheetStructure or None
        None where so many cells have them, or cells are named so, that `scan_sheet` is needed.

    Examples
    --------
    >>> part = b'<sheetData><row><c r="B1" s="2"><v>1</v></c></row></sheetData>'
    >>> find_formats(part, {"2": CellFormat(struck=True)}).struck
    {(0, 1)}
    """
    found = SheetStructure()
    numbers = b"|".join(number.encode() for number in sorted(formats))
    for count, hit in enumerate(re.finditer(rb'\ss="(' + numbers + rb')"', part)):
        start = part.rfind(b"<", 0, hit.start())
        tag = part[start : part.find(b">", hit.end())]
        if not _CELL_TAG.match(tag):
            continue
        reference = _CELL_PLACE.search(tag)
        if reference is None or count == _MOST_FOUND:
            return None
        found.put_format(read_place(reference[1].decode()), formats[hit[1].decode()])
    return found


def scan_sheet(
    part: bytes,
    *,
    formats: Mapping[str, CellFormat],
    strings: Mapping[int, str],
    strings_if_struck: Mapping[int, str] | None = None,
) -> SheetStructure:
    """Scan a sheet.

    Parameters
    ----------
    part : bytes
        The sheet's part of the workbook.
    formats : mapping of str to CellFormat
        Formats that are not plain, by their number.
    strings : mapping of int to str
        Shared texts of which a part is struck through: what is not.
    strings_if_struck : mapping of int to str, optional
        Shared texts of which a part is not, where the cell's own format strikes it through.

    Returns
    -------
    SheetStructure
        What was found; no comments, which stand in a part of their own.

    Raises
    ------
    ValueError, ExpatError
        If the part is broken.
    """
    # Without a struck format and a strike in the part no text is struck in part.
    rich = b"strike" in part or any(form.struck for form in formats.values())
    scanner = _Scanner(
        formats=formats, strings=strings, if_struck=strings_if_struck or {}, rich=rich
    )
    scanner.parser.Parse(part, True)
    return scanner.found


class _Scanner:
    """Handlers of one pass; only starts of elements are listened to, unless a text is wanted."""

    def __init__(
        self,
        *,
        formats: Mapping[str, CellFormat],
        strings: Mapping[int, str],
        if_struck: Mapping[int, str],
        rich: bool,
    ) -> None:
        self.found = SheetStructure()
        self._formats, self._rich = formats, rich
        self._strings, self._if_struck = strings, if_struck
        self._row = self._column = -1
        self._fresh = False
        self._reference: str | None = None
        self._kind: str | None = None
        self._written: list[str] = []
        self._wanted = ""
        self._formula: dict[str, str] = {}
        self._shared: dict[str, _SharedFormula] = {}
        self._runs: list[tuple[str, bool]] = []
        self._struck = self._run_struck = self._has_formula = False
        self.parser = expat.ParserCreate()
        self.parser.buffer_text = True
        self.parser.StartElementHandler = self._start
        self.parser.StartDoctypeDeclHandler = refuse_entities

    def _start(self, name: str, about: dict[str, str]) -> None:
        local = name.rpartition(":")[2] if ":" in name else name
        fresh, self._fresh = self._fresh, local == "c"
        if local == "c":
            self._start_cell(about)
        elif local == "v":
            wants_text = self._kind == "s" and (self._strings or (self._struck and self._if_struck))
            if self._kind == "e" or wants_text or (self._kind == "str" and self._has_formula):
                self._want(local)
        elif local == "row":
            number = about.get("r")
            self._row = int(number) - 1 if number else self._row + 1
            self._column, self._reference = -1, None
            if about.get("hidden") in _YES:
                self.found.hidden_rows.append((self._row, self._row))
        elif local == "f":
            # Rules of the sheet have formulas too, of no cell: a cell's is its first element.
            if fresh:
                self._formula, self._has_formula = about, True
                self._want(local)
        elif local == "col" and about.get("hidden") in _YES:
            self.found.hidden_columns.append((int(about["min"]) - 1, int(about["max"]) - 1))
        elif local == "conditionalFormatting":
            self.found.coloured_by_rule = True
        elif self._rich and self._kind == "inlineStr":
            self._start_run(local, about)

    def _start_cell(self, about: dict[str, str]) -> None:
        self._kind = about.get("t")
        reference = about.get("r")
        if reference is None:
            # Without a reference a cell stands right of the one before it.
            self._column = self._place()[1] + 1
        self._reference = reference
        style = about.get("s")
        if style is not None and style in self._formats:
            self.found.put_format(self._place(), self._formats[style])
        self._struck = style is not None and style in self._formats and self._formats[style].struck
        self._runs, self._run_struck, self._has_formula = [], self._struck, False

    def _start_run(self, local: str, about: dict[str, str]) -> None:
        if local == "r":
            self._run_struck = self._struck
        elif local == "rPr":
            # A piece with properties has all of its own, one without has its cell's.
            self._run_struck = False
        elif local == "strike":
            self._run_struck = about.get("val", "1").lower() not in _NO
        elif local == "t":
            self._want(local)

    def _place(self) -> Place:
        if self._reference is None:
            return self._row, self._column
        return read_place(self._reference)

    def _want(self, local: str) -> None:
        self._wanted, self._written = local, []
        self.parser.CharacterDataHandler = self._written.append
        self.parser.EndElementHandler = self._end

    def _end(self, name: str) -> None:
        if name.rpartition(":")[2] != self._wanted:
            return
        self.parser.CharacterDataHandler = self.parser.EndElementHandler = None
        text = "".join(self._written)
        if self._wanted == "f":
            self.found.formulas[self._place()] = self._word_formula(text)
        elif self._wanted == "t":
            self._end_run(text)
        elif self._kind == "e":
            self.found.errors[self._place()] = text
        elif self._kind == "str":
            if not text:
                self.found.empty_results.add(self._place())
        elif text.strip().isdecimal():
            strings = self._if_struck if self._struck else self._strings
            if int(text) in strings:
                self._put_part(strings[int(text)])

    def _end_run(self, text: str) -> None:
        self._runs.append((text, self._run_struck))
        if any(struck != self._struck for _, struck in self._runs):
            self._put_part("".join(piece for piece, struck in self._runs if not struck))

    def _put_part(self, kept: str) -> None:
        # The pieces of a text say more than the format of its cell.
        self.found.struck.discard(self._place())
        self.found.partly_struck[self._place()] = kept

    def _word_formula(self, text: str) -> str:
        kind, group = self._formula.get("t"), self._formula.get("si", "")
        if kind == "dataTable":
            return "=TABLE()"
        if kind == "shared" and not text and group in self._shared:
            return self._shared[group].word_at(self._place())
        if kind == "shared" and text:
            self._shared[group] = _SharedFormula(text, self._place())
        return f"={text}"


class _SharedFormula:
    """A formula that several cells share, written out for each: it is stored for the first."""

    def __init__(self, text: str, origin: Place) -> None:
        self._text, self._origin = text, origin
        self._translator: Any = None

    def word_at(self, place: Place) -> str:
        from openpyxl.formula.tokenizer import TokenizerError
        from openpyxl.formula.translate import Translator, TranslatorError

        def _name(where: Place) -> str:
            return f"{name_column(where[1] + 1)}{where[0] + 1}"

        try:
            if self._translator is None:
                self._translator = Translator(f"={self._text}", origin=_name(self._origin))
            return str(self._translator.translate_formula(_name(place)))
        except (TranslatorError, TokenizerError, ValueError, IndexError):
            return f"={self._text} (as in {_name(self._origin)})"
