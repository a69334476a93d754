"""Where every cell went: one account a sheet, and the tables made of all accounts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.errors import BodycondError, name_first_few
from bodycond.legacy.cell_tables import frame_cells, stack_tables, tabulate_cells
from bodycond.legacy.files.sheets import Sheet
from bodycond.tables_on_disk import SCHEMA_VERSION, name_column, write_bytes

if TYPE_CHECKING:
    import pyarrow as pa

OUTCOMES: tuple[str, ...] = ("accepted", "converted", "quarantined", "set_aside")

LEDGER_COLUMNS: tuple[str, ...] = (
    "file", "sheet", "row", "column", "address", "raw", "outcome", "target", "value", "reason",
)  # fmt: skip
QUARANTINE_COLUMNS: tuple[str, ...] = (
    "file", "sheet", "row", "column", "address", "raw", "reason", "likely", "target", "exam_id",
)  # fmt: skip
RECONCILIATION_COLUMNS: tuple[str, ...] = (
    "file", "sheet", "raw_cells", *OUTCOMES, "rows_in", "rows_spread", "exams_out", "ratings_out",
    "rows_held", "rows_not_exams",
)  # fmt: skip

Texts = npt.NDArray[np.object_]


@dataclass(frozen=True, kw_only=True, slots=True)
class RowTally:
    """What became of the rows of one block of a sheet.

    Parameters
    ----------
    rows_in : int
        Rows that hold anything.
    rows_spread : int
        Records beyond the first that single rows gave, where one row holds several.
    exams_out, ratings_out, rows_held, rows_not_exams : int
        Where they went; these four sum to ``rows_in`` and ``rows_spread`` together.
    """

    rows_in: int = 0
    rows_spread: int = 0
    exams_out: int = 0
    ratings_out: int = 0
    rows_held: int = 0
    rows_not_exams: int = 0


@dataclass(frozen=True, kw_only=True, eq=False)
class SheetAccount:
    """What became of each cell of a sheet; the arrays are filled while the sheet is read.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    outcomes, targets, values, reasons, likely : ndarray of object, shape of the sheet
        Outcome, column filled, value as text, reason, likely reading; empty texts at first.
    exam_ids : ndarray of object, shape of the sheet
        The exam or handling that a cell went to; empty where it went to none.
    tallies : list of RowTally
        Counts of rows, one a block of the sheet and one for what lies outside the blocks.
    """

    sheet: Sheet
    outcomes: Texts
    targets: Texts
    values: Texts
    reasons: Texts
    likely: Texts
    exam_ids: Texts
    tallies: list[RowTally] = field(default_factory=list)

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
        # Most calls are about a column or a few rows: the rest of a large sheet is not looked at.
        if where.ndim == 2 and where.shape[0] == 1 < self.outcomes.shape[0]:
            columns = np.flatnonzero(np.broadcast_to(where[0], self.outcomes.shape[1]))
            block = np.ix_(np.arange(self.outcomes.shape[0]), columns)
        else:
            wide = np.broadcast_to(where, self.outcomes.shape)
            block = np.ix_(np.flatnonzero(wide.any(axis=1)), np.arange(wide.shape[1]))
        chosen = np.broadcast_to(where, self.outcomes.shape)[block] & self.sheet.filled[block]
        outcomes, reasons = self.outcomes[block], self.reasons[block]
        if only_open:
            chosen = chosen & (outcomes == "")
        outcomes[chosen], reasons[chosen] = outcome, reason
        self.outcomes[block], self.reasons[block] = outcomes, reasons


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
        reasons=_blank(*shape), likely=_blank(*shape), exam_ids=_blank(*shape),
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
    return frame_cells(_tabulate_ledger(accounts))


def write_ledger(accounts: Sequence[SheetAccount], path: Path) -> None:
    """Write the ledger as Parquet, without a text for each of its cells in memory.

    Parameters
    ----------
    accounts : sequence of SheetAccount
        The accounts.
    path : Path
        Where to write. Read back, the table is what `build_ledger` gives.

    Raises
    ------
    BodycondError
        If a cell has no outcome, which is a fault of bodycond and not of the file.
    """
    import pyarrow as pa
    import pyarrow.parquet as pq

    table = _tabulate_ledger(accounts)
    about = {b"bodycond_schema_version": SCHEMA_VERSION.encode()}
    sink = pa.BufferOutputStream()
    # Without Arrow's own schema in it the file holds plain texts for every reader.
    pq.write_table(table.replace_schema_metadata(about), sink, store_schema=False)
    write_bytes(path, sink.getvalue().to_pybytes())


def _tabulate_ledger(accounts: Sequence[SheetAccount]) -> pa.Table:
    tables = [
        _list_cells(account, where=account.sheet.filled, columns=LEDGER_COLUMNS)
        for account in accounts
    ]
    return stack_tables(tables, LEDGER_COLUMNS)


def build_quarantine(accounts: Sequence[SheetAccount]) -> pd.DataFrame:
    """Make the table of the quarantined cells.

    Parameters
    ----------
    accounts : sequence of SheetAccount
        The accounts.

    Returns
    -------
    DataFrame
        Columns as in `QUARANTINE_COLUMNS`; ``exam_id`` is missing where the row became no exam, or
        several of which the cell belongs to none alone.
    """
    tables = [
        _list_cells(account, where=account.outcomes == "quarantined", columns=QUARANTINE_COLUMNS)
        for account in accounts
    ]
    frame = frame_cells(stack_tables(tables, QUARANTINE_COLUMNS))
    frame["exam_id"] = frame["exam_id"].where(frame["exam_id"] != "")
    return frame


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
    rows_in = frame["rows_in"] + frame["rows_spread"]
    off = frame[(cells != 0) | (rows_out != rows_in)]
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
    counts = [int((account.outcomes == outcome).sum()) for outcome in OUTCOMES]
    rows = [
        sum(getattr(tally, name) for tally in account.tallies)
        for name in RECONCILIATION_COLUMNS[-6:]
    ]
    return (sheet.file, sheet.name, int(sheet.filled.sum()), *counts, *rows)


def _list_cells(
    account: SheetAccount, *, where: npt.NDArray[np.bool_], columns: Sequence[str]
) -> pa.Table:
    sheet = account.sheet
    lost = where & (account.outcomes == "")
    if lost.any():
        row, column = (int(place[0]) for place in np.nonzero(lost))
        raise BodycondError(
            needed="Every cell that is not empty must have an outcome",
            found=f"{int(lost.sum())} without one in {sheet.file}, first "
            f"{sheet.name}!{name_column(column + 1)}{row + 1}",
            then="This is a fault of bodycond: report it with the recipe and the sheet's layout",
        )
    texts = {
        "outcome": account.outcomes, "target": account.targets, "value": account.values,
        "reason": account.reasons, "likely": account.likely, "exam_id": account.exam_ids,
    }  # fmt: skip
    wanted = {name: grid for name, grid in texts.items() if name in columns}
    return tabulate_cells(sheet, where=where, texts=wanted)
