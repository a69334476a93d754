"""Dates told by year and month, by year and day of the year, or by one of these alone."""

from __future__ import annotations

import re
from dataclasses import replace

from bodycond.legacy.drafting.date_part_drafting import find_date_parts
from bodycond.legacy.drafting.drafted_columns import DraftedColumn, ask
from bodycond.legacy.drafting.table_data import TableData
from bodycond.legacy.headings.heading_units import fold_heading
from bodycond.legacy.headings.plain_words import DATE_PARTS, DAYS_OF_YEAR
from bodycond.legacy.notation import fold_text
from bodycond.legacy.notation.words import read_month
from bodycond.legacy.recipes.recipe_rules import ColumnRule

_DATED = 0.5
_MOST_CELLS = 0.9


def draft_incomplete_dates(data: TableData) -> dict[str, ColumnRule]:
    """Ask about year, month and day of the year where no column holds the exam's day.

    Parameters
    ----------
    data : TableData
        The table.

    Returns
    -------
    dict of str to ColumnRule
        The rules of those columns by heading, each with a question that says what they give
        together and how precisely; empty where a column holds dates, or day and month stand
        there.
    """
    field = "exam_date" if data.table == "exams" else "rated_on"
    if find_date_parts(data) or any(_holds_days(column, field) for column in data.columns):
        return {}
    year = next((c for c in data.columns if _is_named(c, "year") and _holds(c, 1800, 2100)), None)
    month = next((c for c in data.columns if _is_named(c, "month") and _holds_months(c)), None)
    if month is None:
        month = next((c for c in data.columns if c.match.field == field and _holds(c, 1, 12)), None)
    day = next((c for c in data.columns if _is_day_of_year(c)), None)
    if year is None and month is None:
        return {}
    made: dict[str, ColumnRule] = {}
    if year is not None:
        made[year.heading] = _ask_year(year, month, day, field)
    if month is not None:
        made[month.heading] = _ask_month(month, year, field)
    if day is not None and year is not None:
        question = (
            f"Does it give the day of the exam together with {year.heading!r}? A recipe cannot "
            "make a date of a day of the year: put a column with the date into the file (the last "
            "day of the year before plus these days), or set this one aside with a reason. "
            f"{day.contents.show()}"
        )
        made[day.heading] = ask(day, question, rule=ColumnRule(heading=day.heading))
    return made


def _ask_year(
    year: DraftedColumn, month: DraftedColumn | None, day: DraftedColumn | None, field: str
) -> ColumnRule:
    if month is not None:
        known = f"With {month.heading!r} (part: month) it gives the month of the exam and no day"
    elif day is not None:
        known = (
            f"With {day.heading!r} it gives the day, but a recipe cannot make a date of a day of "
            "the year: with this column alone (part: year) the date is known to the year"
        )
    else:
        known = "The date is then known to the year alone (part: year)"
    question = (
        f"Is this the year of the exam? No column holds its day. {known}; otherwise set it aside. "
        f"{year.contents.show()}"
    )
    return _make(year, "year", field, question)


def _ask_month(month: DraftedColumn, year: DraftedColumn | None, field: str) -> ColumnRule:
    known = (
        f"with {year.heading!r} (part: year) it gives the month of the exam and no day"
        if year is not None
        else "no column says the year: write it as year (four digits, file or sheet)"
    )
    question = (
        f"Is this the month of the exam (part: month)? No column holds its day; {known}. Otherwise "
        f"set it aside. {month.contents.show()}"
    )
    return _make(month, "month", field, question)


def _make(column: DraftedColumn, part: str, field: str, question: str) -> ColumnRule:
    evidence = f"heading {column.heading!r}; no column holds the day of the exam"
    rule = ColumnRule(heading=column.heading, fields=(field,), part=part, evidence=evidence)
    made = ask(column, question, rule=rule, confidence=0.6)
    return replace(made, confidence=0.6)


def _holds_days(column: DraftedColumn, field: str) -> bool:
    if not column.match.field:
        return column.contents.holds("date")
    if column.match.field != field or column.match.confidence < _DATED:
        return False
    return not column.contents.holds("number") and column.contents.n_used > 0


def _is_named(column: DraftedColumn, part: str) -> bool:
    return re.sub(r" ?\d$", "", fold_heading(column.heading)) in DATE_PARTS[part]


def _is_day_of_year(column: DraftedColumn) -> bool:
    named = fold_heading(column.heading) in DAYS_OF_YEAR
    return named and _holds(column, 1, 366)


def _holds(column: DraftedColumn, low: float, high: float) -> bool:
    least, most = column.contents.quantile(0.02), column.contents.quantile(0.98)
    if least is None or most is None or not column.contents.holds("number"):
        return False
    return low <= least and most <= high


def _holds_months(column: DraftedColumn) -> bool:
    if _holds(column, 1, 12):
        return True
    sample = column.contents.sample
    named = sum(n for (text, _), n in sample.items() if read_month(fold_text(text)) is not None)
    return bool(named) and named >= _MOST_CELLS * sum(sample.values())
