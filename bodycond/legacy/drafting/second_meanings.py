"""Headings of several meanings settled by the cells below and the columns beside them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from bodycond.legacy.drafting.drafted_columns import DraftedColumn
from bodycond.legacy.headings.heading_units import fold_heading
from bodycond.legacy.headings.headings import CERTAIN, HeadingMatch
from bodycond.legacy.headings.own_words import OWN_BY_HEADING
from bodycond.legacy.headings.plain_words import DAY_WORDS

# Days on which a bird was in the hand, each the exam's where the table names no other.
_HANDLING = re.compile(
    r"(.* )?(ringing|ringed|ring|banding|banded|beringung\w*|ringdatum|baguage|anillamiento|"
    r"inanellamento|anilhagem|markt|marknings?\w*|ringmerk\w*)( .*)?"
)
_NEARLY_ALL = 0.95
# An age code is a digit; a chick's age in days goes beyond.
_HIGHEST_AGE_CODE = 9.0
_INITIALS = re.compile(r"[A-Z\u00c0-\u00de]{1,4}\d{0,3}|[A-Z]\.? ?[A-Z]\.?")


def settle_meanings(columns: Sequence[DraftedColumn]) -> list[DraftedColumn]:
    """Settle what headings of several meanings mean here.

    Parameters
    ----------
    columns : sequence of DraftedColumn
        The columns of a table.

    Returns
    -------
    list of DraftedColumn
        The same, some with another match or a surer one.
    """
    settled = [replace(column, match=_settle(column)) for column in columns]
    dated = [column for column in settled if column.match.field == "exam_date"]
    if len(dated) != 1 or not _is_lone_day(dated[0]):
        return settled
    match = dated[0].match
    evidence = f"{match.evidence}; no other column holds the exam's date"
    sure = replace(match, confidence=max(match.confidence, CERTAIN), evidence=evidence)
    return [replace(column, match=sure) if column is dated[0] else column for column in settled]


def _settle(column: DraftedColumn) -> HeadingMatch:
    match, contents = column.match, column.contents
    words = fold_heading(column.heading)
    if not contents.n_used or match.confidence >= CERTAIN:
        return _settle_age(column) if match.field == "age_code" else match
    if words in DAY_WORDS and match.field != "exam_date" and contents.holds("date"):
        said = f"heading {words!r} can mean a day, and its cells are dates"
        return replace(match, field="exam_date", confidence=0.6, evidence=said)
    if words in {"obs", "observ", "observation"} and match.field == "scorer":
        names = sum(
            count for (text, _), count in contents.sample.items()
            if _INITIALS.fullmatch(text.strip())
        )  # fmt: skip
        if not names and not contents.holds("number"):
            said = f"heading {words!r} can mean remarks, and its cells are no initials"
            return replace(match, field="remarks", confidence=0.6, evidence=said)
    return _settle_age(column) if match.field == "age_code" else match


def _settle_age(column: DraftedColumn) -> HeadingMatch:
    match, contents = column.match, column.contents
    middle = contents.quantile(0.5)
    if not contents.holds("number") or middle is None or middle <= _HIGHEST_AGE_CODE:
        return match
    own = OWN_BY_HEADING["age in days"]
    said = f"heading speaks of an age, and half of its numbers lie above {middle:g}: {own.what}"
    return replace(match, field=own.field, kind=own.kind, confidence=0.5, evidence=said)


def _is_lone_day(column: DraftedColumn) -> bool:
    words = fold_heading(column.heading)
    if words not in {*DAY_WORDS, "dates"} and _HANDLING.fullmatch(words) is None:
        return False
    return column.match.confidence >= 0.6 and column.contents.holds("date", least=_NEARLY_ALL)
