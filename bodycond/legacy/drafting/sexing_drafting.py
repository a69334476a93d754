"""A sex and how it was told in one cell, such as 'M/mass' or 'F/BP'."""

from __future__ import annotations

import re

from bodycond.legacy.drafting.drafted_columns import DraftedColumn, ask
from bodycond.legacy.drafting.table_data import TableData
from bodycond.legacy.headings.heading_units import fold_heading
from bodycond.legacy.headings.headings import match_heading
from bodycond.legacy.recipes.recipe_rules import ColumnRule

_METHODS = frozenset(["method", "methode", "metodo", "criteria", "criterion", "how", "by"])
_BETWEEN = ("/", ", ", "; ", " - ", "-", ":", " ")
_SEX = re.compile(r"[a-z?\u2640\u2642]|female|male|unknown|unk|fem", re.IGNORECASE)


def draft_sexing(data: TableData) -> dict[str, ColumnRule]:
    """Propose how a sex and its method are taken apart.

    Parameters
    ----------
    data : TableData
        The table.

    Returns
    -------
    dict of str to ColumnRule
        The rule of such a column by heading, with a question.
    """
    made = {}
    for column in data.columns:
        words = fold_heading(column.heading).split()
        sexed = any(match_heading(word).field == "sex" for word in words if len(word) > 2)
        between = _find_between(column)
        if sexed and _METHODS & set(words) and between:
            made[column.heading] = _propose(column, between)
    return made


def _find_between(column: DraftedColumn) -> str:
    """Find what stands between sex and method; the empty text where cells hold one of them."""
    sample = column.contents.sample
    for between in _BETWEEN:
        firsts, n_both = 0, 0
        for (text, _), count in sample.items():
            first, found, _ = text.strip().partition(between)
            firsts += count * bool(_SEX.fullmatch(first.strip()))
            n_both += count * bool(found)
        if n_both and firsts >= 0.9 * sum(sample.values()):
            return between
    return ""


def _propose(column: DraftedColumn, between: str) -> ColumnRule:
    split = (f"{{sex}}{between}{{sexing_method}}", "{sex}")
    sample = column.contents.sample
    alone = sum(n for (text, _), n in sample.items() if between not in text.strip())
    rule = ColumnRule(
        heading=column.heading, fields=("sex", "sexing_method"), split=split, kind="text",
        evidence=f"heading {column.heading!r}; {alone} cells hold a sex alone",
    )  # fmt: skip
    question = (
        f"Does each cell hold a sex and, behind {between!r}, how it was told (kept as "
        f"sexing_method, a field of your own)? {alone} cells hold a sex alone. "
        f"{column.contents.show()}"
    )
    return ask(column, question, rule=rule, confidence=0.6)
