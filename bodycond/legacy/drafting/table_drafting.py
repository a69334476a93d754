"""The columns of one table drafted: those that belong together first, then each alone."""

from __future__ import annotations

import re
from collections.abc import Sequence

from bodycond.legacy.drafting.column_drafting import draft_column
from bodycond.legacy.drafting.date_part_drafting import draft_date_parts
from bodycond.legacy.drafting.drafted_columns import ask
from bodycond.legacy.drafting.name_drafting import draft_name_parts
from bodycond.legacy.drafting.neighbour_drafting import ask_about_rivals, link_units
from bodycond.legacy.drafting.record_drafting import draft_together
from bodycond.legacy.drafting.split_drafting import draft_split
from bodycond.legacy.drafting.table_data import TableData
from bodycond.legacy.drafting.wide_drafting import draft_wide
from bodycond.legacy.headings.heading_units import fold_heading
from bodycond.legacy.recipes.recipe_rules import ColumnRule
from bodycond.legacy.recipes.targets import known_columns

# Headings that speak of grading are of scorers wherever they stand.
_GRADING = re.compile(r"scor|rater|grade|assess|bewert|evalu|puntu|beoordel")


def draft_columns(data: TableData) -> tuple[ColumnRule, ...]:
    """Draft the columns of a table.

    Parameters
    ----------
    data : TableData
        The table.

    Returns
    -------
    tuple of ColumnRule
        Columns of the exam table first, then fields of the user's own, then what is not known:
        the order of the questions.
    """
    together = {**draft_wide(data), **draft_together(data), **draft_name_parts(data)}
    rules: list[ColumnRule] = []
    for column in data.columns:
        rule = together.get(column.heading) or draft_split(column) or draft_column(column)
        rules.append(rule)
    rules = draft_date_parts(data, rules)
    rules = link_units(data, rules)
    rules = ask_about_rivals(rules)
    rules = [_ask_without_score(rule, data) for rule in rules]
    return order_columns(rules, table=data.table)


def _ask_without_score(rule: ColumnRule, data: TableData) -> ColumnRule:
    """Ask about an observer where no score stands: who measured or watched is no scorer."""
    graded = any(c.match.field == "keel" or c.match.is_score for c in data.columns)
    if (
        graded
        or rule.ask
        or rule.fields != ("scorer",)
        or _GRADING.search(fold_heading(rule.heading))
    ):
        return rule
    (column,) = (c for c in data.columns if c.heading == rule.heading)
    question = (
        "Is this who graded the birds? No score stands in this table. Who ringed, measured or "
        "watched is no scorer: keep it as a field of your own, or set it aside."
    )
    return ask(column, f"{question} {column.contents.show()}", rule=rule, confidence=0.6)


def order_columns(rules: Sequence[ColumnRule], *, table: str) -> tuple[ColumnRule, ...]:
    """Put the columns that matter first.

    Parameters
    ----------
    rules : sequence of ColumnRule
        The columns of a sheet in their order.
    table : {"exams", "ratings"}
        The table.

    Returns
    -------
    tuple of ColumnRule
        Columns of the table, then those of the user's own, then those without a field.
    """
    known = known_columns(table)

    def _rank(rule: ColumnRule) -> int:
        if not rule.fields:
            return 2
        return 0 if rule.fields[0] in known or rule.into else 1

    return tuple(sorted(rules, key=_rank))
