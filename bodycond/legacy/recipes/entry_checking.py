"""What the columns and rows of one entry, and the entries of a recipe, must be to one another."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from bodycond.legacy.recipes.recipe_keys import Problems
from bodycond.legacy.recipes.recipe_rules import ColumnRule, SheetRule
from bodycond.legacy.recipes.sheet_areas import read_area
from bodycond.legacy.recipes.targets import SHARED_FIELDS, find_kind, list_outputs
from bodycond.legacy.recipes.yaml_nodes import Node

_ROW_KEYS = ("heading_row", "units_row", "first_row", "last_row", "totals_rows", "data_rows",
             "needs", "constants", "columns", "labels")  # fmt: skip
_PARTS = (
    ("year", "month", "day"), ("pounds", "ounces"), ("gross", "tare"), ("prefix", "suffix"),
    ("genus", "epithet"),
)  # fmt: skip


def check_unused_keys(entry: Node, table: str, problems: Problems) -> None:
    """Report keys that say nothing in an entry that is set aside or holds labels alone.

    Parameters
    ----------
    entry : Node
        The entry.
    table : {"labels", "set_aside"}
        What it is.
    problems : list of (int, str)
        Added to.
    """
    rest = ("set_aside_rest",) if table == "set_aside" else ()
    for key in (*_ROW_KEYS, *rest):
        node = entry.value.get(key)
        if node is not None and node.value is not None and key != table:
            problems.append((node.line, f"{key!r} says nothing in an entry of 'table: {table}'"))


def check_rows(rule: SheetRule, entry: Node, problems: Problems) -> None:
    """Check that the rows of an entry lie in its area and in an order that leaves rows of data.

    Parameters
    ----------
    rule : SheetRule
        The entry's rule.
    entry : Node
        The entry.
    problems : list of (int, str)
        Added to.
    """
    first, last = rule.first_row, rule.last_row
    if last is not None and last < max(first or 1, *rule.heading_rows, 1):
        message = f"'last_row' {last} lies above the headings or the first row of data"
        problems.append((entry.value["last_row"].line, message))
    area = read_area(rule.area or "") if not rule.starts_at else None
    if area is None:
        return
    rows = {"heading_row": rule.heading_rows, "totals_rows": rule.totals_rows,
            "data_rows": rule.data_rows}  # fmt: skip
    for key in ("units_row", "first_row", "last_row"):
        value = getattr(rule, key)
        rows[key] = () if value is None else (value,)
    for key, numbers in rows.items():
        for row in numbers:
            if row <= area.top or (area.bottom is not None and row > area.bottom):
                message = f"{key!r} {row} lies outside the area {rule.area}; rows count from the "
                problems.append((entry.value[key].line, message + "top of the sheet"))


def check_headings(columns: Sequence[ColumnRule], problems: Problems) -> None:
    """Check that no heading is two columns'.

    Parameters
    ----------
    columns : sequence of ColumnRule
        The columns, or the labels, of an entry.
    problems : list of (int, str)
        Added to.
    """
    owners: dict[str, str] = {}
    for rule in columns:
        for heading in dict.fromkeys((rule.heading, *rule.also)):
            if heading in owners:
                message = f"the heading {heading!r} is that of {owners[heading]!r} and of "
                problems.append((rule.line or 1, f"{message}{rule.heading!r}: give it to one"))
            owners[heading] = rule.heading


def check_parts(columns: Sequence[ColumnRule], problems: Problems) -> None:
    """Check that the parts of each field make it whole, and that nothing else fills it.

    Parameters
    ----------
    columns : sequence of ColumnRule
        Columns and labels of an entry.
    problems : list of (int, str)
        Added to.
    """
    parts: dict[tuple[Any, str], list[ColumnRule]] = {}
    for rule in columns:
        if rule.part is not None and rule.fields and not rule.ask:
            if len(rule.fields) > 1:
                problems.append((rule.line or 1, f"{rule.heading!r} is a part of one field alone"))
            parts.setdefault((rule.record, rule.fields[0]), []).append(rule)
    for (_, name), rules in parts.items():
        found = {rule.part for rule in rules}
        line = rules[0].line or 1
        family = next(family for family in _PARTS if rules[0].part in family)
        if not found <= set(family):
            listed = ", ".join(sorted(str(part) for part in found))
            problems.append((line, f"the parts {listed} make no {name!r} together"))
        elif family == _PARTS[0]:
            if "year" not in found and not any(rule.year for rule in rules):
                message = f"a date of parts needs a 'part: year', or 'year' for {name!r}"
                problems.append((line, message))
        elif found != set(family):
            absent = " and ".join(sorted(set(family) - found))
            problems.append((line, f"{name!r} has no column for its part {absent}"))


def check_label_records(
    labels: Sequence[ColumnRule], needs: Iterable[str], line: int, problems: Problems, *,
    has_columns: bool,
) -> None:  # fmt: skip
    """Check labels whose values go to many records: they make none, and no row needs them.

    Parameters
    ----------
    labels : sequence of ColumnRule
        The labels of an entry.
    needs : iterable of str
        Fields that a row needs.
    line : int
        Where these are named.
    problems : list of (int, str)
        Added to.
    has_columns : bool
        The entry has rows of data beside the labels.
    """
    if not has_columns:
        return
    for rule in labels:
        if rule.values or rule.into:
            message = f"the label {rule.heading!r} goes with every record: 'with' and 'into' "
            problems.append((rule.line or 1, message + "are for columns"))
    filled = {field for rule in labels for field in rule.fields}
    for field in needs:
        if field in filled:
            message = f"'needs' names {field!r}, which a label gives to every row alike"
            problems.append((line, message))


def set_rest_aside(rules: tuple[ColumnRule, ...], why: str | None) -> tuple[ColumnRule, ...]:
    """Set the columns or labels of an entry aside that are asked about and have no field.

    Parameters
    ----------
    rules : tuple of ColumnRule
        The columns or labels that the entry names.
    why : str, optional
        What the entry gives as ``set_aside_rest``. Default: they stay as they are.

    Returns
    -------
    tuple of ColumnRule
        The rules. A column that the entry does not name is no part of it: a heading that is new
        in a later file stays quarantined.

    Examples
    --------
    >>> rules = set_rest_aside((ColumnRule(heading="Clutch", ask="What is it?"),), "the nest")
    >>> rules[0].set_aside, rules[0].ask
    ('the nest', None)
    """
    if not why:
        return rules
    return tuple(
        replace(rule, ask=None, set_aside=why)
        if rule.ask and not (rule.fields or rule.split)
        else rule
        for rule in rules
    )


def list_filled(rule: ColumnRule, table: str) -> list[str]:
    """List the columns of a table that a column of a sheet fills.

    Parameters
    ----------
    rule : ColumnRule
        The column's rule.
    table : {"exams", "ratings"}
        The table.

    Returns
    -------
    list of str
        Names of columns; a field that several can fill is not among them.
    """
    names: list[str] = []
    for field in rule.fields:
        scaled = rule.scale is not None
        kind = find_kind(field, table=table, own_kind=rule.kind, has_scale=scaled)
        if kind is None or field in SHARED_FIELDS:
            continue
        outputs = [column.name for column in list_outputs(field, kind=kind, table=table)]
        names += [field] if rule.exact else outputs
    return names


def check_own_kinds(rules: Sequence[SheetRule], problems: Problems) -> None:
    """Check that a field of the recipe's own is of one kind in all entries.

    Parameters
    ----------
    rules : sequence of SheetRule
        The entries.
    problems : list of (int, str)
        Added to.
    """
    kinds: dict[tuple[str, str], tuple[str, int]] = {}
    for rule in rules:
        for column in (*rule.columns, *rule.labels):
            table = column.into or ("exams" if rule.table == "labels" else rule.table)
            if table == "set_aside" or column.ask:
                continue
            for field in column.fields:
                scaled = column.scale is not None
                kind = find_kind(field, table=table, own_kind=column.kind, has_scale=scaled)
                outputs = list_outputs(field, kind=kind, table=table) if kind else ()
                for output in outputs[:1] if column.exact else outputs:
                    said = (output.kind, column.line or 1)
                    before = kinds.setdefault((table, output.name), said)
                    if before[0] != said[0]:
                        message = f"{output.name!r} is a {said[0]} here and a {before[0]} in line "
                        problems.append((said[1], f"{message}{before[1]}; give it one kind"))
