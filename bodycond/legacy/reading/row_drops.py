"""Rows that a person said to be no exams: which blocks of the sheet each decision is about."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from bodycond.legacy.corrections.correction_log import APPLIED, LoggedCorrection
from bodycond.legacy.corrections.corrections import word_correction
from bodycond.legacy.ledger import SheetAccount
from bodycond.legacy.reading.block_context import BlockRecords, RowDrop
from bodycond.legacy.recipes.sheet_areas import Block


def place_drops(
    logged: Iterable[LoggedCorrection], blocks: Sequence[Block]
) -> tuple[LoggedCorrection, ...]:
    """Find the columns that each decision on a row is about.

    Parameters
    ----------
    logged : iterable of LoggedCorrection
        From `apply_to_sheet`.
    blocks : sequence of Block
        The blocks of the sheet.

    Returns
    -------
    tuple of LoggedCorrection
        Of several blocks side by side a decision on a cell is about its own. A decision that
        names the row, or a cell outside the blocks, is about all of them.
    """
    placed = []
    for entry in logged:
        if entry.applied and entry.correction.decision == "not_exam" and entry.column is not None:
            beside = [block for block in blocks if block.top <= (entry.row or 0) < block.bottom]
            own = [block for block in beside if block.left <= entry.column < block.right]
            if own and len(own) < len(beside):
                columns = min(b.left for b in own), max(b.right for b in own)
                entry = replace(entry, columns=columns)
        placed.append(entry)
    return tuple(placed)


def list_drops(logged: Iterable[LoggedCorrection], n_columns: int) -> tuple[RowDrop, ...]:
    """List what is no exam by decision.

    Parameters
    ----------
    logged : iterable of LoggedCorrection
        With their columns, as `place_drops` gives.
    n_columns : int
        Columns of the sheet.

    Returns
    -------
    tuple of RowDrop
        In the order of the decisions.
    """
    drops = []
    for entry in logged:
        if entry.applied and entry.row is not None and entry.correction.decision == "not_exam":
            left, right = entry.columns or (0, n_columns)
            reason = word_correction(entry.correction, raw=entry.correction.raw)
            drops.append(RowDrop(row=entry.row, left=left, right=right, reason=reason))
    return tuple(drops)


def settle_drops(account: SheetAccount, drops: Sequence[RowDrop]) -> None:
    """Set the cells of dropped rows aside before anything else reads them.

    Parameters
    ----------
    account : SheetAccount
        The account of the sheet.
    drops : sequence of RowDrop
        The decisions; of two on one cell the first counts.
    """
    for drop in drops:
        where = np.zeros(account.outcomes.shape, dtype=bool)
        where[drop.row, drop.left : drop.right] = True
        account.settle(where, "set_aside", drop.reason)


def word_drops(
    logged: Iterable[LoggedCorrection], undropped: Sequence[BlockRecords], n_columns: int
) -> tuple[LoggedCorrection, ...]:
    """Say beside each decision on a row how many records it dropped.

    Parameters
    ----------
    logged : iterable of LoggedCorrection
        With their columns, as `place_drops` gives.
    undropped : sequence of BlockRecords
        The blocks of the same sheet as they read without these decisions.
    n_columns : int
        Columns of the sheet.

    Returns
    -------
    tuple of LoggedCorrection
        A record that two decisions drop is counted with the first.
    """
    counted: set[tuple[int, int, int]] = set()
    worded = []
    for entry in logged:
        for drop in list_drops([entry], n_columns):
            found = _find_records(drop, undropped) - counted
            counted |= found
            if entry.outcome == APPLIED:
                entry = replace(entry, outcome=f"{APPLIED}; {_word_count(len(found))} dropped")
        worded.append(entry)
    return tuple(worded)


def _word_count(count: int) -> str:
    return f"{count or 'no'} record{'s' if count > 1 else ''}"


def _find_records(drop: RowDrop, read: Sequence[BlockRecords]) -> set[tuple[int, int, int]]:
    """Find records by block, table and place in the table."""
    found = set()
    for number, records in enumerate(read):
        if drop.meets(*records.block.span):
            for part, table in enumerate(records.tables):
                at = np.arange(len(table.rows)) if records.is_form else np.flatnonzero(
                    table.rows == drop.row)  # fmt: skip
                found |= {(number, part, int(place)) for place in at}
    return found
