"""What a parser says about one cell: its value or why there is none, and the text as it stood."""

from __future__ import annotations

import datetime as dt
import unicodedata
from dataclasses import dataclass
from typing import Literal

from bodycond.codes import MISSING_TEXTS

_PLAIN = str.maketrans(
    {
        **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212", "-"),
        **dict.fromkeys("\u201c\u201d\u201e\u2033", '"'),
        **dict.fromkeys("\u2018\u2019\u2032", "'"),
        **dict.fromkeys("\u223c\u2248", "~"),
        "\u2192": "->", "\u00bd": " 1/2", "\u00bc": " 1/4", "\u00be": " 3/4",
    }
)  # fmt: skip

NO_VALUE = "no value"
"""End of the reason of every cell that was read as holding none."""

Outcome = Literal["accepted", "converted", "quarantined", "set_aside"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Reading:
    """How a cell was read.

    Parameters
    ----------
    raw : str
        The text as it stood.
    outcome : {"accepted", "converted", "quarantined", "set_aside"}
        ``accepted`` where the value is what the text says or the text says that there is none,
        ``converted`` where something was worked out, ``quarantined`` where the text needs a
        person.
    reason : str
        Why, unless the text was plain.
    likely : str
        For a quarantined cell: what it probably means; never applied.
    flags : tuple of str
        What was written beside the value: doubt, a wrap, approximation.
    """

    raw: str
    outcome: Outcome
    reason: str = ""
    likely: str = ""
    flags: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class NumberReading(Reading):
    """A mass, length, count or grade.

    Parameters
    ----------
    raw, outcome, reason, likely : str
        As in `Reading`.
    flags : tuple of str
        As in `Reading`.
    value : float, optional
        The number in the column's unit; None where missing or only an interval is known.
    low, high : float, optional
        The interval; both equal the value where that is known.
    """

    value: float | None = None
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class TextReading(Reading):
    """A code, a name or free text.

    Parameters
    ----------
    raw, outcome, reason, likely : str
        As in `Reading`.
    flags : tuple of str
        As in `Reading`.
    value : str, optional
        The code or text; None where missing.
    """

    value: str | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class FlagReading(Reading):
    """A yes or no.

    Parameters
    ----------
    raw, outcome, reason, likely : str
        As in `Reading`.
    flags : tuple of str
        As in `Reading`.
    value : bool, optional
        None where missing.
    """

    value: bool | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class DateReading(Reading):
    """A day, or a month or year where no more is known.

    Parameters
    ----------
    raw, outcome, reason, likely : str
        As in `Reading`.
    flags : tuple of str
        As in `Reading`.
    value : date, optional
        The day; the first day of the month or year where only that is known.
    precision : {"day", "month", "year"}, optional
        How exactly the date is known.
    """

    value: dt.date | None = None
    precision: str | None = None


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
