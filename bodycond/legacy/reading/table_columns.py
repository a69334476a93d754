"""The columns of one table read, each by its rule, into values and the account."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from bodycond.columns import Column
from bodycond.legacy import notation
from bodycond.legacy.headings.heading_units import read_shown_unit, read_unit
from bodycond.legacy.reading.block_accounts import BlockAccount, Mask, Objects
from bodycond.legacy.reading.cell_columns import CellColumn
from bodycond.legacy.reading.cell_readers import IDENTIFIERS
from bodycond.legacy.reading.column_reading import ColumnReading, read_column
from bodycond.legacy.reading.ditto_marks import read_beside, read_repeated
from bodycond.legacy.reading.exact_columns import read_exact_column
from bodycond.legacy.reading.part_composing import compose_parts
from bodycond.legacy.recipes.recipe import ImportRecipe
from bodycond.legacy.recipes.recipe_rules import ColumnRule
from bodycond.legacy.recipes.targets import find_kind, list_outputs
from bodycond.units import MILLIMETRES_PER_UNIT

Record = tuple[str | None, tuple[tuple[str, str], ...]]
"""Table and fields that the headings give; ``(None, ())`` is what all records of a row share."""

SHARED: Record = (None, ())


@dataclass(frozen=True, kw_only=True, eq=False)
class RecordValues:
    """What the columns of one record gave.

    Parameters
    ----------
    table : {"exams", "ratings"}
        The table of the record.
    values : dict of str to ndarray of object
        Values by column of the table, one a row of data; None where missing.
    columns : dict of str to Column
        The columns filled.
    sources : list of CellColumn
        The cells that they come from.
    """

    table: str
    values: dict[str, Objects] = field(default_factory=dict)
    columns: dict[str, Column] = field(default_factory=dict)
    sources: list[CellColumn] = field(default_factory=list)


def read_columns(
    block: BlockAccount, columns: Sequence[CellColumn], recipe: ImportRecipe, *, table: str,
    siblings: Mapping[str, CellColumn] | None = None,
) -> dict[Record, RecordValues]:  # fmt: skip
    """Read the columns that the recipe decides.

    Parameters
    ----------
    block : BlockAccount
        The block; outcomes, values and reasons are written into its account.
    columns : sequence of CellColumn
        The columns with a field; each has one cell a record of the sheet.
    recipe : ImportRecipe
        The recipe, for its scales.
    table : {"exams", "ratings"}
        The sheet's table.
    siblings : mapping of str to CellColumn, optional
        All columns by heading, for those that give the unit of another.

    Returns
    -------
    dict of Record to RecordValues
        What the row's own columns gave under `SHARED`, and each record that headings name.
    """
    records: dict[Record, RecordValues] = {SHARED: RecordValues(table=table)}
    parts: dict[tuple[Record, str], dict[str, CellColumn]] = {}
    for column in columns:
        rule = column.rule
        record = records.setdefault(rule.record, RecordValues(table=rule.into or table))
        record.sources.append(column)
        _describe_outputs(rule, record.table, record.columns)
        if rule.part is not None:
            parts.setdefault((rule.record, rule.fields[0]), {})[rule.part] = column
            continue
        _read_into(record, block, column, recipe, siblings or {})
    for (name, target), where in parts.items():
        record = records[name]
        record.values.update(compose_parts(block, record.table, target, where))
    return records


def _read_into(
    record: RecordValues, block: BlockAccount, column: CellColumn, recipe: ImportRecipe,
    siblings: Mapping[str, CellColumn],
) -> None:  # fmt: skip
    rule, values = column.rule, record.values
    reading = _read_one(block, column, recipe, record.table, siblings)
    for name, array in reading.outputs.items():
        values[name] = join_texts(values.get(name), array) if name == "remarks" else array
    if "age_code" in rule.fields and rule.system:
        known = np.array([code is not None for code in values["age_code"]], dtype=bool)
        systems = np.full(len(known), None, dtype=object)
        systems[known] = rule.system
        values["age_code_system"] = systems
    if reading.flags.any() and record.table == "exams":
        record.columns["remarks"] = list_outputs("remarks", kind="text", table="exams")[0]
        said = _word_flags(reading, block.sheet.texts[column.place], rule)
        values["remarks"] = join_texts(values.get("remarks"), said)


def _describe_outputs(rule: ColumnRule, table: str, columns: dict[str, Column]) -> None:
    for name in rule.fields:
        kind = find_kind(name, table=table, own_kind=rule.kind, has_scale=rule.scale is not None)
        outputs = list_outputs(name, kind=kind or "text", table=table)
        for column in outputs[:1] if rule.exact else outputs:
            columns[column.name] = column


def _word_flags(reading: ColumnReading, texts: Objects, rule: ColumnRule) -> Objects:
    said = np.full(len(texts), None, dtype=object)
    for position in np.flatnonzero(reading.flags != ""):
        written = str(texts[position]).strip()
        said[position] = f"{rule.heading} {written!r}: {reading.flags[position]}"
    return said


def join_texts(first: Objects | None, second: Objects) -> Objects:
    """Join two columns of texts.

    Parameters
    ----------
    first, second : ndarray of object
        Texts; None where missing. Where the first is absent, the second is given.

    Returns
    -------
    ndarray of object
        Both with a semicolon between them; None where both are missing.
    """
    if first is None:
        return second
    joined = np.empty(len(second), dtype=object)
    joined[:] = [
        "; ".join(text for text in pair if text is not None) or None
        for pair in zip(first, second, strict=True)
    ]
    return joined


def _read_one(
    block: BlockAccount, column: CellColumn, recipe: ImportRecipe, table: str,
    siblings: Mapping[str, CellColumn],
) -> ColumnReading:  # fmt: skip
    rule = column.rule
    names_bird = bool(set(rule.fields) & IDENTIFIERS)
    has_unit = rule.unit_from is None and not rule.exact and _is_measure(rule, table)
    shown = column.find_shown(block) if names_bird or has_unit else {}
    units_shown = _find_units_shown(shown) if has_unit else {}
    read_as_shown = shown if names_bird else {}
    texts, kinds, repeats = read_repeated(block, column, shown=read_as_shown)
    scale = recipe.find_scale(rule.scale)
    if rule.exact:
        reading = read_exact_column(
            texts, kinds, field=rule.fields[0], form=rule.exact, table=table
        )
    elif units_shown:
        units = np.full(len(texts), rule.unit, dtype=object)
        units[list(units_shown)] = list(units_shown.values())
        reading = _read_by_unit(texts, kinds, units, rule=rule, table=table)
    elif rule.unit_from is None:
        reading = read_column(texts, kinds, rule=rule, scale=scale, table=table)
    else:
        units = _find_units(block, rule, siblings, len(texts))
        reading = _read_by_unit(texts, kinds, units, rule=rule, table=table)
    outcomes, reasons = reading.outcomes.copy(), reading.reasons.copy()
    for place in read_as_shown or units_shown:
        said = f"the sheet shows it as {shown[place]!r}"
        if outcomes[place] == "accepted":
            outcomes[place], reasons[place] = "converted", said
        elif place in units_shown:
            reasons[place] = f"{said}; {reasons[place]}" if reasons[place] else said
    for place, above in repeats.items():
        if not above:
            outcomes[place], reasons[place] = "quarantined", "a ditto mark with nothing above it"
            reading.values[place] = ""
            for array in reading.outputs.values():
                array[place] = None
            continue
        outcomes[place] = "quarantined" if outcomes[place] == "quarantined" else "converted"
        said = f"a ditto mark: repeats {above}"
        reasons[place] = f"{said}; {reasons[place]}" if reasons[place] else said
    column.write(
        block, column.find_open(block), outcomes=outcomes, reasons=reasons, values=reading.values,
        likely=reading.likely, target=reading.target,
    )  # fmt: skip
    return reading


def _is_measure(rule: ColumnRule, table: str) -> bool:
    kinds = {find_kind(field, table=table, own_kind=rule.kind, has_scale=False)
             for field in rule.fields}  # fmt: skip
    return bool(kinds) and kinds <= {"mass", "length"}


def _find_units_shown(shown: Mapping[int, str]) -> dict[int, str]:
    """Give the unit that a cell's format writes beside its number, by record."""
    units = {place: read_shown_unit(text) for place, text in shown.items()}
    return {place: unit for place, unit in units.items() if unit is not None}


def _find_units(
    block: BlockAccount, rule: ColumnRule, siblings: Mapping[str, CellColumn], count: int
) -> Objects:
    """Give the unit of each cell from the column beside it; None where that names none."""
    units = np.full(count, None, dtype=object)
    sibling = siblings.get(rule.unit_from or "")
    if sibling is not None:
        texts, kinds = read_beside(block, sibling)
        units[:] = [read_unit(str(text)) if kind != " " else None
                    for text, kind in zip(texts, kinds, strict=True)]  # fmt: skip
    return units


def _read_by_unit(
    texts: Objects, kinds: Any, units: Objects, *, rule: ColumnRule, table: str
) -> ColumnReading:
    kinds_of = {find_kind(field, table=table, own_kind=rule.kind, has_scale=False)
                for field in rule.fields}  # fmt: skip
    fitting = notation.MASS_UNITS if "mass" in kinds_of else tuple(MILLIMETRES_PER_UNIT)
    read: list[tuple[Mask, ColumnReading]] = []
    for unit in sorted({str(unit) for unit in units}):
        where = np.array([str(each) == unit for each in units], dtype=bool)
        one = replace(rule, unit=unit if unit in fitting else None)
        read.append((where, read_column(texts[where], kinds[where], rule=one, scale=None,
                                        table=table)))  # fmt: skip
    names = {name for _, part in read for name in part.outputs}
    return ColumnReading(
        **{name: _scatter([(where, getattr(part, name)) for where, part in read])
           for name in ("outcomes", "values", "reasons", "likely", "flags")},
        target=read[0][1].target if read else f"{table}.{rule.fields[0]}",
        outputs={name: _scatter([(where, part.outputs[name]) for where, part in read])
                 for name in names},
    )  # fmt: skip


def _scatter(parts: list[tuple[Mask, Objects]]) -> Objects:
    whole = np.full(len(parts[0][0]) if parts else 0, None, dtype=object)
    for where, array in parts:
        whole[where] = array
    return whole


def type_constant(name: str, text: str, *, table: str) -> tuple[Column, Any]:
    """Give a constant of a recipe as a value of its column's kind.

    Parameters
    ----------
    name : str
        The field.
    text : str
        What the recipe says.
    table : {"exams", "ratings"}
        The table.

    Returns
    -------
    tuple of (Column, object)
        The column, and the value.
    """
    column = list_outputs(name, kind="text", table=table)[0]
    value: Any = text
    if column.kind in {"number", "grade", "count"}:
        value = notation.parse_number(text).value
    elif column.kind == "date":
        value = notation.parse_date(text).value
    elif column.kind == "flag":
        value = notation.parse_flag(text).value
    return column, value
