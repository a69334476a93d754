"""The rows of a table that hold exams, and why the others do not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from bodycond.errors import name_first_few
from bodycond.legacy.headings.layout import find_lone_cells, sort_rows
from bodycond.legacy.reading.block_accounts import (
    LABEL,
    LABEL_HELD,
    BlockAccount,
    Mask,
    Objects,
    Positions,
)
from bodycond.legacy.reading.cell_columns import CellColumn
from bodycond.legacy.reading.record_drafts import to_objects
from bodycond.legacy.reading.table_columns import SHARED, RecordValues
from bodycond.legacy.recipes.recipe_rules import SheetRule


def choose_rows(
    block: BlockAccount, rule: SheetRule, headings: Sequence[str]
) -> tuple[Positions, Objects]:
    """Find the rows of data; settle all others.

    Parameters
    ----------
    block : BlockAccount
        The block.
    rule : SheetRule
        Its rule.
    headings : sequence of str
        Its headings, told apart.

    Returns
    -------
    rows : ndarray of int
        Rows of data.
    reasons : ndarray of object
        As `sort_rows` gives.
    """
    sheet, account = block.sheet, block.account
    reasons = sort_rows(sheet, rule)
    out = np.array([reason not in {"", "blank"} for reason in reasons], dtype=bool)
    spread = np.broadcast_to(reasons[:, None], sheet.texts.shape)
    where = out[:, None] & sheet.filled & (account.outcomes == "")
    account.settle(out[:, None], "set_aside", spread[where])
    block.fates[out] = "not_exam"
    named = sum(not heading.startswith("(column ") for heading in headings)
    labels = _find_rows_of_labels(block, (reasons == ""))
    lone = find_lone_cells(sheet, reasons, n_columns=named) & ~labels
    decided = lone & ~(sheet.filled & (account.outcomes == "")).any(axis=1)
    account.settle(lone[:, None], "quarantined", "a cell alone in its row: a note or an exam?")
    block.fates[lone] = "held"
    block.fates[decided] = "not_exam"
    return np.flatnonzero((reasons == "") & ~lone & ~labels), reasons


def _find_rows_of_labels(block: BlockAccount, rows: Mask) -> Mask:
    """Find rows of nothing but labels and their values, and say that they are no exams."""
    outcomes = block.account.outcomes
    held = outcomes == LABEL_HELD
    label = held | (outcomes == LABEL)
    if not label.any():
        return np.zeros(len(rows), dtype=bool)
    whole = (label | ~block.sheet.filled).all(axis=1)
    found = np.asarray(rows & label.any(axis=1) & whole)
    block.fates[found] = "not_exam"
    block.fates[found & held.any(axis=1)] = "held"
    return found


def settle_struck(block: BlockAccount, row_reasons: Objects) -> None:
    """Set struck cells of rows of data aside, and hold those of which a part is struck.

    Parameters
    ----------
    block : BlockAccount
        The block.
    row_reasons : ndarray of object
        As `sort_rows` gives.
    """
    account, partly = block.account, block.sheet.partly_struck
    for row, column in sorted([*block.sheet.struck, *partly]):
        inside = row < len(row_reasons) and column < account.outcomes.shape[1]
        if not inside or row_reasons[row] != "" or account.outcomes[row, column]:
            continue
        if (row, column) in partly:
            account.outcomes[row, column] = "quarantined"
            account.reasons[row, column] = "a part of the text is struck through"
            account.likely[row, column] = partly[row, column].strip()
        else:
            account.outcomes[row, column] = "set_aside"
            account.reasons[row, column] = "struck through"


def note_merged(block: BlockAccount, rows: Positions) -> list[str]:
    """Note cells that are merged over several rows of data.

    Parameters
    ----------
    block : BlockAccount
        The block.
    rows : ndarray of int
        Its rows of data.

    Returns
    -------
    list of str
        One note, or none.
    """
    data = set(rows.tolist())
    ranges = [
        f"{block.name_cell(top, left)}:{block.name_cell(bottom, right)}"
        for top, left, bottom, right in block.sheet.merged
        if bottom > top and len(data.intersection(range(top, bottom + 1))) > 1
    ]
    if not ranges:
        return []
    return [
        f"merged over rows, and counted for the first row alone: {name_first_few(ranges)}; "
        "fill_down: true repeats a column's values"
    ]


def drop_needless(
    block: BlockAccount, rule: SheetRule, read: Mapping[Any, RecordValues],
    columns: Sequence[CellColumn], rows: Positions,
) -> Positions:  # fmt: skip
    """Set aside the rows that hold none of the fields that make an exam.

    Of several records in a row each needs such a field too, where its own columns can fill one.

    Parameters
    ----------
    block : BlockAccount
        The block.
    rule : SheetRule
        Its rule, with the fields that a row needs.
    read : mapping of Record to RecordValues
        What was read; the rows are taken out of it.
    columns : sequence of CellColumn
        The columns with a field, undecided ones too: their cells are held and not absent.
    rows : ndarray of int
        Rows of data.

    Returns
    -------
    ndarray of int
        The rows that are left.
    """
    if not rule.needs:
        return rows
    has = np.zeros(len(rows), dtype=bool)
    for column in columns:
        if set(column.rule.fields) & set(rule.needs):
            has |= column.says_something(block)
    lacking = rows[~has]
    account = block.account
    where = np.zeros((len(account.outcomes), 1), dtype=bool)
    where[lacking] = True
    reason = f"no exam: the row holds no {' or '.join(rule.needs)}"
    account.settle(where, "set_aside", reason, only_open=False)
    for array in (account.values, account.targets, account.likely):
        array[lacking] = ""
    block.fates[lacking] = "not_exam"
    for name, record in read.items():
        if name != SHARED:
            _drop_needless_record(block, rule, record, has)
    _keep_records(read, has)
    return rows[has]


def _drop_needless_record(
    block: BlockAccount, rule: SheetRule, record: RecordValues, kept: Mask
) -> None:
    """Set the cells of a row's own record aside where none of its needed fields is filled."""
    needed = [source for source in record.sources if set(source.rule.fields) & set(rule.needs)]
    if not needed:
        return
    lacking = kept & ~np.logical_or.reduce([source.says_something(block) for source in needed])
    reason = f"no {record.table[:-1]} of its own: it holds no {' or '.join(rule.needs)}"
    aside, said, empty = (to_objects([text] * len(kept)) for text in ("set_aside", reason, ""))
    for source in record.sources:
        source.write(
            block, lacking & source.says_something(block), outcomes=aside, reasons=said,
            values=empty, likely=empty, target="",
        )  # fmt: skip


def _keep_records(read: Mapping[Any, RecordValues], kept: Mask) -> None:
    """Take the rows that are no exams out of what was read."""
    for record in read.values():
        for name, array in record.values.items():
            record.values[name] = array[kept]
        record.sources[:] = [replace(source, rows=source.rows[kept]) for source in record.sources]
