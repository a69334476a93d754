"""The forms of a date: three numbers, a month's name, a count of days, and dates without a year."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace

from bodycond.legacy.notation.calendar_days import (
    DateWay,
    full_year,
    give_day,
    give_part,
    hold_date,
    make_day,
    say_short,
)
from bodycond.legacy.notation.readings import DateReading
from bodycond.legacy.notation.words import ROMAN_NUMBERS, read_month

_YEAR = r"\d{4}|'?\d{2}"
_OF = r"(?:de |of |del )?"
_YEAR_FIRST = re.compile(r"(\d{4})[-/. ]+(\d{1,2})[-/. ]+(\d{1,2})\.?", re.ASCII)
_NUMBERS = re.compile(rf"(\d{{1,2}}) ?[-/. ] ?(\d{{1,2}}) ?[-/. ] ?({_YEAR})", re.ASCII)
_SHORT_YEAR_FIRST = re.compile(r"'?(\d{2})[-/. ](\d{1,2})[-/. ](\d{1,2})", re.ASCII)
_DAY = r"(\d{1,2})(?:st|nd|rd|th|er|ro|[.\u00ba\u00b0\u00aa])?"
_DAY_WORD = re.compile(rf"{_DAY}[-/., ]*{_OF}([a-z]+)[-/., ]*{_OF}({_YEAR})", re.ASCII)
_WORD_DAY = re.compile(rf"([a-z]+)[-/. ]+(\d{{1,2}})(?:st|nd|rd|th)?[-/., ]+({_YEAR})", re.ASCII)
_YEAR_WORD = re.compile(r"(\d{4})[-/., ]*([a-z]+)[-/., ]*(\d{1,2})(?:st|nd|rd|th)?", re.ASCII)
_WORD_YEAR = re.compile(rf"([a-z]+)[-/., ]*{_OF}(\d{{4}})|(\d{{4}})[-/., ]*([a-z]+)\.?", re.ASCII)
_WORD_SHORT = re.compile(r"([a-z]+)[-/. ]*('?)(\d{1,2})(?:st|nd|rd|th)?", re.ASCII)
_WORD_AFTER = re.compile(rf"{_DAY}[-/. ]*{_OF}([a-z]+)\.?", re.ASCII)
_MONTH_YEAR = re.compile(r"(\d{1,2})[-/.](\d{4})|(\d{4})[-/.](\d{1,2})", re.ASCII)
_ORDINAL = re.compile(r"(\d{4})-(\d{3})", re.ASCII)
_DAY_OF_YEAR = re.compile(
    r"(?:julian|doy|jd|jday|ordday|day(?: of(?: the)? year)?)[ .:#]*(?:day )?(\d{1,3})", re.ASCII
)
_PAIR = re.compile(r"(\d{1,2}) ?[-/.] ?(\d{1,2})\.?", re.ASCII)
_COUNT = re.compile(r"(\d{5})(?:[.,](\d+))?", re.ASCII)
_COUNT_STARTS = {"serial": dt.date(1899, 12, 30), "serial_1904": dt.date(1904, 1, 1)}


def read_day(text: str, plain: str, way: DateWay) -> DateReading | None:
    """Read a text that is one date and no more.

    Parameters
    ----------
    text : str
        The cell's text.
    plain : str
        The part to read, as `fold_date` gives it, without marks of doubt.
    way : DateWay
        How the column's dates are written.

    Returns
    -------
    DateReading or None
        None where the text has no form of a date.
    """
    for read in (_read_numbers, _read_words, _read_part, _read_count, _read_without_year):
        reading = read(text, plain, way)
        if reading is not None:
            return reading
    return None


def _read_numbers(text: str, plain: str, way: DateWay) -> DateReading | None:
    year_first = _YEAR_FIRST.fullmatch(plain)
    if year_first:
        year, month, day = (int(part) for part in year_first.groups())
        return give_day(text, year, month, day, reason="")
    short_first = _SHORT_YEAR_FIRST.fullmatch(plain) if way.order == "ymd" else None
    if short_first:
        written, second, last = short_first.groups()
        reason = f"year first{say_short(written, way.short_years_to)}"
        return give_day(
            text, full_year(written, way.short_years_to), int(second), int(last), reason=reason
        )
    numbers = _NUMBERS.fullmatch(plain)
    if not numbers:
        return None
    first, second, last = numbers.groups()
    year = full_year(last, way.short_years_to)
    return _order_pair(
        text, int(first), int(second), year, way, say_short(last, way.short_years_to)
    )


def _order_pair(
    text: str, first: int, second: int, year: int, way: DateWay, said: str
) -> DateReading:
    if way.order == "dmy":
        return give_day(text, year, second, first, reason=f"day first{said}")
    if way.order == "mdy":
        return give_day(text, year, first, second, reason=f"month first{said}")
    day_first = make_day(year, second, first)
    month_first = make_day(year, first, second)
    if day_first and month_first and day_first != month_first:
        likely = f"{day_first} (day first) or {month_first} (month first)"
        return hold_date(text, "the order of day and month is not known", likely)
    single = day_first or month_first
    if single is None:
        return hold_date(text, "no such day in either order")
    reason = f"only one order of day and month makes a date{said}"
    return give_day(text, single.year, single.month, single.day, reason=reason)


def _read_words(text: str, plain: str, way: DateWay) -> DateReading | None:
    day_word, word_day = _DAY_WORD.fullmatch(plain), _WORD_DAY.fullmatch(plain)
    year_word = _YEAR_WORD.fullmatch(plain)
    roman = None
    if day_word:
        day, word, year = day_word.groups()
        roman = ROMAN_NUMBERS.get(word)
    elif word_day:
        word, day, year = word_day.groups()
    elif year_word:
        year, word, day = year_word.groups()
    else:
        return None
    month = read_month(word) or roman
    if month is None:
        return None
    if way.order == "ymd" and day_word and len(year.strip("'")) == 2:
        day, year = year.strip("'"), day.zfill(2)
    named = "Roman month" if roman else "month's name"
    reason = f"{named}{say_short(year, way.short_years_to)}"
    return give_day(text, full_year(year, way.short_years_to), month, int(day), reason=reason)


def _read_part(text: str, plain: str, way: DateWay) -> DateReading | None:
    word_year = _WORD_YEAR.fullmatch(plain)
    if word_year:
        month = read_month(word_year[1] or word_year[4])
        if month is not None:
            return give_part(text, int(word_year[2] or word_year[3]), month, "month")
    numbered = _MONTH_YEAR.fullmatch(plain)
    if numbered and 1 <= int(numbered[1] or numbered[4]) <= 12:
        month, year = int(numbered[1] or numbered[4]), int(numbered[2] or numbered[3])
        return give_part(text, year, month, "month")
    if re.fullmatch(r"(18|19|20)\d{2}(\.0)?", plain, re.ASCII) and way.order != "day_of_year":
        return give_part(text, int(plain[:4]), 1, "year")
    ordinal = _ORDINAL.fullmatch(plain)
    if ordinal:
        return _give_day_of_year(text, int(ordinal[1]), int(ordinal[2]))
    return None


def _give_day_of_year(text: str, year: int, number: int) -> DateReading:
    day = make_day(year, 1, 1)
    found = day + dt.timedelta(days=number - 1) if day and year < 9999 else None
    if found is None or found.year != year or number < 1:
        return hold_date(text, f"there is no day {number} in the year {year}")
    reason = f"day {number} of the year {year}"
    return give_day(text, year, found.month, found.day, reason=reason)


def _read_count(text: str, plain: str, way: DateWay) -> DateReading | None:
    named = _DAY_OF_YEAR.fullmatch(plain)
    bare = re.fullmatch(r"(\d{1,3})(?:\.0)?", plain, re.ASCII)
    day_of_year = named or (bare if way.order == "day_of_year" else None)
    if day_of_year:
        if way.year is None:
            return hold_date(text, "a day of the year without its year")
        return _give_day_of_year(text, way.year, int(day_of_year[1]))
    if bare and way.order is None and 31 < int(bare[1]) <= 366:
        likely = f"day {int(bare[1])} of a year, if the column counts days (day_of_year)"
        return hold_date(text, "a number and no date", likely)
    count = _COUNT.fullmatch(plain)
    if count:
        return _read_serial(text, int(count[1]), count[2] or "0", way)
    return _read_compact(text, plain, way)


def _read_serial(text: str, number: int, part: str, way: DateWay) -> DateReading:
    days = {name: start + dt.timedelta(days=number) for name, start in _COUNT_STARTS.items()}
    if way.order not in days:
        likely = (
            f"{days['serial']}, if it is a spreadsheet's day count ({days['serial_1904']} in a "
            "workbook that counts from 1904)"
        )
        return hold_date(text, "a number and no date", likely)
    day = days[way.order]
    start = " from 1904" if way.order == "serial_1904" else ""
    reading = give_day(text, day.year, day.month, day.day, reason=f"spreadsheet's day count{start}")
    seconds = round(float(f"0.{part}") * 86400) % 86400
    if reading.value is None or seconds == 0:
        return reading
    time = (dt.datetime.combine(day, dt.time()) + dt.timedelta(seconds=seconds)).time()
    return replace(
        reading, reason=f"{reading.reason}; a time of day beside the date",
        flags=(f"time {time.isoformat(timespec='seconds')}",),
    )  # fmt: skip


def _read_compact(text: str, plain: str, way: DateWay) -> DateReading | None:
    if not re.fullmatch(r"\d{6}|\d{8}", plain, re.ASCII):
        return None
    long = len(plain) == 8
    turned = way.order in {"dmy", "mdy"} and (not long or 1800 <= int(plain[4:]) <= 2100)
    if turned:
        said = f", run in one{say_short(plain[4:], way.short_years_to)}"
        year = full_year(plain[4:], way.short_years_to)
        return _order_pair(text, int(plain[:2]), int(plain[2:4]), year, way, said)
    if long and re.match(r"18|19|20", plain):
        year, month, day = int(plain[:4]), int(plain[4:6]), int(plain[6:])
        return give_day(text, year, month, day, reason="year, month, day run in one")
    if way.order == "ymd" and not long:
        year = full_year(plain[:2], way.short_years_to)
        reason = f"year, month, day run in one{say_short(plain[:2], way.short_years_to)}"
        return give_day(text, year, int(plain[2:4]), int(plain[4:]), reason=reason)
    return hold_date(text, "digits run in one: the order of day, month and year is not known")


def _read_without_year(text: str, plain: str, way: DateWay) -> DateReading | None:
    pair, after = _PAIR.fullmatch(plain), _WORD_AFTER.fullmatch(plain)
    before = _WORD_SHORT.fullmatch(plain)
    said = f"; the year {way.year} is not in the cell"
    if pair:
        if way.year is None:
            return hold_date(text, "a day without its year")
        return _order_pair(text, int(pair[1]), int(pair[2]), way.year, way, said)
    if after and (month := read_month(after[2])):
        if way.year is None:
            return hold_date(text, "a day without its year")
        return give_day(text, way.year, month, int(after[1]), reason=f"month's name{said}")
    if before and (month := read_month(before[1])):
        return _read_word_number(text, month, before[2] + before[3], way, said)
    month = read_month(plain) if plain.strip(".").isalpha() else None
    if month is None:
        return None
    if way.year is None:
        return hold_date(text, "a month without its year")
    return give_part(text, way.year, month, "month", reason=said)


def _read_word_number(text: str, month: int, written: str, way: DateWay, said: str) -> DateReading:
    number = int(written.strip("'"))
    short = written.startswith("'") or number > 31 or written == "00"
    if short:
        year = full_year(written, way.short_years_to)
        return give_part(text, year, month, "month", reason=say_short(written, way.short_years_to))
    if way.year is not None:
        return give_day(text, way.year, month, number, reason=f"month's name{said}")
    likely = f"day {number} of month {month}"
    if len(written) == 2:
        likely += f", or {full_year(written, way.short_years_to)}-{month:02d}"
    return hold_date(text, "a day without its year", likely)
