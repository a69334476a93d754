"""One block of a sheet read by its rule: a table under headings, or a form of labels."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from bodycond.errors import name_first_few
from bodycond.legacy.files.grids import name_column
from bodycond.legacy.headings.layout import find_lone_cells, name_headings, sort_rows
from bodycond.legacy.ledger import RowTally
from bodycond.legacy.reading.block_accounts import (
    BlockAccount,
    CellColumn,
    Mask,
    Objects,
    Positions,
)
from bodycond.legacy.reading.heading_matching import match_columns
from bodycond.legacy.reading.label_reading import find_labels
from bodycond.legacy.reading.records import SheetTable, assemble_records
from bodycond.legacy.reading.table_columns import SHARED, RecordValues, read_columns
from bodycond.legacy.recipes.recipe import ImportRecipe
from bodycond.legacy.recipes.recipe_rules import ColumnRule, SheetRule


@dataclass(frozen=True, kw_only=True, eq=False)
class BlockRecords:
    """What a block gave.

    Parameters
    ----------
    tables : list of SheetTable
        Its records, at most one table each of exams and ratings.
    tally : RowTally
        Where its rows went.
    notes : list of str
        What a reader of the import should know.
    """

    tables: list[SheetTable]
    tally: RowTally
    notes: list[str]


@dataclass(frozen=True, kw_only=True, eq=False)
class SheetContext:
    """What the records of every block of a sheet share.

    Parameters
    ----------
    recipe : ImportRecipe
        The recipe, for its scales.
    stem : str
        What made exam numbers begin with.
    names : mapping of str to str
        What ``{file}`` and ``{sheet}`` stand for in constants.
    labels : RecordValues or None
        Values beside labels that go with every record, one cell each.
    years : mapping of str to str
        Four digits in the names of ``file`` and ``sheet``, where there are any.
    """

    recipe: ImportRecipe
    stem: str
    names: Mapping[str, str]
    labels: RecordValues | None
    years: Mapping[str, str]


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
        tally = block.settle_all("quarantined", held, "held")
        return BlockRecords(tables=[], tally=tally, notes=[f"held whole, {held}"])
    if rule.table == "set_aside":
        what = "block" if rule.is_part else "sheet"
        reason = f"the {what} is set aside: {rule.why}"
        tally = block.settle_all("set_aside", reason, "not_exam")
        return BlockRecords(tables=[], tally=tally, notes=[])
    if not rule.heading_rows:
        return _read_form(block, rule, context)
    return _read_table(block, rule, context)


def _find_why_held(block: BlockAccount, rule: SheetRule) -> str:
    """Say why a block cannot be read at all; the empty text where it can."""
    sheet = block.sheet
    if rule.ask:
        return "the recipe leaves the sheet undecided"
    if rule.table == "set_aside" or not rule.columns or not sheet.filled.any():
        return ""
    matched, _ = match_columns(name_headings(sheet, rule.heading_rows), rule.columns)
    if any(matched):
        return ""
    rows = " and ".join(str(block.top + row) for row in rule.heading_rows) or "(none)"
    return f"none of the recipe's headings stands in heading_row {rows}"


def _read_table(block: BlockAccount, rule: SheetRule, context: SheetContext) -> BlockRecords:
    sheet, account = block.sheet, block.account
    labels = find_labels(block, rule.labels)
    own = read_columns(block, labels.columns, context.recipe, table=rule.table)[SHARED]
    headings = name_headings(sheet, rule.heading_rows)
    rules, notes = match_columns(headings, rule.columns)
    rows, reasons = _choose_rows(block, rule, headings)
    _settle_struck(block, reasons)
    notes += [*labels.notes, *_note_merged(block, rows)]
    columns: list[CellColumn] = []
    siblings: dict[str, CellColumn] = {}
    for position, (heading, column_rule) in enumerate(zip(headings, rules, strict=True)):
        _settle_unused(block, position, heading, column_rule)
        if column_rule is None:
            continue
        filled_rule = _set_year(column_rule, context)
        column = CellColumn(rule=filled_rule, rows=rows, column=position)
        siblings |= dict.fromkeys((column_rule.heading, *column_rule.also), column)
        if column_rule.fields and not column_rule.ask:
            columns.append(column)
    read = read_columns(block, columns, context.recipe, table=rule.table, siblings=siblings)
    rows = _drop_needless(block, rule, read, columns, rows)
    for shared in (context.labels, own):
        _spread_labels(read[SHARED], shared, len(rows))
    tables = assemble_records(
        block, read, rows, constants=_fill_names(rule, context), stem=context.stem
    )
    account.settle(np.ones((1, 1), dtype=bool), "quarantined", "no rule reads this cell")
    return BlockRecords(tables=tables, tally=_tally(block, tables), notes=notes)


def _tally(block: BlockAccount, tables: Sequence[SheetTable]) -> RowTally:
    counts = {table.table: len(table.rows) for table in tables}
    return block.count_rows(exams=counts.get("exams", 0), ratings=counts.get("ratings", 0))


def _choose_rows(
    block: BlockAccount, rule: SheetRule, headings: Sequence[str]
) -> tuple[Positions, Objects]:
    """Find the rows of data; settle all others."""
    sheet, account = block.sheet, block.account
    reasons = sort_rows(sheet, rule)
    out = np.array([reason not in {"", "blank"} for reason in reasons], dtype=bool)
    spread = np.broadcast_to(reasons[:, None], sheet.texts.shape)
    where = out[:, None] & sheet.filled & (account.outcomes == "")
    account.settle(out[:, None], "set_aside", spread[where])
    block.fates[out] = "not_exam"
    named = sum(not heading.startswith("(column ") for heading in headings)
    lone = find_lone_cells(sheet, reasons, n_columns=named)
    account.settle(lone[:, None], "quarantined", "a cell alone in its row: a note or an exam?")
    block.fates[lone] = "held"
    return np.flatnonzero((reasons == "") & ~lone), reasons


def _settle_struck(block: BlockAccount, row_reasons: Objects) -> None:
    """Set struck cells of rows of data aside, and hold those of which a part is struck."""
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


def _note_merged(block: BlockAccount, rows: Positions) -> list[str]:
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


def _settle_unused(
    block: BlockAccount, position: int, heading: str, rule: ColumnRule | None
) -> None:
    account = block.account
    where = np.zeros((1, account.sheet.texts.shape[1]), dtype=bool)
    where[0, position] = True
    if rule is None:
        reason = f"the recipe does not name the column {heading!r}"
        if heading.startswith("(column "):
            reason = f"no heading stands over column {name_column(block.left + position + 1)}"
        account.settle(where, "quarantined", reason)
    elif rule.set_aside:
        account.settle(where, "set_aside", f"column set aside: {rule.set_aside}")
    elif rule.ask:
        account.settle(where, "quarantined", "the recipe leaves the column undecided")
        open_cells = where & (account.outcomes == "quarantined")
        account.likely[open_cells & (account.likely == "")] = ", ".join(rule.fields)


def _set_year(rule: ColumnRule, context: SheetContext) -> ColumnRule:
    """Give a rule its year in digits, where the recipe takes it from a name."""
    if rule.year in {"file", "sheet"}:
        return replace(rule, year=context.years.get(rule.year))
    return rule


def _fill_names(rule: SheetRule, context: SheetContext) -> dict[str, str]:
    filled = {}
    for name, text in rule.constants.items():
        for word, value in context.names.items():
            text = text.replace(f"{{{word}}}", value)
        filled[name] = text
    return filled


def _drop_needless(
    block: BlockAccount, rule: SheetRule, read: Mapping[Any, RecordValues],
    columns: Sequence[CellColumn], rows: Positions,
) -> Positions:  # fmt: skip
    """Set aside the rows that hold none of the fields that make an exam."""
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
    _keep_records(read, has)
    return rows[has]


def _keep_records(read: Mapping[Any, RecordValues], kept: Mask) -> None:
    """Take the rows that are no exams out of what was read."""
    for record in read.values():
        for name, array in record.values.items():
            record.values[name] = array[kept]
        record.sources[:] = [replace(source, rows=source.rows[kept]) for source in record.sources]


def _spread_labels(shared: RecordValues, labels: RecordValues | None, count: int) -> None:
    """Give the values beside labels to every record; a column of the table goes before a label."""
    if labels is None:
        return
    for name, array in labels.values.items():
        if name in shared.values or not len(array):
            continue
        shared.values[name] = np.full(count, array[0], dtype=object)
        shared.columns[name] = labels.columns[name]


def _read_form(block: BlockAccount, rule: SheetRule, context: SheetContext) -> BlockRecords:
    """Read a block of labels as one record."""
    found = find_labels(block, rule.labels)
    columns = [replace(column, rule=_set_year(column.rule, context)) for column in found.columns]
    first = np.array([0], dtype=np.intp)
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
    _spread_labels(read[SHARED], context.labels, 1)
    top = np.flatnonzero(block.sheet.filled.any(axis=1))[:1].astype(np.intp)
    rows = top if len(top) else first
    filled = block.sheet.filled.any(axis=1)
    tables = assemble_records(
        block, read, rows, constants=_fill_names(rule, context), stem=context.stem
    )
    is_record = block.fates[rows[0]] == "record"
    block.fates[filled] = "not_exam" if is_record else "held"
    block.fates[rows[0]] = "record" if is_record else "held"
    return BlockRecords(tables=tables, tally=_tally(block, tables), notes=found.notes)


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
    return BlockRecords(tables=[], tally=block.count_rows(), notes=notes)
