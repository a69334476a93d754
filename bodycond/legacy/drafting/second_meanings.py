"""Headings of several meanings settled by the cells below and the columns beside them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from bodycond.legacy.drafting.age_meanings import settle_ages
from bodycond.legacy.drafting.column_contents import ColumnContents
from bodycond.legacy.drafting.drafted_columns import DraftedColumn
from bodycond.legacy.drafting.flag_words import hold_flags
from bodycond.legacy.drafting.other_birds import set_other_birds_apart
from bodycond.legacy.headings.heading_senses import find_mean
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
_MANY_DECIMALS = re.compile(r"[-+]?\d*[.,]\d{3,}", re.ASCII)
_DECIMALS_SHARE = 0.2
# No bird lays more, or lays so many clutches.
_LARGEST_CLUTCH = 25.0
_CLUTCHES = frozenset(
    ["clutch", "brood", "gelege", "brut", "ponte", "couvee", "nichee", "puesta", "nidada", "legsel"]
)
_MEASURES = frozenset(["measure", "measures", "mess", "mesure", "medida", "meting"])
_BODY = frozenset(
    ["body", "korper", "kleingefieder", "corps", "cuerpo", "lichaam", "contour", "bodymolt"]
)
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
    settled = set_other_birds_apart([replace(c, match=_settle(c)) for c in columns])
    settled = _settle_between(settle_ages(settled))
    dated = [column for column in settled if column.match.field == "exam_date"]
    if len(dated) != 1 or not _is_lone_day(dated[0]):
        return settled
    match = dated[0].match
    evidence = f"{match.evidence}; no other column holds the exam's date"
    sure = replace(match, confidence=max(match.confidence, CERTAIN), evidence=evidence)
    return [replace(column, match=sure) if column is dated[0] else column for column in settled]


def _settle_between(columns: Sequence[DraftedColumn]) -> list[DraftedColumn]:
    """Settle what a column means by what the columns beside it hold."""
    raw = {column.match.field for column in columns if not find_mean(fold_heading(column.heading))}
    has_date = any(
        column.match.field == "exam_date" and column.match.confidence >= 0.6
        and column.contents.holds("date")
        for column in columns
    )  # fmt: skip
    has_species = any(
        column.match.field == "species" and column.match.confidence >= 0.6 for column in columns
    )
    repeats = any(
        column.match.field == "bird_id" and column.match.confidence >= CERTAIN
        and len(column.contents.cells) < column.contents.n_used
        for column in columns
    )  # fmt: skip
    settled = []
    for column in columns:
        match, contents = column.match, column.contents
        mean = find_mean(fold_heading(column.heading))
        if mean and match.field in raw and "a computed value" in match.evidence:
            theme = f"a computed value ({mean!r})"
            said = f"it speaks of {theme}, and another column holds {match.field}"
            match = HeadingMatch(heading=match.heading, field="", theme=theme, evidence=said)
        elif match.field == "exam_date" and match.confidence < 0.6 and has_date and (
            contents.holds("date")
        ):  # fmt: skip
            own = OWN_BY_HEADING["date entered"]
            said = f"{match.evidence}, and another column holds the exam's date: {own.what}"
            match = replace(match, field=own.field, kind=own.kind, evidence=said)
        elif match.field == "bird_id" and match.confidence < CERTAIN and repeats and (
            len(contents.cells) == contents.n_used > 2
        ):  # fmt: skip
            said = f"{match.evidence}, but another column names the bird and this one never recurs"
            match = replace(match, field="exam_id", confidence=0.5, evidence=said)
        elif not match.field and has_species:
            match = replace(match, held_beside=frozenset({"species"}))
        settled.append(replace(column, match=match))
    return settled


def _settle(column: DraftedColumn) -> HeadingMatch:
    match, contents = column.match, column.contents
    words = fold_heading(column.heading)
    if not contents.n_used or match.confidence >= CERTAIN:
        return match
    if words in DAY_WORDS and match.field != "exam_date" and contents.holds("date"):
        said = f"heading {words!r} can mean a day, and its cells are dates"
        return replace(match, field="exam_date", confidence=0.6, evidence=said)
    initials = _share_of_initials(contents)
    unclear = words in {"obs", "observ", "observation"} and match.field == "scorer"
    if unclear and not initials and not contents.holds("number"):
        said = f"heading {words!r} can mean remarks, and its cells are no initials"
        return replace(match, field="remarks", confidence=0.6, evidence=said)
    if words in _MEASURES and not match.field and initials >= _NEARLY_ALL:
        said = f"heading {words!r} can mean who measured, and its cells are initials"
        return replace(match, field="scorer", confidence=0.6, evidence=said)
    if match.field == "keel" and _is_index(contents):
        theme = "a computed index of body condition"
        said = f"{match.evidence}, but its numbers are negative or have many decimals"
        return HeadingMatch(heading=match.heading, field="", theme=theme, evidence=said)
    high = contents.quantile(1.0)
    if words in _CLUTCHES and match.field == "nest" and contents.holds("number") and (
        high is not None and high <= _LARGEST_CLUTCH
    ):  # fmt: skip
        theme = f"a count or a number ({words!r})"
        said = f"heading {words!r} names no nest here: its numbers go up to {high:g}"
        return HeadingMatch(heading=match.heading, field="", theme=theme, evidence=said)
    if match.field == "moult_text" and hold_flags(contents):
        return _settle_moult(match, words)
    return match


def _settle_moult(match: HeadingMatch, words: str) -> HeadingMatch:
    """Read a moult that is there or not as a flag."""
    if set(words.split()) & _BODY:
        own = OWN_BY_HEADING["in body moult"]
        said = f"heading {words!r}, and its cells say yes or no: {own.what}"
        return replace(match, field=own.field, kind=own.kind, is_score=False, evidence=said)
    said = f"heading {words!r} can mean in_moult, and its cells say yes or no"
    return replace(match, field="in_moult", kind=None, is_score=False, evidence=said)


def _share_of_initials(contents: ColumnContents) -> float:
    sample = contents.sample
    named = sum(n for (text, _), n in sample.items() if _INITIALS.fullmatch(text.strip()))
    return named / max(sum(sample.values()), 1)


def _is_index(contents: ColumnContents) -> bool:
    """Tell a computed index from grades: it goes below nought, or has many decimals."""
    if not contents.holds("number"):
        return False
    if any(value < 0 for value, _ in contents.numbers):
        return True
    sample = contents.sample
    long = sum(n for (text, _), n in sample.items() if _MANY_DECIMALS.fullmatch(text.strip()))
    return long >= _DECIMALS_SHARE * sum(sample.values())


def _is_lone_day(column: DraftedColumn) -> bool:
    words = fold_heading(column.heading)
    if words not in {*DAY_WORDS, "dates"} and _HANDLING.fullmatch(words) is None:
        return False
    return column.match.confidence >= 0.6 and column.contents.holds("date", least=_NEARLY_ALL)
