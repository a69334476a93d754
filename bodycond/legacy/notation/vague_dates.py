"""Dates with a weekday in front, spans of days, parts of a month, seasons."""

from __future__ import annotations

import re
from dataclasses import replace

from bodycond.legacy.notation.calendar_days import DateWay, hold_date
from bodycond.legacy.notation.date_forms import read_day
from bodycond.legacy.notation.readings import DateReading, add_to_reason
from bodycond.legacy.notation.words import PART_OF_MONTH_WORDS, SEASON_WORDS, WEEKDAY_WORDS

_FIRST_WORD = re.compile(r"([^\W\d_]+)(?:-feira)?\.?,?[ -] ?(?:de |of |den )?(.+)")
_SPAN_WORD = r" ?(?:-|/|to|bis|au|al|tot|&|\+|and|und|y|et|en) ?"
_DAYS = re.compile(
    rf"(\d{{1,2}})\.?{_SPAN_WORD}(\d{{1,2}})((?:\.|st|nd|rd|th)?[ .]?\D.*)", re.ASCII
)
_WORD_DAYS = re.compile(rf"([a-z]+)[. ]+(\d{{1,2}}){_SPAN_WORD}(\d{{1,2}}),? (\d{{4}})", re.ASCII)
_TWO = re.compile(r"(.+?) (?:-|to|bis|au|al|tot|until) (.+)")
_SEASON = re.compile(r"([a-z]+)[ .,/-]*(?:of |de )?((?:18|19|20)\d{2}(?:[-/]\d{2,4})?)", re.ASCII)


def read_vague(text: str, plain: str, way: DateWay) -> DateReading:
    """Read a text that is more, or less, than one plain date.

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
    DateReading
        A weekday is checked and taken off; a part of a month gives the month; a span of days
        or a season is quarantined.
    """
    worded = _FIRST_WORD.fullmatch(plain)
    if worded and worded[1] in PART_OF_MONTH_WORDS:
        reading = read_day(text, worded[2], way)
        if reading is not None and reading.precision in {"month", "year"}:
            flag = f"{worded[1]!r} stands before it"
            return add_to_reason(reading, flag, flags=(flag,))
    if worded and worded[1] in WEEKDAY_WORDS:
        reading = read_day(text, worded[2], way)
        if reading is not None:
            return _check_weekday(text, reading, worded[1], worded[2], way)
    span = _explain_span(text, plain, way)
    if span is not None:
        return span
    season = _SEASON.fullmatch(plain)
    if season and season[1] in SEASON_WORDS:
        return hold_date(text, "a season and no month", f"{season[2]}, the year alone")
    return hold_date(text, "not a date")


def _check_weekday(
    text: str, reading: DateReading, word: str, plain: str, way: DateWay
) -> DateReading:
    days = WEEKDAY_WORDS[word]
    if reading.value is None and way.order is None:
        # The weekday is evidence in the cell itself: it may leave one order.
        fitting = []
        for order in ("dmy", "mdy"):
            other = read_day(text, plain, replace(way, order=order))
            if other and other.value and other.value.weekday() in days:
                fitting.append(other)
        if len(fitting) == 1:
            return add_to_reason(fitting[0], f"the only order that fits {word!r}")
    if reading.value is None or reading.precision != "day":
        return reading
    if reading.value.weekday() not in days:
        reason = f"{reading.value} was a {reading.value:%A}, which {word!r} is not"
        return hold_date(text, reason)
    return add_to_reason(reading, f"weekday {word!r} taken off")


def _explain_span(text: str, plain: str, way: DateWay) -> DateReading | None:
    days = _DAYS.fullmatch(plain)
    word_days = _WORD_DAYS.fullmatch(plain)
    if word_days:
        ends = [
            read_day(text, f"{word_days[1]} {day} {word_days[4]}", way)
            for day in word_days.groups()[1:3]
        ]
    elif days and (days[3].startswith(".") or re.search(r"[a-z]", days[3])):
        # A point behind the days means that the numbers are days: 3.-5.5.2010.
        dotted = replace(way, order="dmy") if days[3].startswith(".") else way
        ends = [read_day(text, day + days[3], dotted) for day in days.groups()[:2]]
    else:
        two = _TWO.fullmatch(plain)
        if not two:
            return None
        last = read_day(text, two[2], way)
        year = last.value.year if last is not None and last.value else way.year
        ends = [read_day(text, two[1], replace(way, year=year)), last]
    first, second = ends
    if first is None or second is None:
        return None
    likely = ""
    if first.value and second.value:
        likely = f"{first.value} to {second.value}"
    return hold_date(text, "a span of days", likely)
