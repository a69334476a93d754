"""A recipe written out as YAML with its questions beside the columns."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence

from bodycond.legacy.recipes.recipe_keys import RECIPE_VERSION
from bodycond.legacy.recipes.recipe_rules import CodeValue, ColumnRule, SheetRule
from bodycond.scales import ScoreScale

_OPENING = """\
# Import recipe of bodycond: what each column of each sheet means.
#
# A column with 'ask:' is undecided: its cells are quarantined until you answer the question by
# filling in what is missing and deleting the 'ask:' line. A column that you do not want is
#     Heading: {set_aside: "why"}
# Keys of a column:
#   field            what it fills; unit, or unit_from (heading of the column that gives the unit)
#   scale            score scale by name; prefixes, slash (of_scale, range) for its notation
#   date_order       dmy, mdy, ymd, serial, serial_1904; year (2013, file, sheet) if cells lack it;
#                    short_years_to (1999, say, if two-digit years are of 1900 to 1999; else 2049)
#   part             year, month, day; pounds, ounces; gross, tare; prefix, suffix (of a ring);
#                    genus, epithet (of a species): each column has the field and its part
#   split            "{exam_date}, {mass_g}" for several values in a cell
#   codes            {written: meaning}, a measure in g or mm whatever the unit; null is no value
#   decimal (point, comma), system (BBL, EURING, SITE), digits (of a ring number)
#   kind, low, high  for a field of your own
#   also             other headings of the same column in other files
#   with, into       {scorer: S1}: the column makes a record of its own (into: ratings) in each row
#                    Two weighings in a row are two exams, whose ids end in .1 and .2 (a row's own
#                    exam_id stays for the first). Columns of equal 'with' make one exam, a column
#                    without goes into each; with needs: mass_g none is made without a mass:
#     Wt in: {field: mass_g, unit: g, with: {exam_reason: intake}}
#     Date in: {field: exam_date, with: {exam_reason: intake}}
#     Wt out: {field: mass_g, unit: g, with: {exam_reason: recheck, remarks: repeat weighing}}
#     Date out: {field: exam_date, with: {exam_reason: recheck, remarks: repeat weighing}}
#   exact            csv, cells: a column that bodycond wrote itself, read as it stands
#   fill_down, ditto, set_aside, ask
# Keys of a sheet: file, sheet (names, or patterns with *), table (exams, ratings, labels,
#   set_aside), why, heading_row, units_row, first_row, last_row, totals_rows, data_rows, needs
#   (a row without any of these fields is no exam), constants ({file} and {sheet} stand for names),
#   columns, ask, set_aside_rest ("why": each column of the entry that is asked about and has no
#   field). Several entries can describe parts of a sheet: area (A4:H20), or starts_at and
#   ends_before (texts that mark a block that moves; its rows count from the mark). labels: values
#   beside a word, with where (right, below, same); table: labels gives them to every record.
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
    if rule.area:
        lines.append(f"  area: {quote_text(rule.area)}")
    for name in ("starts_at", "ends_before"):
        if getattr(rule, name):
            lines.append(f"  {name}: {_write_texts(getattr(rule, name))}")
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
    if rule.needs:
        lines.append(f"  needs: [{', '.join(map(_write_word, rule.needs))}]")
    if rule.constants:
        lines.append("  constants:")
        lines += [f"    {name}: {quote_text(value)}" for name, value in rule.constants.items()]
    for name in ("labels", "columns"):
        if getattr(rule, name):
            lines.append(f"  {name}:")
            for column in getattr(rule, name):
                lines += _write_column(column)
    return lines


def _write_texts(texts: Sequence[str]) -> str:
    return f"[{', '.join(quote_text(text) for text in texts)}]"


def _write_word(word: str) -> str:
    """Write a field's name, in quotation marks only where YAML would read no word."""
    return quote_text(word) if word.casefold() in {"null", "true", "false"} else word


def _write_column(column: ColumnRule) -> list[str]:
    lines = [f"    {quote_text(column.heading)}:"]
    if column.ask:
        lines.append(f"      # QUESTION: {_tidy(column.ask)}")
    if column.split:
        lines.append(f"      split: {_write_texts(column.split)}")
    elif len(column.fields) == 1:
        lines.append(f"      field: {_write_word(column.fields[0])}")
    elif column.fields:
        lines.append(f"      field: [{', '.join(map(_write_word, column.fields))}]")
    for name in ("unit", "unit_from", "scale", "set_aside", "ask", "evidence"):
        value = getattr(column, name)
        if value is not None:
            lines.append(f"      {name}: {quote_text(value)}")
    words = ("date_order", "year", "part", "decimal", "system", "kind", "slash", "into", "where",
             "digits", "short_years_to", "exact")  # fmt: skip
    for name in words:
        value = getattr(column, name)
        if value is not None:
            lines.append(f"      {name}: {value}")
    for name in ("low", "high", "confidence"):
        value = getattr(column, name)
        if value is not None:
            lines.append(f"      {name}: {value!r}")
    for name in ("prefixes", "also"):
        if getattr(column, name):
            lines.append(f"      {name}: {_write_texts(getattr(column, name))}")
    if column.fill_down:
        lines.append("      fill_down: true")
    if not column.ditto:
        lines.append("      ditto: false")
    for name, mapping in (("with", column.values), ("codes", column.codes)):
        if mapping:
            lines.append(f"      {name}:")
            lines += [
                f"        {quote_text(raw)}: {_write_code(value)}" for raw, value in mapping.items()
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
