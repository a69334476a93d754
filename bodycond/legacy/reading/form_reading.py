"""A block of labels read as one record: a field form."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from bodycond.legacy.reading.block_accounts import BlockAccount, Mask
from bodycond.legacy.reading.block_context import (
    BlockRecords,
    SheetContext,
    fill_names,
    set_year,
)
from bodycond.legacy.reading.cell_columns import CellColumn
from bodycond.legacy.reading.label_reading import find_labels
from bodycond.legacy.reading.records import assemble_records
from bodycond.legacy.reading.shared_labels import spread_labels
from bodycond.legacy.reading.table_columns import SHARED, read_columns
from bodycond.legacy.recipes.recipe_rules import SheetRule


def read_form(block: BlockAccount, rule: SheetRule, context: SheetContext) -> BlockRecords:
    """Read a block of labels as one record.

    Parameters
    ----------
    block : BlockAccount
        The block; every filled cell of it has an outcome afterwards.
    rule : SheetRule
        The rule.
    context : SheetContext
        What the blocks of the sheet share.

    Returns
    -------
    BlockRecords
        Its record.
    """
    dropped = [drop for drop in context.drops if drop.meets(*block.span)]
    if dropped:
        # A decision on one cell of a form is one on its exam.
        block.settle_all("set_aside", dropped[0].reason, "not_exam")
        return BlockRecords(block=block, is_form=True)
    found = find_labels(block, rule.labels)
    columns = [replace(column, rule=set_year(column.rule, context)) for column in found.columns]
    block.account.settle(
        np.ones((1, 1), dtype=bool) & ~_mark_cells(block, columns), "quarantined",
        "no label of the recipe names this cell",
    )  # fmt: skip
    read = read_columns(block, columns, context.recipe, table=rule.table)
    said = np.zeros(1, dtype=bool)
    for column in columns:
        if not rule.needs or set(column.rule.fields) & set(rule.needs):
            said |= column.says_something(block)
    if not said.any():
        return _leave_form(block, rule, columns, found.notes)
    constants = fill_names(rule, context)
    spread = [
        spread_labels(read[SHARED], labels, count=1, taken=constants) for labels in context.labels
    ]
    filled = block.sheet.filled.any(axis=1)
    rows = np.flatnonzero(filled)[:1].astype(np.intp)
    tables = assemble_records(
        block, read, rows, constants=constants, stem=context.stem, is_form=True
    )
    for labels, names in zip(context.labels, spread, strict=True):
        labels.note_use(names, tables)
    is_record = block.fates[rows[0]] == "record"
    block.fates[filled] = "not_exam" if is_record else "held"
    block.fates[rows[0]] = "record" if is_record else "held"
    return BlockRecords(block=block, tables=tables, notes=found.notes, is_form=True)


def _mark_cells(block: BlockAccount, columns: Sequence[CellColumn]) -> Mask:
    marked = np.zeros(block.sheet.texts.shape, dtype=bool)
    for column in columns:
        marked[column.place] = True
    return marked


def _leave_form(
    block: BlockAccount, rule: SheetRule, columns: Sequence[CellColumn], notes: list[str]
) -> BlockRecords:
    """Set a form aside on which nothing that makes an exam is filled in."""
    what = " or ".join(rule.needs) or "value"
    reason = f"no exam: the form holds no {what}"
    for column in columns:
        account = block.account
        account.outcomes[column.place] = "set_aside"
        account.reasons[column.place] = reason
        for array in (account.values, account.targets, account.likely):
            array[column.place] = ""
    block.fates[block.sheet.filled.any(axis=1)] = "not_exam"
    return BlockRecords(block=block, notes=notes, is_form=True)
