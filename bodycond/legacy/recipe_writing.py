"""A recipe written out as YAML with its questions beside the columns."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence

from bodycond.legacy.recipe_keys import RECIPE_VERSION
from bodycond.legacy.recipe_rules import CodeValue, ColumnRule, SheetRule
from bodycond.scales import ScoreScale

_OPENING = """\
# Import recipe of bodycond: what each column of each sheet means.
#
# A column with 'ask:' is undecided: its cells are quarantined until you answer the question by
# filling in what is missing and deleting the 'ask:' line. A column that you do not want is
#     Heading: {set_aside: "why"}
# Keys of a column: field, unit, scale, date_order (dmy, mdy, ymd, serial), part (year, month, day),
# decimal (point, comma), codes {written: meaning, a measure in g or mm whatever the unit}, system
# (BBL, EURING, SITE), kind with low and high for a field of your own, prefixes,
# slash (of_scale, range), fill_down, ditto, set_aside, ask.
# Keys of a sheet: file, sheet (names, or patterns with *), table (exams, ratings, set_aside), why,
# heading_row, units_row, first_row, last_row, totals_rows, data_rows, constants, columns, ask.
"""


def quote_text(text: str) -> str:
    """Write a text as a double-quoted YAML scalar.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    str
        The scalar; letters that YAML cannot hold are escaped.

    Examples
    --------
    >>> quote_text('2"')
    '"2\\\\""'
    """
    plain = json.dumps(text, ensure_ascii=False)
    return "".join(letter if letter.isprintable() else f"\\U{ord(letter):08x}" for letter in plain)


def write_recipe_text(sheets: Sequence[SheetRule], scales: Mapping[str, ScoreScale]) -> str:
    """Write a recipe as YAML.

    Parameters
    ----------
    sheets : sequence of SheetRule
        The recipe's rules.
    scales : mapping of str to ScoreScale
        Its scales by name.

    Returns
    -------
    str
        Text from which `check_recipe_text` reads equal rules and scales.
    """
    lines = [*_OPENING.splitlines(), f"version: {RECIPE_VERSION}"]
    if scales:
        lines.append("scales:")
        for name, scale in scales.items():
            limits = f"{{low: {scale.low!r}, high: {scale.high!r}, step: {scale.step!r}}}"
            lines.append(f"  {quote_text(name)}: {limits}")
    lines.append("sheets:" if sheets else "sheets: []")
    for rule in sheets:
        lines += _write_sheet(rule)
    return "\n".join(lines) + "\n"


def _write_sheet(rule: SheetRule) -> list[str]:
    lines = [f"- file: {quote_text(rule.file)}", f"  sheet: {quote_text(rule.sheet)}"]
    lines.append(f"  table: {rule.table}")
    if rule.ask:
        lines += [f"  # QUESTION: {_tidy(rule.ask)}", f"  ask: {quote_text(rule.ask)}"]
    if rule.why:
        lines.append(f"  why: {quote_text(rule.why)}")
    if len(rule.heading_rows) == 1:
        lines.append(f"  heading_row: {rule.heading_rows[0]}")
    elif rule.heading_rows:
        lines.append(f"  heading_row: {list(rule.heading_rows)}")
    for name in ("units_row", "first_row", "last_row"):
        value = getattr(rule, name)
        if value is not None:
            lines.append(f"  {name}: {value}")
    for name in ("totals_rows", "data_rows"):
        if getattr(rule, name):
            lines.append(f"  {name}: {list(getattr(rule, name))}")
    if rule.constants:
        lines.append("  constants:")
        lines += [f"    {name}: {quote_text(value)}" for name, value in rule.constants.items()]
    if rule.columns:
        lines.append("  columns:")
        for column in rule.columns:
            lines += _write_column(column)
    return lines


def _write_column(column: ColumnRule) -> list[str]:
    lines = [f"    {quote_text(column.heading)}:"]
    if column.ask:
        lines.append(f"      # QUESTION: {_tidy(column.ask)}")
    if len(column.fields) == 1:
        lines.append(f"      field: {column.fields[0]}")
    elif column.fields:
        lines.append(f"      field: [{', '.join(column.fields)}]")
    for name in ("unit", "scale", "set_aside", "ask"):
        value = getattr(column, name)
        if value is not None:
            lines.append(f"      {name}: {quote_text(value)}")
    for name in ("date_order", "part", "decimal", "system", "kind", "slash"):
        value = getattr(column, name)
        if value is not None:
            lines.append(f"      {name}: {value}")
    for name in ("low", "high", "confidence"):
        value = getattr(column, name)
        if value is not None:
            lines.append(f"      {name}: {value!r}")
    if column.prefixes:
        written = ", ".join(quote_text(prefix) for prefix in column.prefixes)
        lines.append(f"      prefixes: [{written}]")
    if column.fill_down:
        lines.append("      fill_down: true")
    if not column.ditto:
        lines.append("      ditto: false")
    if column.codes:
        lines.append("      codes:")
        lines += [
            f"        {quote_text(raw)}: {_write_code(value)}"
            for raw, value in column.codes.items()
        ]
    if len(lines) == 1:
        lines[0] += " {}"
    return lines


def _write_code(value: CodeValue) -> str:
    if value is None:
        return "null"
    if isinstance(value, tuple):
        return f"[{value[0]!r}, {value[1]!r}]"
    return quote_text(value)


def _tidy(text: str) -> str:
    return " ".join(letter for letter in text.split() if letter.isprintable())
