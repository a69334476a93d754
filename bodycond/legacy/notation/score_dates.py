"""Grades that a spreadsheet turned into dates: recovered as a question."""

from __future__ import annotations

import datetime as dt
import re

from bodycond.legacy.notation.readings import NumberReading, hold_number
from bodycond.legacy.notation.words import read_month
from bodycond.scales import ScoreScale

_WORD = r"([^\W\d_]{3,10})\.?"
_DAY_MONTH = re.compile(rf"(\d{{1,2}})\.?[-/. ]{_WORD}(?:[-/. ]\d{{2,4}})?")
_MONTH_DAY = re.compile(rf"{_WORD}[-/. ](\d{{1,2}})")
_DATE = re.compile(r"(\d{1,2})[-/.](\d{1,2})[-/.]\d{2,4}", re.ASCII)
_ISO_DATE = re.compile(r"\d{4}-(\d{2})-(\d{2})(?:[ t].*)?", re.ASCII | re.IGNORECASE)
_COUNT = re.compile(r"\d{5}(?:\.0+)?", re.ASCII)
# Days since the spreadsheets' day 0: 1982 to 2064.
_FIRST_COUNT, _LAST_COUNT = 30000, 60000


def explain_date(text: str, plain: str, scale: ScoreScale | None) -> NumberReading | None:
    """Hold a date in a column of grades, with the grades that may have been typed.

    Parameters
    ----------
    text : str
        The cell's text.
    plain : str
        The same, tidied.
    scale : ScoreScale or None
        The column's scale; grades that it has not are not proposed.

    Returns
    -------
    NumberReading or None
        None where the text is no date.

    Examples
    --------
    >>> explain_date("2-May", "2-May", None).likely
    '2-5 or 5-2, or 2.5 with a point, turned into a date by a spreadsheet'
    """
    numbers = _find_numbers(plain)
    if numbers is None:
        return None
    first, second = sorted(numbers)
    likely = f"{first}-{second} or {second}-{first}"
    if first == second:
        likely = f"{first}-{second}"
    if second == 5:
        # With a decimal point the half grades are the ones that look like dates.
        likely += f", or {first}.5 with a point"
    elif first == 5:
        likely += f", or {second}.5 with a point"
    if scale is not None and second > scale.high:
        return hold_number(text, "a date and no grade")
    return hold_number(
        text, "a date and no grade", f"{likely}, turned into a date by a spreadsheet"
    )


def _find_numbers(plain: str) -> tuple[int, int] | None:
    for pattern in (_DATE, _ISO_DATE, _DAY_MONTH, _MONTH_DAY):
        match = pattern.fullmatch(plain)
        if not match:
            continue
        numbers = [
            int(part) if part.isascii() and part.isdigit() else read_month(part)
            for part in match.groups()
        ]
        if numbers[0] is not None and numbers[1] is not None:
            return numbers[0], numbers[1]
    if _COUNT.fullmatch(plain):
        count = int(plain.split(".")[0])
        if _FIRST_COUNT <= count <= _LAST_COUNT:
            day = dt.date(1899, 12, 30) + dt.timedelta(days=count)
            return day.day, day.month
    return None
