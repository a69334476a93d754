"""Dates as people write them; an order of day and month that is not known is asked for."""

from __future__ import annotations

import re
from typing import Literal

from bodycond.errors import ArgumentError, require_choice
from bodycond.legacy.notation.calendar_days import (
    FIRST_SHORT_LIMIT,
    LAST_SHORT_LIMIT,
    LAST_SHORT_YEAR,
    DateWay,
    fold_date,
    full_year,
    give_day,
    hold_date,
    say_short,
)
from bodycond.legacy.notation.date_forms import read_day
from bodycond.legacy.notation.marks import find_limit, strip_marks
from bodycond.legacy.notation.readings import DateReading, add_to_reason, say_script
from bodycond.legacy.notation.texts import (
    LONGEST_NOTATION,
    explain_special,
    plain_text,
    says_missing,
    word_missing,
)
from bodycond.legacy.notation.times import TIME_BEHIND_DATE
from bodycond.legacy.notation.vague_dates import read_vague
from bodycond.legacy.notation.words import read_month

DateOrder = Literal["dmy", "mdy", "ymd", "serial", "serial_1904", "day_of_year"]
DATE_ORDERS: tuple[DateOrder, ...] = ("dmy", "mdy", "ymd", "serial", "serial_1904", "day_of_year")

_ZERO_DATE = re.compile(
    r"0+|00?([/.-])00?\1(?:00){1,2}|0000([/.-])00\2?00|1900-01-00(?: 0?0:00.*)?", re.ASCII
)
_MIDNIGHT = re.compile(r"0?0:00(:00(\.0+)?)?")
# Most date cells of a large sheet.
_THREE_NUMBERS = re.compile(r"(?:(?:0?[1-9]|[12]\d|3[01])[-/.]){2}\d{4}", re.ASCII)
_ISO = re.compile(r"([12]\d{3})-(\d{2})-(0[1-9]|[123]\d)", re.ASCII)


def parse_date(
    text: str,
    *,
    order: str | None = None,
    year: int | None = None,
    short_years_to: int = LAST_SHORT_YEAR,
) -> DateReading:
    """Read a date.

    Parameters
    ----------
    text : str
        The cell's text; any text at all. A date cell comes in ISO form.
    order : {"dmy", "mdy", "ymd", "serial", "serial_1904", "day_of_year"}, optional
        The column's order; ``serial`` is the spreadsheets' count of days and ``serial_1904``
        that of workbooks that count from 1904. Default unknown: only dates that can be read in
        one way are then read.
    year : int, optional
        Year of dates that have none, and of days of the year. Default: they are quarantined.
    short_years_to : int, default 2049
        Two-digit years are of the hundred years up to this one: exam sheets are younger than 1950.

    Returns
    -------
    DateReading
        The day, or the first day of a month or year where no more is known. A time of day
        beside the date is a flag; `parse_time` reads it.

    Raises
    ------
    ArgumentError
        If the order is unknown or `short_years_to` has not four digits; no text raises.

    Examples
    --------
    >>> parse_date("3/4/2021", order="dmy").value
    datetime.date(2021, 4, 3)
    >>> parse_date("3/4/2021").likely
    '2021-04-03 (day first) or 2021-03-04 (month first)'
    >>> parse_date("Julian 286", year=2021).value
    datetime.date(2021, 10, 13)
    """
    if order is not None:
        require_choice(order, DATE_ORDERS, argument="order")
    _require_century(short_years_to)
    iso = _ISO.fullmatch(text)
    if iso:
        return give_day(text, int(iso[1]), int(iso[2]), int(iso[3]), reason="")
    way = DateWay(order=order, year=year, short_years_to=short_years_to)
    if _THREE_NUMBERS.fullmatch(text):
        numbers = read_day(text, text, way)
        if numbers is not None:
            return numbers
    special = explain_special(text)
    if special is not None:
        return DateReading(raw=text, outcome=special[0], reason=special[1])
    plain = fold_date(text)
    if _ZERO_DATE.fullmatch(plain):
        return DateReading(raw=text, outcome="accepted", reason=word_missing(text))
    if len(plain) > LONGEST_NOTATION:
        return hold_date(text, "a long text and no date")
    limit, rest = find_limit(plain)
    if limit:
        word = "before" if limit.startswith("below") else "after"
        return hold_date(text, "a limit and no date", f"{word} {rest}", flags=(limit,))
    rest, flags = strip_marks(plain)
    reading = _read_timed(text, rest, way) or read_vague(text, rest, way)
    return say_script(add_to_reason(reading, "; ".join(flags), flags=flags))


def compose_date(
    year: str, month: str, day: str, *, short_years_to: int = LAST_SHORT_YEAR
) -> DateReading:
    """Make a date of three cells.

    Parameters
    ----------
    year, month, day : str
        The cells' texts; a month may be a name.
    short_years_to : int, default 2049
        As in `parse_date`.

    Returns
    -------
    DateReading
        The day, quarantined where the three make none.

    Raises
    ------
    ArgumentError
        If `short_years_to` has not four digits; no text raises.

    Examples
    --------
    >>> compose_date("1992", "Sept", "19").value
    datetime.date(1992, 9, 19)
    """
    _require_century(short_years_to)
    raw = f"{day} {month} {year}".strip()
    written = [plain_text(part).removesuffix(".0") for part in (year, month, day)]
    if all(says_missing(part) for part in written):
        return DateReading(raw=raw, outcome="accepted", reason="no date in the three cells")
    number = read_month(written[1])
    if number is None or not re.fullmatch(r"'?\d{2}|\d{4}", written[0], re.ASCII):
        return hold_date(raw, "the cells make no date")
    if not re.fullmatch(r"\d{1,2}", written[2], re.ASCII):
        return hold_date(raw, "the cells make no date")
    reason = say_short(written[0], short_years_to).removeprefix("; ")
    return give_day(
        raw, full_year(written[0], short_years_to), number, int(written[2]), reason=reason
    )


def _require_century(short_years_to: int) -> None:
    if not FIRST_SHORT_LIMIT <= short_years_to <= LAST_SHORT_LIMIT:
        raise ArgumentError(
            needed=f"short_years_to= is a year from {FIRST_SHORT_LIMIT} to {LAST_SHORT_LIMIT}",
            found=f"short_years_to={short_years_to!r}",
            then="Use 2049 to read two-digit years as 1950 to 2049, 1999 for 1900 to 1999",
        )


def _read_timed(text: str, rest: str, way: DateWay) -> DateReading | None:
    reading = read_day(text, rest, way)
    if reading is not None:
        return reading
    timed = TIME_BEHIND_DATE.search(rest)
    if not timed:
        return None
    reading = read_day(text, rest[: timed.start()].rstrip(" ,"), way)
    if reading is None:
        return None
    if _MIDNIGHT.fullmatch(timed[1]):
        return add_to_reason(reading, "the time of day is left out")
    return add_to_reason(reading, "a time of day beside the date", flags=(f"time {timed[1]}",))
