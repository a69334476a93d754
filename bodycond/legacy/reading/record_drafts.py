"""Records of a block before those that say nothing are left out: held, named and numbered."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from bodycond.columns import Column
from bodycond.legacy.reading.block_accounts import LABEL, BlockAccount, Mask, Objects, Positions
from bodycond.legacy.reading.cell_columns import CellColumn
from bodycond.legacy.recipes.targets import known_columns
from bodycond.tables_on_disk import name_column


@dataclass(frozen=True, kw_only=True, eq=False)
class RecordDraft:
    """The records of one kind before those that say nothing are left out.

    Parameters
    ----------
    table : {"exams", "ratings"}
        The table that they belong to.
    values : dict of str to ndarray of object
        Values by column of the table, one a row of data.
    columns : dict of str to Column
        The columns filled.
    exists : ndarray of bool
        The rows of data that give such a record.
    sources : list of CellColumn
        The cells that are the record's own.
    """

    table: str
    values: dict[str, Objects]
    columns: dict[str, Column]
    exists: Mask
    sources: list[CellColumn]


@dataclass(frozen=True, kw_only=True, eq=False)
class RecordRows:
    """The rows of the block that records stand in.

    Parameters
    ----------
    rows : ndarray of int
        Row of each record; of a form the first that holds anything.
    is_form : bool
        The one record takes all rows of the block.
    """

    rows: Positions
    is_form: bool

    def list_rows(self, block: BlockAccount, where: Mask) -> Positions:
        """List the rows of some records.

        Parameters
        ----------
        block : BlockAccount
            The block.
        where : ndarray of bool
            The records.

        Returns
        -------
        ndarray of int
            Rows of the block.
        """
        if self.is_form and where.any():
            return np.arange(len(block.fates), dtype=np.intp)
        return self.rows[where]


def find_made(drafts: Sequence[RecordDraft], count: int) -> Mask:
    """Tell which rows of data give any record.

    Parameters
    ----------
    drafts : sequence of RecordDraft
        The records.
    count : int
        How many rows of data there are.

    Returns
    -------
    ndarray of bool
        One a row of data.
    """
    found = np.zeros(count, dtype=bool)
    for draft in drafts:
        found |= draft.exists
    return found


def require_names(
    block: BlockAccount, draft: RecordDraft, drafts: Sequence[RecordDraft], places: RecordRows
) -> None:
    """Hold ratings that name no bird or no scorer.

    Parameters
    ----------
    block : BlockAccount
        The block.
    draft : RecordDraft
        Ratings; those without a name are taken out.
    drafts : sequence of RecordDraft
        All records of the block.
    places : RecordRows
        Where they stand.
    """
    for name, what in (("bird_id", "bird"), ("scorer", "scorer")):
        array = draft.values.get(name)
        named = np.zeros(len(places.rows), dtype=bool)
        if array is not None:
            named[:] = [value is not None for value in array]
        nameless = draft.exists & ~named
        draft.exists[:] = draft.exists & named
        others = find_made(drafts, len(places.rows))
        hold_rows(block, places, nameless & ~others, f"the row names no {what}")
        for source in draft.sources:
            _hold_cells(block, source, nameless & others, f"no {what} is named for the rating")


def _hold_cells(block: BlockAccount, source: CellColumn, where: Mask, reason: str) -> None:
    """Hold cells of a record that cannot be made, in rows that make another."""
    used = np.isin(block.account.outcomes[source.place], ["accepted", "converted"])
    held = to_objects(["quarantined"] * len(where))
    values = block.account.values[source.place]
    source.write(block, where & used, outcomes=held, reasons=to_objects([reason] * len(where)),
                 values=to_objects([""] * len(where)), likely=values, target="")  # fmt: skip


def hold_rows(block: BlockAccount, places: RecordRows, where: Mask, reason: str) -> None:
    """Hold rows whole: what was read of them becomes the likely reading.

    Parameters
    ----------
    block : BlockAccount
        The block.
    places : RecordRows
        Where its records stand.
    where : ndarray of bool
        The records that are held.
    reason : str
        Why.
    """
    chosen = places.list_rows(block, where)
    account, sheet = block.account, block.sheet
    chosen = chosen[sheet.filled[chosen].any(axis=1)]
    if not len(chosen):
        return
    outcomes, reasons = account.outcomes[chosen], account.reasons[chosen]
    values, likely = account.values[chosen], account.likely[chosen]
    unsettled = np.isin(outcomes, ["accepted", "converted"])
    settled = np.isin(outcomes, ["set_aside", LABEL])
    aside = settled.sum(axis=1) == sheet.filled[chosen].sum(axis=1)
    likely[unsettled], values[unsettled] = values[unsettled], ""
    outcomes[unsettled], reasons[unsettled] = "quarantined", f"row held: {reason}"
    account.outcomes[chosen], account.reasons[chosen] = outcomes, reasons
    account.values[chosen], account.likely[chosen] = values, likely
    block.fates[chosen[~aside]] = "held"
    block.fates[chosen[aside]] = "not_exam"


def number_exams(
    block: BlockAccount, drafts: Sequence[RecordDraft], places: RecordRows, stem: str
) -> None:
    """Give each exam a number where the sheet has none, and each rating that of its exam.

    Of several exams of one row the first has the row's own number, and each other that number
    with its place behind it, unless a column of its own gives it one.

    Parameters
    ----------
    block : BlockAccount
        The block; the numbers are written beside its cells too.
    drafts : sequence of RecordDraft
        Its records.
    places : RecordRows
        Where they stand.
    stem : str
        What made numbers begin with.
    """
    exams = [draft for draft in drafts if draft.table == "exams"]
    letters = name_column(block.left + 1) if block.left else ""
    for number, draft in enumerate(exams, start=1):
        suffix = f".{number}" if len(exams) > 1 else ""
        own = draft.values.get("exam_id")
        behind = "" if number == 1 or _has_own_number(draft) else suffix
        draft.values["exam_id"] = to_objects([
            f"{own[i]}{behind}" if own is not None and own[i] is not None
            else f"{stem}:{letters}{block.top + row + 1}{suffix}"
            for i, row in enumerate(places.rows)
        ])  # fmt: skip
    if len(exams) == 1:
        for draft in drafts:
            if draft.table == "ratings":
                numbers = exams[0].values["exam_id"].copy()
                numbers[~exams[0].exists] = None
                draft.values["exam_id"] = numbers
                draft.columns["exam_id"] = known_columns("ratings")["exam_id"]
    _write_numbers(block, drafts, places)


def _has_own_number(draft: RecordDraft) -> bool:
    return any("exam_id" in source.rule.fields for source in draft.sources)


def _write_numbers(block: BlockAccount, drafts: Sequence[RecordDraft], places: RecordRows) -> None:
    """Write the numbers beside the cells: a row's own, then those of each record's cells."""
    exams = [draft for draft in drafts if draft.table == "exams"]
    for draft in exams if len(exams) == 1 else drafts if len(drafts) == 1 else []:
        at, numbers = _find_numbered(draft)
        block.account.exam_ids[places.list_rows(block, at)] = numbers[at][:, None]
    for draft in drafts if len(drafts) > 1 else []:
        at, numbers = _find_numbered(draft)
        for source in draft.sources:
            rows, columns = source.place
            wide = np.broadcast_to(np.asarray(columns), len(rows))
            block.account.exam_ids[rows[at], wide[at]] = numbers[at]


def _find_numbered(draft: RecordDraft) -> tuple[Mask, Objects]:
    numbers = draft.values.get("exam_id")
    if numbers is None:
        return np.zeros(len(draft.exists), dtype=bool), np.empty(len(draft.exists), dtype=object)
    return draft.exists & np.array([number is not None for number in numbers], dtype=bool), numbers


def to_objects(items: list[Any]) -> Objects:
    """Put values into an array of objects, whatever they are.

    Parameters
    ----------
    items : list
        The values.

    Returns
    -------
    ndarray of object
        Shape (len(items),).
    """
    array = np.empty(len(items), dtype=object)
    array[:] = items
    return array
