"""The open questions of a recipe in the order in which they matter."""

from __future__ import annotations

from collections.abc import Sequence

from bodycond.errors import name_first_few
from bodycond.legacy.recipes.recipe_rules import ColumnRule, SheetRule

# So many columns without a field are asked about one by one; more are listed in one question.
_ONE_BY_ONE = 3
_LISTED = 12


def list_questions(rules: Sequence[SheetRule]) -> tuple[str, ...]:
    """List what entries leave open, in plain words.

    Parameters
    ----------
    rules : sequence of SheetRule
        The entries of a recipe.

    Returns
    -------
    tuple of str
        Questions about sheets first, then about columns that seem to be a field, then, in one
        question an entry, the columns that nobody has named a field for.

    Examples
    --------
    >>> rule = SheetRule(file="a.csv", ask="Is it a table?")
    >>> list_questions([rule])
    ('a.csv, sheet *: Is it a table?',)
    """
    sheets: list[str] = []
    columns: list[str] = []
    unknown: list[str] = []
    for rule in rules:
        place = f"{rule.file}, sheet {rule.sheet}"
        if rule.area:
            place = f"{place} ({rule.area})"
        if rule.ask:
            sheets.append(f"{place}: {rule.ask}")
        asked = [column for column in (*rule.columns, *rule.labels) if column.ask]
        columns += [_word(place, column) for column in asked if column.fields]
        open_ones = [column for column in asked if not column.fields]
        if len(open_ones) <= _ONE_BY_ONE:
            unknown += [_word(place, column) for column in open_ones]
        else:
            unknown.append(_word_many(place, open_ones))
    return (*sheets, *columns, *unknown)


def _word(place: str, column: ColumnRule) -> str:
    return f"{place}, column {column.heading!r}: {column.ask}"


def _word_many(place: str, columns: Sequence[ColumnRule]) -> str:
    names = name_first_few((repr(column.heading) for column in columns), limit=_LISTED)
    return (
        f"{place}: {len(columns)} columns have no field: {names}. May they be set aside? What each "
        "seems to hold stands beside it in the recipe; until then its cells are quarantined."
    )
