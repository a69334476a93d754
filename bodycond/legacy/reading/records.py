"""Records made of the values of a block: one a row, or one for each that headings name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from bodycond.columns import Column
from bodycond.legacy.files.grids import name_column
from bodycond.legacy.reading.block_accounts import (
    BlockAccount,
    CellColumn,
    Mask,
    Objects,
    Positions,
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
_IN_RATINGS = {"exam_date": "rated_on"}


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


@dataclass(frozen=True, kw_only=True, eq=False)
class _Draft:
    """The records of one kind before those that say nothing are left out."""

    table: str
    values: dict[str, Objects]
    columns: dict[str, Column]
    exists: Mask
    sources: list[CellColumn]


def assemble_records(
    block: BlockAccount, read: Mapping[Record, RecordValues], rows: Positions, *,
    constants: Mapping[str, str], stem: str,
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

    Returns
    -------
    list of SheetTable
        At most one a table. Rows that give no record are held whole, with the reason.
    """
    drafts = _draft_records(block, read, len(rows), constants)
    _hold_rows(block, rows, ~_any_exists(drafts, len(rows)), _word_nothing(read))
    for draft in drafts:
        if draft.table == "ratings":
            _require_names(block, draft, drafts, rows)
    made = _any_exists(drafts, len(rows))
    block.fates[rows[made & (block.fates[rows] == "")]] = "record"
    numbered = _number_exams(block, drafts, rows, stem)
    tables = {draft.table: None for draft in numbered}
    return [_merge(block, [d for d in numbered if d.table == table], rows, table)
            for table in tables]  # fmt: skip


def _word_nothing(read: Mapping[Record, RecordValues]) -> str:
    if len(read) > 1:
        return "none of the columns that make a record holds anything"
    return "the row gives no value"


def _any_exists(drafts: list[_Draft], count: int) -> Mask:
    found = np.zeros(count, dtype=bool)
    for draft in drafts:
        found |= draft.exists
    return found


def _draft_records(
    block: BlockAccount, read: Mapping[Record, RecordValues], count: int,
    constants: Mapping[str, str],
) -> list[_Draft]:  # fmt: skip
    shared = read[SHARED]
    own = [record for record in read if record != SHARED]
    shared_said = _say_value(block, shared.sources, count)
    drafts = []
    # Where headings name records of the sheet's own table, a row without them is none.
    if not any(read[record].table == shared.table for record in own):
        drafts.append(_Draft(table=shared.table, values=dict(shared.values),
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
        draft = _Draft(table=part.table, values=values, columns=columns | part.columns,
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
        target = _IN_RATINGS.get(name, name) if table == "ratings" else name
        if target in known:
            values[target], columns[target] = array, known[target]
    return values, columns


def _share_constants(constants: Mapping[str, str], table: str, target: str) -> dict[str, str]:
    if table == target:
        return dict(constants)
    names = {name: _IN_RATINGS.get(name, name) for name in constants}
    known = known_columns(target)
    return {names[name]: text for name, text in constants.items() if names[name] in known}


def _add_constants(draft: _Draft, constants: Mapping[str, str]) -> None:
    for name, text in constants.items():
        column, value = type_constant(name, text, table=draft.table)
        draft.columns[name] = column
        given = draft.values.get(name)
        constant = np.full(len(draft.exists), value, dtype=object)
        if name == "remarks" and given is not None:
            constant = join_texts(given, constant)
        draft.values[name] = constant


def _say_value(block: BlockAccount, sources: list[CellColumn], count: int) -> Mask:
    """Tell which rows have at least one value; a row of held cells alone has none."""
    said = np.zeros(count, dtype=bool)
    for source in sources:
        outcomes = block.account.outcomes[source.place]
        used = (outcomes == "accepted") | (outcomes == "converted")
        given = used & (block.account.values[source.place] != "")
        said |= given if source.present is None else given & source.present
    return said


def _require_names(
    block: BlockAccount, draft: _Draft, drafts: list[_Draft], rows: Positions
) -> None:
    """Hold ratings that name no bird or no scorer."""
    for name, what in (("bird_id", "bird"), ("scorer", "scorer")):
        array = draft.values.get(name)
        named = np.zeros(len(rows), dtype=bool)
        if array is not None:
            named[:] = [value is not None for value in array]
        nameless = draft.exists & ~named
        draft.exists[:] = draft.exists & named
        others = _any_exists(drafts, len(rows))
        _hold_rows(block, rows, nameless & ~others, f"the row names no {what}")
        for source in draft.sources:
            _hold_cells(block, source, nameless & others, f"no {what} is named for the rating")


def _hold_cells(block: BlockAccount, source: CellColumn, where: Mask, reason: str) -> None:
    """Hold cells of a record that cannot be made, in rows that make another."""
    used = np.isin(block.account.outcomes[source.place], ["accepted", "converted"])
    held = to_objects(["quarantined"] * len(where))
    values = block.account.values[source.place]
    source.write(block, where & used, outcomes=held, reasons=to_objects([reason] * len(where)),
                 values=to_objects([""] * len(where)), likely=values, target="")  # fmt: skip


def _hold_rows(block: BlockAccount, rows: Positions, where: Mask, reason: str) -> None:
    """Hold rows whole: what was read of them becomes the likely reading."""
    chosen = rows[where]
    account, sheet = block.account, block.sheet
    chosen = chosen[sheet.filled[chosen].any(axis=1)]
    if not len(chosen):
        return
    outcomes, reasons = account.outcomes[chosen], account.reasons[chosen]
    values, likely = account.values[chosen], account.likely[chosen]
    unsettled = np.isin(outcomes, ["accepted", "converted"])
    aside = (outcomes == "set_aside").sum(axis=1) == sheet.filled[chosen].sum(axis=1)
    likely[unsettled], values[unsettled] = values[unsettled], ""
    outcomes[unsettled], reasons[unsettled] = "quarantined", f"row held: {reason}"
    account.outcomes[chosen], account.reasons[chosen] = outcomes, reasons
    account.values[chosen], account.likely[chosen] = values, likely
    block.fates[chosen[~aside]] = "held"
    block.fates[chosen[aside]] = "not_exam"


def _number_exams(
    block: BlockAccount, drafts: list[_Draft], rows: Positions, stem: str
) -> list[_Draft]:
    """Give each exam a number where the sheet has none, and each rating that of its exam."""
    exams = [draft for draft in drafts if draft.table == "exams"]
    letters = name_column(block.left + 1) if block.left else ""
    for number, draft in enumerate(exams, start=1):
        suffix = f".{number}" if len(exams) > 1 else ""
        own = draft.values.get("exam_id")
        draft.values["exam_id"] = to_objects([
            str(own[i]) if own is not None and own[i] is not None
            else f"{stem}:{letters}{block.top + row + 1}{suffix}"
            for i, row in enumerate(rows)
        ])  # fmt: skip
    if len(exams) == 1:
        for draft in drafts:
            if draft.table == "ratings":
                numbers = exams[0].values["exam_id"].copy()
                numbers[~exams[0].exists] = None
                draft.values["exam_id"] = numbers
                draft.columns["exam_id"] = known_columns("ratings")["exam_id"]
    _write_numbers(block, drafts, rows)
    return drafts


def _write_numbers(block: BlockAccount, drafts: list[_Draft], rows: Positions) -> None:
    for draft in drafts:
        numbers = draft.values.get("exam_id")
        if numbers is None:
            continue
        at = draft.exists & np.array([number is not None for number in numbers], dtype=bool)
        if len(drafts) == 1:
            block.account.exam_ids[rows[at]] = numbers[at][:, None]
            continue
        for source in draft.sources:
            place_rows, place_columns = source.place
            columns = np.broadcast_to(np.asarray(place_columns), len(place_rows))
            block.account.exam_ids[place_rows[at], columns[at]] = numbers[at]


def _merge(block: BlockAccount, drafts: list[_Draft], rows: Positions, table: str) -> SheetTable:
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
