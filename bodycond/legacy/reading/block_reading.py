"""One block of a sheet read by its rule: a table under headings, or a form of labels."""

from __future__ import annotations

import numpy as np

from bodycond.legacy.headings.layout import name_headings
from bodycond.legacy.reading.block_accounts import BlockAccount
from bodycond.legacy.reading.block_context import (
    BlockRecords,
    SheetContext,
    fill_names,
    set_year,
)
from bodycond.legacy.reading.cell_columns import CellColumn
from bodycond.legacy.reading.form_reading import read_form
from bodycond.legacy.reading.heading_matching import match_columns
from bodycond.legacy.reading.records import assemble_records
from bodycond.legacy.reading.shared_labels import read_labels, spread_labels
from bodycond.legacy.reading.table_columns import SHARED, read_columns
from bodycond.legacy.reading.table_rows import (
    choose_rows,
    drop_needless,
    note_merged,
    settle_struck,
)
from bodycond.legacy.recipes.recipe_gaps import RecipeGap
from bodycond.legacy.recipes.recipe_rules import ColumnRule, SheetRule
from bodycond.tables_on_disk import name_column


def read_block(block: BlockAccount, rule: SheetRule, context: SheetContext) -> BlockRecords:
    """Read a block by its rule.

    Parameters
    ----------
    block : BlockAccount
        The block; every filled cell of it has an outcome afterwards.
    rule : SheetRule
        The rule, rows counted from the top of the block.
    context : SheetContext
        What the blocks of the sheet share.

    Returns
    -------
    BlockRecords
        Its records.
    """
    held = _find_why_held(block, rule)
    if held:
        block.settle_all("quarantined", held, "held")
        return BlockRecords(block=block, notes=[f"held whole, {held}"])
    if rule.table == "set_aside":
        what = "block" if rule.is_part else "sheet"
        reason = f"the {what} is set aside: {rule.why}"
        block.settle_all("set_aside", reason, "not_exam")
        return BlockRecords(block=block)
    if not rule.heading_rows:
        return read_form(block, rule, context)
    return _read_table(block, rule, context)


def _find_why_held(block: BlockAccount, rule: SheetRule) -> str:
    """Say why a block cannot be read at all; the empty text where it can."""
    sheet = block.sheet
    if rule.ask:
        return RecipeGap.SHEET_UNDECIDED.word()
    if rule.table == "set_aside" or not rule.columns or not sheet.filled.any():
        return ""
    matched, _ = match_columns(name_headings(sheet, rule.heading_rows), rule.columns)
    if any(matched):
        return ""
    rows = " and ".join(str(block.top + row) for row in rule.heading_rows) or "(none)"
    return RecipeGap.HEADINGS_ABSENT.word(rows)


def _read_table(block: BlockAccount, rule: SheetRule, context: SheetContext) -> BlockRecords:
    sheet, account = block.sheet, block.account
    own = read_labels(block, rule.labels, context.recipe, table=rule.table)
    headings = name_headings(sheet, rule.heading_rows)
    rules, notes = match_columns(headings, rule.columns)
    rows, reasons = choose_rows(block, rule, headings)
    settle_struck(block, reasons)
    notes += [*own.notes, *note_merged(block, rows)]
    columns: list[CellColumn] = []
    asked: list[CellColumn] = []
    siblings: dict[str, CellColumn] = {}
    for position, (heading, column_rule) in enumerate(zip(headings, rules, strict=True)):
        _settle_unused(block, position, heading, column_rule)
        if column_rule is None:
            continue
        filled_rule = set_year(column_rule, context)
        column = CellColumn(rule=filled_rule, rows=rows, column=position)
        siblings |= dict.fromkeys((column_rule.heading, *column_rule.also), column)
        if column_rule.fields:
            (asked if column_rule.ask else columns).append(column)
    read = read_columns(block, columns, context.recipe, table=rule.table, siblings=siblings)
    rows = drop_needless(block, rule, read, [*columns, *asked], rows)
    constants = fill_names(rule, context)
    # A block's own labels go before those of the whole sheet.
    near = (own, *context.labels)
    spread = [spread_labels(read[SHARED], one, count=len(rows), taken=constants) for one in near]
    tables = assemble_records(block, read, rows, constants=constants, stem=context.stem)
    for labels, names in zip(near, spread, strict=True):
        labels.note_use(names, tables)
    own.close()
    account.settle(np.ones((1, 1), dtype=bool), "quarantined", "no rule reads this cell")
    return BlockRecords(block=block, tables=tables, notes=notes)


def _settle_unused(
    block: BlockAccount, position: int, heading: str, rule: ColumnRule | None
) -> None:
    account = block.account
    where = np.zeros((1, account.sheet.texts.shape[1]), dtype=bool)
    where[0, position] = True
    if rule is None:
        reason = RecipeGap.COLUMN_UNNAMED.word(repr(heading))
        if heading.startswith("(column "):
            reason = RecipeGap.NO_HEADING.word(name_column(block.left + position + 1))
        account.settle(where, "quarantined", reason)
    elif rule.set_aside:
        account.settle(where, "set_aside", f"column set aside: {rule.set_aside}")
    elif rule.ask:
        account.settle(where, "quarantined", RecipeGap.COLUMN_UNDECIDED.word())
        open_cells = where & (account.outcomes == "quarantined")
        account.likely[open_cells & (account.likely == "")] = ", ".join(rule.fields)
