"""Parts of a sheet: fixed areas, and blocks that begin wherever their mark stands."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.recipes.recipe_rules import SheetRule, fits_pattern
from bodycond.tables_on_disk import number_column

_AREA = re.compile(r"([A-Z]{0,3})(\d{0,7}):([A-Z]{0,3})(\d{0,7})", re.ASCII)


@dataclass(frozen=True, kw_only=True, slots=True)
class Area:
    """A rectangle of a sheet, counted from 0; an end is the first row or column behind it.

    Parameters
    ----------
    top, left : int
        First row and column.
    bottom, right : int or None
        Row and column behind the last; None to the end of the sheet.
    """

    top: int = 0
    bottom: int | None = None
    left: int = 0
    right: int | None = None


@dataclass(frozen=True, kw_only=True, eq=False)
class Block:
    """A part of a sheet with the rule that it is read by.

    Parameters
    ----------
    rule : SheetRule
        The rule, its rows counted from the top of the block.
    top, bottom, left, right : int
        Where it stands, counted from 0; bottom and right lie behind it.
    """

    rule: SheetRule
    top: int
    bottom: int
    left: int
    right: int


def read_area(text: str) -> Area | None:
    """Read an area as a recipe writes it.

    Parameters
    ----------
    text : str
        ``A4:H20``, ``A:H`` or ``4:20``.

    Returns
    -------
    Area or None
        None where the text is no area, or one without a cell.

    Examples
    --------
    >>> read_area("B4:H20")
    Area(top=3, bottom=20, left=1, right=8)
    >>> read_area("A:H")
    Area(top=0, bottom=None, left=0, right=8)
    """
    match = _AREA.fullmatch(text.strip().upper())
    if match is None or not any(match.groups()):
        return None
    left, top, right, bottom = match.groups()
    if bool(left) != bool(right) or bool(top) != bool(bottom):
        return None
    area = Area(
        top=int(top or 1) - 1, bottom=int(bottom) if bottom else None,
        left=number_column(left or "A") - 1, right=number_column(right) if right else None,
    )  # fmt: skip
    rows = area.bottom is None or 0 <= area.top < area.bottom
    columns = area.right is None or area.left < area.right
    return area if rows and columns else None


def find_blocks(sheet: Sheet, rules: Sequence[SheetRule]) -> list[Block]:
    """Find where the parts of a sheet stand.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    rules : sequence of SheetRule
        Entries of the recipe for parts of it; those of labels are passed over.

    Returns
    -------
    list of Block
        In the order of the rules, each from top to bottom. A mark that stands nowhere gives none.
    """
    n_rows, n_columns = sheet.texts.shape
    blocks: list[Block] = []
    marks = {id(rule): _find_marks(sheet, rule) for rule in rules if rule.starts_at}
    starts = sorted(place for places in marks.values() for place in places)
    for rule in rules:
        if rule.table == "labels":
            continue
        area = read_area(rule.area or "A:XFD") or Area()
        bottom = min(area.bottom or n_rows, n_rows)
        right = min(area.right or n_columns, n_columns)
        if not rule.starts_at:
            cropped = _count_from(rule, area.top)
            if area.top < bottom and area.left < right:
                blocks.append(Block(rule=cropped, top=area.top, bottom=bottom, left=area.left,
                                    right=right))  # fmt: skip
            continue
        for row, column in marks[id(rule)]:
            left, edge = _find_sides(starts, row, column, left=area.left, right=right)
            below = [start for start, beside in starts if start > row and left <= beside < edge]
            below += _find_ends(sheet, rule, row, left, edge)
            blocks.append(Block(rule=rule, top=row, bottom=min([bottom, *below]), left=left,
                                right=edge))  # fmt: skip
    return blocks


def _find_sides(
    starts: Sequence[tuple[int, int]], row: int, column: int, *, left: int, right: int
) -> tuple[int, int]:
    """Find the columns of a block: all of its area, unless other marks stand in the same row."""
    beside = [other for start, other in starts if start == row and left <= other < right]
    if len(beside) < 2:
        return left, right
    first = column if column != min(beside) else left
    return first, min([other for other in beside if other > column], default=right)


def _find_marks(sheet: Sheet, rule: SheetRule) -> list[tuple[int, int]]:
    area = read_area(rule.area or "A:XFD") or Area()
    found = _find_texts(sheet, rule.starts_at, area)
    # One block a row: a mark that is repeated in its own row is the same block.
    rows: dict[int, int] = {}
    for row, column in found:
        rows.setdefault(row, column)
    return sorted(rows.items())


def _find_ends(sheet: Sheet, rule: SheetRule, row: int, left: int, right: int) -> list[int]:
    if not rule.ends_before:
        return []
    area = Area(top=row + 1, left=left, right=right)
    return [found for found, _ in _find_texts(sheet, rule.ends_before, area)][:1]


def _find_texts(sheet: Sheet, patterns: Sequence[str], area: Area) -> list[tuple[int, int]]:
    part = sheet.texts[area.top : area.bottom, area.left : area.right]
    kinds = sheet.kinds[area.top : area.bottom, area.left : area.right]
    rows, columns = np.nonzero(kinds == "t")
    codes, different = pd.factorize(part[rows, columns])
    folded = [fold_blanks(pattern) for pattern in patterns]
    fits = [
        any(fits_pattern(fold_blanks(str(text)), pattern) for pattern in folded)
        for text in different
    ]
    at = np.flatnonzero(np.array(fits, dtype=bool)[codes])
    found = zip((rows[at] + area.top).tolist(), (columns[at] + area.left).tolist(), strict=True)
    return list(found)


def fold_blanks(text: str) -> str:
    """Fold case and blanks of a text, for finding a mark or label.

    Parameters
    ----------
    text : str
        The text.

    Returns
    -------
    str
        One blank between words, letter case folded.
    """
    return " ".join(text.split()).casefold()


def _count_from(rule: SheetRule, top: int) -> SheetRule:
    """Give a rule whose rows count from the top of its area and not of the sheet."""

    def _shift(rows: tuple[int, ...]) -> tuple[int, ...]:
        return tuple(row - top for row in rows if row > top)

    def _shift_one(row: int | None) -> int | None:
        return None if row is None or row <= top else row - top

    if not top:
        return rule
    return replace(
        rule, heading_rows=_shift(rule.heading_rows), units_row=_shift_one(rule.units_row),
        first_row=_shift_one(rule.first_row), last_row=_shift_one(rule.last_row),
        totals_rows=_shift(rule.totals_rows), data_rows=_shift(rule.data_rows),
    )  # fmt: skip


def crop_sheet(sheet: Sheet, block: Block) -> Sheet:
    """Give the part of a sheet that a block covers, as a sheet of its own.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    block : Block
        The block.

    Returns
    -------
    Sheet
        Views of the same arrays; comments and the like moved to the block's own rows and columns.
    """
    rows, columns = slice(block.top, block.bottom), slice(block.left, block.right)

    def _inside(row: int, column: int) -> bool:
        return block.top <= row < block.bottom and block.left <= column < block.right

    def _move(place: tuple[int, int]) -> tuple[int, int]:
        return place[0] - block.top, place[1] - block.left

    return replace(
        sheet,
        texts=sheet.texts[rows, columns],
        kinds=sheet.kinds[rows, columns],
        comments={_move(at): text for at, text in sheet.comments.items() if _inside(*at)},
        formulas={_move(at): text for at, text in sheet.formulas.items() if _inside(*at)},
        shown={_move(at): text for at, text in sheet.shown.items() if _inside(*at)},
        struck=frozenset(_move(at) for at in sheet.struck if _inside(*at)),
        partly_struck={_move(at): text for at, text in sheet.partly_struck.items()
                       if _inside(*at)},
        merged=tuple(
            (top - block.top, left - block.left, bottom - block.top, right - block.left)
            for top, left, bottom, right in sheet.merged
            if _inside(top, left)
        ),
        notes=(),
    )  # fmt: skip


def cover_cells(sheet: Sheet, blocks: Sequence[Block]) -> npt.NDArray[np.int64]:
    """Count how many blocks cover each cell.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    blocks : sequence of Block
        Its blocks.

    Returns
    -------
    ndarray of int, shape of the sheet
        0 for a cell that no block covers; 2 or more where blocks overlap.
    """
    counts = np.zeros(sheet.texts.shape, dtype=np.int64)
    for block in blocks:
        counts[block.top : block.bottom, block.left : block.right] += 1
    return counts
