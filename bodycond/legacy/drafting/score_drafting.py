"""Columns of keel scores: the scale stated beyond doubt, or asked."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace

from bodycond.errors import name_first_few
from bodycond.legacy.drafting.column_contents import ColumnContents
from bodycond.legacy.drafting.drafted_columns import DraftedColumn, ask
from bodycond.legacy.notation import plain_text
from bodycond.legacy.recipes.recipe_rules import ColumnRule
from bodycond.scales import KEEL_SCALE

_DENOMINATOR = re.compile(r"\d(?:[.,]\d)? ?(?:/|of) ?(\d{1,2})", re.ASCII | re.IGNORECASE)


def draft_keel(column: DraftedColumn) -> ColumnRule:
    """Draft a column of keel scores.

    Parameters
    ----------
    column : DraftedColumn
        The column.

    Returns
    -------
    ColumnRule
        With the scale where heading or cells say 1 to 5 beyond doubt; else with a question.
    """
    match, contents = column.match, column.contents
    ends = Counter(
        int(found[1])
        for text, _ in contents.cells
        if (found := _DENOMINATOR.fullmatch(plain_text(text))) and int(found[1]) >= 4
    )
    stated = match.scale_limits
    whole = (int(KEEL_SCALE.low), int(KEEL_SCALE.high))
    outside = _count_outside(contents)
    seen = f"{match.evidence}; {contents.describe_numbers()}"
    open_rule = ColumnRule(heading=column.heading, fields=(match.field,), evidence=seen)
    unmistakable = (stated == whole and not set(ends) - {whole[1]}) or (
        stated is None and set(ends) == {whole[1]}
    )
    if match.unit is not None:
        question = f"A score has no unit, but {match.unit!r} is named. What is it?"
        return ask(column, f"{question} {contents.show()}", rule=open_rule, confidence=0.3)
    if unmistakable and 50 * outside <= contents.n_used:
        return replace(open_rule, scale=KEEL_SCALE.name, confidence=match.confidence)
    said = f"The heading says {stated[0]} to {stated[1]}. " if stated else ""
    others = f"Some cells end in /{name_first_few(sorted(ends))}. " if ends else ""
    left = f"{outside} of {contents.n_used} cells lie outside 1 to 5. " if outside else ""
    question = (
        f"Which score scale is this, and which chart? {said}{others}{left}{contents.show()} Write "
        f'scale: "{KEEL_SCALE.name}" only if the scorers used that chart; describe another under '
        "'scales:' and give it a field of your own."
    )
    if match.confidence < 0.9:
        question = f"Is this the keel score ({match.evidence})? {question}"
    return ask(column, question, rule=open_rule)


def _count_outside(contents: ColumnContents) -> int:
    return sum(
        count for value, count in contents.numbers
        if not KEEL_SCALE.low <= value <= KEEL_SCALE.high
    )  # fmt: skip
