"""Formulas of an XLS workbook, which its readers drop, read from the records themselves."""

from __future__ import annotations

import re
import struct
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from bodycond.legacy.files.sheet_structure import Place

# From this version on a workbook is one stream with a list of its sheets.
_FIRST_BOOK_VERSION = 50

_SHEET, _END, _FORMULA, _SHARED, _ARRAY, _TABLE = 0x85, 0x0A, 0x06, 0x04BC, 0x0221, 0x0236
_RULES = frozenset({0x01B0, 0x0879})
_POINTER, _TABLE_POINTER, _ERROR = 0x01, 0x02, 0x1C
_UNREADABLE = "=(cannot be read)"

_TIDIED = re.compile(
    r"""("[^"]*"|'[^']*')|(?<![\w.])(\d+)\.0(?![\w.])|(\$?[A-Z]{1,3}\$?\d+):\3(?!\d)"""
)


@dataclass(frozen=True, kw_only=True, eq=False)
class OldFormulas:
    """The formulas of one sheet.

    Parameters
    ----------
    formulas : dict of (int, int) to str
        Formulas by row and column, counted from 0.
    empty_results : set of (int, int)
        Those of which the stored result is an empty text.
    has_rules : bool
        Rules of the sheet colour cells by their values.
    """

    formulas: dict[Place, str] = field(default_factory=dict)
    empty_results: set[Place] = field(default_factory=set)
    has_rules: bool = False


def read_old_formulas(book: Any) -> list[OldFormulas]:
    """Read the formulas of every sheet of cells.

    Parameters
    ----------
    book : object
        The reader's workbook, opened so that it keeps its stream.

    Returns
    -------
    list of OldFormulas
        In the workbook's order; empty for a workbook from before 1993.

    Raises
    ------
    error, IndexError
        If a record is cut off.
    """
    if book.biff_version < _FIRST_BOOK_VERSION:
        return []
    starts = [
        struct.unpack_from("<I", data)[0]
        for code, data in _list_records(book.mem, book.base)
        if code == _SHEET and data[5] == 0
    ]
    return [_read_sheet(book, book.base + start) for start in starts]


def _list_records(stream: bytes, start: int) -> Iterator[tuple[int, bytes]]:
    """List records up to the end of the sheet; charts in it are sheets of their own."""
    depth, place = 0, start
    while place + 4 <= len(stream):
        code, size = struct.unpack_from("<HH", stream, place)
        depth += (code == 0x0809) - (code == _END)
        if depth == 0:
            return
        if depth == 1:
            yield code, stream[place + 4 : place + 4 + size]
        place += 4 + size


def _read_sheet(book: Any, start: int) -> OldFormulas:
    own: dict[Place, bytes] = {}
    groups: dict[Place, tuple[int, bytes]] = {}
    empty: set[Place] = set()
    has_rules = False
    last: Place = (0, 0)
    for code, data in _list_records(book.mem, start):
        if code == _FORMULA:
            last = row, column = struct.unpack_from("<HH", data)
            own[row, column] = _cut_tokens(data, 20)
            if data[12:14] == b"\xff\xff" and data[6] == 3:
                empty.add((row, column))
        elif code in {_SHARED, _ARRAY}:
            # It stands behind the first cell that points at it.
            groups[last] = code, _cut_tokens(data, 8 if code == _SHARED else 12)
        elif code in _RULES:
            has_rules = True
    formulas = {
        place: _word_formula(book, place, tokens, _find_group(groups, tokens))
        for place, tokens in own.items()
        # An error that was typed in is stored as a formula that is nothing else.
        if tokens[:1] != bytes([_ERROR])
    }
    return OldFormulas(formulas=formulas, empty_results=empty, has_rules=has_rules)


def _cut_tokens(data: bytes, place: int) -> bytes:
    (size,) = struct.unpack_from("<H", data, place)
    return data[place + 2 : place + 2 + size]


def _find_group(groups: dict[Place, tuple[int, bytes]], tokens: bytes) -> tuple[int, bytes] | None:
    if tokens[:1] == bytes([_TABLE_POINTER]):
        return _TABLE, b""
    if tokens[:1] != bytes([_POINTER]) or len(tokens) < 5:
        return None
    row, column = struct.unpack_from("<HH", tokens, 1)
    return groups.get((row, column))


def _word_formula(book: Any, place: Place, tokens: bytes, group: tuple[int, bytes] | None) -> str:
    from xlrd import formula

    kind = formula.FMLA_TYPE_CELL
    if group is not None:
        code, tokens = group
        if code == _TABLE:
            return "=TABLE()"
        kind = formula.FMLA_TYPE_SHARED if code == _SHARED else formula.FMLA_TYPE_ARRAY
    try:
        said = formula.decompile_formula(book, tokens, len(tokens), kind, *place)
    # What the reader cannot follow it raises on in many ways; the value stands all the same.
    except (formula.FormulaError, AssertionError, LookupError, TypeError, ValueError,
            AttributeError, struct.error):  # fmt: skip
        return _UNREADABLE
    if not said:
        return _UNREADABLE
    return f"={_TIDIED.sub(lambda found: found[1] or found[2] or found[3], said)}"
