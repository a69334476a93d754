"""A drafted recipe in words: what was found on each sheet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from textwrap import shorten
from typing import TYPE_CHECKING, Any

from bodycond.study.open_questions import (
    QuestionKey,
    collect_questions,
    is_unread,
    key_columns,
    key_sheet,
    name_sheets,
    quote_heading,
)
from bodycond.study.visible_texts import show_text

if TYPE_CHECKING:
    from bodycond.legacy import ColumnRule, ImportRecipe, SheetRule

_MOST_SHEETS = 20
_WIDEST_HEADING, _LONGEST_MARK, _LONGEST_GUESS, _LONGEST_EVIDENCE = 28, 60, 120, 300
_INFERRED = 0.9


def describe_column(column: ColumnRule) -> str:
    """Say in a few words how a column is read: field, unit, scale, order of dates.

    Parameters
    ----------
    column : ColumnRule
        Its rule.

    Returns
    -------
    str
        The words; empty where the column fills no field.
    """
    named = (
        ("unit", column.unit), ("unit from", column.unit_from), ("scale", column.scale),
        ("dates", column.date_order), ("year", column.year), ("part", column.part),
        ("decimal", column.decimal), ("codes of", column.system),
    )  # fmt: skip
    words = [" + ".join(column.fields), *column.split]
    words += [f"{name} {value}" for name, value in named if value]
    words += [f"{name} = {value}" for name, value in column.values.items()]
    if column.codes:
        words.append(count_things(len(column.codes), "code"))
    if column.fill_down:
        words.append("filled down")
    return ", ".join(word for word in words if word)


def record_column(column: ColumnRule) -> dict[str, Any]:
    """Give a column's rule to a program.

    Parameters
    ----------
    column : ColumnRule
        The rule.

    Returns
    -------
    dict
        Heading, field, unit, scale, order of dates, confidence, evidence, question.
    """
    return {
        "heading": column.heading,
        "field": list(column.fields),
        "unit": column.unit,
        "scale": column.scale,
        "date_order": column.date_order,
        "read_as": describe_column(column),
        "confidence": column.confidence,
        "evidence": column.evidence,
        "set_aside": column.set_aside,
        "question": column.ask,
    }


def describe_sheets(recipe: ImportRecipe, *, path: Path) -> list[str]:
    """Say sheet by sheet what a draft found; sheets that are read alike are told once.

    Parameters
    ----------
    recipe : ImportRecipe
        The draft.
    path : Path
        Its file, where the rest stands.

    Returns
    -------
    list of str
        The lines.
    """
    alike = _group_alike(recipe.sheets)
    numbers = {key: number for number, key in enumerate(collect_questions(recipe), start=1)}
    lines: list[str] = []
    for rules in alike[:_MOST_SHEETS]:
        lines += ["", *_describe_alike(rules, numbers)]
    if len(alike) > _MOST_SHEETS:
        lines += ["", f"and {len(alike) - _MOST_SHEETS} more kinds of sheet, in {path}"]
    return lines


def _group_alike(rules: Iterable[SheetRule]) -> list[list[SheetRule]]:
    """Put sheets together that are read in the same way: a hundred forms are told once."""
    groups: dict[tuple[object, ...], list[SheetRule]] = {}
    for rule in rules:
        if is_unread(rule):
            continue
        shape = (
            rule.table, rule.area, rule.heading_rows, rule.units_row, rule.first_row,
            rule.last_row, rule.why, rule.ask,
            tuple((column.heading, describe_column(column), column.ask, column.set_aside)
                  for column in (*rule.columns, *rule.labels)),
        )  # fmt: skip
        groups.setdefault(shape, []).append(rule)
    return list(groups.values())


def _describe_alike(rules: list[SheetRule], numbers: Mapping[QuestionKey, int]) -> list[str]:
    first = rules[0]
    asked = f"; QUESTION {numbers[key_sheet(first)]}" if first.ask else ""
    lines = [f"{name_sheets(rules)}: {_describe_block(first)}{asked}"]
    headings = [quote_heading(column) for column in (*first.columns, *first.labels)]
    wide = min(_WIDEST_HEADING, max(map(len, headings), default=0))
    keys = key_columns(first)
    for column, heading, key in zip((*first.columns, *first.labels), headings, keys, strict=True):
        asked = f"QUESTION {numbers[key]}" if key else ""
        if key and not key.heading:
            # One question for many columns: what this one seems to hold stands here.
            guess = shorten(show_text(column.ask or ""), _LONGEST_GUESS, placeholder=" …")
            asked = f"{asked}: {guess}"
        lines.append(f"  {heading:<{wide}}  {_describe_fate(column, asked)}")
    return lines


def _describe_block(rule: SheetRule) -> str:
    if rule.table == "set_aside":
        return f"set aside, {rule.why}"
    if rule.ask and not rule.columns and not rule.labels:
        return "no table recognised"
    words = [rule.table]
    if rule.area:
        words.append(f"block {rule.area}")
    if rule.starts_at:
        marks = " or ".join(repr(mark) for mark in rule.starts_at)
        words.append(f"block from {show_text(marks, limit=_LONGEST_MARK)}")
    if rule.heading_rows:
        words.append(f"headings in row {' and '.join(map(str, rule.heading_rows))}")
    rows = {"units in": rule.units_row, "first": rule.first_row, "last": rule.last_row}
    words += [f"{name} row {row}" for name, row in rows.items() if row is not None]
    words += [f"{name} = {show_text(value)}" for name, value in rule.constants.items()]
    return ", ".join(words)


def _describe_fate(column: ColumnRule, asked: str) -> str:
    if column.set_aside:
        return f"set aside: {column.set_aside}"
    words = describe_column(column)
    if asked:
        return f"{words}? {asked}" if words else asked
    if column.confidence is None:
        return words
    # What was inferred and not read in the heading shows its evidence at once.
    inferred = column.confidence <= _INFERRED and column.evidence
    why = f": {shorten(show_text(column.evidence), _LONGEST_EVIDENCE)}" if inferred else ""
    return f"{words} (confidence {column.confidence:.2f}{why})"


def count_things(number: int, noun: str) -> str:
    """Write a number of things.

    Parameters
    ----------
    number : int
        How many.
    noun : str
        What, in the singular.

    Returns
    -------
    str
        The words.

    Examples
    --------
    >>> count_things(1, "sheet"), count_things(2, "sheet")
    ('1 sheet', '2 sheets')
    """
    # A thin blank parts the thousands, as in the report's tables.
    shown = f"{number:,}".replace(",", "\u202f")
    return f"{shown} {noun}{'' if number == 1 else 's'}"
