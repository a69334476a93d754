"""Text split into records and cells, quotation marks that do not pair included."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from operator import itemgetter
from pathlib import Path
from typing import Any

from bodycond.errors import UnreadableFileError, name_first_few
from bodycond.legacy.files.delimiters import QUICK_LENGTH, iterate_lines
from bodycond.legacy.files.grids import LARGEST_GRID_CELLS, require_grid_size
from bodycond.legacy.files.quote_scanning import Places, QuoteScanner, ScanFindings

_LAST = itemgetter(-1)
_LINE_END = re.compile(r"\r\n|\r|\n")


@dataclass(frozen=True, kw_only=True, eq=False)
class TextRecords:
    """The records of a text file.

    Parameters
    ----------
    rows : list of list of str
        The cells, without those at a record's end that are empty; blank lines are empty lists,
        and those at the end of the file are left out.
    notes : tuple of str
        What a reader should know.
    """

    rows: list[list[str]]
    notes: tuple[str, ...]


class _Collector:
    """Rows gathered one by one, so that a table without end stops before memory does."""

    def __init__(self, path: Path) -> None:
        self.rows: list[list[str]] = []
        self.widths: Counter[int] = Counter()
        self.first_of_width: dict[int, int] = {}
        self.lines_within = Places()
        self._path = path
        self._blank = 0
        self._width = 0

    def add_all(self, rows: list[list[str]]) -> None:
        """Take rows at once where none ends early; a hundred thousand go by in a moment."""
        widths = Counter(map(len, rows))
        if len(widths) == 1 and 0 not in widths and all(map(_LAST, rows)):
            width = next(iter(widths))
            require_grid_size(self._path, len(rows), width)
            self.rows, self.widths, self._width = rows, widths, width
            return
        for row in rows:
            self.add(row)

    def add(self, row: list[str]) -> None:
        full = len(row)
        while row and not row[-1]:
            row.pop()
        if not row:
            self._blank += 1
            return
        number = len(self.rows) + self._blank + 1
        if len(row) > self._width:
            self._width = len(row)
            self.first_of_width[len(row)] = number
        if number * self._width > LARGEST_GRID_CELLS:
            require_grid_size(self._path, number, self._width)
        # Blank lines are held back until a row follows: those at the end of a file cost nothing.
        if self._blank:
            self.rows += [[] for _ in range(self._blank)]
            self._blank = 0
        self.rows.append(row)
        self.widths[full] += 1


def split_records(text: str, *, delimiter: str, path: Path) -> TextRecords:
    """Split a text into records and cells.

    A cell in quotation marks may hold delimiters, line ends and doubled marks. A mark that pairs
    with none, or that would join rows which are whole by themselves, is read as it stands.

    Parameters
    ----------
    text : str
        The text.
    delimiter : str
        What parts the cells.
    path : Path
        The file, for messages.

    Returns
    -------
    TextRecords
        The records: a line end inside quotation marks does not start a new one.

    Raises
    ------
    UnreadableFileError
        If a cell has no end or the table is too large.

    Examples
    --------
    >>> split_records('a;";1\\nb;"c;d";2', delimiter=";", path=Path("x.csv")).rows
    [['a', '"', '1'], ['b', 'c;d', '2']]
    """
    collected = _Collector(path)
    findings = ScanFindings()
    try:
        if '"' not in text:
            plain = csv.reader(iterate_lines(text), delimiter=delimiter, quoting=csv.QUOTE_NONE)
            if len(text) <= QUICK_LENGTH:
                collected.add_all(list(plain))
            else:
                for row in plain:
                    collected.add(row)
        elif not _read_well_formed(text, delimiter, collected):
            collected = _Collector(path)
            for row, first, last in QuoteScanner(text, delimiter, findings).records():
                if last > first:
                    collected.lines_within.add(f"{first}-{last}")
                collected.add(row)
    except csv.Error as error:
        raise _describe_endless(path, str(error)) from error
    notes = [*_note_findings(findings), *_note_joined(collected), *_note_wide(collected)]
    return TextRecords(rows=collected.rows, notes=tuple(notes))


def _describe_endless(path: Path, why: str) -> UnreadableFileError:
    return UnreadableFileError(
        needed=f"The file {path} must be a delimited text table",
        found=f"{why}: no spreadsheet holds so long a cell",
        then="Look for a quotation mark that is opened and never closed, or for another delimiter",
    )


def _read_well_formed(text: str, delimiter: str, collected: _Collector) -> bool:
    """Read the text at full speed; False where its quotation marks need a closer look."""
    opens = f'(?:{re.escape(delimiter)}|^) +"'
    padded = ' "' in text and re.search(opens, text, re.MULTILINE) is not None
    reader = csv.reader(iterate_lines(text), delimiter=delimiter, strict=True)
    try:
        if len(text) <= QUICK_LENGTH:
            rows = list(reader)
            spanning = _find_spanning(rows) if reader.line_num > len(rows) else Places()
            # The heading, or a line that names the delimiter, may stand without marks.
            cells = sum(map(len, rows[1:])) if spanning or padded else 0
            collected.add_all(rows)
        else:
            spanning, cells = _read_row_by_row(reader, collected)
    except csv.Error:
        return False
    # Where every cell stands in quotation marks none of them can be a ditto mark.
    if (spanning or padded) and text.count('"') < 2 * cells:
        return False
    collected.lines_within = spanning
    return True


def _read_row_by_row(reader: Any, collected: _Collector) -> tuple[Places, int]:
    spanning = Places()
    line = cells = 0
    for row in reader:
        first, line = line + 1, reader.line_num
        if line > first:
            spanning.add(f"{first}-{line}")
        cells += len(row) if first > 1 else 0
        collected.add(row)
    return spanning, cells


def _find_spanning(rows: list[list[str]]) -> Places:
    """Find the records that run over lines, with their first and last line."""
    spanning = Places()
    line = 1
    for row in rows:
        more = sum(len(_LINE_END.findall(cell)) for cell in row if "\n" in cell or "\r" in cell)
        if more:
            spanning.add(f"{line}-{line + more}")
        line += 1 + more
    return spanning


def _note_findings(findings: ScanFindings) -> Iterator[str]:
    if findings.literal:
        yield (
            "quotation marks that pair with none, or would join rows, are read as they stand: "
            f"line {findings.literal}"
        )
    if findings.padded:
        yield f"blanks around quotation marks are no part of the cell: line {findings.padded}"


def _note_joined(collected: _Collector) -> Iterator[str]:
    if collected.lines_within:
        yield (
            "rows are counted as records, since cells hold line ends: each of these lines of the "
            f"file is one row: {collected.lines_within}"
        )


def _note_wide(collected: _Collector) -> Iterator[str]:
    if not collected.widths:
        return
    usual = max(collected.widths.items(), key=lambda item: (item[1], -item[0]))[0]
    wide = sorted(
        (number, width) for width, number in collected.first_of_width.items() if width > usual
    )
    if wide and usual > 1:
        shown = name_first_few(f"row {number} ({width})" for number, width in wide)
        yield f"rows with more cells than the {usual} of most rows keep them: {shown}"
