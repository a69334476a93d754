"""Cells that repeat the one above: ditto marks, and empty cells where the recipe says so."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

import numpy as np
import numpy.typing as npt

from bodycond.legacy import notation
from bodycond.legacy.files.grids import code_cells
from bodycond.legacy.reading.block_accounts import BlockAccount, Objects
from bodycond.legacy.reading.cell_columns import CellColumn
from bodycond.legacy.recipes.recipe_rules import ColumnRule

_DITTO_MARKS = frozenset({'"', "''", ",,", "〃", "ditto", "do.", '-"-', "-''-", '""', '" "'})
# No mark begins with a digit or with a letter other than d; nearly every cell does.
_starts_plainly = re.compile(r"[0-9A-CE-Za-ce-z]").match


def resolve_dittos(
    texts: npt.NDArray[np.object_],
    kinds: npt.NDArray[np.str_],
    *,
    rule: ColumnRule,
    name_place: Callable[[int], str],
    closed: npt.NDArray[np.bool_] | None = None,
) -> tuple[npt.NDArray[np.object_], npt.NDArray[np.str_], dict[int, str]]:
    """Put the cell above in the place of ditto marks, and of empty cells where the rule says so.

    Parameters
    ----------
    texts, kinds : ndarray, shape (rows,)
        The column's rows of data, in order.
    rule : ColumnRule
        The column's rule.
    name_place : callable
        Gives the address of the cell at a position, for the reasons.
    closed : ndarray of bool, optional
        Cells that are neither filled nor repeated, such as those struck through.

    Returns
    -------
    texts, kinds : ndarray
        New arrays.
    repeats : dict of int to str
        Position of each ditto mark and what it repeats; the empty text where nothing is above.
    """
    marks: set[int] = set()
    if rule.ditto:
        cells = code_cells(texts, kinds)
        is_mark = np.array(
            [not _starts_plainly(text) and _is_ditto(text) for text in cells.texts.tolist()],
            dtype=bool,
        )
        marks = set(np.flatnonzero(is_mark[cells.codes]).tolist()) if is_mark.any() else marks
    if not marks and not rule.fill_down:
        return texts, kinds, {}
    new_texts, new_kinds = texts.copy(), kinds.copy()
    repeats: dict[int, str] = {}
    origin: int | None = None
    for position in range(len(texts)):
        if closed is not None and closed[position]:
            origin = None
            continue
        empty = kinds[position] == " "
        if position in marks or (empty and rule.fill_down):
            if origin is not None:
                new_texts[position], new_kinds[position] = texts[origin], kinds[origin]
            if position in marks:
                above = f"{name_place(origin)} {texts[origin]!r}" if origin is not None else ""
                repeats[position] = above
        else:
            origin = None if empty else position
    return new_texts, new_kinds, repeats


def read_repeated(
    block: BlockAccount, column: CellColumn, *, shown: Mapping[int, str]
) -> tuple[Objects, npt.NDArray[np.str_], dict[int, str]]:
    """Read a column's open cells, each that repeats the one above as what it repeats.

    Parameters
    ----------
    block : BlockAccount
        The block.
    column : CellColumn
        The column.
    shown : mapping of int to str
        What the sheet shows in the place of a stored number, by record.

    Returns
    -------
    texts, kinds : ndarray
        New arrays; a cell that is settled already is blank.
    repeats : dict of int to str
        As `resolve_dittos` gives.
    """
    texts, kinds = column.read_cells(block)
    for place, text in shown.items():
        texts[place], kinds[place] = text, "t"
    if column.rule.exact or column.label:
        return texts, kinds, {}
    # A row that is no exam by decision can still hold what the next one repeats.
    written = block.sheet.kinds[column.place]
    settled = (written != " ") & (kinds == " ")
    written = np.where(settled, written, kinds)
    new_texts, new_kinds, repeats = resolve_dittos(
        texts, written, rule=column.rule, closed=column.find_closed(block),
        name_place=lambda record: column.name_cell(block, record),
    )  # fmt: skip
    if settled.any():
        new_kinds = new_kinds.copy()
        new_kinds[settled] = " "
        repeats = {place: above for place, above in repeats.items() if not settled[place]}
    return new_texts, new_kinds, repeats


def read_beside(block: BlockAccount, column: CellColumn) -> tuple[Objects, npt.NDArray[np.str_]]:
    """Read what a column says beside another, whatever becomes of its own cells.

    Parameters
    ----------
    block : BlockAccount
        The block.
    column : CellColumn
        The column.

    Returns
    -------
    texts, kinds : ndarray
        Ditto marks resolved; a cell that is struck through is blank.
    """
    closed = column.find_closed(block)
    kinds = np.where(closed, " ", block.sheet.kinds[column.place])
    texts, kinds, repeats = resolve_dittos(
        block.sheet.texts[column.place], kinds, rule=column.rule, closed=closed,
        name_place=lambda record: column.name_cell(block, record),
    )  # fmt: skip
    for place, above in repeats.items():
        if not above:
            kinds[place] = " "
    return texts, kinds


def _is_ditto(text: str) -> bool:
    return notation.plain_text(text).casefold() in _DITTO_MARKS
