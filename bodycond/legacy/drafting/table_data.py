"""The columns of one table, or of one layout that several sheets share, ready for drafting."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from bodycond.legacy.drafting.contents_reading import pool_contents, read_contents
from bodycond.legacy.drafting.drafted_columns import DraftedColumn
from bodycond.legacy.drafting.second_meanings import settle_meanings
from bodycond.legacy.drafting.stated_units import add_comment_unit, add_shown_unit
from bodycond.legacy.drafting.table_cutting import FoundTable
from bodycond.legacy.drafting.unit_evidence import MEASURED, find_plain_units
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.headings.heading_units import fold_heading, read_unit
from bodycond.legacy.headings.headings import CERTAIN, HeadingMatch, match_heading
from bodycond.legacy.headings.layout import find_lone_cells, name_headings, sort_rows
from bodycond.legacy.headings.plain_words import SUBJECTS
from bodycond.legacy.recipes.recipe_rules import SheetRule
from bodycond.legacy.recipes.targets import known_columns
from bodycond.units import GRAMS_PER_UNIT, MILLIMETRES_PER_UNIT

# Rows in which two columns are held against each other.
ROWS_COMPARED = 500
_DIFFERENCE = re.compile(r"=?\s*\d+([.,]\d+)?\s*-\s*\d+([.,]\d+)?\s*")


@dataclass(frozen=True, kw_only=True, eq=False)
class TableData:
    """The columns of a table with their cells.

    Parameters
    ----------
    table : {"exams", "ratings"}
        What its rows are.
    columns : tuple of DraftedColumn
        Columns that have a heading or a cell, in order.
    positions : tuple of int
        Where each stands, counted from 0.
    parts : tuple of (Sheet, ndarray of int)
        The sheets with their rows of data.
    """

    table: str
    columns: tuple[DraftedColumn, ...]
    positions: tuple[int, ...]
    parts: tuple[tuple[Sheet, npt.NDArray[np.intp]], ...]

    def sample_rows(self, headings: Sequence[str]) -> list[tuple[str, ...]]:
        """Give the cells of some columns in rows spread evenly over the table.

        Parameters
        ----------
        headings : sequence of str
            The columns.

        Returns
        -------
        list of tuple of str
            Stripped texts, one tuple a row in which every one of them is filled.
        """
        places = {
            column.heading: at for column, at in zip(self.columns, self.positions, strict=True)
        }
        found: list[tuple[str, ...]] = []
        for sheet, rows in self.parts:
            if not len(rows):
                continue
            some = rows[np.unique(np.linspace(0, len(rows) - 1, ROWS_COMPARED).astype(int))]
            cells = sheet.texts[np.ix_(some, [places[heading] for heading in headings])]
            lines = (tuple(str(text).strip() for text in line) for line in cells)
            found += [line for line in lines if all(line)]
        return found


def find_data_rows(sheet: Sheet, rule: SheetRule) -> npt.NDArray[np.intp]:
    """Find the rows of data of a table.

    Parameters
    ----------
    sheet : Sheet
        The sheet, or the part of it that holds the table.
    rule : SheetRule
        Its rows of headings and units.

    Returns
    -------
    ndarray of int
        Rows, counted from 0.
    """
    reasons = sort_rows(sheet, rule)
    named = sum(not name.startswith("(column ") for name in name_headings(sheet, rule.heading_rows))
    return np.flatnonzero((reasons == "") & ~find_lone_cells(sheet, reasons, n_columns=named))


def gather_table(tables: Sequence[FoundTable]) -> TableData:
    """Gather the columns of tables that have the same headings.

    Parameters
    ----------
    tables : sequence of FoundTable
        One or more tables of one layout.

    Returns
    -------
    TableData
        Their columns, the cells of all put together.
    """
    first = tables[0]
    headings = name_headings(first.sheet, first.layout.heading_rows)
    units = _read_units(first)
    parts = []
    for found in tables:
        rule = SheetRule(
            file=found.sheet.file, heading_rows=found.layout.heading_rows,
            units_row=found.layout.units_row,
        )  # fmt: skip
        parts.append((found.sheet, find_data_rows(found.sheet, rule)))
    matches = [match_heading(heading) for heading in headings]
    table = choose_table({match.field for match in matches})
    place = f"{first.sheet.file}\n{first.sheet.name}"
    differences = _find_differences(tables)
    columns: list[DraftedColumn] = []
    positions: list[int] = []
    for position, (heading, match) in enumerate(zip(headings, matches, strict=True)):
        contents = pool_contents(read_contents(sheet, position, rows) for sheet, rows in parts)
        if heading.startswith("(column ") and not contents.cells and not contents.missing:
            continue
        whole = complete_match(match, units[position], table)
        whole = add_comment_unit(whole, first, position)
        columns.append(
            DraftedColumn(
                heading=heading, match=add_shown_unit(whole, parts, position), contents=contents,
                table=table, place=place, differences=differences.get(position, ()),
            )
        )  # fmt: skip
        positions.append(position)
    columns = settle_meanings(columns)
    medians, titles = _find_medians(columns), _read_titles(first)
    subject = _find_subject(first, matches, titles)
    columns = [replace(column, titles=titles) for column in columns]
    plain = find_plain_units(columns)
    return TableData(
        table=table,
        columns=tuple(
            replace(column, medians=medians, subject=subject,
                    unit_evidence=plain.get(column.match.field, ""))
            for column in columns
        ),
        positions=tuple(positions), parts=tuple(parts),
    )  # fmt: skip


def _read_units(found: FoundTable) -> list[str]:
    row = found.layout.units_row
    width = found.sheet.texts.shape[1]
    return found.sheet.row_texts(row - 1) if row else [""] * width


def choose_table(fields: set[str]) -> str:
    """Tell a table of scoring sessions from one of exams.

    Parameters
    ----------
    fields : set of str
        Fields that the headings mean.

    Returns
    -------
    {"exams", "ratings"}
        Ratings where session or round, bird and scorer stand and no measure.

    Examples
    --------
    >>> choose_table({"session", "bird_id", "scorer", "keel"}), choose_table({"keel", "mass_g"})
    ('ratings', 'exams')
    """
    session = {"session", "round", "rated_on"} & fields
    if session and {"bird_id", "scorer"} <= fields and not fields & set(MEASURED):
        return "ratings"
    return "exams"


def complete_match(match: HeadingMatch, unit_text: str, table: str) -> HeadingMatch:
    """Complete what a heading says from the row of units and the table.

    Parameters
    ----------
    match : HeadingMatch
        What the heading says.
    unit_text : str
        The column's cell in the row of units.
    table : {"exams", "ratings"}
        The table.

    Returns
    -------
    HeadingMatch
        With the unit or scale limits of the row of units, and the table's own field of dates.
    """
    if unit_text and match.field:
        below = match_heading(f"x ({unit_text})")
        unit = read_unit(unit_text)
        if match.unit is None and unit is not None:
            named = match_heading(f"{match.heading} ({unit_text})")
            fits = named.field == match.field and "does not fit" not in named.evidence
            sure = match.confidence if fits else 0.5
            evidence = f"{match.evidence}; the row of units says {unit_text!r}"
            match = replace(match, unit=unit, confidence=sure, evidence=evidence)
        if match.scale_limits is None and below.scale_limits is not None:
            match = replace(match, scale_limits=below.scale_limits)
        if match.date_order is None and below.date_order is not None:
            match = replace(match, date_order=below.date_order)
    if table == "ratings" and match.field == "exam_date":
        match = replace(match, field="rated_on")
    if match.field and match.kind is None and match.field not in known_columns(table):
        evidence = f"{match.field} is no field of {table}"
        match = replace(match, field="", confidence=0.0, evidence=evidence)
    return match


def _find_differences(tables: Sequence[FoundTable]) -> dict[int, tuple[str, ...]]:
    """Find formulas such as '=907-68' by column: a bag taken from a mass, most likely."""
    found: dict[int, list[str]] = {}
    for table in tables:
        for (_, column), formula in table.sheet.formulas.items():
            if _DIFFERENCE.fullmatch(formula):
                found.setdefault(column, []).append(formula)
    return {column: tuple(formulas) for column, formulas in found.items()}


def _read_titles(found: FoundTable) -> tuple[str, ...]:
    above = range(found.layout.heading_rows[0] - 1)
    return tuple(text for row in above for text in found.sheet.row_texts(row) if text)


def _find_subject(found: FoundTable, matches: Sequence[HeadingMatch], titles: Sequence[str]) -> str:
    """Find a word that makes the table speak of something else than birds examined."""
    texts = [found.sheet.name, *titles]
    # 'Brood patch' and 'Egg date' are known and speak of the bird.
    for match in matches:
        unclear = match.field in {"", "chick_age_days"} or match.confidence <= 0.4
        # 'Egg' can be a bird with an egg, or the number of an egg.
        if unclear or (match.field == "gravid" and match.confidence < CERTAIN):
            texts.append(match.heading)
    words = [word for text in texts if text for word in fold_heading(text).split()]
    return next((word for word in words if word in SUBJECTS), "")


def _find_medians(columns: Sequence[DraftedColumn]) -> dict[str, float]:
    """Find the median of each measure in g or mm, or as it stands where no unit is stated."""
    medians: dict[str, float] = {}
    for column in columns:
        field, unit = column.match.field, column.match.unit
        middle = column.contents.quantile(0.5) if field in MEASURED else None
        if middle is None or middle <= 0 or field in medians:
            continue
        table = GRAMS_PER_UNIT if field == "mass_g" else MILLIMETRES_PER_UNIT
        medians[field] = middle * table.get(unit or "", 1.0)
    return medians
