"""One sheet read by its rules: records of its blocks, and the account of every cell."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import PurePosixPath

import numpy as np

from bodycond.legacy.corrections.correction_log import LoggedCorrection
from bodycond.legacy.corrections.correction_records import Corrections
from bodycond.legacy.corrections.corrections import (
    apply_to_sheet,
    settle_corrections,
)
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.ledger import RowTally, SheetAccount, open_account
from bodycond.legacy.reading.block_accounts import EMPTIED, Mask, crop_account
from bodycond.legacy.reading.block_context import BlockRecords, RowDrop, SheetContext
from bodycond.legacy.reading.block_reading import read_block
from bodycond.legacy.reading.records import SheetTable
from bodycond.legacy.reading.row_drops import (
    list_drops,
    place_drops,
    settle_drops,
    word_drops,
)
from bodycond.legacy.reading.shared_labels import SharedLabels, read_labels
from bodycond.legacy.recipes.recipe import ImportRecipe
from bodycond.legacy.recipes.recipe_gaps import RecipeGap
from bodycond.legacy.recipes.recipe_rules import SheetRule
from bodycond.legacy.recipes.sheet_areas import Area, Block, cover_cells, find_blocks, read_area
from bodycond.tables_on_disk import name_column

_EVERYWHERE = np.ones((1, 1), dtype=bool)
_YEAR = re.compile(r"(?<!\d)(18|19|20)\d\d(?!\d)", re.ASCII)


@dataclass(frozen=True, kw_only=True, eq=False)
class SheetImport:
    """What reading a sheet gave.

    Parameters
    ----------
    account : SheetAccount
        Where its cells went.
    tables : tuple of SheetTable
        Its records, block by block.
    notes : tuple of str
        What a reader of the import should know.
    logged : tuple of LoggedCorrection
        What became of each correction of the sheet's cells.
    """

    account: SheetAccount
    tables: tuple[SheetTable, ...]
    notes: tuple[str, ...]
    logged: tuple[LoggedCorrection, ...] = ()


def import_sheet(
    sheet: Sheet, recipe: ImportRecipe, *, stem: str, corrections: Corrections | None = None
) -> SheetImport:
    """Read a sheet by the rules of the recipe that match it.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    recipe : ImportRecipe
        The recipe.
    stem : str
        What the sheet's exam numbers begin with where it has none of its own.
    corrections : Corrections, optional
        Decisions of people on single cells.

    Returns
    -------
    SheetImport
        Every cell that is not empty has an outcome.
    """
    raw = sheet
    logged: tuple[LoggedCorrection, ...] = ()
    if corrections is not None:
        sheet, logged = apply_to_sheet(raw, corrections)
    rules = recipe.find_rules(file=sheet.file, sheet=sheet.name)
    blocks = _find_blocks(sheet, rules)
    n_columns = sheet.texts.shape[1]
    logged = place_drops(logged, blocks)
    drops = list_drops(logged, n_columns)
    account = _open_corrected(raw, sheet, drops)
    read = _read_rules(account, rules, blocks, recipe, stem=stem, drops=drops)
    notes = [*sheet.notes, *read.notes, *_add_structure_reasons(account)]
    if logged:
        account.outcomes[account.outcomes == EMPTIED] = ""
        account = settle_corrections(account, raw, logged)
    # Only now is settled which rows still have a held cell.
    account.tallies.extend(_count_rows(account, raw, sheet, read))
    if drops:
        undropped = _open_corrected(raw, sheet, ())
        whole = _read_rules(undropped, rules, blocks, recipe, stem=stem, drops=())
        logged = word_drops(logged, whole.blocks, n_columns)
    tables = tuple(table for records in read.blocks for table in records.tables)
    return SheetImport(account=account, tables=tables, notes=tuple(notes), logged=logged)


@dataclass(frozen=True, kw_only=True, eq=False)
class _ReadRules:
    """What the rules of a sheet gave, and the cells that no block covers."""

    blocks: list[BlockRecords]
    rest: Mask
    notes: list[str]


def _find_blocks(sheet: Sheet, rules: Sequence[SheetRule]) -> list[Block]:
    """Find the blocks of a sheet: its parts, or the sheet itself where none is there."""
    blocks = find_blocks(sheet, [rule for rule in rules if rule.is_part])
    whole = next((rule for rule in rules if not rule.is_part), None)
    return [_span_sheet(sheet, whole)] if not blocks and whole is not None else blocks


def _open_corrected(raw: Sheet, sheet: Sheet, drops: Sequence[RowDrop]) -> SheetAccount:
    """Open the account of a corrected sheet, the rows that are no exams by decision settled."""
    account = open_account(sheet)
    settle_drops(account, drops)
    account.outcomes[raw.filled & ~sheet.filled & (account.outcomes == "")] = EMPTIED
    return account


def _count_rows(
    account: SheetAccount, raw: Sheet, sheet: Sheet, read: _ReadRules
) -> list[RowTally]:
    """Count the rows of each block, those outside of all, and those emptied by decision."""
    tallies = [records.count_rows() for records in read.blocks]
    rows = read.rest.any(axis=1)
    held = (read.rest & (account.outcomes == "quarantined")).any(axis=1)
    tallies.append(RowTally(
        rows_in=int(rows.sum()), rows_held=int(held.sum()),
        rows_not_exams=int((rows & ~held).sum()),
    ))  # fmt: skip
    emptied = int((raw.filled.any(axis=1) & ~sheet.filled.any(axis=1)).sum())
    return [*tallies, RowTally(rows_in=emptied, rows_not_exams=emptied)]


def _span_sheet(sheet: Sheet, rule: SheetRule) -> Block:
    rows, columns = sheet.texts.shape
    return Block(rule=rule, top=0, bottom=rows, left=0, right=columns)


def _read_rules(
    account: SheetAccount, rules: Sequence[SheetRule], blocks: Sequence[Block],
    recipe: ImportRecipe, *, stem: str, drops: Sequence[RowDrop],
) -> _ReadRules:  # fmt: skip
    sheet = account.sheet
    if not rules:
        reason = RecipeGap.NO_ENTRY.word()
        all_cells = crop_account(account, _span_sheet(sheet, SheetRule(file=sheet.file)))
        all_cells.settle_all("quarantined", reason, "held")
        notes = [f"held whole, {reason}"] if sheet.filled.any() else []
        rest = np.zeros(sheet.texts.shape, dtype=bool)
        return _ReadRules(blocks=[BlockRecords(block=all_cells)], rest=rest, notes=notes)
    parts = [rule for rule in rules if rule.is_part]
    whole = next((rule for rule in rules if not rule.is_part), None)
    context, notes = _open_context(account, parts, recipe, stem=stem, drops=drops)
    notes += _note_absent(parts, blocks)
    counts = cover_cells(sheet, blocks)
    covered = counts > 0
    read: list[BlockRecords] = []
    for block in blocks:
        part = crop_account(account, block)
        inside = slice(block.top, block.bottom), slice(block.left, block.right)
        if (counts[inside] > 1).any():
            reason = RecipeGap.DESCRIBED_TWICE.word()
            part.account.settle(_EVERYWHERE, "quarantined", reason)
            covered[inside] = False
            notes.append(_place_note(block, reason))
            continue
        result = read_block(part, block.rule, context)
        read.append(result)
        notes += [_place_note(block, note) for note in result.notes]
    for labels in context.labels:
        labels.close()
    _settle_rest(account, covered, whole if whole not in [b.rule for b in blocks] else None,
                 bool(blocks))  # fmt: skip
    return _ReadRules(blocks=read, rest=sheet.filled & ~covered, notes=notes)


def _place_note(block: Block, note: str) -> str:
    if not block.rule.is_part:
        return note
    place = f"{name_column(block.left + 1)}{block.top + 1}"
    return f"block from {place}: {note}"


def _note_absent(parts: Sequence[SheetRule], blocks: Sequence[Block]) -> list[str]:
    # A moved rule is a copy, its line is the same.
    there = {(block.rule.line, block.rule.starts_at, block.rule.area) for block in blocks}
    notes = []
    for rule in parts:
        if rule.table == "labels" or (rule.line, rule.starts_at, rule.area) in there:
            continue
        if rule.starts_at:
            marks = " or ".join(map(repr, rule.starts_at))
            notes.append(f"the block that starts at {marks} is not on the sheet")
        else:
            notes.append(f"the area {rule.area} of the recipe lies outside the sheet")
    return notes


def _open_context(
    account: SheetAccount, parts: Sequence[SheetRule], recipe: ImportRecipe, *, stem: str,
    drops: Sequence[RowDrop],
) -> tuple[SheetContext, list[str]]:  # fmt: skip
    """Read the labels that go with the whole sheet, and the names that stand in for values."""
    sheet = account.sheet
    labels: list[SharedLabels] = []
    notes: list[str] = []
    for rule in parts:
        if rule.table != "labels":
            continue
        area = read_area(rule.area or "A:XFD") or Area()
        rows, columns = sheet.texts.shape
        block = crop_account(account, Block(
            rule=rule, top=area.top, bottom=min(area.bottom or rows, rows), left=area.left,
            right=min(area.right or columns, columns),
        ))  # fmt: skip
        labels.append(read_labels(block, rule.labels, recipe, table="exams"))
        notes += labels[-1].notes
    file = str(PurePosixPath(sheet.file).with_suffix("")).rsplit("/", maxsplit=1)[-1]
    names = {"file": file, "sheet": sheet.name}
    years = {word: match[0] for word, name in names.items() if (match := _YEAR.search(name))}
    context = SheetContext(
        recipe=recipe, stem=stem, names=names, labels=tuple(labels), years=years,
        drops=drops,
    )  # fmt: skip
    return context, notes


def _settle_rest(
    account: SheetAccount, covered: Mask, whole: SheetRule | None, has_blocks: bool
) -> None:
    """Settle what no block covers."""
    if not (account.sheet.filled & ~covered).any():
        return
    if whole is not None and whole.table == "set_aside":
        account.settle(~covered, "set_aside", f"outside the blocks: {whole.why}")
        return
    reason = RecipeGap.OUTSIDE_BLOCKS.word()
    if whole is not None:
        reason += "; give the entry for the rest an area, or set the rest aside"
    elif not has_blocks:
        reason = RecipeGap.BLOCKS_ABSENT.word()
    account.settle(~covered, "quarantined", reason)


def _add_structure_reasons(account: SheetAccount) -> list[str]:
    """Keep comments and formulas in the ledger beside what the cell gave; note those beside none.

    An empty cell has no row in the ledger, and its comment may say why it is empty.
    """
    sheet, homeless = account.sheet, []
    for notes, word in ((sheet.comments, "comment"), (sheet.formulas, "formula")):
        for (row, column), text in notes.items():
            inside = row < sheet.filled.shape[0] and column < sheet.filled.shape[1]
            if inside and sheet.filled[row, column]:
                said = f"{word}: {text}"
                before = account.reasons[row, column]
                account.reasons[row, column] = f"{before}; {said}" if before else said
            else:
                homeless.append(f"{word} on the empty cell {name_column(column + 1)}{row + 1}: "
                                f"{text}")  # fmt: skip
    return homeless
