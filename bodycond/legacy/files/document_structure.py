"""What an OpenDocument spreadsheet says beside its values, read in one pass over its content."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping
from xml.parsers import expat

from bodycond.legacy.files.document_styles import NUMBER_TEXTS, DocumentStyles
from bodycond.legacy.files.document_times import word_long_time
from bodycond.legacy.files.sheet_structure import Place, SheetStructure
from bodycond.legacy.files.workbook_styles import CellFormat
from bodycond.legacy.files.xml_parts import refuse_entities

_PLAIN = CellFormat()
_CELLS = frozenset({"table:table-cell", "table:covered-table-cell"})
_HIDDEN = frozenset({"collapse", "filter"})
_BLANKS = {"text:tab": "\t", "text:line-break": "\n"}
# The reader of values drops the first two, and takes a text box's words for the cell's.
_ERROR = re.compile(r"#[^\d\s]\S*|[^\W\d]+:5\d\d")
_SELDOM = frozenset({"table:formula", "office:time-value"})
_TRUTHS = {"0": "FALSE", "1": "TRUE"}
_MISREAD = (b"<text:tab", b"<text:line-break", b"<draw:")


def read_document_structures(
    content: bytes, *, shapes: Mapping[str, tuple[int, int]]
) -> dict[str, SheetStructure]:
    """Read what the fast reader of values does not tell.

    Parameters
    ----------
    content : bytes
        The document, looked at by `check_container` before.
    shapes : mapping of str to (int, int)
        Rows and columns of each sheet's values; formats that go on beyond them are left out.

    Returns
    -------
    dict of str to SheetStructure
        By the sheet's name; nothing for a file of another kind.

    Raises
    ------
    BadZipFile, KeyError, ValueError, ExpatError
        If a part is broken.
    """
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        names = archive.namelist()
        if "content.xml" not in names:
            return {}
        scanner = _Scanner(shapes)
        # Formats that have a name stand in a part of their own, and the sheets' own rest on them.
        for name in ("styles.xml", "content.xml"):
            if name in names:
                scanner.read(archive.read(name))
    return scanner.found


class _Scanner:
    """Handlers of one pass; the text of a cell is listened to where it can matter."""

    def __init__(self, shapes: Mapping[str, tuple[int, int]]) -> None:
        self.found: dict[str, SheetStructure] = {}
        self._shapes = shapes
        self._styles = DocumentStyles()
        self._sheet: SheetStructure | None = None
        self._shape = (0, 0)
        self._row = self._column = self._row_count = self._column_count = 0
        self._row_style: str | None = None
        self._column_styles: list[str | None] = []
        self._cell: dict[str, str] | None = None
        self._style: str | None = None
        self._form = _PLAIN
        # None for a piece that has the cell's own format.
        self._pieces: list[tuple[str, bool | None]] = []
        self._spans: list[bool | None] = []
        self._paragraphs = self._drawings = 0
        self._note: list[str] | None = None
        self._in_paragraph = self._is_misread = self._has_misread = False
        self._number_text: list[str] = []

    def read(self, part: bytes) -> None:
        self._has_misread = any(sign in part for sign in _MISREAD)
        self._parser = expat.ParserCreate()
        self._parser.buffer_text = True
        self._parser.StartElementHandler = self._start
        self._parser.EndElementHandler = self._end
        self._parser.StartDoctypeDeclHandler = refuse_entities
        self._parser.Parse(part, True)

    def _start(self, name: str, about: dict[str, str]) -> None:
        if name.startswith("draw:"):
            self._drawings += 1
            self._is_misread = True
        elif self._drawings:
            return
        elif name in _CELLS:
            self._start_cell(about)
        elif name.startswith("text:"):
            self._start_text(name, about)
        elif name == "table:table-row":
            self._row_count = int(about.get("table:number-rows-repeated", 1))
            self._column, self._row_style = 0, about.get("table:default-cell-style-name")
            if self._sheet is not None and about.get("table:visibility") in _HIDDEN:
                self._sheet.hidden_rows.append((self._row, self._row + self._row_count - 1))
        elif name == "table:table-column":
            self._start_column(about)
        elif name == "table:table":
            self._sheet = self.found.setdefault(about.get("table:name", ""), SheetStructure())
            self._shape = self._shapes.get(about.get("table:name", ""), (0, 0))
            self._row, self._column_styles = 0, []
        elif name == "office:annotation" and self._cell is not None:
            self._note = []
            self._parser.CharacterDataHandler = self._hear
        elif name == "calcext:conditional-format" and self._sheet is not None:
            self._sheet.coloured_by_rule = True
        else:
            self._styles.start(name, about)
            if name in NUMBER_TEXTS:
                self._number_text = []
                self._parser.CharacterDataHandler = self._number_text.append

    def _start_column(self, about: dict[str, str]) -> None:
        count = int(about.get("table:number-columns-repeated", 1))
        first = len(self._column_styles)
        if self._sheet is not None and about.get("table:visibility") in _HIDDEN:
            self._sheet.hidden_columns.append((first, first + count - 1))
        # Columns beyond the last value count for nothing; one word can stand for 16,000.
        kept = min(count, max(self._shape[1] - first, 0))
        self._column_styles += [about.get("table:default-cell-style-name")] * kept

    def _start_cell(self, about: dict[str, str]) -> None:
        if self._sheet is None:
            return
        self._cell, self._pieces = about, []
        repeated = about.get("table:number-columns-repeated")
        self._column_count = int(repeated) if repeated else 1
        place = (self._row, self._column)
        formula = about.get("table:formula")
        if formula is not None:
            self._sheet.formulas[place] = (
                formula[formula.find("=") :] if "=" in formula else formula
            )
        if "table:number-rows-spanned" in about or "table:number-columns-spanned" in about:
            self._add_merged(self._sheet, place, about)
        self._style = self._find_style(about)
        self._form = self._styles.find(self._style)
        if self._form != _PLAIN:
            for where in self._list_places():
                self._sheet.put_format(where, self._form)
        if self._styles.has_rules and self._styles.has_rule(self._style):
            self._sheet.coloured_by_rule = True
        self._paragraphs, self._is_misread = 0, False
        # A text is listened to where it can matter: that takes time.
        if (
            self._styles.strikes
            or self._form.struck
            or formula is not None
            or self._has_misread
            or about.get("calcext:value-type") == "error"
        ):
            self._parser.CharacterDataHandler = self._hear

    def _add_merged(self, sheet: SheetStructure, place: Place, about: dict[str, str]) -> None:
        down = int(about.get("table:number-rows-spanned", 1))
        right = int(about.get("table:number-columns-spanned", 1))
        if down > 1 or right > 1:
            sheet.merged.append((*place, self._row + down - 1, self._column + right - 1))

    def _find_style(self, about: dict[str, str]) -> str | None:
        above = self._column_styles
        column = above[self._column] if self._column < len(above) else None
        return about.get("table:style-name") or self._row_style or column

    def _list_places(self) -> list[Place]:
        rows = range(self._row, min(self._row + self._row_count, self._shape[0]))
        columns = range(self._column, min(self._column + self._column_count, self._shape[1]))
        return [(row, column) for row in rows for column in columns]

    def _start_text(self, name: str, about: dict[str, str]) -> None:
        if name == "text:p":
            self._in_paragraph = True
            # A cell's paragraphs are its lines.
            if self._note:
                self._note.append("\n")
            elif self._note is None:
                if self._paragraphs:
                    self._pieces.append(("\n", self._pieces[-1][1] if self._pieces else None))
                self._paragraphs += 1
        elif name == "text:span":
            struck = self._styles.find_strike(about.get("text:style-name"))
            around = self._spans[-1] if self._spans else None
            self._spans.append(around if struck is None else struck)
        elif name == "text:s":
            self._hear(" " * min(int(about.get("text:c", 1)), 1000))
        elif name in _BLANKS:
            self._hear(_BLANKS[name])
            self._is_misread = self._is_misread or self._note is None

    def _hear(self, text: str) -> None:
        # Beside its text a comment names its writer and day, and a drawing has words of its own.
        if self._drawings or not self._in_paragraph:
            return
        if self._note is not None:
            self._note.append(text)
        elif self._cell is not None:
            self._pieces.append((text, self._spans[-1] if self._spans else None))

    def _end(self, name: str) -> None:
        if name.startswith("draw:"):
            self._drawings -= 1
        elif self._drawings:
            return
        elif name == "text:span":
            self._spans.pop()
        elif name == "text:p":
            self._in_paragraph = False
        elif name in _CELLS:
            self._end_cell()
        elif name == "table:table-row":
            self._row += self._row_count
        elif name == "table:table":
            self._sheet = None
        elif name == "office:annotation" and self._note is not None:
            said = "".join(self._note).strip()
            if said and self._sheet is not None:
                self._sheet.comments[self._row, self._column] = said
            self._note = None
        else:
            if name in NUMBER_TEXTS:
                self._parser.CharacterDataHandler = None
                self._styles.hear("".join(self._number_text))
            self._styles.end(name)

    def _end_cell(self) -> None:
        if self._sheet is None or self._cell is None:
            return
        self._parser.CharacterDataHandler = None
        is_error = self._cell.get("calcext:value-type") == "error"
        if self._pieces or is_error or not _SELDOM.isdisjoint(self._cell):
            self._put_cell(self._sheet, self._cell)
        self._column += self._column_count
        self._cell = None

    def _put_cell(self, sheet: SheetStructure, cell: dict[str, str]) -> None:
        written = "".join(text for text, _ in self._pieces)
        if self._is_error(cell, written):
            sheet.errors |= dict.fromkeys(self._list_places(), written or "#VALUE!")
        else:
            self._put_strikes(sheet)
            self._put_value(sheet, cell, written)

    def _is_error(self, cell: dict[str, str], written: str) -> bool:
        # Programs without this mark store a number, 0, and the error as what is shown.
        stored = "calcext:value-type" not in cell and "table:formula" in cell
        shown = stored and cell.get("office:value-type") in {"float", "string"}
        return cell.get("calcext:value-type") == "error" or (
            shown and _ERROR.fullmatch(written) is not None
        )

    def _put_strikes(self, sheet: SheetStructure) -> None:
        own = self._form.struck
        flags = [own if struck is None else struck for _, struck in self._pieces]
        if all(struck == own for struck in flags):
            return
        # The parts of a text say more than the format of its cell.
        pieces = zip(self._pieces, flags, strict=True)
        kept = "".join(text for (text, _), struck in pieces if not struck)
        sheet.struck.difference_update(self._list_places())
        sheet.partly_struck |= dict.fromkeys(self._list_places(), kept)

    def _put_value(self, sheet: SheetStructure, cell: dict[str, str], written: str) -> None:
        """Put down a value that the reader of values gives otherwise."""
        kind, value = cell.get("office:value-type"), ("", "")
        formula = cell.get("table:formula")
        if kind == "time":
            value = word_long_time(cell.get("office:time-value", "")), "h"
        elif kind == "string" and self._is_misread and "office:string-value" not in cell:
            value = written, "t"
        elif formula is not None and not written and (kind == "string" or self._paragraphs):
            sheet.empty_results |= set(self._list_places())
        elif formula is not None and self._is_truth(cell, written):
            value = _TRUTHS[cell["office:value"]], "b"
        if value[0]:
            sheet.values |= dict.fromkeys(self._list_places(), value)

    def _is_truth(self, cell: dict[str, str], written: str) -> bool:
        """Tell a truth value: a number there, which shows as a word of the program's language."""
        is_bit = cell.get("office:value-type") == "float" and cell.get("office:value") in _TRUTHS
        return is_bit and written.isalpha() and self._styles.is_general(self._style)
