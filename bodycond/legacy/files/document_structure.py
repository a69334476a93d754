"""What an OpenDocument spreadsheet says beside its values, read in one pass over its content."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping
from xml.parsers import expat

from bodycond.legacy.files.document_styles import DocumentStyles
from bodycond.legacy.files.sheet_structure import Place, SheetStructure
from bodycond.legacy.files.workbook_styles import CellFormat
from bodycond.legacy.files.xml_parts import refuse_entities

_PLAIN = CellFormat()
_CELLS = frozenset({"table:table-cell", "table:covered-table-cell"})
_HIDDEN = frozenset({"collapse", "filter"})
_BLANKS = {"text:tab": "\t", "text:line-break": "\n"}


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
        self._pieces: list[tuple[str, bool]] = []
        self._struck_spans: list[bool] = []
        self._note: list[str] | None = None
        self._in_paragraph = False

    def read(self, part: bytes) -> None:
        self._parser = expat.ParserCreate()
        self._parser.buffer_text = True
        self._parser.StartElementHandler = self._start
        self._parser.EndElementHandler = self._end
        self._parser.StartDoctypeDeclHandler = refuse_entities
        self._parser.Parse(part, True)

    def _start(self, name: str, about: dict[str, str]) -> None:
        if name in _CELLS:
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
        elif name in {"style:map", "calcext:conditional-format"}:
            self._styles.has_rules = True
            if self._sheet is not None:
                self._sheet.coloured_by_rule = True
        else:
            self._styles.start(name, about)

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
        form = self._find_format(about)
        if form != _PLAIN:
            for where in self._list_places():
                self._sheet.put_format(where, form)
        if self._styles.strikes or about.get("calcext:value-type") == "error":
            self._parser.CharacterDataHandler = self._hear

    def _add_merged(self, sheet: SheetStructure, place: Place, about: dict[str, str]) -> None:
        down = int(about.get("table:number-rows-spanned", 1))
        right = int(about.get("table:number-columns-spanned", 1))
        if down > 1 or right > 1:
            sheet.merged.append((*place, self._row + down - 1, self._column + right - 1))

    def _find_format(self, about: dict[str, str]) -> CellFormat:
        above = self._column_styles
        column = above[self._column] if self._column < len(above) else None
        return self._styles.find(about.get("table:style-name") or self._row_style or column)

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
            elif self._note is None and self._pieces:
                self._pieces.append(("\n", self._pieces[-1][1]))
        elif name == "text:span":
            struck = self._styles.find(about.get("text:style-name"), family="text").struck
            self._struck_spans.append(struck)
        elif name == "text:s":
            self._hear(" " * min(int(about.get("text:c", 1)), 1000))
        elif name in _BLANKS:
            self._hear(_BLANKS[name])

    def _hear(self, text: str) -> None:
        if self._note is not None:
            # Beside its text a comment names its writer and day.
            if self._in_paragraph:
                self._note.append(text)
        elif self._cell is not None:
            self._pieces.append((text, any(self._struck_spans)))

    def _end(self, name: str) -> None:
        if name == "text:span":
            self._struck_spans.pop()
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
            self._styles.end(name)

    def _end_cell(self) -> None:
        if self._sheet is None or self._cell is None:
            return
        self._parser.CharacterDataHandler = None
        if any(struck for _, struck in self._pieces):
            kept = "".join(text for text, struck in self._pieces if not struck)
            self._sheet.partly_struck |= dict.fromkeys(self._list_places(), kept)
        if self._cell.get("calcext:value-type") == "error":
            written = "".join(text for text, _ in self._pieces) or "#VALUE!"
            self._sheet.errors |= dict.fromkeys(self._list_places(), written)
        self._column += self._column_count
        self._cell = None
