"""One sheet read by its rule: a block of table rows, and the account of every cell."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from bodycond.columns import Column
from bodycond.errors import name_first_few
from bodycond.legacy.grids import name_column
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
    everywhere = np.ones(1, dtype=bool)
    why_held = _find_why_held(sheet, rule)
    table, said = None, list(sheet.notes)
    if rule is None or why_held:
        account.settle(everywhere, "quarantined", why_held)
        account.row_fates[sheet.filled.any(axis=1)] = "held"
        said += [f"held whole, {why_held}"] if sheet.filled.any() else []
    elif rule.table == "set_aside":
        account.settle(everywhere, "set_aside", f"the sheet is set aside: {rule.why}")
        account.row_fates[sheet.filled.any(axis=1)] = "not_exam"
    else:
        table, noted = _read_table(account, rule, recipe, stem=stem)
        said += noted
    said += _add_structure_reasons(account)
    notes = tuple(f"{sheet.file}, sheet {sheet.name}: {note}" for note in said)
    return SheetImport(account=account, table=table, notes=notes)


def _find_why_held(sheet: Sheet, rule: SheetRule | None) -> str:
    """Say why a sheet cannot be read at all; the empty text where it can."""
    if rule is None:
        return "the recipe has no entry for this sheet"
    if rule.ask:
        return "the recipe leaves the sheet undecided"
    if rule.table == "set_aside" or not rule.columns:
        return ""
    headings = name_headings(sheet, rule.heading_rows)
    matched, _ = _match_columns(headings, rule)
    if any(matched) or not sheet.filled.any():
        return ""
    rows = " and ".join(str(row) for row in rule.heading_rows) or "(none)"
    return f"none of the recipe's headings stands in heading_row {rows}"


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
    _settle_struck(account, reasons)
    rows = np.flatnonzero((reasons == "") & ~lone)
    notes += _note_merged(sheet, rows)
    account.row_fates[lone] = "held"
    for position, (heading, column_rule) in enumerate(zip(headings, rules, strict=True)):
        _settle_unused(account, position, heading, column_rule)
    values, columns = read_columns(account, rule, recipe, rules, rows)
    add_constants(values, columns, rule, len(rows))
    table = SheetTable(table=rule.table, values=values, columns=columns, rows=rows)
    return _keep_rows(account, table, rule, stem=stem), notes


def _settle_struck(account: SheetAccount, row_reasons: Objects) -> None:
    """Set struck cells of rows of data aside, and hold those of which a part is struck."""
    partly = account.sheet.partly_struck
    for row, column in sorted([*account.sheet.struck, *partly]):
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


def _note_merged(sheet: Sheet, rows: npt.NDArray[np.intp]) -> list[str]:
    data = set(rows.tolist())
    ranges = [
        f"{name_column(left + 1)}{top + 1}:{name_column(right + 1)}{bottom + 1}"
        for top, left, bottom, right in sheet.merged
        if bottom > top and len(data.intersection(range(top, bottom + 1))) > 1
    ]
    if not ranges:
        return []
    return [
        f"merged over rows, and counted for the first row alone: {name_first_few(ranges)}; "
        "fill_down: true repeats a column's values"
    ]


def _match_columns(
    headings: list[str], rule: SheetRule
) -> tuple[list[ColumnRule | None], list[str]]:
    def _fold(text: str) -> str:
        return " ".join(text.split()).casefold()

    by_name = {column.heading: column for column in rule.columns}
    by_fold = {_fold(column.heading): column for column in rule.columns}
    exact = set(headings) & set(by_name)
    folded = Counter(_fold(heading) for heading in headings)
    matched: list[ColumnRule | None] = []
    for heading in headings:
        found = by_name.get(heading)
        loose = by_fold.get(_fold(heading))
        # Of 'WT' and 'wt' neither is surely the recipe's 'Wt'.
        if found is None and loose is not None and folded[_fold(heading)] == 1:
            found = loose if loose.heading not in exact else None
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
