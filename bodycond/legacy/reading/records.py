"""Records made of the values of a block: one a row, or one for each that headings name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from bodycond.columns import Column
from bodycond.legacy.notation import parse_date
from bodycond.legacy.reading.block_accounts import BlockAccount, Mask, Objects, Positions
from bodycond.legacy.reading.cell_columns import CellColumn
from bodycond.legacy.reading.record_drafts import (
    RecordDraft,
    RecordRows,
    find_made,
    hold_rows,
    number_exams,
    require_names,
)
from bodycond.legacy.reading.table_columns import (
    SHARED,
    Record,
    RecordValues,
    join_texts,
    type_constant,
)
from bodycond.legacy.recipes.targets import known_columns

# Names of the same thing in the two tables.
IN_RATINGS = {"exam_date": "rated_on"}
"""Columns of exams that have another name in ratings."""


@dataclass(frozen=True, kw_only=True, eq=False)
class SheetTable:
    """The records that a block of a sheet gives to one table.

    Parameters
    ----------
    table : {"exams", "ratings"}
        The table that they belong to.
    values : mapping of str to ndarray of object, shape (records,)
        Values by column; None where missing.
    columns : mapping of str to Column
        The columns that the block fills.
    rows : ndarray of int, shape (records,)
        Row of the sheet, counted from 0.
    """

    table: str
    values: Mapping[str, Objects]
    columns: Mapping[str, Column]
    rows: Positions


def assemble_records(
    block: BlockAccount, read: Mapping[Record, RecordValues], rows: Positions, *,
    constants: Mapping[str, str], stem: str, is_form: bool = False,
) -> list[SheetTable]:  # fmt: skip
    """Make the records of a block and say in its account where each row went.

    Parameters
    ----------
    block : BlockAccount
        The block, its cells read.
    read : mapping of Record to RecordValues
        As `read_columns` gives.
    rows : ndarray of int
        Row of the block of each row of data, or first row of each form.
    constants : mapping of str to str
        Fields with one value, of the table of the sheet.
    stem : str
        What made exam numbers begin with.
    is_form : bool, default False
        The whole block is one record, whose first row is given.

    Returns
    -------
    list of SheetTable
        At most one a table. Rows that give no record are held whole, with the reason.
    """
    drafts = _draft_records(block, read, len(rows), constants)
    places = RecordRows(rows=rows, is_form=is_form)
    hold_rows(block, places, ~find_made(drafts, len(rows)), _word_nothing(read))
    for draft in drafts:
        if draft.table == "ratings":
            require_names(block, draft, drafts, places)
    made = find_made(drafts, len(rows))
    block.fates[rows[made & (block.fates[rows] == "")]] = "record"
    number_exams(block, drafts, places, stem)
    tables = {draft.table: None for draft in drafts}
    return [_merge(block, [d for d in drafts if d.table == table], rows, table)
            for table in tables]  # fmt: skip


def _word_nothing(read: Mapping[Record, RecordValues]) -> str:
    if len(read) > 1:
        return "none of the columns that make a record holds anything"
    return "the row gives no value"


def _draft_records(
    block: BlockAccount, read: Mapping[Record, RecordValues], count: int,
    constants: Mapping[str, str],
) -> list[RecordDraft]:  # fmt: skip
    shared = read[SHARED]
    own = [record for record in read if record != SHARED]
    shared_said = _say_value(block, shared.sources, count)
    drafts = []
    # Where headings name records of the sheet's own table, a row without them is none.
    if not any(read[record].table == shared.table for record in own):
        drafts.append(RecordDraft(table=shared.table, values=dict(shared.values),
                             columns=dict(shared.columns), exists=shared_said,
                             sources=shared.sources))  # fmt: skip
        _add_constants(drafts[0], constants)
    for record in own:
        part = read[record]
        values, columns = _share(shared, part.table)
        remarks = join_texts(values.get("remarks"), part.values["remarks"]) if (
            "remarks" in part.values) else None  # fmt: skip
        values |= part.values
        if remarks is not None:
            values["remarks"] = remarks
        exists = np.zeros(count, dtype=bool)
        for source in part.sources:
            exists |= source.says_something(block)
        draft = RecordDraft(table=part.table, values=values, columns=columns | part.columns,
                       exists=exists, sources=part.sources)  # fmt: skip
        _add_constants(draft, _share_constants(constants, shared.table, part.table))
        _add_constants(draft, dict(record[1]))
        drafts.append(draft)
    return drafts


def _share(shared: RecordValues, table: str) -> tuple[dict[str, Objects], dict[str, Column]]:
    """Give the row's own values to a record, as far as its table has a place for them."""
    if table == shared.table:
        return dict(shared.values), dict(shared.columns)
    known = known_columns(table)
    values, columns = {}, {}
    for name, array in shared.values.items():
        target = IN_RATINGS.get(name, name) if table == "ratings" else name
        if target in known:
            values[target], columns[target] = array, known[target]
    return values, columns


def _share_constants(constants: Mapping[str, str], table: str, target: str) -> dict[str, str]:
    if table == target:
        return dict(constants)
    names = {name: IN_RATINGS.get(name, name) for name in constants}
    known = known_columns(target)
    return {names[name]: text for name, text in constants.items() if names[name] in known}


def _add_constants(draft: RecordDraft, constants: Mapping[str, str]) -> None:
    for name, text in constants.items():
        column, value = type_constant(name, text, table=draft.table)
        draft.columns[name] = column
        given = draft.values.get(name)
        constant = np.full(len(draft.exists), value, dtype=object)
        if name == "remarks" and given is not None:
            constant = join_texts(given, constant)
        draft.values[name] = constant
        if name == "exam_date" and draft.table == "exams":
            precision = "exam_date_precision"
            draft.columns[precision] = known_columns("exams")[precision]
            draft.values[precision] = np.full(
                len(constant), parse_date(text).precision, dtype=object
            )


def _say_value(block: BlockAccount, sources: list[CellColumn], count: int) -> Mask:
    """Tell which rows have at least one value; a row of held cells alone has none."""
    said = np.zeros(count, dtype=bool)
    for source in sources:
        outcomes = block.account.outcomes[source.place]
        used = (outcomes == "accepted") | (outcomes == "converted")
        given = used & (block.account.values[source.place] != "")
        said |= given if source.present is None else given & source.present
    return said


def _merge(
    block: BlockAccount, drafts: list[RecordDraft], rows: Positions, table: str
) -> SheetTable:
    """Put the records of all kinds of one table together, in the order of the rows."""
    places = [np.flatnonzero(draft.exists) for draft in drafts]
    order = np.argsort(np.concatenate(places), kind="stable") if places else np.array([], int)
    columns: dict[str, Column] = {}
    for draft in drafts:
        columns |= draft.columns
    names = dict.fromkeys(name for draft in drafts for name in draft.values)
    values: dict[str, Objects] = {}
    for name in names:
        pieces = [
            draft.values[name][where] if name in draft.values
            else np.full(len(where), None, dtype=object)
            for draft, where in zip(drafts, places, strict=True)
        ]  # fmt: skip
        values[name] = np.concatenate(pieces)[order]
    sheet_rows = rows[np.concatenate(places)[order]] + block.top
    return SheetTable(table=table, values=values, columns=columns, rows=sheet_rows)
