"""Columns for day, month and year: one date of them, or a check of the date that stands beside."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from bodycond.errors import name_first_few
from bodycond.legacy.drafting.century_drafting import find_century_doubt
from bodycond.legacy.drafting.date_drafting import compare_parts
from bodycond.legacy.drafting.drafted_columns import DraftedColumn
from bodycond.legacy.drafting.table_data import TableData
from bodycond.legacy.headings.heading_units import fold_heading
from bodycond.legacy.headings.headings import CERTAIN
from bodycond.legacy.headings.plain_words import DATE_PARTS
from bodycond.legacy.recipes.recipe_rules import ColumnRule


def find_date_parts(data: TableData) -> dict[str, DraftedColumn]:
    """Find columns for day, month and year.

    Parameters
    ----------
    data : TableData
        The table.

    Returns
    -------
    dict of str to DraftedColumn
        By part; empty unless day and month are both there with numbers that can be theirs.
    """
    found: dict[str, DraftedColumn] = {}
    for column in data.columns:
        words = re.sub(r" ?\d$", "", fold_heading(column.heading))
        for part, known in DATE_PARTS.items():
            if words in known and part not in found:
                found[part] = column
    limits = {"year": (0, 2100), "month": (1, 12), "day": (1, 31)}
    for part in list(found):
        contents = found[part].contents
        low, high = contents.quantile(0.02), contents.quantile(0.98)
        if contents.n_used and low is not None and high is not None:
            least, most = limits[part]
            if not (contents.holds("number") and least <= low and high <= most):
                del found[part]
    return found if {"month", "day"} <= set(found) else {}


def draft_date_parts(data: TableData, rules: Sequence[ColumnRule]) -> list[ColumnRule]:
    """Draft day, month and year, or hold them against the date that stands beside them.

    Parameters
    ----------
    data : TableData
        The table.
    rules : sequence of ColumnRule
        Rules of all its columns.

    Returns
    -------
    list of ColumnRule
        The rules with those of the parts, and of the date, put right.
    """
    field = "exam_date" if data.table == "exams" else "rated_on"
    parts = find_date_parts(data)
    if not parts:
        return list(rules)
    names = {column.heading: part for part, column in parts.items()}
    dates = [rule for rule in rules
             if rule.fields == (field,) and rule.heading not in names
             and (rule.confidence or 0.0) >= 0.5 and _has_cells(data, rule.heading)]  # fmt: skip
    date = max(dates, key=lambda rule: rule.confidence or 0.0, default=None)
    if date is None or "year" not in parts:
        return [_make_part(rule, names, parts, field) for rule in rules]
    headings = [date.heading, *(parts[part].heading for part in ("year", "month", "day"))]
    lines = data.sample_rows(headings)
    parts_of = [(line[1], line[2], line[3]) for line in lines]
    counts = compare_parts([line[0] for line in lines], parts_of)
    best = max(counts, key=lambda order: counts[order])
    agreeing = counts["any"] + max(counts["dmy"], counts["mdy"])
    listed = name_first_few(headings[1:])
    if not lines or agreeing < 0.9 * len(lines):
        said = f"{listed} and {date.heading!r} agree in {agreeing} of {len(lines)} rows looked at"
        question = f"Which is the day of the exam? {said}."
        return [
            replace(_make_part(rule, names, parts, field), ask=question, confidence=0.5)
            if rule.heading in headings else rule
            for rule in rules
        ]  # fmt: skip
    return [_settle_parts(rule, date, names, listed, best, agreeing, len(lines)) for rule in rules]


def _settle_parts(
    rule: ColumnRule, date: ColumnRule, names: dict[str, str], listed: str, order: str,
    agreeing: int, total: int,
) -> ColumnRule:  # fmt: skip
    if rule.heading == date.heading:
        evidence = f"{rule.evidence}; {listed} agree in {agreeing} of {total} rows"
        if order in {"dmy", "mdy"} and (rule.confidence or 0.0) >= ASKED_DATE:
            return replace(rule, date_order=order, ask=None, evidence=evidence,
                           confidence=max(rule.confidence or 0.0, CERTAIN))  # fmt: skip
        return replace(rule, evidence=evidence)
    if rule.heading in names:
        question = (
            f"May it be set aside? It is the {names[rule.heading]} of {date.heading!r}, which "
            f"agrees in {agreeing} of {total} rows looked at."
        )
        return replace(
            rule, fields=(), kind=None, ask=question, confidence=0.0, date_order=None,
            evidence=question,
        )  # fmt: skip
    return rule


# A date that was asked about for its order alone.
ASKED_DATE = 0.8


def _has_cells(data: TableData, heading: str) -> bool:
    return any(column.heading == heading and column.contents.n_used for column in data.columns)


def _make_part(
    rule: ColumnRule, names: dict[str, str], parts: dict[str, DraftedColumn], field: str
) -> ColumnRule:
    part = names.get(rule.heading)
    if part is None:
        return rule
    made = ColumnRule(
        heading=rule.heading, fields=(field,), part=part, confidence=0.95,
        evidence=f"columns for {name_first_few(sorted(parts))} stand side by side",
    )  # fmt: skip
    if "year" not in parts:
        question = (
            "Of which year are these days and months? No column says so: give it as a constant, or "
            "name the column."
        )
        return replace(made, ask=question, confidence=0.7)
    doubt = find_century_doubt(parts["year"].contents)
    if doubt is None:
        return made
    if part == "year":
        return replace(made, ask=doubt[0], short_years_to=doubt[1], confidence=0.6)
    # A date without its year is none: the other parts wait for the answer.
    waiting = f"Of which century is {parts['year'].heading!r}? Delete this line with that question."
    return replace(made, ask=waiting, confidence=0.6)
