"""The columns of one sheet's table read, each by its rule, into values and the account."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

import numpy as np
import numpy.typing as npt

from bodycond.columns import Column
from bodycond.legacy import notation
from bodycond.legacy.column_reading import ColumnReading, read_column, resolve_dittos
from bodycond.legacy.grids import name_column
from bodycond.legacy.ledger import SheetAccount
from bodycond.legacy.recipe import ImportRecipe
from bodycond.legacy.recipe_rules import ColumnRule, SheetRule
from bodycond.legacy.targets import find_kind, list_outputs

Objects = npt.NDArray[np.object_]


def read_columns(
    account: SheetAccount, rule: SheetRule, recipe: ImportRecipe,
    rules: list[ColumnRule | None], rows: npt.NDArray[np.intp],
) -> tuple[dict[str, Objects], dict[str, Column]]:  # fmt: skip
    """Read the columns that the recipe decides.

    Parameters
    ----------
    account : SheetAccount
        The sheet's account; outcomes, values and reasons are written into it.
    rule : SheetRule
        The sheet's rule.
    recipe : ImportRecipe
        The recipe, for its scales.
    rules : list of ColumnRule or None
        One a column of the sheet; None where the recipe does not name the column.
    rows : ndarray of int
        Rows of data, counted from 0.

    Returns
    -------
    values : dict of str to ndarray of object
        Values by column of the table, one a row of data; None where missing.
    columns : dict of str to Column
        The columns filled.
    """
    values: dict[str, Objects] = {}
    columns: dict[str, Column] = {}
    parts: dict[str, dict[str, int]] = {}
    for position, column_rule in enumerate(rules):
        if column_rule is None or column_rule.ask or not column_rule.fields:
            continue
        _describe_outputs(column_rule, rule.table, columns)
        if column_rule.part is not None:
            parts.setdefault(column_rule.fields[0], {})[column_rule.part] = position
            continue
        reading = _read_one(account, rule, recipe, column_rule, position, rows)
        for name, array in reading.outputs.items():
            values[name] = _join_texts(values.get(name), array) if name == "remarks" else array
        if "age_code" in column_rule.fields and column_rule.system:
            known = np.array([code is not None for code in values["age_code"]], dtype=bool)
            values["age_code_system"] = _put_where(known, column_rule.system)
        if reading.flags.any() and rule.table == "exams":
            columns["remarks"] = list_outputs("remarks", kind="text", table="exams")[0]
            said = _word_flags(reading, account.sheet.texts[rows, position], column_rule)
            values["remarks"] = _join_texts(values.get("remarks"), said)
    for field, where in parts.items():
        values |= _compose_dates(account, rule.table, field, where, rows)
    return values, columns


def _put_where(where: npt.NDArray[np.bool_], text: str) -> Objects:
    array = np.full(len(where), None, dtype=object)
    array[where] = text
    return array


def _describe_outputs(rule: ColumnRule, table: str, columns: dict[str, Column]) -> None:
    for field in rule.fields:
        kind = find_kind(field, table=table, own_kind=rule.kind, has_scale=rule.scale is not None)
        for column in list_outputs(field, kind=kind or "text", table=table):
            columns[column.name] = column


def _word_flags(reading: ColumnReading, texts: Objects, rule: ColumnRule) -> Objects:
    said = np.full(len(texts), None, dtype=object)
    for position in np.flatnonzero(reading.flags != ""):
        written = str(texts[position]).strip()
        said[position] = f"{rule.heading} {written!r}: {reading.flags[position]}"
    return said


def _join_texts(first: Objects | None, second: Objects) -> Objects:
    if first is None:
        return second
    joined = np.empty(len(second), dtype=object)
    joined[:] = [
        "; ".join(text for text in pair if text is not None) or None
        for pair in zip(first, second, strict=True)
    ]
    return joined


def _read_one(
    account: SheetAccount, rule: SheetRule, recipe: ImportRecipe, column_rule: ColumnRule,
    position: int, rows: npt.NDArray[np.intp],
) -> ColumnReading:  # fmt: skip
    sheet = account.sheet
    texts, kinds = sheet.texts[rows, position], sheet.kinds[rows, position].copy()
    # A cell that is settled already (struck through) gives no value.
    kinds[account.outcomes[rows, position] != ""] = " "
    letters = name_column(position + 1)
    places = [f"{letters}{row + 1}" for row in rows]
    texts, kinds, repeats = resolve_dittos(texts, kinds, rule=column_rule, places=places)
    reading = read_column(
        texts, kinds, rule=column_rule, scale=recipe.find_scale(column_rule.scale),
        table=rule.table,
    )  # fmt: skip
    outcomes, reasons = reading.outcomes.copy(), reading.reasons.copy()
    for place, above in repeats.items():
        if not above:
            outcomes[place], reasons[place] = "quarantined", "a ditto mark with nothing above it"
            for array in reading.outputs.values():
                array[place] = None
            continue
        outcomes[place] = "quarantined" if outcomes[place] == "quarantined" else "converted"
        said = f"a ditto mark: repeats {above}"
        reasons[place] = f"{said}; {reasons[place]}" if reasons[place] else said
    _write_account(account, position, rows, reading, outcomes, reasons)
    return reading


def _write_account(
    account: SheetAccount, position: int, rows: npt.NDArray[np.intp], reading: ColumnReading,
    outcomes: Objects, reasons: Objects,
) -> None:  # fmt: skip
    is_open = account.sheet.filled[rows, position] & (account.outcomes[rows, position] == "")
    where = rows[is_open]
    account.outcomes[where, position] = outcomes[is_open]
    account.reasons[where, position] = reasons[is_open]
    account.values[where, position] = reading.values[is_open]
    account.likely[where, position] = reading.likely[is_open]
    account.targets[where, position] = reading.target


def _compose_dates(
    account: SheetAccount, table: str, field: str, parts: Mapping[str, int],
    rows: npt.NDArray[np.intp],
) -> dict[str, Objects]:  # fmt: skip
    sheet = account.sheet
    blank = np.full(len(rows), "", dtype=object)
    # A cell that is settled already (struck through) gives no part.
    written = [
        np.where(account.outcomes[rows, parts[part]] == "", sheet.texts[rows, parts[part]], "")
        if part in parts
        else blank
        for part in ("year", "month", "day")
    ]
    cache: dict[tuple[str, str, str], notation.DateReading] = {}
    dates: list[dt.date | None] = []
    precisions: list[str | None] = []
    for place, key in enumerate(zip(*written, strict=True)):
        if key not in cache:
            cache[key] = notation.compose_date(*key)
        reading = cache[key]
        dates.append(reading.value)
        precisions.append(reading.precision)
        for position in parts.values():
            row = rows[place]
            if not sheet.filled[row, position] or account.outcomes[row, position]:
                continue
            made = reading.value is not None
            account.outcomes[row, position] = "converted" if made else reading.outcome
            account.reasons[row, position] = (
                "part of a date" if made else f"{reading.reason}: {reading.raw!r}"
            )
            account.values[row, position] = str(reading.value or "")
            account.targets[row, position] = f"{table}.{field}"
    values = {field: to_objects(dates)}
    if field == "exam_date":
        values["exam_date_precision"] = to_objects(precisions)
    return values


def to_objects(items: list[Any]) -> Objects:
    """Put values into an array of objects, whatever they are.

    Parameters
    ----------
    items : list
        The values.

    Returns
    -------
    ndarray of object
        Shape (len(items),).
    """
    array = np.empty(len(items), dtype=object)
    array[:] = items
    return array


def add_constants(
    values: dict[str, Objects], columns: dict[str, Column], rule: SheetRule, count: int
) -> None:
    """Add the fields that have one value in every row.

    Parameters
    ----------
    values : dict of str to ndarray of object
        Added to.
    columns : dict of str to Column
        Added to.
    rule : SheetRule
        The sheet's rule.
    count : int
        Number of rows.
    """
    for name, text in rule.constants.items():
        column = list_outputs(name, kind="text", table=rule.table)[0]
        columns[name] = column
        value: Any = text
        if column.kind in {"number", "grade", "count"}:
            value = notation.parse_number(text).value
        elif column.kind == "date":
            value = notation.parse_date(text).value
        elif column.kind == "flag":
            value = notation.parse_flag(text).value
        values[name] = np.full(count, value, dtype=object)
