"""Texts as an XLSX cell can hold them, and as they come back from it."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from bodycond.legacy.files.grids import write_cell_text

# What the file format allows; counted in units of UTF-16, as spreadsheet programs do.
LONGEST_CELL_TEXT = 32_767
LONGEST_SHEET_NAME = 31

# XML holds none of these, or turns them into something else (a carriage return).
_UNWRITABLE = r"\x00-\x08\x0b-\x1f\ud800-\udfff\ufffe\uffff"
_ESCAPED = re.compile(f"[{_UNWRITABLE}]")
# An underscore that a reader would take for the beginning of an escape.
_LOOKS_ESCAPED = re.compile(f"_(?=x[0-9A-Fa-f]{{4}}(?:_|[{_UNWRITABLE}]))")
# Numbers of no letter, which readers leave in their escape.
_NO_LETTER = re.compile(r"[\ud800-\udfff\ufffe\uffff]")

# A formula, and the error values of a spreadsheet program, begin with one of these.
_RISKY_STARTS = ("=", "+", "-", "@", "#", "\t", "\r", "\n")

_FORBIDDEN_IN_NAMES = re.compile(r"[\[\]:*?/\\\x00-\x1f\x7f\ud800-\udfff\ufffe\uffff]")
# A name that the commonest spreadsheet program keeps for itself.
_RESERVED_NAME = "history"


def escape_text(text: str) -> str:
    r"""Write what XML cannot hold in the way of the XLSX format, which readers undo.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    str
        ``_x0007_`` stands for the letter with the hexadecimal number 7; an underscore that would
        be read as the beginning of such an escape is itself escaped.

    Examples
    --------
    >>> escape_text("18\x075"), escape_text("_x0007_")
    ('18_x0007_5', '_x005F_x0007_')
    """
    if text and not text.strip():
        # Readers drop a text of blanks alone.
        return "".join(_escape_letter(letter) for letter in text)
    safe = _LOOKS_ESCAPED.sub("_x005F_", text)
    return _ESCAPED.sub(lambda found: _escape_letter(found[0]), safe)


def _escape_letter(letter: str) -> str:
    return f"_x{ord(letter):04X}_" if ord(letter) <= 0xFFFF else letter


def needs_escape(text: str) -> bool:
    r"""Tell whether a text holds letters that stand escaped in an XLSX.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    bool
        True for control letters and for what looks like an escape.

    Examples
    --------
    >>> needs_escape("calm\x07"), needs_escape("calm")
    (True, False)
    """
    return escape_text(text) != text


def read_back(text: str) -> str:
    """Give a text as it comes back from a cell that it was written into.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    str
        The text; cut, with a mark that says so, where it is longer than a cell may be. Halves of
        surrogate pairs and the like, which are no letters, come back as their escape.

    Examples
    --------
    >>> read_back("186 g")
    '186 g'
    >>> read_back("x" * 40_000)[-32:]
    'xxxx [cut: 40000 letters in all]'
    """
    whole = _NO_LETTER.sub(lambda found: _escape_letter(found[0]), text)
    if len(text) <= LONGEST_CELL_TEXT // 7 or _measure(whole) <= LONGEST_CELL_TEXT:
        return whole
    mark = f" [cut: {len(text)} letters in all]"
    room = LONGEST_CELL_TEXT - len(mark)
    kept = whole[:room]
    while (excess := _measure(kept) - room) > 0:
        # No letter takes more than seven.
        kept = kept[: len(kept) - max(excess // 7, 1)]
    return kept + mark


def _measure(text: str) -> int:
    escaped = escape_text(text)
    return len(escaped) + sum(letter > "\uffff" for letter in escaped)


def is_risky(text: str) -> bool:
    """Tell whether a spreadsheet program could take a text for something to run or to compute.

    Parameters
    ----------
    text : str
        A cell's text.

    Returns
    -------
    bool
        True for what begins as a formula does, and for words of the program such as ``#N/A``.

    Examples
    --------
    >>> is_risky("=1+1"), is_risky("#N/A"), is_risky("186 g")
    (True, True, False)
    """
    return text.startswith(_RISKY_STARTS)


def find_number(text: str) -> int | float | None:
    """Give the number that a text stands for, if the XLSX writer keeps its every digit.

    Parameters
    ----------
    text : str
        The text of a number cell.

    Returns
    -------
    int or float or None
        None where the number would come back as another text.

    Examples
    --------
    >>> find_number("186.5"), find_number("0.30000000000000004"), find_number("186.50")
    (186.5, None, None)
    """
    try:
        number = float(text)
    except ValueError:
        return None
    if not math.isfinite(number) or write_cell_text(number)[0] != text:
        return None
    if float(f"{number:.16g}") != number:
        return None
    return int(text) if text.lstrip("-").isdigit() else number


def name_sheets(names: Sequence[str], *, taken: Sequence[str] = ()) -> list[str]:
    """Give each sheet a name that a spreadsheet program takes and no other has.

    Parameters
    ----------
    names : sequence of str
        The true names.
    taken : sequence of str, optional
        Names that are in use.

    Returns
    -------
    list of str
        One a sheet: forbidden signs become ``_``, long names are cut, repeated ones numbered.

    Examples
    --------
    >>> name_sheets(["2019/20", "2019:20", "intake"])
    ['2019_20', '2019_20 (2)', 'intake']
    """
    used = {_fold_name(name) for name in taken} | {_RESERVED_NAME}
    given: list[str] = []
    for name in names:
        tidy = _FORBIDDEN_IN_NAMES.sub("_", name).strip()
        # An apostrophe at either end would end the name in a reference.
        tidy = re.sub("^'|'$", "_", _cut_name(tidy, LONGEST_SHEET_NAME)).strip() or "sheet"
        unique, number = tidy, 1
        while _fold_name(unique) in used:
            number += 1
            tail = f" ({number})"
            unique = _cut_name(tidy, LONGEST_SHEET_NAME - len(tail)) + tail
        used.add(_fold_name(unique))
        given.append(unique)
    return given


def _fold_name(name: str) -> str:
    return name.casefold().upper().casefold()


def _cut_name(name: str, limit: int) -> str:
    while len(name) + sum(letter > "\uffff" for letter in name) > limit:
        name = name[:-1]
    return name
