"""What drafting knows of a column and its neighbours, and how a draft asks about it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from bodycond.legacy.drafting.column_contents import ColumnContents
from bodycond.legacy.headings.headings import HeadingMatch
from bodycond.legacy.recipes.recipe_rules import ColumnRule

ASKED_AT_MOST = 0.8
"""Highest confidence of a column that carries a question."""

_TICKS = ("x", "X", "?", ".")


@dataclass(frozen=True, kw_only=True, eq=False)
class DraftedColumn:
    """One column as drafting sees it.

    Parameters
    ----------
    heading : str
        Its heading as the recipe names it.
    match : HeadingMatch
        What the heading and the row of units say.
    contents : ColumnContents
        Its cells.
    table : {"exams", "ratings"}
        The sheet's table.
    medians : mapping of str to float
        Median of the bare numbers of each measure of the sheet, by field.
    unit_evidence : str, default ""
        Why bare numbers can be g or mm alone; empty where they can be something else.
    place : str, default ""
        Names of file and sheet, which can hold a year.
    differences : tuple of str
        Formulas of the column that take one number from another.
    titles : tuple of str
        What stands above the headings.
    subject : str, default ""
        Word for something else than a bird that the table speaks of, such as eggs or prey.
    """

    heading: str
    match: HeadingMatch
    contents: ColumnContents
    table: str
    medians: Mapping[str, float] = field(default_factory=dict)
    unit_evidence: str = ""
    place: str = ""
    differences: tuple[str, ...] = ()
    titles: tuple[str, ...] = ()
    subject: str = ""


def ask(
    column: DraftedColumn, question: str, *, rule: ColumnRule | None = None,
    confidence: float | None = None,
) -> ColumnRule:  # fmt: skip
    """Make the rule of a column that carries a question.

    Parameters
    ----------
    column : DraftedColumn
        The column.
    question : str
        The question.
    rule : ColumnRule, optional
        What is proposed. Default the field that the heading means.
    confidence : float, optional
        How sure the proposal is. Default as the heading makes it.

    Returns
    -------
    ColumnRule
        With the question; the proposal stays beside it.
    """
    match = column.match
    known = rule or ColumnRule(
        heading=column.heading, fields=(match.field,) if match.field else (),
        kind=match.kind if match.field else None,
    )  # fmt: skip
    sure = match.confidence if confidence is None else confidence
    sure = min(sure, ASKED_AT_MOST if known.fields else 0.0)
    unnamed = [field for field in known.fields if field not in question]
    if unnamed:
        question = f"{question} It is taken for {' and '.join(unnamed)}."
    return replace(known, ask=question, confidence=sure, evidence=known.evidence or match.evidence)


def count_ticks(contents: ColumnContents) -> dict[str, int]:
    """Count crosses, question marks and points, which mean different things in different columns.

    Parameters
    ----------
    contents : ColumnContents
        The column.

    Returns
    -------
    dict of str to int
        How often each stands alone in a cell.

    Examples
    --------
    >>> count_ticks(ColumnContents(cells={}, missing={"x": 3, "na": 1}, n_rows=4))
    {'x': 3}
    """
    return {text: contents.missing[text] for text in _TICKS if text in contents.missing}


def word_ticks(contents: ColumnContents) -> str:
    """Ask what crosses and the like stand for.

    Parameters
    ----------
    contents : ColumnContents
        The column.

    Returns
    -------
    str
        A question; the empty text where there are none.
    """
    ticks = count_ticks(contents)
    if not ticks:
        return ""
    listed = ", ".join(f"{text!r} ({count} cells)" for text, count in ticks.items())
    return f"Does {listed} stand for no value here?"
