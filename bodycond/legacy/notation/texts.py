"""A cell's text made comparable, and the texts that hold no value in any column."""

from __future__ import annotations

import unicodedata
from typing import Literal

from bodycond.codes import ERROR_TEXTS, MISSING_TEXTS

NO_VALUE = "no value"
"""End of the reason of every cell that was read as holding none."""

LONGEST_NOTATION = 100
"""A longer text is no number, grade, date or time; reading on would only take time."""

_MARKS = str.maketrans(
    {
        **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212", "-"),
        **dict.fromkeys("\u201c\u201d\u201e\u2033", '"'),
        **dict.fromkeys("\u2018\u2019\u2032", "'"),
        **dict.fromkeys("\u223c\u2248", "~"),
        "\u2192": "->", "\u00bd": " 1/2", "\u00bc": " 1/4", "\u00be": " 3/4",
        "\u00d7": "x", "\u2264": "<=", "\u2265": ">=", "\u066b": ".",
        **dict.fromkeys("\ufe0e\ufe0f\u200b\u2060\ufeff", ""),
    }
)  # fmt: skip


class _PlainLetters(dict[int, str]):
    """One letter's plain form, worked out when it is first met.

    Digits of other scripts and full-width letters and marks have one meaning each; superscript and
    circled digits are notes beside a number and stay as they are.
    """

    def __missing__(self, code: int) -> str:
        letter = chr(code)
        digit = unicodedata.decimal(letter, None) if code > 127 else None
        if digit is not None:
            letter = str(digit)
        elif 0xFF01 <= code <= 0xFF5E:
            letter = chr(code - 0xFF00 + 0x20)
        self[code] = letter
        return letter


_PLAIN = _PlainLetters(_MARKS)


def plain_text(text: str) -> str:
    """Tidy a text for comparison: one kind of dash, quote and blank, no outer blanks.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    str
        The tidied text, its case kept.

    Examples
    --------
    >>> plain_text(" 2\u00a0\u2013 3 ")
    '2 - 3'
    """
    # Nearly every cell of a large sheet is plain.
    return " ".join((text if text.isascii() else text.translate(_PLAIN)).split())


def fold_text(text: str) -> str:
    """Fold case and accents, for looking a word up.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    str
        Lower case without accents.

    Examples
    --------
    >>> fold_text("Flügellänge")
    'flugellange'
    """
    decomposed = unicodedata.normalize("NFKD", plain_text(text).casefold())
    return "".join(letter for letter in decomposed if not unicodedata.combining(letter))


def says_missing(text: str) -> bool:
    """Tell whether a text stands for "no value" in any column.

    Parameters
    ----------
    text : str
        The cell's text.

    Returns
    -------
    bool
        True for blanks and for the texts of `bodycond.codes.MISSING_TEXTS`.

    Examples
    --------
    >>> says_missing(" N/A "), says_missing("0")
    (True, False)
    """
    return plain_text(text).casefold() in MISSING_TEXTS


def word_missing(text: str) -> str:
    """Say why a missing marker was read as missing.

    Parameters
    ----------
    text : str
        The cell's text.

    Returns
    -------
    str
        The reason for the ledger.
    """
    if text.strip():
        return f"{text.strip()!r} stands for {NO_VALUE}"
    return f"blanks alone: {NO_VALUE}"


def explain_special(text: str) -> tuple[Literal["accepted", "quarantined"], str] | None:
    """Recognise a text that holds no value in any column.

    Parameters
    ----------
    text : str
        The cell's text.

    Returns
    -------
    (outcome, reason) or None
        Accepted for a marker for no value, quarantined for a spreadsheet's error value, None
        for any other text.

    Examples
    --------
    >>> explain_special("#REF!")
    ('quarantined', 'an error value of the spreadsheet')
    """
    folded = plain_text(text).casefold()
    if folded in MISSING_TEXTS:
        return "accepted", word_missing(text)
    if folded in ERROR_TEXTS or (len(folded) > 1 and not folded.strip("#")):
        return "quarantined", "an error value of the spreadsheet"
    return None
