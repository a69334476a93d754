"""Columns held against each other: the unit in a neighbour, two columns for one field."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from bodycond.errors import name_first_few
from bodycond.legacy.drafting.drafted_columns import DraftedColumn, ask
from bodycond.legacy.drafting.table_data import TableData
from bodycond.legacy.headings.heading_units import fold_heading
from bodycond.legacy.headings.headings import CERTAIN, match_heading
from bodycond.legacy.headings.plain_words import GROSS_WORDS, NET_WORDS, TARE_WORDS
from bodycond.legacy.recipes.recipe_rules import ColumnRule
from bodycond.legacy.recipes.targets import SHARED_FIELDS

_RELEASE_WORDS = frozenset({"out", "release", "released", "exit", "leaving", "departure", "end"})


def link_units(data: TableData, rules: Sequence[ColumnRule]) -> list[ColumnRule]:
    """Take the unit of a measure from the column beside it that names it.

    Parameters
    ----------
    data : TableData
        The table.
    rules : sequence of ColumnRule
        Rules of its columns, in their order.

    Returns
    -------
    list of ColumnRule
        Rules with ``unit_from``; the column of units is set aside.
    """
    made = {rule.heading: rule for rule in rules}
    previous: DraftedColumn | None = None
    for column in data.columns:
        words = fold_heading(column.heading)
        if column.match.theme.startswith("the unit") and column.contents.holds("unit", least=0.95):
            base = re.sub(r" ?(units?|einheit|unite|unidad|eenheid)$", "", words)
            target = previous
            if base:
                field = match_heading(base).field
                target = next((c for c in data.columns if c.match.field == field and field), None)
            rule = made.get(target.heading) if target is not None else None
            if target is not None and rule is not None and target.match.confidence >= 0.6:
                made |= _link(target, rule, column)
        elif column.match.field.endswith(("_mm", "_g")):
            previous = column
    return [made[rule.heading] for rule in rules]


def _link(target: DraftedColumn, rule: ColumnRule, units: DraftedColumn) -> dict[str, ColumnRule]:
    evidence = f"{target.match.evidence}; {units.heading!r} gives the unit of each cell"
    linked = replace(
        rule, unit=None, unit_from=units.heading, ask=None, evidence=evidence,
        confidence=target.match.confidence,
    )  # fmt: skip
    if target.match.confidence < CERTAIN:
        linked = ask(target, f"Is this {target.match.field}? {target.contents.show()}", rule=linked)
    reason = f"gives the unit of {target.heading!r}"
    return {
        target.heading: linked,
        units.heading: ColumnRule(
            heading=units.heading, set_aside=reason, confidence=0.95, evidence=units.contents.show()
        ),
    }


def ask_about_rivals(rules: Sequence[ColumnRule]) -> list[ColumnRule]:
    """Ask where two columns would fill one field.

    Parameters
    ----------
    rules : sequence of ColumnRule
        The columns of a table.

    Returns
    -------
    list of ColumnRule
        With a question at each of two columns that are about as sure.
    """
    rivals: dict[str, list[ColumnRule]] = {}
    for rule in rules:
        if rule.part is None and not rule.values and not rule.set_aside:
            for field in rule.fields:
                rivals.setdefault(field, []).append(rule)
    asked = []
    for rule in rules:
        field = rule.fields[0] if rule.fields else ""
        others = [
            other.heading
            for other in rivals.get(field, [])
            if other.heading != rule.heading and _is_rival(rule, other, field)
        ]
        if others and rule.part is None and not rule.values and field not in SHARED_FIELDS:
            listed = name_first_few(map(repr, others))
            question = (
                f"More than one column looks like {field}: also {listed}. Which one is it? Keep "
                "'field' there and set the others aside."
            )
            question += _offer_weighings(rule.heading, rivals[field]) if field == "mass_g" else ""
            known = f"{question} {rule.ask}" if rule.ask else question
            rule = replace(rule, ask=known, confidence=min(rule.confidence or 0.0, 0.6))
        asked.append(rule)
    return asked


def _offer_weighings(heading: str, rivals: Sequence[ColumnRule]) -> str:
    """Say what to write where each of several columns is a weighing of its own."""
    headings = [rival.heading for rival in rivals]
    bags = TARE_WORDS | GROSS_WORDS | NET_WORDS
    if any(set(fold_heading(name).split()) & bags for name in headings):
        return ""
    said = []
    for number, name in enumerate(headings, start=1):
        last = number == len(headings) and set(fold_heading(name).split()) & _RELEASE_WORDS
        reason = "intake" if number == 1 else "pre_release" if last else "recheck"
        repeat = "repeat weighing" if number == 2 else f"repeat weighing {number}"
        flag = f", remarks: {repeat}" if number > 1 else ""
        where = "here" if name == heading else f"at {name!r}"
        said.append(f"with: {{exam_reason: {reason}{flag}}} {where}")
    return (
        " Or is each a weighing of its own? Then each gives an exam of its own in every row: write "
        f"{', '.join(said)}, and the same 'with' at what belongs to one of them alone, such as its "
        "date (field: exam_date)."
    )


def _is_rival(rule: ColumnRule, other: ColumnRule, field: str) -> bool:
    sure, others = rule.confidence or 0.0, other.confidence or 0.0
    # A scientific name beside a local name or code of the species: both say the same.
    if field == "species" and not rule.ask and other.ask:
        return False
    return others >= sure - 0.2 or (not rule.ask and others >= 0.8)
