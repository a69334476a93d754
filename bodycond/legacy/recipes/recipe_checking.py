"""A recipe's text checked key by key, every fault gathered with its line."""

from __future__ import annotations

from typing import Any

from bodycond.errors import ScaleError
from bodycond.legacy.recipes.column_checking import check_column
from bodycond.legacy.recipes.constant_checking import check_constant
from bodycond.legacy.recipes.entry_checking import (
    check_headings,
    check_label_records,
    check_own_kinds,
    check_parts,
    check_rows,
    check_unused_keys,
    list_filled,
    set_rest_aside,
)
from bodycond.legacy.recipes.recipe_keys import (
    RECIPE_VERSION,
    Problems,
    check_keys,
    take_constants,
    take_number,
    take_row,
    take_rows,
    take_text,
    take_texts,
)
from bodycond.legacy.recipes.recipe_rules import ColumnRule, SheetRule
from bodycond.legacy.recipes.sheet_areas import read_area
from bodycond.legacy.recipes.yaml_nodes import Node, read_nodes
from bodycond.scales import KEEL_SCALE, ScoreScale

_TOP_KEYS = ("version", "scales", "sheets")
_SCALE_KEYS = ("low", "high", "step")
_SHEET_KEYS = (
    "file", "sheet", "table", "why", "area", "starts_at", "ends_before", "heading_row",
    "units_row", "first_row", "last_row", "totals_rows", "data_rows", "needs", "constants",
    "columns", "labels", "ask", "set_aside_rest",
)  # fmt: skip
_ENTRY_TABLES = ("exams", "ratings", "labels", "set_aside")


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
    if version is None or type(version.value) is not int or version.value != RECIPE_VERSION:
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
    check_own_kinds(rules, problems)
    return tuple(rules)


def _check_sheet(entry: Node, scales: dict[str, ScoreScale], problems: Problems) -> SheetRule:
    check_keys(entry, _SHEET_KEYS, problems, what="a sheet")
    table = take_text(entry, "table", problems) or "exams"
    if table not in _ENTRY_TABLES:
        line = entry.value["table"].line
        known = ", ".join(_ENTRY_TABLES[:-1])
        problems.append((line, f"'table' is {known} or {_ENTRY_TABLES[-1]}, not {table!r}"))
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
        "area": _take_area(entry, problems),
        "starts_at": take_texts(entry, "starts_at", problems),
        "ends_before": take_texts(entry, "ends_before", problems),
    }
    if table == "set_aside":
        if not common["why"]:
            problems.append((entry.line, "a sheet that is set aside needs 'why'"))
        check_unused_keys(entry, table, problems)
        return SheetRule(**common)
    rest = take_text(entry, "set_aside_rest", problems)
    labels = set_rest_aside(_check_labels(entry, table, scales, problems), rest)
    if table == "labels":
        if not labels:
            problems.append((entry.line, "'table: labels' needs 'labels'"))
        check_unused_keys(entry, table, problems)
        check_label_records(labels, (), entry.line, problems, has_columns=True)
        _check_filled_once("exams", labels, problems)
        check_parts(labels, problems)
        return SheetRule(**common, labels=labels)
    return _check_table(entry, common, labels, scales, problems)


def _check_table(
    entry: Node, common: dict[str, Any], labels: tuple[ColumnRule, ...],
    scales: dict[str, ScoreScale], problems: Problems,
) -> SheetRule:  # fmt: skip
    table, rest = common["table"], take_text(entry, "set_aside_rest", problems)
    heading_rows = take_rows(entry, "heading_row", problems)
    columns: tuple[ColumnRule, ...] = ()
    if heading_rows or not labels:
        if not heading_rows and not common["ask"]:
            problems.append((entry.line, "a sheet needs 'heading_row', counted from 1"))
        columns = _check_columns(entry, table, scales, problems)
        columns = set_rest_aside(columns, rest)
    elif entry.value.get("columns") is not None:
        problems.append((entry.value["columns"].line, "'columns' need a 'heading_row'"))
    rows: dict[str, Any] = {
        key: take_row(entry, key, problems) for key in ("units_row", "first_row", "last_row")
    }
    rule = SheetRule(
        **common, **rows, heading_rows=heading_rows,
        totals_rows=take_rows(entry, "totals_rows", problems),
        data_rows=take_rows(entry, "data_rows", problems),
        needs=_check_needs(entry, (*columns, *labels), problems),
        constants=_check_constants(entry, table, (*columns, *labels), problems), columns=columns,
        labels=labels,
    )  # fmt: skip
    check_rows(rule, entry, problems)
    check_parts((*columns, *labels), problems)
    line = entry.value["needs"].line if rule.needs else entry.line
    check_label_records(labels, rule.needs, line, problems, has_columns=bool(heading_rows))
    return rule


def _take_area(entry: Node, problems: Problems) -> str | None:
    area = take_text(entry, "area", problems)
    if area is not None and read_area(area) is None:
        line = entry.value["area"].line
        problems.append((line, f"'area' is like A4:H20, A:H or 4:20, not {area!r}"))
        return None
    return area


def _check_needs(
    entry: Node, columns: tuple[ColumnRule, ...], problems: Problems
) -> tuple[str, ...]:
    needs = take_texts(entry, "needs", problems)
    filled = {field for column in columns for field in column.fields}
    for field in needs:
        if field not in filled:
            line = entry.value["needs"].line
            problems.append((line, f"'needs' names {field!r}, which no column fills"))
    return needs


def _check_columns(
    entry: Node, table: str, scales: dict[str, ScoreScale], problems: Problems
) -> tuple[ColumnRule, ...]:
    node = entry.value.get("columns")
    if node is None or not isinstance(node.value, dict):
        if not entry.value.get("ask"):
            line = node.line if node else entry.line
            problems.append((line, "'columns' is a mapping of headings to what they hold"))
        return ()
    rules = tuple(
        check_column(heading, column, table, scales, problems)
        for heading, column in node.value.items()
    )
    check_headings(rules, problems)
    known = {heading for rule in rules for heading in (rule.heading, *rule.also)}
    for rule in rules:
        if rule.unit_from is not None and rule.unit_from not in known:
            message = f"'unit_from' names {rule.unit_from!r}, no column of the recipe"
            problems.append((rule.line or 1, message))
    return rules


def _check_labels(
    entry: Node, table: str, scales: dict[str, ScoreScale], problems: Problems
) -> tuple[ColumnRule, ...]:
    node = entry.value.get("labels")
    if node is None or node.value is None:
        return ()
    if not isinstance(node.value, dict):
        problems.append((node.line, "'labels' is a mapping of labels to what stands beside them"))
        return ()
    target = "exams" if table == "labels" else table
    rules = tuple(
        check_column(label, item, target, scales, problems, is_label=True)
        for label, item in node.value.items()
    )
    check_headings(rules, problems)
    return rules


def _check_constants(
    entry: Node, table: str, columns: tuple[ColumnRule, ...], problems: Problems
) -> dict[str, str]:
    """Check a sheet's constants, and that nothing is filled twice."""
    filled = _check_filled_once(table, columns, problems)
    constants: dict[str, str] = {}
    for name, item in take_constants(entry, "constants", problems).items():
        if name in filled:
            message = f"{name!r} is filled by a constant and by the column {filled[name]!r}"
            problems.append((item.line, message))
        elif check_constant(name, item, table, problems):
            constants[name] = str(item.text)
    return constants


def _check_filled_once(
    table: str, columns: tuple[ColumnRule, ...], problems: Problems
) -> dict[str, str]:
    """Find what fills each column of the table; the record that a heading names is its own."""
    filled: dict[tuple[Any, str], str] = {}
    parts: dict[tuple[Any, str], set[str]] = {}
    for rule in columns:
        # An undecided column claims nothing yet.
        for name in () if rule.ask else list_filled(rule, rule.into or table):
            for record in {rule.record, (None, ())}:
                taken = parts.get((record, name), set())
                # The other parts of a value fill the same column with this one.
                if (record, name) in filled and (not taken or rule.part in {None, *taken}):
                    other = filled[record, name]
                    message = f"{name!r} is filled by {other!r} and by {rule.heading!r}"
                    problems.append((rule.line or 1, message))
            filled[rule.record, name] = rule.heading
            if rule.part is not None:
                parts.setdefault((rule.record, name), set()).add(rule.part)
        for name in () if rule.ask else rule.values:
            # Columns of one record agree on these; a column of the row's own would not.
            if ((None, ()), name) in filled:
                other = filled[(None, ()), name]
                message = f"{name!r} is filled by {other!r} and by {rule.heading!r}"
                problems.append((rule.line or 1, message))
            filled.setdefault((rule.record, name), rule.heading)
    return {name: heading for (_, name), heading in filled.items()}
