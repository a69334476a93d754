"""Days of the calendar: made, held and given, with what was taken for granted said."""

from __future__ import annotations

import datetime as dt
import unicodedata
from dataclasses import dataclass

from bodycond.legacy.notation.readings import DateReading
from bodycond.legacy.notation.texts import plain_text

# Two-digit years are of the hundred years up to this one; exam sheets are younger than 1950.
LAST_SHORT_YEAR = 2049
FIRST_SHORT_LIMIT, LAST_SHORT_LIMIT = 1899, 2099

_FIRST_YEAR, _LAST_YEAR = 1800, 2100
# A spreadsheet shows an empty cell or a zero as one of these.
_DAYS_ZERO = frozenset({dt.date(1899, 12, 30), dt.date(1899, 12, 31), dt.date(1904, 1, 1)})


@dataclass(frozen=True, kw_only=True, slots=True)
class DateWay:
    """How a column's dates are written.

    Parameters
    ----------
    order : str or None
        Order of day, month and year, or the kind of count.
    year : int or None
        Year of dates that have none.
    short_years_to : int
        The year that ends the hundred years of two-digit years.
    """

    order: str | None
    year: int | None
    short_years_to: int


def fold_date(text: str) -> str:
    """Fold case and accents; a superscript digit is a note and does not become a digit.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    str
        The folded text.

    Examples
    --------
    >>> fold_date("3 F\u00e9vr. 2011")
    '3 fevr. 2011'
    """
    folded = plain_text(text).casefold()
    if folded.isascii():
        return folded
    decomposed = unicodedata.normalize("NFD", folded)
    return "".join(letter for letter in decomposed if not unicodedata.combining(letter))


def full_year(written: str, short_years_to: int) -> int:
    """Give a year with its century.

    Parameters
    ----------
    written : str
        Two digits, with or without an apostrophe, or four.
    short_years_to : int
        The year that ends the hundred years of two-digit years.

    Returns
    -------
    int
        The year.

    Examples
    --------
    >>> full_year("'98", 2049), full_year("07", 2049), full_year("07", 1999)
    (1998, 2007, 1907)
    """
    digits = written.strip("'")
    if len(digits) == 4:
        return int(digits)
    return short_years_to - (short_years_to - int(digits)) % 100


def say_short(written: str, short_years_to: int) -> str:
    """Say which century a two-digit year was given.

    Parameters
    ----------
    written : str
        The year as written.
    short_years_to : int
        The year that ends the hundred years of two-digit years.

    Returns
    -------
    str
        The end of a reason; empty for a year of four digits.

    Examples
    --------
    >>> say_short("98", 2049)
    '; two-digit year read as 1998 (two digits are 1950 to 2049)'
    """
    if len(written.strip("'")) == 4:
        return ""
    read = full_year(written, short_years_to)
    first = short_years_to - 99
    return f"; two-digit year read as {read} (two digits are {first} to {short_years_to})"


def make_day(year: int, month: int, day: int) -> dt.date | None:
    """Make a date, or None where there is no such day.

    Parameters
    ----------
    year, month, day : int
        The three numbers.

    Returns
    -------
    date or None
        The day.
    """
    try:
        return dt.date(year, month, day)
    except ValueError:
        return None


def hold_date(
    text: str, reason: str, likely: str = "", *, flags: tuple[str, ...] = ()
) -> DateReading:
    """Hold a cell that should be a date.

    Parameters
    ----------
    text : str
        The cell's text.
    reason : str
        Why it is held.
    likely : str
        What it probably means.
    flags : tuple of str
        What was written beside it.

    Returns
    -------
    DateReading
        Quarantined, without a value.
    """
    return DateReading(raw=text, outcome="quarantined", reason=reason, likely=likely, flags=flags)


def give_day(text: str, year: int, month: int, day: int, *, reason: str) -> DateReading:
    """Give a day, or hold one that the calendar or a raptor's exam cannot have.

    Parameters
    ----------
    text : str
        The cell's text.
    year, month, day : int
        The three numbers.
    reason : str
        What was worked out; empty for a plain date.

    Returns
    -------
    DateReading
        The day, or why there is none.
    """
    made = make_day(year, month, day)
    if made is None:
        return hold_date(text, f"there is no day {day} in month {month} of {year}")
    if made in _DAYS_ZERO:
        return hold_date(text, "the day that a spreadsheet counts from", "no value")
    if not _FIRST_YEAR <= year <= _LAST_YEAR:
        return hold_date(text, f"the year {year} cannot be the year of an exam")
    return DateReading(
        raw=text, outcome="converted" if reason else "accepted", reason=reason, value=made,
        precision="day",
    )  # fmt: skip


def give_part(text: str, year: int, month: int, precision: str, *, reason: str = "") -> DateReading:
    """Give a month or a year, of which no more is known.

    Parameters
    ----------
    text : str
        The cell's text.
    year, month : int
        The two numbers; month 1 for a year alone.
    precision : {"month", "year"}
        How much is known.
    reason : str
        What else was worked out, from ``"; "`` on.

    Returns
    -------
    DateReading
        The first day of the month or year, or why there is none.
    """
    made = make_day(year, month, 1)
    if made is None or not _FIRST_YEAR <= year <= _LAST_YEAR:
        return hold_date(text, f"the year {year} cannot be the year of an exam")
    return DateReading(
        raw=text, outcome="converted", reason=f"only the {precision} is known{reason}",
        value=made, precision=precision,
    )  # fmt: skip
