"""Writes ``data_schema/``: the tables' columns for people and for machines, from one source.

Run ``python -m bodycond.exams.data_dictionary data_schema`` after any change to
`bodycond.columns`; a test fails while the folder is behind.
"""

from __future__ import annotations

import io
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pandas as pd

from bodycond.columns import EXAM_COLUMNS, RATING_COLUMNS, Column
from bodycond.errors import ArgumentError
from bodycond.exams.faults import RULES
from bodycond.exams.schema_descriptors import (
    TABLE_MEANINGS,
    describe_pandera_schema,
    describe_table_schema,
    is_unique,
)
from bodycond.exams.tables import KEEL_GRADES, describe_limits
from bodycond.scales import KEEL_SCALE
from bodycond.tables_on_disk import SCHEMA_VERSION, write_csv, write_json, write_text

TABLES: dict[str, tuple[Column, ...]] = {"exams": EXAM_COLUMNS, "ratings": RATING_COLUMNS}


def write_data_schema(folder: Path) -> tuple[Path, ...]:
    """Write the data dictionary and the machine-readable schemas.

    Parameters
    ----------
    folder : Path
        Where to write; made if need be. Equal columns give equal bytes on any system.

    Returns
    -------
    tuple of Path
        The files written: ``data_dictionary.md``, ``data_dictionary.csv``, and for exams and
        ratings ``*.tableschema.json`` (Frictionless Table Schema) and ``*.pandera.yaml``.
    """
    written = [folder / "data_dictionary.md", folder / "data_dictionary.csv"]
    write_text(written[0], write_dictionary_page())
    write_csv(list_dictionary_rows(), written[1])
    for name, columns in TABLES.items():
        table_schema, pandera_schema = (
            folder / f"{name}.tableschema.json",
            folder / f"{name}.pandera.yaml",
        )
        write_json(table_schema, describe_table_schema(columns, name=name))
        write_text(pandera_schema, _dump_yaml(describe_pandera_schema(columns, name=name)))
        written += [table_schema, pandera_schema]
    return tuple(written)


def list_dictionary_rows() -> pd.DataFrame:
    """List every column of every table, one row each.

    Returns
    -------
    DataFrame
        Columns ``table column kind dtype unit low high required unique codes meaning label``.
    """
    return pd.DataFrame(
        [
            {
                "table": table,
                "column": column.name,
                "kind": column.kind,
                "dtype": column.dtype,
                "unit": column.unit or "",
                "low": _write_limit(_find_limits(column)[0]),
                "high": _write_limit(_find_limits(column)[1]),
                "required": "yes" if column.required else "no",
                "unique": "yes" if is_unique(column, table=table) else "no",
                "codes": "; ".join(f"{code} = {words}" for code, words in column.codes.items()),
                "meaning": column.meaning,
                "label": column.label or column.name,
            }
            for table, columns in TABLES.items()
            for column in columns
        ]
    )


def _find_limits(column: Column) -> tuple[float | None, float | None]:
    if column.name in KEEL_GRADES:
        return KEEL_SCALE.low, KEEL_SCALE.high
    return column.low, column.high


def _write_limit(limit: float | None) -> str:
    return "" if limit is None else f"{limit:g}"


def _dump_yaml(content: dict[str, Any]) -> str:
    from ruamel.yaml import YAML

    yaml = YAML()
    yaml.default_flow_style = False
    yaml.width = 1000  # line breaks at a given width differ between versions
    stream = io.StringIO()
    yaml.dump(content, stream)
    return stream.getvalue()


def write_dictionary_page() -> str:
    """Write the data dictionary as a Markdown page.

    Returns
    -------
    str
        The page.
    """
    parts = [
        "# Data dictionary",
        f"Schema version {SCHEMA_VERSION}. Written by `python -m bodycond.exams.data_dictionary "
        "data_schema`; do not edit by hand.",
        "Limits are hard limits for any full-grown bird of prey: a value outside them is a "
        "mistake. What is unlikely for a species and sex is another matter, and is asked about "
        "by `check_exams`. An empty cell is a missing value. Columns that are not listed are "
        "allowed and left alone.",
    ]
    for name, columns in TABLES.items():
        parts += [f"## {name.capitalize()}", TABLE_MEANINGS[name], _write_column_table(columns)]
        parts += [
            f"### Codes of `{column.name}`\n\n"
            + "\n".join(f"- `{code}`: {words}" for code, words in column.codes.items())
            for column in columns
            if column.codes
        ]
    grades = "\n".join(f"- {grade:g}: {words}" for grade, words in KEEL_SCALE.grades.items())
    rules = "\n".join(f"| `{rule.name}` | {rule.severity} | {rule.meaning} |" for rule in RULES)
    parts += [
        "## The keel scale",
        f"{KEEL_SCALE.low:g} to {KEEL_SCALE.high:g} in steps of {KEEL_SCALE.step:g}.",
        grades,
        "In every row `keel_low <= keel <= keel_high`, and so for any other score kept in the "
        "pattern `x`, `x_low`, `x_high`. Such a score has a scale of its own.",
        "## What `check_exams` looks for",
        f"| rule | severity | finds |\n| --- | --- | --- |\n{rules}",
    ]
    return "\n\n".join(parts) + "\n"


def _write_column_table(columns: Sequence[Column]) -> str:
    lines = ["| column | kind | allowed | required | meaning |", "| --- | --- | --- | --- | --- |"]
    for column in columns:
        allowed = describe_limits(column) or ("codes below" if column.codes else "")
        if not allowed and column.unit:
            allowed = column.unit
        required = "yes" if column.required else ""
        lines.append(
            f"| `{column.name}` | {column.kind} | {allowed} | {required} | {column.meaning} |"
        )
    return "\n".join(lines)


def main(arguments: Sequence[str]) -> None:
    """Write the folder named on the command line.

    Parameters
    ----------
    arguments : sequence of str
        One folder.

    Raises
    ------
    ArgumentError
        If there is not exactly one.
    """
    if len(arguments) != 1:
        raise ArgumentError(
            needed="One folder to write the data schema to",
            found=f"{len(arguments)} arguments",
            then="Run python -m bodycond.exams.data_dictionary data_schema",
        )
    write_data_schema(Path(arguments[0]))


if __name__ == "__main__":
    main(sys.argv[1:])
