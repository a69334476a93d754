"""The tables described for machines: Frictionless Table Schema, and pandera's YAML form."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from bodycond.columns import Column
from bodycond.exams.tables import KEEL_GRADES, UNIQUE_COLUMNS, describe_limits
from bodycond.scales import KEEL_SCALE
from bodycond.tables_on_disk import SCHEMA_VERSION

TABLE_MEANINGS: dict[str, str] = {
    "exams": "One row an exam: one handling of one bird.",
    "ratings": "One row a rating: one scorer's grade in one exam.",
}

# Types of the Frictionless Table Schema standard for each kind of column.
FIELD_TYPES: dict[str, str] = {
    "text": "string",
    "code": "string",
    "number": "number",
    "grade": "number",
    "count": "integer",
    "date": "date",
    "flag": "boolean",
}


def is_unique(column: Column, *, table: str) -> bool:
    """Tell whether a column's values occur once each.

    Parameters
    ----------
    column : Column
        The column.
    table : {"exams", "ratings"}
        The table that it is in.

    Returns
    -------
    bool
        True for ``exam_id`` of the exams.
    """
    return table == "exams" and column.name in UNIQUE_COLUMNS


def describe_table_schema(columns: Sequence[Column], *, name: str) -> dict[str, Any]:
    """Describe a table by the Frictionless Table Schema standard.

    Parameters
    ----------
    columns : sequence of Column
        The table's columns.
    name : {"exams", "ratings"}
        Its name.

    Returns
    -------
    dict
        The descriptor. ``unit``, ``codes`` and ``bodycondKind`` are properties of our own,
        which the standard allows.
    """
    descriptor: dict[str, Any] = {
        "name": f"bodycond-{name}",
        "title": f"bodycond {name}",
        "description": TABLE_MEANINGS[name],
        "version": SCHEMA_VERSION,
        "missingValues": [""],
        "fields": [_describe_field(column, table=name) for column in columns],
    }
    if name == "exams":
        descriptor["primaryKey"] = ["exam_id"]
    return descriptor


def _describe_field(column: Column, *, table: str) -> dict[str, Any]:
    field: dict[str, Any] = {
        "name": column.name,
        "type": FIELD_TYPES[column.kind],
        "title": column.label or column.name,
        "description": column.meaning,
        "bodycondKind": column.kind,
    }
    if column.kind == "date":
        field["format"] = "%Y-%m-%d"
    if column.kind == "flag":
        field |= {"trueValues": ["True", "true", "1"], "falseValues": ["False", "false", "0"]}
    if column.unit:
        field["unit"] = column.unit
    if column.codes:
        field["codes"] = dict(column.codes)
    constraints = _describe_constraints(column, table=table)
    if constraints:
        field["constraints"] = constraints
    return field


def _describe_constraints(column: Column, *, table: str) -> dict[str, Any]:
    constraints: dict[str, Any] = {}
    if column.required:
        constraints["required"] = True
    if is_unique(column, table=table):
        constraints["unique"] = True
    if column.codes:
        constraints["enum"] = list(column.codes)
    elif column.name in KEEL_GRADES:
        constraints["enum"] = [float(grade) for grade in KEEL_SCALE.values]
    else:
        if column.low is not None:
            constraints["minimum"] = int(column.low) if column.kind == "count" else column.low
        if column.high is not None:
            constraints["maximum"] = column.high
    return constraints


def describe_pandera_schema(columns: Sequence[Column], *, name: str) -> dict[str, Any]:
    """Describe a table in the form that ``pandera.pandas.DataFrameSchema.from_yaml`` reads.

    It is written from the columns and not by pandera's ``to_yaml``, which needs an extra
    package and names other dtypes than the ones asked for. Rules over several columns cannot
    be told in this form; `build_exam_schema` has them.

    Parameters
    ----------
    columns : sequence of Column
        The table's columns.
    name : {"exams", "ratings"}
        Its name.

    Returns
    -------
    dict
        The descriptor.
    """
    return {
        "schema_type": "dataframe",
        "api": "pandas",
        "name": name,
        "strict": False,
        "coerce": False,
        "columns": {column.name: _describe_component(column, table=name) for column in columns},
    }


def _describe_component(column: Column, *, table: str) -> dict[str, Any]:
    return {
        "title": column.label,
        "description": column.meaning,
        "dtype": column.dtype,
        "nullable": not column.required,
        "unique": is_unique(column, table=table),
        # Checks by name under one key: the form that old and new versions of pandera read.
        "checks": _describe_checks(column) or None,
    }


def _describe_checks(column: Column) -> dict[str, Any]:
    limits = describe_limits(column)
    checks: dict[str, Any] = {}
    if column.name in KEEL_GRADES:
        grades = [float(grade) for grade in KEEL_SCALE.values]
        checks["isin"] = {"allowed_values": grades, "error": f"off_scale: {limits}"}
    elif column.low is not None and column.high is not None:
        checks["in_range"] = {
            "min_value": column.low,
            "max_value": column.high,
            "error": f"outside_hard_range: {limits}",
        }
    elif column.low is not None:
        checks["greater_than_or_equal_to"] = {
            "min_value": column.low,
            "error": f"outside_hard_range: {limits}",
        }
    if column.codes:
        error = f"unknown_code: {', '.join(column.codes)}"
        checks["isin"] = {"allowed_values": list(column.codes), "error": error}
    if column.required and column.dtype == "str":
        checks["str_length"] = {"min_value": 1, "error": "missing_required: not empty"}
    return checks
