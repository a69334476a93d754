"""A first recipe from the files alone: what is certain is filled in, the rest is asked."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path

import numpy as np

from bodycond.errors import ArgumentError, UnreadableFileError, name_first_few
from bodycond.legacy.column_drafting import draft_column
from bodycond.legacy.headings import CERTAIN, HeadingMatch, match_heading, read_unit
from bodycond.legacy.layout import (
    TableLayout,
    find_other_headings,
    find_table,
    name_headings,
    sort_rows,
)
from bodycond.legacy.notation import fold_text
from bodycond.legacy.recipe import ImportRecipe
from bodycond.legacy.recipe_rules import ColumnRule, SheetRule
from bodycond.legacy.sheets import Sheet
from bodycond.legacy.source_files import describe_all_unreadable, label_files, read_sheets
from bodycond.legacy.targets import SHARED_FIELDS, known_columns

_DATE_PARTS: dict[str, tuple[str, ...]] = {
    "year": ("year", "jahr", "annee", "ano", "jaar"),
    "month": ("month", "monat", "mois", "mes", "maand"),
    "day": ("day", "tag", "jour", "dia", "dag"),
}
_RING_PARTS = frozenset(
    {"prefix", "suffix", "prefixe", "suffixe", "prafix", "praefix", "prefijo", "sufijo"}
)
_MEASURED = frozenset({"mass_g", "wing_mm", "tarsus_mm", "culmen_mm", "hallux_mm", "tail_mm"})


def draft_recipe(
    paths: str | Path | Iterable[str | Path],
    *,
    progress: Callable[[str], None] | None = None,
) -> ImportRecipe:
    """Draft a recipe from headings and contents.

    A column is filled in where its heading means one field, its unit, scale or order of dates
    is stated or left no doubt by its cells, and nine in ten of its cells can be read; any other
    column carries a question and is quarantined by the import until the question is answered.

    Parameters
    ----------
    paths : str, Path or iterable of these
        The files.
    progress : callable, optional
        Called with each file's label before it is read.

    Returns
    -------
    ImportRecipe
        The draft; its ``questions`` say what is open, its ``fields`` how sure the rest is.

    Raises
    ------
    ArgumentError
        If no file is given.
    UnreadableFileError
        If no file can be read; a file beside others that can is asked about.
    """
    labels = label_files([paths] if isinstance(paths, str | Path) else paths)
    if not labels:
        raise ArgumentError(
            needed="A draft needs at least one file",
            found="no path",
            then="Name the files to read",
        )
    rules: list[SheetRule] = []
    problems: list[UnreadableFileError] = []
    for path, label in labels.items():
        if progress is not None:
            progress(label)
        try:
            rules += [draft_sheet(sheet) for sheet in read_sheets(path, label=label)]
        except UnreadableFileError as error:
            problems.append(error)
            ask = f"The file could not be read ({error.found}). {error.then}."
            rules.append(SheetRule(file=label, ask=ask))
    if len(problems) == len(labels):
        raise describe_all_unreadable(problems)
    return ImportRecipe(sheets=tuple(rules))


def draft_sheet(sheet: Sheet) -> SheetRule:
    """Draft the rule of one sheet.

    Parameters
    ----------
    sheet : Sheet
        The sheet.

    Returns
    -------
    SheetRule
        With a question where no table was found.
    """
    if not sheet.filled.any():
        why = "nothing is written on it"
        return SheetRule(file=sheet.file, sheet=sheet.name, table="set_aside", why=why)
    layout = find_table(sheet)
    if layout is None:
        ask = (
            "No row of headings was recognised. Is there a table of exams? Then write its "
            "heading_row and columns; otherwise table: set_aside with why."
        )
        return SheetRule(file=sheet.file, sheet=sheet.name, ask=ask)
    headings = name_headings(sheet, (layout.heading_row,))
    matches = [match_heading(heading) for heading in headings]
    table = _choose_table({match.field for match in matches})
    rule = SheetRule(
        file=sheet.file, sheet=sheet.name, table=table, heading_rows=(layout.heading_row,),
        units_row=layout.units_row,
    )  # fmt: skip
    rows = np.flatnonzero(sort_rows(sheet, rule) == "")
    columns = _draft_columns(sheet, layout, headings, matches, table=table, rows=rows)
    others = find_other_headings(sheet, layout.heading_row)
    if others:
        ask = (
            f"More than one table seems to stand here: other headings in row "
            f"{name_first_few(others)}. Say with first_row and last_row which rows belong to the "
            f"headings in row {layout.heading_row}, or give each table a sheet of its own."
        )
        rule = replace(rule, ask=ask)
    return replace(rule, columns=tuple(columns))


def _choose_table(fields: set[str]) -> str:
    session = {"session", "round"} & fields
    if session and {"bird_id", "scorer"} <= fields and not fields & _MEASURED:
        return "ratings"
    return "exams"


def _draft_columns(
    sheet: Sheet, layout: TableLayout, headings: list[str], matches: list[HeadingMatch], *,
    table: str, rows: np.ndarray[tuple[int], np.dtype[np.intp]],
) -> list[ColumnRule]:  # fmt: skip
    units = sheet.row_texts(layout.units_row - 1) if layout.units_row else [""] * len(headings)
    parts = _find_date_parts(headings)
    columns: list[ColumnRule] = []
    for position, (heading, match) in enumerate(zip(headings, matches, strict=True)):
        texts = sheet.texts[rows, position]
        kinds = sheet.kinds[rows, position]
        if heading.startswith("(column ") and not (kinds != " ").any():
            continue
        match = _complete_match(match, units[position], table)
        part = parts.get(heading)
        if part is not None:
            field = "exam_date" if table == "exams" else "rated_on"
            rule = ColumnRule(heading=heading, fields=(field,), part=part, confidence=0.95)
        else:
            rule = draft_column(heading, match, texts, kinds, table=table)
        columns.append(rule)
    columns = _ask_about_split_rings(columns, headings)
    return _ask_about_rivals(columns, table, has_parts=bool(parts))


def _complete_match(match: HeadingMatch, unit_text: str, table: str) -> HeadingMatch:
    if match.unit is None and read_unit(unit_text):
        match = replace(match, unit=read_unit(unit_text))
    below = match_heading(f"x ({unit_text})").scale_limits if unit_text else None
    if match.scale_limits is None and below is not None:
        match = replace(match, scale_limits=below)
    if table == "ratings" and match.field == "exam_date":
        match = replace(match, field="rated_on")
    if match.field and match.field not in known_columns(table):
        evidence = f"{match.field} is no field of {table}"
        match = replace(match, field="", confidence=0.0, evidence=evidence)
    return match


def _find_date_parts(headings: list[str]) -> dict[str, str]:
    found: dict[str, str] = {}
    for heading in headings:
        folded = fold_text(heading).strip(" ._")
        for part, words in _DATE_PARTS.items():
            if folded in words and part not in found.values():
                found[heading] = part
    return found if len(found) == len(_DATE_PARTS) else {}


def _ask_about_split_rings(columns: list[ColumnRule], headings: list[str]) -> list[ColumnRule]:
    """Ask about a ring number of which a part stands in a column of its own."""
    parts = [heading for heading in headings if _RING_PARTS & set(_fold_words(heading))]
    if not parts:
        return columns
    question = (
        f"Is this the whole ring number, or a part of it? {name_first_few(map(repr, parts))} may "
        "hold the rest, and a part alone names no bird."
    )
    return [
        replace(column, ask=column.ask or question, confidence=0.5)
        if "ring_number" in column.fields
        else column
        for column in columns
    ]


def _fold_words(heading: str) -> list[str]:
    return re.findall(r"[a-z]+", fold_text(heading))


def _ask_about_rivals(
    columns: list[ColumnRule], table: str, *, has_parts: bool
) -> list[ColumnRule]:
    """Ask where two columns would fill one field, unless one of them is far surer."""
    date = "exam_date" if table == "exams" else "rated_on"
    best: dict[str, float] = {}
    for column in columns:
        for field in column.fields:
            best[field] = max(best.get(field, 0.0), column.confidence or 0.0)
    certain = Counter(
        field
        for column in columns
        if (column.confidence or 0.0) >= CERTAIN and column.part is None
        for field in column.fields
    )
    asked = []
    for column in columns:
        field = column.fields[0] if column.fields else ""
        rival = certain[field] > 1 or (has_parts and field == date and column.part is None)
        if rival and not column.ask and field not in SHARED_FIELDS:
            question = (
                f"More than one column looks like {field}. Which one is it? Keep 'field' there "
                "and set the others aside."
            )
            column = replace(column, ask=question, confidence=0.5)
        asked.append(column)
    return asked
