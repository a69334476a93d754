"""Several tables on one sheet, below and beside each other, each cut out as a part of its own."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from bodycond.legacy.drafting.table_finding import TableLayout, find_other_headings, find_table
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.headings.headings import match_heading
from bodycond.legacy.headings.layout import name_headings
from bodycond.legacy.recipes.recipe_rules import SheetRule
from bodycond.legacy.recipes.sheet_areas import Block, crop_sheet
from bodycond.tables_on_disk import name_column


@dataclass(frozen=True, kw_only=True, eq=False)
class FoundTable:
    """One table of a sheet.

    Parameters
    ----------
    sheet : Sheet
        The part of the sheet that holds it.
    layout : TableLayout
        Its rows, counted from the top of the part.
    top, left : int
        Where the part begins, counted from 0.
    area : str or None
        The part as a recipe writes it; None for the whole sheet.
    doubt : str
        Why the cut is not plain; empty where it is.
    """

    sheet: Sheet
    layout: TableLayout
    top: int = 0
    left: int = 0
    area: str | None = None
    doubt: str = ""


def find_tables(sheet: Sheet) -> list[FoundTable]:
    """Find every table of a sheet, below and beside each other.

    Parameters
    ----------
    sheet : Sheet
        The sheet.

    Returns
    -------
    list of FoundTable
        From left to right and top to bottom; none where no headings were found.
    """
    found: list[FoundTable] = []
    pieces = _cut_beside(sheet)
    for left, right in pieces:
        part = _crop(sheet, 0, sheet.texts.shape[0], left, right)
        found += _cut_below(part, left=left, whole_width=len(pieces) == 1)
    if len(found) <= 1:
        return [replace(one, area=None) for one in found] if len(pieces) == 1 else found
    return found


def _crop(sheet: Sheet, top: int, bottom: int, left: int, right: int) -> Sheet:
    if (top, left) == (0, 0) and (bottom, right) == sheet.texts.shape:
        return sheet
    block = Block(rule=SheetRule(file=sheet.file), top=top, bottom=bottom, left=left, right=right)
    return crop_sheet(sheet, block)


def _cut_beside(sheet: Sheet) -> list[tuple[int, int]]:
    """Cut a sheet where the same headings begin again to the right, or other tables stand."""
    width = sheet.texts.shape[1]
    layout = find_table(sheet)
    if layout is None:
        return [(0, width)]
    names = name_headings(sheet, layout.heading_rows)
    texts = ["" if name.startswith("(column ") else _drop_number(name, names) for name in names]
    first = next((at for at, text in enumerate(texts) if text), 0)
    again = [at for at in range(first + 2, width) if texts[at] == texts[first]]
    if (
        again
        and texts[first + 1]
        and all(texts[at + 1 : at + 2] == [texts[first + 1]] for at in again)
    ):
        starts = [0, *again]
        return list(zip(starts, [*again, width], strict=True))
    empty = ~np.asarray(sheet.filled.any(axis=0))
    edges = [at for at in range(1, width - 1) if empty[at]]
    groups: list[tuple[int, int]] = []
    start = 0
    for edge in [*edges, width]:
        if edge > start and not empty[start:edge].all():
            groups.append((start, edge))
            start = edge + 1
    if len(groups) < 2 or not _are_tables(sheet, groups):
        return [(0, width)]
    ends = [next_start for next_start, _ in groups[1:]] + [width]
    return [
        (0 if not at else group[0], end)
        for at, (group, end) in enumerate(zip(groups, ends, strict=True))
    ]


def _drop_number(name: str, names: Sequence[str]) -> str:
    """Take off the number that tells a repeated heading from the first."""
    bare = re.sub(r"\.\d+$", "", name)
    return bare if bare in names else name


def _are_tables(sheet: Sheet, groups: Sequence[tuple[int, int]]) -> bool:
    """Tell whether groups of columns are tables of their own: each with its fields anew."""
    fields: list[set[str]] = []
    rows: set[int] = set()
    for left, right in groups:
        layout = find_table(_crop(sheet, 0, sheet.texts.shape[0], left, right))
        if layout is None or layout.n_known < 2:
            return False
        part = _crop(sheet, 0, sheet.texts.shape[0], left, right)
        names = name_headings(part, layout.heading_rows)
        fields.append({match_heading(name).field for name in names} - {""})
        rows.add(layout.heading_row)
    return len(rows) > 1 or bool(set.intersection(*fields))


def _cut_below(sheet: Sheet, *, left: int, whole_width: bool) -> list[FoundTable]:
    layout = find_table(sheet)
    if layout is None:
        return []
    others = find_other_headings(sheet, layout.heading_rows)
    n_rows, width = sheet.texts.shape
    if not others:
        area = _write_area(None, None, left, left + width)
        return [FoundTable(sheet=sheet, layout=layout, left=left, area=area)]
    starts: list[tuple[int, bool]] = []
    for row in sorted([layout.heading_rows[0], *others]):
        starts.append(_find_start(sheet, row))
    tops = [0] + [start for start, _ in starts[1:]]
    plain = [True] + [clear for _, clear in starts[1:]]
    found = []
    for at, top in enumerate(tops):
        bottom = tops[at + 1] if at + 1 < len(tops) else n_rows
        part = _crop(sheet, top, bottom, 0, width)
        own = find_table(part)
        if own is None:
            continue
        both = plain[at] and (at + 1 >= len(plain) or plain[at + 1])
        doubt = "" if both else (
            f"Another table seems to stand here: headings in row {top + own.heading_row} with no "
            "empty row above them"
        )  # fmt: skip
        found.append(
            FoundTable(
                sheet=part, layout=own, top=top, left=left, doubt=doubt,
                area=_write_area(top, bottom, left, left + width, whole=whole_width),
            )
        )  # fmt: skip
    return found


def _find_start(sheet: Sheet, heading_row: int) -> tuple[int, bool]:
    """Find where the table of a row of headings begins, its titles included; 0-based."""
    filled = np.asarray(sheet.filled.any(axis=1))
    row = heading_row - 1
    top = row
    while top > 0 and filled[top - 1] and sheet.filled[top - 1].sum() == 1:
        top -= 1
    clear = top == 0 or not filled[top - 1] or top < row
    return top, clear


def _write_area(
    top: int | None, bottom: int | None, left: int, right: int, *, whole: bool = False
) -> str:
    columns = ("", "") if whole else (name_column(left + 1), name_column(right))
    if top is None or bottom is None:
        return f"{columns[0]}:{columns[1]}"
    return f"{columns[0]}{top + 1}:{columns[1]}{bottom}"
