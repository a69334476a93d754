"""Where every cell went: one account a sheet, and the tables made of all accounts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.errors import BodycondError, name_first_few
from bodycond.legacy.grids import name_column
from bodycond.legacy.sheets import Sheet

OUTCOMES: tuple[str, ...] = ("accepted", "converted", "quarantined", "set_aside")

LEDGER_COLUMNS: tuple[str, ...] = (
    "file", "sheet", "row", "column", "address", "raw", "outcome", "target", "value", "reason",
)  # fmt: skip
QUARANTINE_COLUMNS: tuple[str, ...] = (
    "file", "sheet", "row", "column", "address", "raw", "reason", "likely", "target", "exam_id",
)  # fmt: skip
RECONCILIATION_COLUMNS: tuple[str, ...] = (
    "file", "sheet", "raw_cells", *OUTCOMES, "rows_in", "exams_out", "ratings_out", "rows_held",
    "rows_not_exams",
)  # fmt: skip

Texts = npt.NDArray[np.object_]


@dataclass(frozen=True, kw_only=True, eq=False)
class SheetAccount:
    """What became of each cell of a sheet; the arrays are filled while the sheet is read.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    outcomes, targets, values, reasons, likely : ndarray of object, shape of the sheet
        Outcome, column filled, value as text, reason, likely reading; empty texts at first.
    exam_ids : ndarray of object, shape (rows,)
        The exam or handling that a row became; empty where it became none.
    row_fates : ndarray of object, shape (rows,)
        ``exam``, ``rating``, ``held``, ``not_exam``, or empty for an empty row.
    """

    sheet: Sheet
    outcomes: Texts
    targets: Texts
    values: Texts
    reasons: Texts
    likely: Texts
    exam_ids: Texts
    row_fates: Texts

    def settle(
        self,
        where: npt.NDArray[np.bool_],
        outcome: str,
        reason: str | Texts,
        *,
        only_open: bool = True,
    ) -> None:
        """Give cells an outcome and a reason.

        Parameters
        ----------
        where : ndarray of bool
            Cells, in a shape that broadcasts to the sheet's.
        outcome : str
            One of `OUTCOMES`.
        reason : str
            Why.
        only_open : bool, default True
            Leave cells that have an outcome as they are.
        """
        chosen = np.broadcast_to(where, self.outcomes.shape) & self.sheet.filled
        if only_open:
            chosen = chosen & (self.outcomes == "")
        self.outcomes[chosen] = outcome
        self.reasons[chosen] = reason


def open_account(sheet: Sheet) -> SheetAccount:
    """Open the account of a sheet, every cell of it still open.

    Parameters
    ----------
    sheet : Sheet
        The sheet.

    Returns
    -------
    SheetAccount
        Empty texts throughout.
    """
    shape = sheet.texts.shape

    def _blank(*size: int) -> Texts:
        return np.full(size, "", dtype=object)

    return SheetAccount(
        sheet=sheet, outcomes=_blank(*shape), targets=_blank(*shape), values=_blank(*shape),
        reasons=_blank(*shape), likely=_blank(*shape), exam_ids=_blank(shape[0]),
        row_fates=_blank(shape[0]),
    )  # fmt: skip


def build_ledger(accounts: Sequence[SheetAccount]) -> pd.DataFrame:
    """Make the ledger: one row a cell that is not empty, in the order of the sheets.

    Parameters
    ----------
    accounts : sequence of SheetAccount
        The accounts.

    Returns
    -------
    DataFrame
        Columns as in `LEDGER_COLUMNS`.

    Raises
    ------
    BodycondError
        If a cell has no outcome, which is a fault of bodycond and not of the file.
    """
    return _stack([_list_cells(account) for account in accounts], LEDGER_COLUMNS)


def build_quarantine(accounts: Sequence[SheetAccount]) -> pd.DataFrame:
    """Make the table of the quarantined cells.

    Parameters
    ----------
    accounts : sequence of SheetAccount
        The accounts.

    Returns
    -------
    DataFrame
        Columns as in `QUARANTINE_COLUMNS`; ``exam_id`` is missing where the row became no exam.
    """
    parts = []
    for account in accounts:
        held = account.outcomes == "quarantined"
        cells = _list_cells(account, where=held)
        rows, _ = np.nonzero(held)
        cells["likely"] = account.likely[held]
        identifiers = account.exam_ids[rows]
        cells["exam_id"] = [identifier or None for identifier in identifiers]
        parts.append(cells)
    return _stack(parts, QUARANTINE_COLUMNS)


def build_reconciliation(accounts: Sequence[SheetAccount]) -> pd.DataFrame:
    """Count cells and rows by sheet, and check that they add up.

    Parameters
    ----------
    accounts : sequence of SheetAccount
        The accounts.

    Returns
    -------
    DataFrame
        Columns as in `RECONCILIATION_COLUMNS`.

    Raises
    ------
    BodycondError
        If the counts do not add up, which is a fault of bodycond and not of the file.
    """
    rows = [_count(account) for account in accounts]
    frame = pd.DataFrame(rows, columns=list(RECONCILIATION_COLUMNS))
    cells = frame[list(OUTCOMES)].sum(axis=1) - frame["raw_cells"]
    rows_out = frame[["exams_out", "ratings_out", "rows_held", "rows_not_exams"]].sum(axis=1)
    off = frame[(cells != 0) | (rows_out != frame["rows_in"])]
    if len(off):
        places = (f"{row.file}, {row.sheet}" for row in off.itertuples())
        raise BodycondError(
            needed="Every cell and row that comes in must be accounted for",
            found=f"counts that do not add up in {name_first_few(places)}",
            then="This is a fault of bodycond: report it with the recipe and the sheet's layout",
        )
    whole = dict.fromkeys(RECONCILIATION_COLUMNS[2:], "int64")
    return frame.astype({"file": "str", "sheet": "str", **whole})


def _count(account: SheetAccount) -> tuple[Any, ...]:
    sheet = account.sheet
    fates = account.row_fates
    counts = [int((account.outcomes == outcome).sum()) for outcome in OUTCOMES]
    return (
        sheet.file, sheet.name, int(sheet.filled.sum()), *counts,
        int(sheet.filled.any(axis=1).sum()), int((fates == "exam").sum()),
        int((fates == "rating").sum()), int((fates == "held").sum()),
        int((fates == "not_exam").sum()),
    )  # fmt: skip


def _list_cells(
    account: SheetAccount, *, where: npt.NDArray[np.bool_] | None = None
) -> dict[str, Any]:
    sheet = account.sheet
    filled = sheet.filled if where is None else where
    lost = filled & (account.outcomes == "")
    if lost.any():
        row, column = (int(place[0]) for place in np.nonzero(lost))
        raise BodycondError(
            needed="Every cell that is not empty must have an outcome",
            found=f"{int(lost.sum())} without one in {sheet.file}, first "
            f"{sheet.name}!{name_column(column + 1)}{row + 1}",
            then="This is a fault of bodycond: report it with the recipe and the sheet's layout",
        )
    rows, columns = np.nonzero(filled)
    letters = np.array(
        [f"{sheet.name}!{name_column(column + 1)}" for column in range(filled.shape[1])],
        dtype=object,
    )
    numbers = np.array([str(row + 1) for row in range(filled.shape[0])], dtype=object)
    count = len(rows)
    return {
        "file": np.full(count, sheet.file, dtype=object),
        "sheet": np.full(count, sheet.name, dtype=object),
        "row": rows + 1,
        "column": columns + 1,
        "address": letters[columns] + numbers[rows] if count else np.array([], dtype=object),
        "raw": sheet.texts[filled],
        "outcome": account.outcomes[filled],
        "target": account.targets[filled],
        "value": account.values[filled],
        "reason": account.reasons[filled],
    }


def _stack(parts: Sequence[dict[str, Any]], columns: Sequence[str]) -> pd.DataFrame:
    whole = {"row", "column"}
    data = {
        name: np.concatenate([np.asarray(part[name], dtype=object) for part in parts])
        if parts
        else np.array([], dtype=object)
        for name in columns
    }
    frame = pd.DataFrame(data, columns=list(columns))
    return frame.astype({name: "int64" if name in whole else "str" for name in columns})
