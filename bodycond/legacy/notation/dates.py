"""Dates as people write them; an order of day and month that is not known is asked for."""

from __future__ import annotations

import datetime as dt
import re
from typing import Literal

from bodycond.errors import require_choice
from bodycond.legacy.notation.readings import (
    DateReading,
    fold_text,
    plain_text,
    says_missing,
    word_missing,
)

DateOrder = Literal["dmy", "mdy", "ymd", "serial"]
DATE_ORDERS: tuple[DateOrder, ...] = ("dmy", "mdy", "ymd", "serial")

# Two-digit years up to here are of this century; exam sheets are younger than 1950.
LAST_SHORT_YEAR = 49

_MONTH_STEMS: dict[str, int] = {
    stem: number
    for number, stems in enumerate(
        (
            "jan ene janv", "feb fev", "mar maa mrt mae marz", "apr avr abr", "may mai mei",
            "jun juin", "jul juil", "aug aou ago", "sep set", "oct okt", "nov", "dec dez dic",
        ),
        start=1,
    )
    for stem in stems.split()
}  # fmt: skip
_MONTH_NAMES: dict[str, int] = {
    name: number
    for number, names in enumerate(
        (
            "january januar janner janvier enero januari", "february februar fevrier febrero "
            "februari", "march marz maerz mars marzo maart", "april avril abril",
            "may mai mayo mei", "june juni juin junio", "july juli juillet julio",
            "august aout agosto augustus", "september septembre septiembre setiembre",
            "october oktober octobre octubre", "november novembre noviembre",
            "december dezember decembre diciembre",
        ),
        start=1,
    )
    for name in names.split()
}  # fmt: skip

_TIME = re.compile(r"[ T]\d{1,2}:\d{2}(:\d{2}(\.\d+)?)?$")
_YEAR_FIRST = re.compile(r"(\d{4})[-/. ](\d{1,2})[-/. ](\d{1,2})", re.ASCII)
_NUMBERS = re.compile(r"(\d{1,2}) ?[-/. ] ?(\d{1,2}) ?[-/. ] ?(\d{4}|'?\d{2})", re.ASCII)
_DAY_WORD = re.compile(r"(\d{1,2})(?:st|nd|rd|th|er|\.)?[-/. ]*(?:de )?([a-z]+)[-/., ]*(?:de )?"
                       r"(\d{4}|'?\d{2})")  # fmt: skip
_WORD_DAY = re.compile(r"([a-z]+)[-/. ]+(\d{1,2})(?:st|nd|rd|th)?[-/., ]+(\d{4}|'?\d{2})")
_WORD_YEAR = re.compile(r"([a-z]+)[-/., ]*(?:de )?(\d{4})")
_NO_YEAR = re.compile(r"\d{1,2}[-/. ]*[a-z]{3,}\.?|[a-z]{3,}[-/. ]*\d{1,2}|\d{1,2}[-/.]\d{1,2}\.?")


def read_month(word: str) -> int | None:
    """Read a month's name in English, German, French, Spanish or Dutch.

    Parameters
    ----------
    word : str
        The name or its usual short form, in any case, with or without accents.

    Returns
    -------
    int or None
        1 to 12, None for another word.

    Examples
    --------
    >>> read_month("Août"), read_month("Mrt."), read_month("Marsh")
    (8, 3, None)
    """
    folded = fold_text(word).strip(". ")
    if folded.isdigit():
        return int(folded) if 1 <= int(folded) <= 12 else None
    found = _MONTH_NAMES.get(folded) or _MONTH_STEMS.get(folded)
    return found or (9 if folded == "sept" else None)


def parse_date(text: str, *, order: str | None = None) -> DateReading:
    """Read a date.

    Parameters
    ----------
    text : str
        The cell's text; any text at all. A date cell comes in ISO form.
    order : {"dmy", "mdy", "ymd", "serial"}, optional
        The column's order; ``serial`` is the spreadsheets' count of days. Default unknown: only
        dates that can be read in one way are then read.

    Returns
    -------
    DateReading
        The day, or the first day of a month or year where no more is known.

    Raises
    ------
    ArgumentError
        If the order is unknown; no text raises.

    Examples
    --------
    >>> parse_date("3/4/2021", order="dmy").value
    datetime.date(2021, 4, 3)
    >>> parse_date("3/4/2021").likely
    '2021-04-03 (day first) or 2021-03-04 (month first)'
    """
    if order is not None:
        require_choice(order, DATE_ORDERS, argument="order")
    if says_missing(text) or re.fullmatch(r"0+|0?0[/.-]0?0[/.-]0+", plain_text(text)):
        return DateReading(raw=text, outcome="accepted", reason=word_missing(text))
    plain = fold_text(text)
    timed = _TIME.search(plain)
    if timed:
        plain = plain[: timed.start()].strip()
    year_first = _YEAR_FIRST.fullmatch(plain)
    if year_first:
        year, month, day = (int(part) for part in year_first.groups())
        reason = "the time of day is left out" if timed else ""
        return _give_day(text, year, month, day, reason=reason)
    numbers = _NUMBERS.fullmatch(plain)
    if numbers:
        return _read_numbers(text, numbers[1], numbers[2], numbers[3], order=order)
    return _read_words(text, plain) or _read_part(text, plain, order=order)


def compose_date(year: str, month: str, day: str) -> DateReading:
    """Make a date of three cells.

    Parameters
    ----------
    year, month, day : str
        The cells' texts; a month may be a name.

    Returns
    -------
    DateReading
        The day, quarantined where the three make none.

    Examples
    --------
    >>> compose_date("1992", "Sept", "19").value
    datetime.date(1992, 9, 19)
    """
    raw = f"{day} {month} {year}".strip()
    written = [plain_text(part).removesuffix(".0") for part in (year, month, day)]
    if all(says_missing(part) for part in written):
        return DateReading(raw=raw, outcome="accepted", reason="no date in the three cells")
    number = read_month(written[1])
    if number is None or not re.fullmatch(r"'?\d{2}|\d{4}", written[0], re.ASCII):
        return _hold(raw, "the cells make no date")
    if not re.fullmatch(r"\d{1,2}", written[2], re.ASCII):
        return _hold(raw, "the cells make no date")
    return _give_day(raw, _full_year(written[0]), number, int(written[2]), reason="")


def _hold(text: str, reason: str, likely: str = "") -> DateReading:
    return DateReading(raw=text, outcome="quarantined", reason=reason, likely=likely)


def _full_year(written: str) -> int:
    digits = written.strip("'")
    if len(digits) == 4:
        return int(digits)
    return int(digits) + (2000 if int(digits) <= LAST_SHORT_YEAR else 1900)


def _make_day(year: int, month: int, day: int) -> dt.date | None:
    try:
        return dt.date(year, month, day)
    except ValueError:
        return None


def _give_day(text: str, year: int, month: int, day: int, *, reason: str) -> DateReading:
    made = _make_day(year, month, day)
    if made is None:
        return _hold(text, f"there is no day {day} in month {month} of {year}")
    if not 1800 <= year <= 2100:
        return _hold(text, f"the year {year} cannot be the year of an exam")
    return DateReading(
        raw=text, outcome="converted" if reason else "accepted", reason=reason, value=made,
        precision="day",
    )  # fmt: skip


def _read_numbers(
    text: str, first: str, second: str, last: str, *, order: str | None
) -> DateReading:
    year = _full_year(last)
    short = f"; two-digit year read as {year}" if len(last.strip("'")) == 2 else ""
    day_first = _make_day(year, int(second), int(first))
    month_first = _make_day(year, int(first), int(second))
    if order == "ymd" and short:
        return _give_day(
            text, _full_year(first.zfill(2)), int(second), int(last.strip("'")),
            reason="year first; two-digit year",
        )  # fmt: skip
    if order == "dmy":
        return _give_day(text, year, int(second), int(first), reason=f"day first{short}")
    if order == "mdy":
        return _give_day(text, year, int(first), int(second), reason=f"month first{short}")
    if day_first and month_first and day_first != month_first:
        likely = f"{day_first} (day first) or {month_first} (month first)"
        return _hold(text, "the order of day and month is not known", likely)
    single = day_first or month_first
    if single is None:
        return _hold(text, "no such day in either order")
    reason = f"only one order of day and month makes a date{short}"
    return _give_day(text, single.year, single.month, single.day, reason=reason)


def _read_words(text: str, plain: str) -> DateReading | None:
    day_word = _DAY_WORD.fullmatch(plain)
    if day_word:
        day, word, year = day_word.groups()
    else:
        word_day = _WORD_DAY.fullmatch(plain)
        if not word_day:
            return None
        word, day, year = word_day.groups()
    month = read_month(word)
    if month is None:
        return None
    full = _full_year(year)
    short = f"; two-digit year read as {full}" if len(year.strip("'")) == 2 else ""
    return _give_day(text, full, month, int(day), reason=f"month's name{short}")


def _read_part(text: str, plain: str, *, order: str | None) -> DateReading:
    word_year = _WORD_YEAR.fullmatch(plain)
    month = read_month(word_year[1]) if word_year else None
    if word_year and month:
        return _give_part(text, int(word_year[2]), month, "month")
    if re.fullmatch(r"(18|19|20)\d{2}", plain, re.ASCII):
        return _give_part(text, int(plain), 1, "year")
    if re.fullmatch(r"\d{5}(\.\d+)?", plain, re.ASCII):
        day = dt.date(1899, 12, 30) + dt.timedelta(days=int(plain.split(".")[0]))
        if order == "serial":
            return _give_day(text, day.year, day.month, day.day, reason="spreadsheet's day count")
        return _hold(text, "a number and no date", f"{day}, if it is a spreadsheet's day count")
    compact = re.fullmatch(r"((?:19|20)\d{2})(\d{2})(\d{2})", plain, re.ASCII)
    if compact:
        year, month_number, day_number = (int(part) for part in compact.groups())
        return _give_day(text, year, month_number, day_number, reason="year, month, day run in one")
    if _NO_YEAR.fullmatch(plain):
        return _hold(text, "a day without its year")
    return _hold(text, "not a date")


def _give_part(text: str, year: int, month: int, precision: str) -> DateReading:
    made = _make_day(year, month, 1)
    if made is None or not 1800 <= year <= 2100:
        return _hold(text, f"the year {year} cannot be the year of an exam")
    return DateReading(
        raw=text, outcome="converted", reason=f"only the {precision} is known", value=made,
        precision=precision,
    )  # fmt: skip
