"""One sheet read by its rule: a block of table rows, and the account of every cell."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from bodycond.columns import Column
from bodycond.legacy.layout import find_lone_cells, name_headings, sort_rows
from bodycond.legacy.ledger import SheetAccount, open_account
from bodycond.legacy.recipe import ImportRecipe
from bodycond.legacy.recipe_rules import ColumnRule, SheetRule
from bodycond.legacy.sheets import Sheet
from bodycond.legacy.table_columns import add_constants, read_columns, to_objects

Objects = npt.NDArray[np.object_]


@dataclass(frozen=True, kw_only=True, eq=False)
class SheetTable:
    """The rows that a sheet gives.

    Parameters
    ----------
    table : {"exams", "ratings"}
        The table that they belong to.
    values : mapping of str to ndarray of object, shape (rows,)
        Values by column; None where missing.
    columns : mapping of str to Column
        The columns that the sheet fills.
    rows : ndarray of int, shape (rows,)
        Row of the sheet, counted from 0.
    """

    table: str
    values: Mapping[str, Objects]
    columns: Mapping[str, Column]
    rows: npt.NDArray[np.intp]


@dataclass(frozen=True, kw_only=True, eq=False)
class SheetImport:
    """What reading a sheet gave.

    Parameters
    ----------
    account : SheetAccount
        Where its cells went.
    table : SheetTable or None
        Its rows; None for a sheet that gives none.
    notes : tuple of str
        What a reader of the import should know.
    """

    account: SheetAccount
    table: SheetTable | None
    notes: tuple[str, ...]


def import_sheet(sheet: Sheet, recipe: ImportRecipe, *, stem: str) -> SheetImport:
    """Read a sheet by the first rule of the recipe that matches it.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    recipe : ImportRecipe
        The recipe.
    stem : str
        What the sheet's exam numbers begin with where it has none of its own.

    Returns
    -------
    SheetImport
        Every cell that is not empty has an outcome.
    """
    account = open_account(sheet)
    rule = recipe.find_rule(file=sheet.file, sheet=sheet.name)
    notes = [f"{sheet.file}, sheet {sheet.name}: {note}" for note in sheet.notes]
    everywhere = np.ones(1, dtype=bool)
    if rule is None or rule.ask:
        reason = (
            "the recipe has no entry for this sheet"
            if rule is None
            else ("the recipe leaves the sheet undecided")
        )
        account.settle(everywhere, "quarantined", reason)
        account.row_fates[sheet.filled.any(axis=1)] = "held"
        if sheet.filled.any():
            notes.append(f"{sheet.file}, sheet {sheet.name}: held whole, {reason}")
        return SheetImport(account=account, table=None, notes=tuple(notes))
    if rule.table == "set_aside":
        account.settle(everywhere, "set_aside", f"the sheet is set aside: {rule.why}")
        account.row_fates[sheet.filled.any(axis=1)] = "not_exam"
        return SheetImport(account=account, table=None, notes=tuple(notes))
    table, said = _read_table(account, rule, recipe, stem=stem)
    notes += [f"{sheet.file}, sheet {sheet.name}: {note}" for note in said]
    _add_structure_reasons(account)
    return SheetImport(account=account, table=table, notes=tuple(notes))


def _read_table(
    account: SheetAccount, rule: SheetRule, recipe: ImportRecipe, *, stem: str
) -> tuple[SheetTable, list[str]]:
    sheet = account.sheet
    headings = name_headings(sheet, rule.heading_rows)
    rules, notes = _match_columns(headings, rule)
    reasons = sort_rows(sheet, rule)
    out = np.array([reason not in {"", "blank"} for reason in reasons], dtype=bool)
    account.settle(out[:, None], "set_aside", np.broadcast_to(
        reasons[:, None], sheet.texts.shape)[out[:, None] & sheet.filled])  # fmt: skip
    account.row_fates[out] = "not_exam"
    named = sum(not heading.startswith("(column ") for heading in headings)
    lone = find_lone_cells(sheet, reasons, n_columns=named)
    account.settle(lone[:, None], "quarantined", "a cell alone in its row: a note or an exam?")
    for row, column in sheet.struck:
        if row < len(reasons) and reasons[row] == "" and column < len(headings):
            account.settle(_mark(sheet, row, column), "set_aside", "struck through")
    rows = np.flatnonzero((reasons == "") & ~lone)
    account.row_fates[lone] = "held"
    for position, (heading, column_rule) in enumerate(zip(headings, rules, strict=True)):
        _settle_unused(account, position, heading, column_rule)
    values, columns = read_columns(account, rule, recipe, rules, rows)
    add_constants(values, columns, rule, len(rows))
    table = SheetTable(table=rule.table, values=values, columns=columns, rows=rows)
    return _keep_rows(account, table, rule, stem=stem), notes


def _mark(sheet: Sheet, row: int, column: int) -> npt.NDArray[np.bool_]:
    where = np.zeros(sheet.texts.shape, dtype=bool)
    where[row, column] = True
    return where


def _match_columns(
    headings: list[str], rule: SheetRule
) -> tuple[list[ColumnRule | None], list[str]]:
    def _fold(text: str) -> str:
        return " ".join(text.split()).casefold()

    by_name = {column.heading: column for column in rule.columns}
    by_fold = {_fold(column.heading): column for column in rule.columns}
    exact = set(headings) & set(by_name)
    matched: list[ColumnRule | None] = []
    for heading in headings:
        found = by_name.get(heading)
        if found is None:
            loose = by_fold.get(_fold(heading))
            found = loose if loose is not None and loose.heading not in exact else None
        matched.append(found)
    used = {column.heading for column in matched if column is not None}
    absent = [column.heading for column in rule.columns if column.heading not in used]
    new = [
        heading
        for heading, column in zip(headings, matched, strict=True)
        if column is None and not heading.startswith("(column ")
    ]
    notes = []
    if absent:
        listed = ", ".join(repr(name) for name in absent)
        notes.append(f"headings changed: the recipe's {listed} not found")
    if new:
        notes.append(f"headings that the recipe does not name: {', '.join(map(repr, new))}")
    return matched, notes


def _settle_unused(
    account: SheetAccount, position: int, heading: str, rule: ColumnRule | None
) -> None:
    where = np.zeros(account.sheet.texts.shape[1], dtype=bool)
    where[position] = True
    if rule is None:
        reason = f"the recipe does not name the column {heading!r}"
        account.settle(where[None, :], "quarantined", reason)
    elif rule.set_aside:
        account.settle(where[None, :], "set_aside", f"column set aside: {rule.set_aside}")
    elif rule.ask:
        account.settle(where[None, :], "quarantined", "the recipe leaves the column undecided")
        open_cells = where[None, :] & (account.outcomes == "quarantined")
        account.likely[open_cells & (account.likely == "")] = ", ".join(rule.fields)


def _keep_rows(
    account: SheetAccount, table: SheetTable, rule: SheetRule, *, stem: str
) -> SheetTable:
    """Keep the rows that say something; hold the others whole, with the reason."""
    rows = table.rows
    said = np.zeros(len(rows), dtype=bool)
    for position in range(account.sheet.texts.shape[1]):
        outcomes = account.outcomes[rows, position]
        good = (outcomes == "accepted") | (outcomes == "converted")
        said |= good & (account.values[rows, position] != "")
    _hold_rows(account, rows[~said], "the row gives no value")
    if rule.table == "ratings":
        for name, what in (("bird_id", "bird"), ("scorer", "scorer")):
            array = table.values.get(name)
            named = (
                np.zeros(len(rows), dtype=bool)
                if array is None
                else np.array([value is not None for value in array], dtype=bool)
            )
            _hold_rows(account, rows[said & ~named], f"the row names no {what}")
            said &= named
    kept = {name: array[said] for name, array in table.values.items()}
    account.row_fates[rows[said]] = "exam" if rule.table == "exams" else "rating"
    own = kept.get("exam_id")
    if rule.table == "exams":
        made = [
            str(own[i]) if own is not None and own[i] is not None else f"{stem}:{row + 1}"
            for i, row in enumerate(rows[said])
        ]
        kept["exam_id"] = own = to_objects(made)
    if own is not None:
        account.exam_ids[rows[said]] = [identifier or "" for identifier in own]
    return SheetTable(table=table.table, values=kept, columns=table.columns, rows=rows[said])


def _hold_rows(account: SheetAccount, rows: npt.NDArray[np.intp], reason: str) -> None:
    if not len(rows):
        return
    sheet = account.sheet
    empty = ~sheet.filled[rows].any(axis=1)
    rows = rows[~empty]
    unsettled = np.isin(account.outcomes[rows], ["accepted", "converted"])
    aside = (account.outcomes[rows] == "set_aside").sum(axis=1) == sheet.filled[rows].sum(axis=1)
    block_outcomes, block_reasons = account.outcomes[rows], account.reasons[rows]
    block_values, block_likely = account.values[rows], account.likely[rows]
    block_likely[unsettled] = block_values[unsettled]
    block_outcomes[unsettled] = "quarantined"
    block_reasons[unsettled] = f"row held: {reason}"
    block_values[unsettled] = ""
    account.outcomes[rows], account.reasons[rows] = block_outcomes, block_reasons
    account.values[rows], account.likely[rows] = block_values, block_likely
    account.row_fates[rows[~aside]] = "held"
    account.row_fates[rows[aside]] = "not_exam"


def _add_structure_reasons(account: SheetAccount) -> None:
    """Keep comments and formulas in the ledger, beside what the cell gave."""
    for notes, word in ((account.sheet.comments, "comment"), (account.sheet.formulas, "formula")):
        for (row, column), text in notes.items():
            if row < account.reasons.shape[0] and column < account.reasons.shape[1]:
                said = f"{word}: {text}"
                before = account.reasons[row, column]
                account.reasons[row, column] = f"{before}; {said}" if before else said
