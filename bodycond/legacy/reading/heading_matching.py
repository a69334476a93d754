"""The headings of a sheet against those of its recipe: what is there, absent, changed or new."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from bodycond.legacy.headings.headings import match_heading
from bodycond.legacy.recipes.recipe_rules import ColumnRule


def match_columns(
    headings: Sequence[str], rules: Sequence[ColumnRule]
) -> tuple[list[ColumnRule | None], list[str]]:
    """Find the rule of each column.

    Parameters
    ----------
    headings : sequence of str
        The headings of the sheet, told apart.
    rules : sequence of ColumnRule
        The columns of the recipe.

    Returns
    -------
    rules : list of ColumnRule or None
        One a heading; None where the recipe does not name it.
    notes : list of str
        Headings that are absent, with the new one that probably took its place, and new ones.
    """
    exact = {heading: rule for rule in rules for heading in (*rule.also, rule.heading)}
    loose = {_fold(heading): rule for rule in rules for heading in (*rule.also, rule.heading)}
    there = {rule.heading for heading, rule in exact.items() if heading in headings}
    folded = Counter(_fold(heading) for heading in headings)
    matched: list[ColumnRule | None] = []
    for heading in headings:
        found = exact.get(heading)
        near = loose.get(_fold(heading))
        # Of 'WT' and 'wt' neither is surely the recipe's 'Wt'.
        if found is None and near is not None and folded[_fold(heading)] == 1:
            found = near if near.heading not in there else None
        matched.append(found)
    matched = _keep_first(matched)
    return matched, _note_changes(headings, matched, rules)


def _fold(text: str) -> str:
    return " ".join(text.split()).casefold()


def _keep_first(matched: list[ColumnRule | None]) -> list[ColumnRule | None]:
    """Let one column alone be a rule's, where two of its other headings stand on one sheet."""
    seen: set[str] = set()
    kept: list[ColumnRule | None] = []
    for rule in matched:
        again = rule is not None and rule.heading in seen
        kept.append(None if again else rule)
        if rule is not None:
            seen.add(rule.heading)
    return kept


def _note_changes(
    headings: Sequence[str], matched: Sequence[ColumnRule | None], rules: Sequence[ColumnRule]
) -> list[str]:
    used = {rule.heading for rule in matched if rule is not None}
    absent = [rule for rule in rules if rule.heading not in used]
    new = [
        heading
        for heading, rule in zip(headings, matched, strict=True)
        if rule is None and not heading.startswith("(column ")
    ]
    notes = []
    if absent:
        listed = ", ".join(repr(rule.heading) for rule in absent)
        notes.append(f"headings changed: the recipe's {listed} not found")
    if new:
        notes.append(f"headings that the recipe does not name: {', '.join(map(repr, new))}")
    for rule in absent:
        likely = [heading for heading in new if _means(heading, rule)]
        if len(likely) == 1:
            notes.append(
                f"{likely[0]!r} probably took the place of {rule.heading!r}; if so, add "
                f"'also: [\"{likely[0]}\"]' to that column of the recipe"
            )
    return notes


def _means(heading: str, rule: ColumnRule) -> bool:
    return bool(rule.fields) and match_heading(heading).field in rule.fields
