"""Letters that were decoded wrongly before the file was saved: 'FlÃ¼gel' for 'Flügel'."""

from __future__ import annotations

import functools
import unicodedata

import numpy as np
import numpy.typing as npt

from bodycond.legacy.files.letter_evidence import make_table
from bodycond.tables_on_disk import name_column

# UTF-8 can be read wrongly, saved, and read wrongly once more; three times is not seen.
_MOST_ROUNDS = 3

_ENCODINGS = ("cp1252", "mac-roman", "cp850", "cp437")

# What a repair may give: signs of tables and texts beside the Latin letters.
_SIGNS = frozenset("–—‘’‚“”„†‡•…‰‹›€™♀♂−≤≥≈×ˆ˜ƒ½⅓⅔⅛¼¾")
_LETTERS = frozenset("ŠšŽžŒœŸŁłĆćČčĐđŚśŻżŹźŘřĚěŮůŐőŰűĞğİıŞşĀāĒēĪīŌōŪū")

# A capital and a closing mark can both be meant: the 'Ä“' that ends a German quotation.
_CLOSING = frozenset("”“’‘»›…–—")


@functools.cache
def _bytes_of(encoding: str) -> dict[int, int]:
    table = {ord(character): number for number, character in enumerate(make_table(encoding))}
    if encoding == "cp1252":  # what Latin-1 made of these bytes counts as well
        table |= {number: number for number in range(0x80, 0xA0)}
    return table


def repair_mojibake(text: str) -> str:
    """Undo a wrong decoding of UTF-8, where there is no doubt about it.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    str
        The text as it was meant; unchanged unless the whole of it, encoded as CP1252, Latin-1,
        Mac-Roman or a code page of DOS, is UTF-8 of letters that tables hold, and only one such
        reading exists.

    Examples
    --------
    >>> repair_mojibake("FlÃ¼gel"), repair_mojibake("2â€“3"), repair_mojibake("Flügel")
    ('Flügel', '2–3', 'Flügel')
    """
    if text.isascii():
        return text
    readings = _find_readings(text, _MOST_ROUNDS)
    return readings.pop() if len(readings) == 1 else text


def _find_readings(text: str, rounds: int) -> set[str]:
    """Find what a text may have been meant as, undone as often as it goes."""
    found: set[str] = set()
    for encoding in _ENCODINGS if rounds else ():
        meant = _undo_once(text, encoding)
        if meant is None:
            continue
        found |= _find_readings(meant, rounds - 1)
        if all(character.isascii() or _may_be_meant(character) for character in meant):
            deeper = any(_undo_once(meant, other) is not None for other in _ENCODINGS)
            found |= set() if deeper else {meant}
    return found


def _undo_once(text: str, encoding: str) -> str | None:
    numbers = _bytes_of(encoding)
    try:
        content = bytes([numbers[ord(character)] for character in text])
        meant = content.decode("utf-8")
    except (KeyError, UnicodeDecodeError):
        return None
    return None if meant == text or _could_stand(text, meant) else meant


def _may_be_meant(character: str) -> bool:
    return 0xA0 <= ord(character) < 0x100 or character in _SIGNS or character in _LETTERS


def _could_stand(text: str, meant: str) -> bool:
    """Tell whether a text that looks wrongly decoded may be meant as it stands.

    That is so where each pair is a capital letter and a closing mark, after capitals or a blank
    and before no letter.
    """
    odd = [place for place, character in enumerate(text) if not character.isascii()]
    if len(odd) != 2 or len(meant) != len(text) - 1 or odd[1] != odd[0] + 1:
        return False
    first, second = text[odd[0]], text[odd[1]]
    before = text[odd[0] - 1] if odd[0] else " "
    after = text[odd[1] + 1] if odd[1] + 1 < len(text) else " "
    capital = unicodedata.category(first) == "Lu" and not before.islower()
    return capital and second in _CLOSING and not after.isalnum()


@functools.cache
def _first_letters() -> frozenset[str]:
    # Each letter that a repair can give begins with one of these bytes, also when read twice.
    return frozenset(
        make_table(encoding)[byte]
        for encoding in _ENCODINGS
        for byte in b"\xc2\xc3\xc4\xc5\xc6\xc9\xcb\xce\xcf\xe2"
    )


def may_hold_mojibake(text: str) -> bool:
    """Tell quickly whether a long text can hold letters that were decoded wrongly.

    Parameters
    ----------
    text : str
        The text of a whole file.

    Returns
    -------
    bool
        False where no cell of it needs to be looked at.

    Examples
    --------
    >>> may_hold_mojibake("négatif"), may_hold_mojibake("nÃ©gatif")
    (False, True)
    """
    return not text.isascii() and any(letter in text for letter in _first_letters())


def note_mojibake(texts: npt.NDArray[np.object_]) -> tuple[str, ...]:
    """Say how many cells hold letters that were decoded wrongly, and show the first.

    Parameters
    ----------
    texts : ndarray of object, shape (rows, columns)
        Every cell as text; nothing in it is changed.

    Returns
    -------
    tuple of str
        Empty, or one note.
    """
    count = 0
    first: tuple[int, int, str, str] | None = None
    known: dict[str, str] = {}
    for place, cell in enumerate(texts.ravel().tolist()):
        if cell.isascii():
            continue
        if cell not in known:
            known[cell] = repair_mojibake(cell)
        meant = known[cell]
        if meant != cell:
            count += 1
            row, column = divmod(place, texts.shape[1])
            first = first or (row, column, cell, meant)
    if first is None:
        return ()
    row, column, cell, meant = first
    return (
        f"{count} cell{'s hold' if count > 1 else ' holds'} letters decoded wrongly before the "
        f"file was saved, the first {name_column(column + 1)}{row + 1}: {cell[:40]!r}, meant "
        f"{meant[:40]!r}; the cells are kept as they stand",
    )
