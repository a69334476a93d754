"""Columns that the exam table has no place for: a field of the user's own, always a question."""

from __future__ import annotations

from dataclasses import replace

from bodycond.legacy.drafting.date_drafting import count_orders, draft_date
from bodycond.legacy.drafting.drafted_columns import DraftedColumn, ask, word_ticks
from bodycond.legacy.drafting.flag_words import explain_flags
from bodycond.legacy.recipes.recipe_rules import ColumnRule

# An age is told in more than one unit, and a wrong one is never seen again.
_UNITS_OF_AGE = {
    "chick_age_days": "Are they days? Weeks are field: chick_age_weeks, years are age_years; codes "
    "of ages are age_code with their system.",
    "chick_age_weeks": "Are they weeks? Days are field: chick_age_days.",
    "age_years": "Are they years? Days are field: chick_age_days; codes of ages are age_code with "
    "their system.",
}
_HOLDS_DATES = (
    "Its cells hold dates too. If no other column holds the day of the exam, write field: "
    "exam_date here; a time after midnight can be of the night before."
)


def draft_own(column: DraftedColumn) -> ColumnRule:
    """Propose a field of the user's own.

    Parameters
    ----------
    column : DraftedColumn
        The column.

    Returns
    -------
    ColumnRule
        With a question, always.
    """
    match, contents = column.match, column.contents
    rule = ColumnRule(
        heading=column.heading, fields=(match.field,), kind=match.kind, unit=None,
        evidence=match.evidence,
    )  # fmt: skip
    if match.kind == "number" and match.unit in {"mm", "cm", "in", "g", "kg"}:
        rule = replace(rule, unit=match.unit)
    if match.kind == "date":
        rule = replace(draft_date(column), ask=None)
    named = match.evidence.rpartition(": ")[2]
    if match.is_score:
        limits = match.scale_limits
        said = f" The heading says {limits[0]} to {limits[1]}." if limits else ""
        question = (
            f"Is this {named}, and on which scale?{said} {contents.show()} Describe the scale "
            f"under 'scales:' and name it here (scale: ...) to keep it as {match.field}; it is no "
            "keel score on a scale of 1 to 5 unless the scorers say so."
        )
        ticks = word_ticks(contents)
        return ask(column, f"{question} {ticks}".strip(), rule=rule)
    question = (
        f"Is this {named}? bodycond has no column for it: keep it as {match.field}, a field of "
        f"your own, or set it aside. {contents.show()}"
    )
    if match.field in _UNITS_OF_AGE and contents.numbers:
        question = f"{question} {_UNITS_OF_AGE[match.field]}"
    if match.kind == "time" and contents.holds("date", least=0.5):
        question = f"{question} {_HOLDS_DATES}"
    if match.kind == "flag":
        rule = replace(rule, codes=explain_flags(text for text, _ in contents.cells))
    pairs, day_first, month_first = count_orders(contents) if match.kind == "date" else (0, 0, 0)
    if pairs and bool(day_first) == bool(month_first):
        question += " Is the day or the month first (date_order: dmy or mdy)?"
    return ask(column, question, rule=rule)
