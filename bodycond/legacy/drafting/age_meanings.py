"""Ages and days told apart: codes of ages, a chick's days, a bird's years, days of a month."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from bodycond.legacy.drafting.column_contents import ColumnContents
from bodycond.legacy.drafting.drafted_columns import DraftedColumn
from bodycond.legacy.headings.heading_senses import CHICK_WORDS
from bodycond.legacy.headings.heading_units import fold_heading
from bodycond.legacy.headings.headings import HeadingMatch
from bodycond.legacy.headings.own_words import OWN_CONCEPTS
from bodycond.legacy.headings.plain_words import DATE_PARTS

_OWN = {concept.field: concept for concept in OWN_CONCEPTS}
_DAYS = frozenset(["day", "days", "tag", "tage", "jour", "jours", "dia", "dias", "dag", "dagen"])
# An age code is a digit; years and days go beyond, and have parts.
_HIGHEST_AGE_CODE = 9.0
# Of so many numbers, a few beyond a digit are slips.
_NO_SLIPS = 0.05
_LONGEST_MONTH = 31.0
# No chick is ringed or weighed at a greater age, from memory; condors fledge at half a year.
_OLDEST_CHICK = 200.0
_LONGEST_YEAR = 366.0


def settle_ages(columns: Sequence[DraftedColumn]) -> list[DraftedColumn]:
    """Settle what headings of ages and days mean here.

    Parameters
    ----------
    columns : sequence of DraftedColumn
        The columns of a table.

    Returns
    -------
    list of DraftedColumn
        The same, some with another match.
    """
    chicks = speaks_of_chicks(columns)
    has_month = any(_is_month(column) for column in columns)
    settled = []
    for column in columns:
        match = column.match
        words = fold_heading(column.heading)
        if words in _DAYS and not has_month:
            match = _settle_day(column, words, chicks=chicks)
        elif match.field == "exam_date" and match.confidence < 0.6:
            match = _settle_number_of_day(column)
        elif match.field == "age_code":
            match = _settle_age(column, chicks=chicks)
        elif match.field in {"chick_age_days", "chick_age_weeks"}:
            match = _settle_chick_age(column)
        elif words in CHICK_WORDS and not match.field and _names_chicks(column.contents):
            said = f"heading {words!r} tells the chicks of one nest apart, most likely"
            match = replace(match, field="bird_id", confidence=0.4, evidence=said)
        settled.append(replace(column, match=match))
    return settled


def speaks_of_chicks(columns: Sequence[DraftedColumn]) -> bool:
    """Tell whether headings or names of a table speak of chicks.

    Parameters
    ----------
    columns : sequence of DraftedColumn
        The columns of a table.

    Returns
    -------
    bool
        True where a heading, the file's or the sheet's name holds a word for them.
    """
    texts = [column.heading for column in columns] + [column.place for column in columns[:1]]
    return any(set(fold_heading(text).split()) & CHICK_WORDS for text in texts)


def _is_month(column: DraftedColumn) -> bool:
    words = re.sub(r" ?\d$", "", fold_heading(column.heading))
    return words in DATE_PARTS["month"] and bool(column.contents.n_used)


def _give_own(match: HeadingMatch, field: str, said: str, confidence: float) -> HeadingMatch:
    own = _OWN[field]
    return replace(
        match,
        field=field,
        kind=own.kind,
        confidence=confidence,
        theme="",
        evidence=f"{said}: {own.what}",
    )


def _settle_day(column: DraftedColumn, words: str, *, chicks: bool) -> HeadingMatch:
    """Tell a chick's age, a day of the year and a day of no month from a date."""
    match, contents = column.match, column.contents
    low, high = contents.quantile(0.0), contents.quantile(1.0)
    if low is None or high is None or not contents.holds("number") or not _is_whole(contents):
        return match
    if match.field not in {"exam_date", ""} and not chicks:
        return match
    said = f"heading {words!r} has no month beside it, and its numbers go from {low:g} to {high:g}"
    if low >= 0 and high <= _OLDEST_CHICK and (chicks or _LONGEST_MONTH < high <= 100.0):
        return _give_own(match, "chick_age_days", said, 0.5)
    if low >= 0 and _LONGEST_MONTH < high <= _LONGEST_YEAR:
        theme = "a day of the year without its year"
        return replace(match, field="", kind=None, confidence=0.0, theme=theme, evidence=said)
    if match.field == "exam_date" and high <= _LONGEST_MONTH:
        said = f"{said}: a day of a month, of a study or a chick's age in days (chick_age_days)"
        return replace(match, field="", kind=None, confidence=0.0, evidence=said)
    return match


def _settle_number_of_day(column: DraftedColumn) -> HeadingMatch:
    """Read 'lay_date2' or 'ci_date' over numbers up to 366 as days of the year."""
    match, contents = column.match, column.contents
    high = contents.quantile(1.0)
    if high is None or not contents.holds("number") or not _LONGEST_MONTH < high <= _LONGEST_YEAR:
        return match
    said = f"{match.evidence}, but its cells are numbers up to {high:g}"
    theme = "a day of the year without its year"
    return replace(match, field="", kind=None, confidence=0.0, theme=theme, evidence=said)


def _settle_age(column: DraftedColumn, *, chicks: bool) -> HeadingMatch:
    """Read ages beyond a digit, or with decimals, as days or years."""
    match, contents = column.match, column.contents
    middle = contents.quantile(0.5)
    if middle is None or not contents.holds("number"):
        return match
    if re.search(r"euring|bbl", column.heading, re.IGNORECASE):
        return match
    beyond = sum(
        count for value, count in contents.numbers
        if value > _HIGHEST_AGE_CODE or not value.is_integer()
    )  # fmt: skip
    total = sum(count for _, count in contents.numbers)
    if beyond <= _NO_SLIPS * total:
        return match
    field = "chick_age_days" if chicks or middle > _HIGHEST_AGE_CODE else "age_years"
    other = "age_years" if field == "chick_age_days" else "chick_age_days"
    said = (
        f"heading speaks of an age, and {beyond} of its {total} numbers lie above 9 or have "
        f"decimals, which is no age code ({other} if it is told in that)"
    )
    return _give_own(match, field, said, 0.5)


def _settle_chick_age(column: DraftedColumn) -> HeadingMatch:
    """Read an age at ringing that is told in words or codes as an age code."""
    match, contents = column.match, column.contents
    if not contents.n_used or contents.share("number") >= 0.5 or match.confidence < 0.6:
        return match
    if not contents.holds("age", least=0.5):
        return match
    said = "heading speaks of an age, and its cells are words or codes of ages"
    return replace(match, field="age_code", kind=None, confidence=0.6, evidence=said)


def _names_chicks(contents: ColumnContents) -> bool:
    """Tell letters or colours of chicks from their number."""
    return contents.n_used > 0 and not contents.numbers and not contents.holds("flag")


def _is_whole(contents: ColumnContents) -> bool:
    return all(value.is_integer() for value, _ in contents.numbers)
