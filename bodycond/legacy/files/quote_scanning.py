"""Quotation marks that do not pair: ditto and inch marks, and cells that were never closed."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import islice

from bodycond.legacy.files.delimiters import iterate_lines

# Four times what a spreadsheet cell can hold.
LONGEST_CELL = 131_072

# No note runs over more lines; a quotation mark that was never closed does.
_MOST_LINES_IN_CELL = 50
_MOSTLY = 0.6

_PLACES_SHOWN = 5

# The width of a table shows long before this.
_LINES_FOR_WIDTH = 100_000

_LINE_END = re.compile(r"\r\n|\r|\n")


class Places:
    """Places in a file, of which the first few are kept and the others counted.

    Examples
    --------
    >>> places = Places()
    >>> for line in (2, 2, 5, 7, 9, 11, 13):
    ...     places.add(line)
    >>> str(places)
    '2, 5, 7, 9, 11 and 1 more'
    """

    def __init__(self) -> None:
        self._first: list[str] = []
        self._last: object = None
        self._count = 0

    def __bool__(self) -> bool:
        return self._count > 0

    def __str__(self) -> str:
        more = self._count - len(self._first)
        return ", ".join(self._first) + (f" and {more} more" if more else "")

    def add(self, place: object) -> None:
        """Add a place, unless it is the one added last.

        Parameters
        ----------
        place : object
            Shown as its text.
        """
        if place == self._last:
            return
        self._last = place
        self._count += 1
        if len(self._first) < _PLACES_SHOWN:
            self._first.append(str(place))


@dataclass(kw_only=True, eq=False)
class ScanFindings:
    """What a scanner met on its way; it adds the places as it goes.

    Parameters
    ----------
    literal : Places
        Lines with quotation marks that are read as they stand, counted from 1.
    padded : Places
        Lines with blanks around the quotation marks of a cell.
    """

    literal: Places = field(default_factory=Places)
    padded: Places = field(default_factory=Places)


class QuoteScanner:
    """Reads records one after another, and judges each quotation mark by what it does.

    Parameters
    ----------
    text : str
        The text.
    delimiter : str
        What parts the cells; one character.
    findings : ScanFindings
        Filled on the way.

    Raises
    ------
    csv.Error
        While reading, if a cell is longer than `LONGEST_CELL`.
    """

    def __init__(self, text: str, delimiter: str, findings: ScanFindings) -> None:
        mark = re.escape(delimiter)
        self._text = text
        self._delimiter = delimiter
        self._findings = findings
        self._quoted = re.compile(rf'[ ]*+"((?:[^"]++|"")*+)"[ ]*+(?={mark}|\r|\n|\Z)')
        self._plain = re.compile(rf"[^{mark}\r\n]*")
        self._width = self._find_usual_width()

    def records(self) -> Iterator[tuple[list[str], int, int]]:
        """Read on, record by record.

        Yields
        ------
        tuple of (list of str, int, int)
            The cells, and the record's first and last line, counted from 1.
        """
        place, line, length = 0, 1, len(self._text)
        while place < length:
            found = _LINE_END.search(self._text, place)
            end = found.start() if found else length
            segment = self._text[place:end]
            first = line
            whole = self._read_whole_line(segment)
            if self._holds_dittos(segment, whole):
                self._findings.literal.add(line)
                row = segment.split(self._delimiter)
            elif whole is not None:
                row = whole
            else:
                row, end, line = self._read_record(place, line)
                found = _LINE_END.match(self._text, end)
            yield row, first, line
            place = found.end() if found else length
            line += 1

    def _holds_dittos(self, line: str, row: list[str] | None) -> bool:
        """Tell whether a line's marks are bare ditto marks: it is a whole row only without them.

        Two marks with cells between them look like one quoted cell.
        """
        if '"' not in line or (row is not None and len(row) >= self._width):
            return False
        cells = [cell.strip() for cell in line.split(self._delimiter)]
        return len(cells) == self._width > 1 and cells.count('"') > 1

    def _read_whole_line(self, line: str) -> list[str] | None:
        """Read a line whose quotation marks pair in it, at full speed; None for any other."""
        if '"' not in line:
            return line.split(self._delimiter) if line else []
        if ' "' in line or '" ' in line:
            return None
        try:
            return next(csv.reader((line,), delimiter=self._delimiter, strict=True))
        except csv.Error:
            return None

    def _read_record(self, start: int, line: int) -> tuple[list[str], int, int]:
        row: list[str] = []
        place = start
        while True:
            cell, place, lines = self._read_cell(start, place, line)
            line += lines
            row.append(cell)
            if not self._text.startswith(self._delimiter, place):
                return row, place, line
            place += len(self._delimiter)

    def _read_cell(self, start: int, place: int, line: int) -> tuple[str, int, int]:
        plain = self._plain.match(self._text, place)
        end = plain.end() if plain else place
        written = self._text[place:end]
        if not written.lstrip(" ").startswith('"'):
            self._require_length(written)
            return written, end, 0
        found = self._quoted.match(self._text, place, place + LONGEST_CELL)
        cut = found is not None and found.end() == place + LONGEST_CELL < len(self._text)
        if found is None or cut:
            return self._read_literally(written, end, line)
        inside = found[1]
        lines = len(_LINE_END.findall(inside))
        if lines and self._joins_rows(start, found, lines):
            return self._read_literally(written, end, line)
        if found[0].strip(" ") != found[0]:
            self._findings.padded.add(line)
        return inside.replace('""', '"'), found.end(), lines

    def _read_literally(self, written: str, end: int, line: int) -> tuple[str, int, int]:
        self._findings.literal.add(line)
        self._require_length(written)
        return written, end, 0

    @staticmethod
    def _require_length(written: str) -> None:
        if len(written) > LONGEST_CELL:
            raise csv.Error(f"a cell of more than {LONGEST_CELL:,} characters")

    def _joins_rows(self, start: int, found: re.Match[str], n_lines: int) -> bool:
        """Tell whether a cell of several lines is several rows that a lone mark has joined.

        A line end inside a cell is honest where the lines are no rows. It is not where each line
        alone has the cells of a whole row and the closing mark opens a cell itself, as a ditto
        mark does, or the marks cross the bounds of cells in the first line and in the last.
        """
        inside = found[1]
        if self._width < 2:
            return n_lines > _MOST_LINES_IN_CELL
        after = _LINE_END.search(self._text, found.end())
        stop = after.start() if after else len(self._text)
        lines = [line for line in _LINE_END.split(self._text[start:stop]) if line.strip()]
        whole = sum(self._count_cells(line) == self._width for line in lines) / max(len(lines), 1)
        pieces = _LINE_END.split(inside)
        if inside.endswith((self._delimiter, "\r", "\n")) or n_lines > _MOST_LINES_IN_CELL:
            ends_whole = all(self._count_cells(line) == self._width for line in lines[::-1][:1])
            return whole >= _MOSTLY and ends_whole and len(lines) > 1
        crosses = self._delimiter in pieces[0] and self._delimiter in pieces[-1]
        return crosses and whole == 1.0

    def _count_cells(self, line: str) -> int:
        """Count the cells of one line by itself, a mark that is not closed in it being a letter."""
        whole = self._read_whole_line(line)
        if whole is not None:
            return len(whole)
        place = count = 0
        while place <= len(line):
            found = self._quoted.match(line, place) or self._plain.match(line, place)
            count += 1
            place = (found.end() if found else len(line)) + len(self._delimiter)
        return count

    def _find_usual_width(self) -> int:
        widths = Counter(
            self._count_cells(line.rstrip("\r\n"))
            for line in islice(iterate_lines(self._text), _LINES_FOR_WIDTH)
            if self._delimiter in line
        )
        return max(widths.items(), key=lambda item: (item[1], item[0]))[0] if widths else 0
