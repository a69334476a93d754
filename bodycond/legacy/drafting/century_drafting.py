"""The century of two-digit years, doubted where it would put an exam ahead or far from the rest."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Sequence

from bodycond.legacy.drafting.column_contents import ColumnContents
from bodycond.legacy.notation import LAST_SHORT_YEAR
from bodycond.legacy.notation.calendar_days import full_year

# A year at the end of a date, or alone in a column of years.
_SHORT_YEAR = re.compile(
    r"(?:.*(?:[-/.] ?|[a-z]\.? ?|\d '?))?'?(\d{2})(?:\.0)?", re.ASCII | re.IGNORECASE | re.DOTALL
)
_WHOLE_YEAR = re.compile(r"(?<!\d)(?:18|19|20)\d\d(?!\d)")
# Short years so far before or after the whole ones are more likely of another century.
_NEAR_YEARS = 30


def find_century_doubt(contents: ColumnContents) -> tuple[str, int] | None:
    """Find two-digit years whose usual century cannot be right, or is not likely.

    Parameters
    ----------
    contents : ColumnContents
        A column of dates, or of years.

    Returns
    -------
    question : str
        What to ask.
    last : int
        The proposal for ``short_years_to``.
        None instead of both where two-digit years are absent, or lie in the past and near the
        years of four digits. What lies ahead is told by the machine's clock, so a draft can ask
        this of a year that a later one does not.
    """
    short, long = _split_years(contents)
    today = dt.datetime.now(tz=dt.UTC).year
    read = {full_year(year, LAST_SHORT_YEAR): text for year, text in short.items()}
    ahead = [year for year in read if year > today]
    far = [year for year in read if long and not _is_near(year, long)]
    if not ahead and not far:
        return None
    year = max(ahead or far)
    said = "is still to come"
    if not ahead:
        said = f"is far from the years of four digits here, {min(long)} to {max(long)}"
    last = _propose_last(short, long, today)
    question = (
        f"Of which century are two-digit years? {read[year]!r} would be of {year}, which {said}. "
        f"Write short_years_to: {last}, for example, if they are {last - 99} to {last}; a column "
        "whose two digits mean both centuries needs whole years in the file."
    )
    return question, last


def _split_years(contents: ColumnContents) -> tuple[dict[str, str], list[int]]:
    """Give the two-digit years with a text of each, and the years of four digits."""
    short: dict[str, str] = {}
    long: list[int] = []
    for text, kind in contents.sample:
        written = text.strip()
        if whole := _WHOLE_YEAR.search(written):
            long.append(int(whole[0]))
        elif kind in {"t", "n"} and (found := _SHORT_YEAR.fullmatch(written)):
            short.setdefault(found[1], written)
    return short, long


def _is_near(year: int, long: Sequence[int]) -> bool:
    return min(long) - _NEAR_YEARS <= year <= max(long) + _NEAR_YEARS


def _propose_last(short: Iterable[str], long: Sequence[int], today: int) -> int:
    """Find the last year that leaves no short year ahead, and all near the whole ones."""
    choices = [max(long), min(today, min(long) + 99)] if long else []
    for last in choices:
        years = [full_year(year, last) for year in short]
        if all(_is_near(year, long) and year <= today for year in years):
            return last
    return today
