"""A recipe's text checked key by key, every fault gathered with its line."""

from __future__ import annotations

from typing import Any

from bodycond.columns import Column
from bodycond.errors import ScaleError
from bodycond.legacy.column_checking import SCIENTIFIC_NAME, check_column
from bodycond.legacy.notation import parse_date, parse_number, parse_species
from bodycond.legacy.recipe_keys import (
    RECIPE_VERSION,
    Problems,
    check_keys,
    suggest,
    take_number,
    take_text,
)
from bodycond.legacy.recipe_rules import ColumnRule, SheetRule
from bodycond.legacy.targets import (
    ORIGIN_FIELDS,
    SHARED_FIELDS,
    find_kind,
    known_columns,
    list_outputs,
)
from bodycond.legacy.yaml_nodes import Node, read_nodes
from bodycond.scales import KEEL_SCALE, ScoreScale

_TOP_KEYS = ("version", "scales", "sheets")
_SCALE_KEYS = ("low", "high", "step")
_SHEET_KEYS = (
    "file", "sheet", "table", "why", "heading_row", "units_row", "first_row", "last_row",
    "totals_rows", "data_rows", "constants", "columns", "ask",
)  # fmt: skip


def check_recipe_text(
    text: str,
) -> tuple[tuple[SheetRule, ...], dict[str, ScoreScale], Problems]:
    """Read a recipe's text and list what is wrong with it.

    Parameters
    ----------
    text : str
        YAML.

    Returns
    -------
    sheets : tuple of SheetRule
        Its rules; of use only where there are no problems.
    scales : dict of str to ScoreScale
        Its scales by name.
    problems : list of (int, str)
        Line and problem.
    """
    top, problems = read_nodes(text)
    if top is None:
        return (), {}, problems or [(1, "an empty recipe")]
    if not isinstance(top.value, dict):
        return (), {}, [*problems, (top.line, "a recipe is a mapping with the key 'sheets'")]
    check_keys(top, _TOP_KEYS, problems, what="the recipe")
    version = top.value.get("version")
    if version is None or version.value != RECIPE_VERSION:
        line = version.line if version else top.line
        problems.append((line, f"'version' must be {RECIPE_VERSION}"))
    scales = _check_scales(top.value.get("scales"), problems)
    sheets = _check_sheets(top, scales, problems)
    return sheets, scales, problems


def _check_scales(node: Node | None, problems: Problems) -> dict[str, ScoreScale]:
    scales: dict[str, ScoreScale] = {}
    if node is None or node.value is None:
        return scales
    if not isinstance(node.value, dict):
        problems.append((node.line, "'scales' is a mapping of names to low, high and step"))
        return scales
    for name, entry in node.value.items():
        if not isinstance(entry.value, dict):
            problems.append((entry.line, f"the scale {name!r} needs low, high and step"))
            continue
        check_keys(entry, _SCALE_KEYS, problems, what=f"the scale {name!r}")
        limits = [take_number(entry, key, problems) for key in _SCALE_KEYS]
        low, high, step = limits
        if low is None or high is None or step is None:
            problems.append((entry.line, f"the scale {name!r} needs low, high and step"))
            continue
        try:
            scale = ScoreScale(name=name, low=low, high=high, step=step)
        except ScaleError as error:
            problems.append((entry.line, f"{error.needed} ({error.found})"))
            continue
        if name == KEEL_SCALE.name and (low, high, step) != (1.0, 5.0, 0.5):
            problems.append((entry.line, f"{name!r} is 1 to 5 in steps of 0.5; take another name"))
        scales[name] = scale
    return scales


def _take_rows(node: Node, key: str, problems: Problems) -> tuple[int, ...]:
    entry = node.value.get(key)
    if entry is None or entry.value is None:
        return ()
    values = (
        [item.value for item in entry.value] if isinstance(entry.value, list) else [entry.value]
    )
    good = [value for value in values if type(value) is int and value >= 1]
    if len(good) != len(values):
        problems.append((entry.line, f"{key!r} takes row numbers, counted from 1"))
    return tuple(good)


def _take_row(node: Node, key: str, problems: Problems) -> int | None:
    rows = _take_rows(node, key, problems)
    if len(rows) > 1:
        problems.append((node.value[key].line, f"{key!r} takes one row"))
    return rows[0] if rows else None


def _check_sheets(
    top: Node, scales: dict[str, ScoreScale], problems: Problems
) -> tuple[SheetRule, ...]:
    node = top.value.get("sheets")
    if node is None or not isinstance(node.value, list):
        line = node.line if node else top.line
        problems.append((line, "'sheets' is a list, one entry a kind of sheet"))
        return ()
    rules: list[SheetRule] = []
    for entry in node.value:
        if not isinstance(entry.value, dict):
            problems.append((entry.line, "an entry of 'sheets' needs at least file and table"))
            continue
        rules.append(_check_sheet(entry, scales, problems))
    return tuple(rules)


def _check_sheet(entry: Node, scales: dict[str, ScoreScale], problems: Problems) -> SheetRule:
    check_keys(entry, _SHEET_KEYS, problems, what="a sheet")
    table = take_text(entry, "table", problems) or "exams"
    if table not in ("exams", "ratings", "set_aside"):
        line = entry.value["table"].line
        problems.append((line, f"'table' is exams, ratings or set_aside, not {table!r}"))
        table = "exams"
    file = take_text(entry, "file", problems)
    if not file:
        problems.append((entry.line, "a sheet needs 'file': a name or a pattern"))
    common: dict[str, Any] = {
        "file": file or "",
        "sheet": take_text(entry, "sheet", problems) or "*",
        "table": table,
        "why": take_text(entry, "why", problems),
        "ask": take_text(entry, "ask", problems),
        "line": entry.line,
    }
    if table == "set_aside":
        if not common["why"]:
            problems.append((entry.line, "a sheet that is set aside needs 'why'"))
        return SheetRule(**common)
    heading_rows = _take_rows(entry, "heading_row", problems)
    if not heading_rows and not common["ask"]:
        problems.append((entry.line, "a sheet needs 'heading_row', counted from 1"))
    columns = _check_columns(entry, table, scales, problems)
    rows: dict[str, Any] = {
        key: _take_row(entry, key, problems) for key in ("units_row", "first_row", "last_row")
    }
    return SheetRule(
        **common, **rows, heading_rows=heading_rows,
        totals_rows=_take_rows(entry, "totals_rows", problems),
        data_rows=_take_rows(entry, "data_rows", problems),
        constants=_check_constants(entry, table, columns, problems), columns=columns,
    )  # fmt: skip


def _check_columns(
    entry: Node, table: str, scales: dict[str, ScoreScale], problems: Problems
) -> tuple[ColumnRule, ...]:
    node = entry.value.get("columns")
    if node is None or not isinstance(node.value, dict):
        if not entry.value.get("ask"):
            line = node.line if node else entry.line
            problems.append((line, "'columns' is a mapping of headings to what they hold"))
        return ()
    return tuple(
        check_column(heading, column, table, scales, problems)
        for heading, column in node.value.items()
    )


def _check_constants(
    entry: Node, table: str, columns: tuple[ColumnRule, ...], problems: Problems
) -> dict[str, str]:
    """Check a sheet's constants, and that nothing is filled twice."""
    filled = _check_filled_once(table, columns, problems)
    node = entry.value.get("constants")
    if node is None or node.value is None:
        return {}
    if not isinstance(node.value, dict):
        problems.append((node.line, "'constants' is a mapping of fields to values"))
        return {}
    constants: dict[str, str] = {}
    known = known_columns(table)
    for name, item in node.value.items():
        column = known.get(name)
        if column is None or name in ORIGIN_FIELDS:
            problems.append((item.line, f"unknown field {name!r}{suggest(name, known)}"))
        elif name in filled:
            message = f"{name!r} is filled by a constant and by the column {filled[name]!r}"
            problems.append((item.line, message))
        elif column.kind == "grade":
            message = f"{name!r} is a grade, which needs a column with its scale, and no constant"
            problems.append((item.line, message))
        else:
            _check_constant(column, item, problems)
            constants[name] = str(item.text)
    return constants


def _check_constant(column: Column, item: Node, problems: Problems) -> None:
    text, good = str(item.text), True
    if column.name == "species":
        good = parse_species(text).value == text
    elif column.kind == "code":
        good = text in column.codes
    elif column.kind in {"number", "grade", "count"}:
        good = parse_number(text).value is not None
    elif column.kind == "date":
        good = parse_date(text).outcome == "accepted"
    elif column.kind == "flag":
        good = text.casefold() in {"true", "false"}
    if not good or isinstance(item.value, dict | list):
        takes = ", ".join(column.codes) or {"flag": "true or false"}.get(column.kind, column.kind)
        takes = SCIENTIFIC_NAME if column.name == "species" else takes
        problems.append((item.line, f"{column.name!r} cannot be {text!r}; it takes {takes}"))


def _check_filled_once(
    table: str, columns: tuple[ColumnRule, ...], problems: Problems
) -> dict[str, str]:
    filled: dict[str, str] = {}
    for rule in columns:
        # An undecided column claims nothing yet.
        fields = () if rule.ask else rule.fields
        for field in fields:
            scaled = rule.scale is not None
            kind = find_kind(field, table=table, own_kind=rule.kind, has_scale=scaled)
            if kind is None or field in SHARED_FIELDS:
                continue
            names = [column.name for column in list_outputs(field, kind=kind, table=table)]
            if rule.part is not None:
                names = [f"{rule.part} of {field}"]
            for name in names:
                if name in filled:
                    message = f"{name!r} is filled by {filled[name]!r} and by {rule.heading!r}"
                    problems.append((rule.line or 1, message))
                filled[name] = rule.heading
    return filled
