"""Columns of another bird than the one examined: its parents, its mate, the other sex."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from bodycond.legacy.drafting.age_meanings import speaks_of_chicks
from bodycond.legacy.drafting.drafted_columns import DraftedColumn
from bodycond.legacy.headings.heading_senses import PARENT_WORDS, SEX_WORDS, split_bird_words
from bodycond.legacy.headings.heading_units import fold_heading
from bodycond.legacy.headings.headings import HeadingMatch, match_heading

# Letters alone, as in 'fband' and 'mwing', are those of a pair where both occur, of two things.
_LETTER = re.compile(r"([fm]) ?([a-z]{3,}.*)")
_LEAST_THINGS = 2


def set_other_birds_apart(columns: Sequence[DraftedColumn]) -> list[DraftedColumn]:
    """Take columns of another bird off the fields of the bird examined.

    A column of a parent is none of the bird's. One of a male or a female is none where the table
    speaks of chicks, or has a column of the bird's own for the same; elsewhere the rows can be
    those of males or females, and the field stays beside the question.

    Parameters
    ----------
    columns : sequence of DraftedColumn
        The columns of a table.

    Returns
    -------
    list of DraftedColumn
        The same, those of other birds with a theme and no field.
    """
    named = {column.heading: _name_bird(column) for column in columns}
    lettered = _find_lettered(columns)
    chicks = speaks_of_chicks(columns)
    own = {
        column.match.field for column in columns
        if column.match.field and not named[column.heading] and column.heading not in lettered
    }  # fmt: skip
    settled = []
    for column in columns:
        letter, meant = lettered.get(column.heading, ("", ""))
        word, field = named[column.heading] or letter, column.match.field or meant
        said = f"it speaks of another bird ({word!r})"
        if word and (word in PARENT_WORDS or chicks or field in own):
            theme = f"what belongs to another bird ({word!r})"
            match = HeadingMatch(heading=column.match.heading, field="", theme=theme, evidence=said)
            column = replace(column, match=match)
        elif letter:
            match = replace(column.match, field=field, confidence=0.4, evidence=said)
            column = replace(column, match=match)
        settled.append(column)
    return settled


def _name_bird(column: DraftedColumn) -> str:
    """Name the word of a heading for another bird; whole words for a field are none."""
    match = column.match
    if (match.field and match.confidence >= 0.6) or match.theme.startswith("a count"):
        return ""
    tokens = split_bird_words(fold_heading(column.heading)).split()
    found = [token for token in tokens if token in PARENT_WORDS or token in SEX_WORDS]
    return found[0] if found and len(tokens) > 1 else ""


def _find_lettered(columns: Sequence[DraftedColumn]) -> dict[str, tuple[str, str]]:
    """Find 'fband', 'mwing' and the like: letter and field by heading."""
    found: dict[str, tuple[str, str]] = {}
    for column in columns:
        letter = _LETTER.fullmatch(fold_heading(column.heading))
        if letter is None or column.match.confidence >= 0.6:
            continue
        rest = match_heading(letter[2])
        if rest.field and rest.kind is None and rest.confidence >= 0.6:
            found[column.heading] = (letter[1], rest.field)
    letters = {letter for letter, _ in found.values()}
    things = {field for _, field in found.values()}
    return found if letters == {"f", "m"} and len(things) >= _LEAST_THINGS else {}
