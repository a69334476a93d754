"""A drafted recipe in words: what was found on each sheet, and what must be asked."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bodycond.errors import name_first_few
from bodycond.study.visible_texts import show_text

if TYPE_CHECKING:
    from bodycond.legacy import ColumnRule, ImportRecipe, SheetRule

# How a draft words its question about a file that it could not open.
_UNREAD = "The file could not be read"

_MOST_SHEETS = 20
_MOST_QUESTIONS = 60
_MOST_PLACES = 3
_WIDEST_HEADING, _LONGEST_HEADING = 28, 60


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


def is_unread(rule: SheetRule) -> bool:
    """Tell whether a draft's entry stands for a file that could not be read.

    Parameters
    ----------
    rule : SheetRule
        The entry.

    Returns
    -------
    bool
        True where it does.
    """
    opened = rule.heading_rows or rule.columns or rule.labels
    return not opened and (rule.ask or "").startswith(_UNREAD)


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
    numbers = {key: number for number, key in enumerate(_collect_questions(recipe), start=1)}
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


def _describe_alike(rules: list[SheetRule], numbers: Mapping[tuple[str, str], int]) -> list[str]:
    first = rules[0]
    places = _name_sheets(rules)
    asked = f"; QUESTION {numbers['', first.ask]}" if first.ask else ""
    lines = [f"{places}: {_describe_block(first)}{asked}"]
    columns = (*first.columns, *first.labels)
    headings = [_quote_heading(column) for column in columns]
    wide = min(_WIDEST_HEADING, max(map(len, headings), default=0))
    for column, heading in zip(columns, headings, strict=True):
        asked = f"QUESTION {numbers[heading, column.ask]}" if column.ask else ""
        lines.append(f"  {heading:<{wide}}  {_describe_fate(column, asked)}")
    return lines


def _quote_heading(column: ColumnRule) -> str:
    return f"'{show_text(column.heading, limit=_LONGEST_HEADING)}'"


def _name_sheets(rules: Sequence[SheetRule]) -> str:
    """Name sheets, the file once where they are of one file."""
    if len(rules) == 1 or len({rule.file for rule in rules}) > 1:
        return name_first_few((_name_sheet(rule) for rule in rules), limit=_MOST_PLACES)
    names = name_first_few((show_text(rule.sheet) for rule in rules), limit=_MOST_PLACES)
    return f"{show_text(rules[0].file)}, sheets {names}"


def _name_sheet(rule: SheetRule) -> str:
    file, sheet = show_text(rule.file), show_text(rule.sheet)
    if Path(rule.file).stem == rule.sheet:
        return file
    return f"{file}, every sheet" if sheet == "*" else f"{file}, {sheet}"


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
        words.append(f"block from {show_text(marks, limit=_LONGEST_HEADING)}")
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
    sure = "" if column.confidence is None else f" (confidence {column.confidence:.2f})"
    return words + sure


def list_questions(recipe: ImportRecipe, *, path: Path) -> list[str]:
    """List the questions of a recipe, counted; one that many sheets raise is told once.

    Parameters
    ----------
    recipe : ImportRecipe
        The recipe.
    path : Path
        Its file, where the rest stands.

    Returns
    -------
    list of str
        The lines.
    """
    asked = _collect_questions(recipe)
    if not asked:
        return ["No question is open."]
    total = sum(len(places) for places in asked.values())
    several = f" ({len(asked)} of them different)" if len(asked) < total else ""
    lines = [f"Open questions: {total}{several}. Until they are answered, these cells are held:"]
    for number, ((heading, question), places) in enumerate(asked.items(), start=1):
        if number > _MOST_QUESTIONS:
            lines.append(f"  and {len(asked) - _MOST_QUESTIONS} more, in {path}")
            break
        where = _name_sheets(places)
        column = f", column {heading}" if heading else ""
        lines.append(f"  {number}. {where}{column}: {question}")
    return lines


def _collect_questions(recipe: ImportRecipe) -> dict[tuple[str, str], list[SheetRule]]:
    """Collect the questions by heading and words, with the sheets that raise them."""
    asked: dict[tuple[str, str], list[SheetRule]] = {}
    for rule in recipe.sheets:
        if rule.ask and not is_unread(rule):
            asked.setdefault(("", rule.ask), []).append(rule)
        for column in (*rule.columns, *rule.labels):
            if column.ask:
                key = (_quote_heading(column), column.ask)
                asked.setdefault(key, []).append(rule)
    return asked


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
