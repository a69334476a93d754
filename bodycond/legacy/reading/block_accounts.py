"""A block of a sheet with its share of the account."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.ledger import RowTally, SheetAccount
from bodycond.legacy.recipes.sheet_areas import Block, crop_sheet
from bodycond.tables_on_disk import name_column

Objects = npt.NDArray[np.object_]
Positions = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

LABEL = "label"
"""Stands for the outcome of a label or its value while the rows around it are read."""

LABEL_HELD = "label held"
"""As `LABEL`, for a value that is held."""

EMPTIED = "emptied"
"""Stands for the outcome of a cell that a person said to hold no value: nothing fills it."""


@dataclass(frozen=True, kw_only=True, eq=False)
class BlockAccount:
    """A block of a sheet; what is written into its account stands in the sheet's.

    Parameters
    ----------
    account : SheetAccount
        Sheet and arrays of the block alone, views of the whole sheet's.
    top, left : int
        Where the block stands on the sheet, counted from 0.
    fates : ndarray of object, shape (rows,)
        ``record``, ``held``, ``not_exam``, or empty for an empty row.
    """

    account: SheetAccount
    top: int
    left: int
    fates: Objects

    @property
    def sheet(self) -> Sheet:
        """Give the block's part of the sheet.

        Returns
        -------
        Sheet
            The sheet, cropped.
        """
        return self.account.sheet

    def name_cell(self, row: int, column: int) -> str:
        """Give a cell's address on its sheet.

        Parameters
        ----------
        row, column : int
            Place in the block, counted from 0.

        Returns
        -------
        str
            For example ``"B5"``.
        """
        return f"{name_column(self.left + column + 1)}{self.top + row + 1}"

    @property
    def span(self) -> tuple[int, int, int, int]:
        """Give the block's place on its sheet.

        Returns
        -------
        tuple of int
            Top, bottom, left and right, counted from 0; bottom and right lie behind it.
        """
        rows, columns = self.sheet.texts.shape
        return self.top, self.top + rows, self.left, self.left + columns

    def settle_all(self, outcome: str, reason: str, fate: str) -> None:
        """Give every cell that is still open one outcome.

        Parameters
        ----------
        outcome : str
            The outcome.
        reason : str
            Why.
        fate : {"held", "not_exam"}
            What became of the rows.
        """
        self.account.settle(np.ones((1, 1), dtype=bool), outcome, reason)
        filled = self.sheet.filled
        self.fates[filled.any(axis=1)] = fate
        if fate == "held":
            # A row that is set aside by decision is not held, whatever becomes of its block.
            open_cells = filled & ~np.isin(self.account.outcomes, ["set_aside", LABEL])
            self.fates[filled.any(axis=1) & ~open_cells.any(axis=1)] = "not_exam"

    def release_rows(self, *, is_form: bool) -> None:
        """Count held rows as no exams once none of their cells is held any more.

        Parameters
        ----------
        is_form : bool
            The whole block is one record: a held cell holds all its rows.
        """
        still = (self.account.outcomes == "quarantined").any(axis=1)
        if is_form:
            still = np.full(len(still), still.any())
        self.fates[(self.fates == "held") & ~still] = "not_exam"

    def count_rows(self, *, exams: int = 0, ratings: int = 0) -> RowTally:
        """Count the block's rows by their fates.

        Parameters
        ----------
        exams, ratings : int, default 0
            Records that the block gave.

        Returns
        -------
        RowTally
            The counts.
        """
        made = int((self.fates == "record").sum())
        return RowTally(
            rows_in=int((self.fates != "").sum()), rows_spread=exams + ratings - made,
            exams_out=exams, ratings_out=ratings, rows_held=int((self.fates == "held").sum()),
            rows_not_exams=int((self.fates == "not_exam").sum()),
        )  # fmt: skip


def crop_account(account: SheetAccount, block: Block) -> BlockAccount:
    """Give a block's share of a sheet's account.

    Parameters
    ----------
    account : SheetAccount
        The sheet's account.
    block : Block
        The block.

    Returns
    -------
    BlockAccount
        Views: what is written into them is written into the sheet's account.
    """
    part = slice(block.top, block.bottom), slice(block.left, block.right)
    cropped = SheetAccount(
        sheet=crop_sheet(account.sheet, block), outcomes=account.outcomes[part],
        targets=account.targets[part], values=account.values[part],
        reasons=account.reasons[part], likely=account.likely[part],
        exam_ids=account.exam_ids[part],
    )  # fmt: skip
    fates = np.full(max(0, block.bottom - block.top), "", dtype=object)
    return BlockAccount(account=cropped, top=block.top, left=block.left, fates=fates)
