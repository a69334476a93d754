"""The cells of one column of a block, or of one label: read, and written into the account."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from bodycond.legacy.reading.block_accounts import (
    EMPTIED,
    LABEL,
    LABEL_HELD,
    BlockAccount,
    Mask,
    Objects,
    Positions,
)
from bodycond.legacy.recipes.recipe_rules import ColumnRule


@dataclass(frozen=True, kw_only=True, eq=False)
class CellColumn:
    """The cells that one column of a table, or one label of a form, gives to the records.

    Parameters
    ----------
    rule : ColumnRule
        The column's rule.
    rows : ndarray of int, shape (records,)
        Row of each cell in the block.
    column : int
        Its column in the block; a form's labels have their cells in ``columns``.
    columns : ndarray of int, optional
        Column of each cell where they differ.
    present : ndarray of bool, optional
        False where the record has no such cell. Default all.
    label : str, default ""
        A label that stands before the value in the same cell.
    """

    rule: ColumnRule
    rows: Positions
    column: int = 0
    columns: Positions | None = None
    present: Mask | None = None
    label: str = ""

    @property
    def place(self) -> tuple[Positions, Positions | int]:
        """Give the index of the cells in the block's arrays.

        Returns
        -------
        tuple
            Rows and column or columns.
        """
        return self.rows, self.column if self.columns is None else self.columns

    def name_cell(self, block: BlockAccount, record: int) -> str:
        """Give the address of a record's cell on the sheet.

        Parameters
        ----------
        block : BlockAccount
            The block.
        record : int
            The record, counted from 0.

        Returns
        -------
        str
            For example ``"B5"``.
        """
        column = self.column if self.columns is None else int(self.columns[record])
        return block.name_cell(int(self.rows[record]), column)

    def read_cells(self, block: BlockAccount) -> tuple[Objects, npt.NDArray[np.str_]]:
        """Give texts and kinds of the cells that are still open.

        Parameters
        ----------
        block : BlockAccount
            The block.

        Returns
        -------
        texts, kinds : ndarray
            Copies; a cell that is settled already, or absent, is blank.
        """
        texts = block.sheet.texts[self.place]
        kinds = block.sheet.kinds[self.place].copy()
        kinds[~self.find_open(block)] = " "
        if self.label:
            stripped = np.empty(len(texts), dtype=object)
            stripped[:] = [strip_label(str(text), self.label) for text in texts]
            kinds[stripped == ""] = " "
            return stripped, kinds
        return texts, kinds

    def find_shown(self, block: BlockAccount) -> dict[int, str]:
        """Find numbers that the sheet shows with zeros or dashes which the stored number lacks.

        Parameters
        ----------
        block : BlockAccount
            The block.

        Returns
        -------
        dict of int to str
            What the sheet shows, by record, for cells that are still open.
        """
        if not block.sheet.shown:
            return {}
        columns = np.broadcast_to(np.asarray(self.place[1]), self.rows.shape)
        places = zip(self.rows.tolist(), columns.tolist(), strict=True)
        found = ((record, block.sheet.shown.get(place)) for record, place in enumerate(places))
        is_open = self.find_open(block)
        return {record: text for record, text in found if text and is_open[record]}

    def find_closed(self, block: BlockAccount) -> Mask:
        """Tell which of the cells hold something else than a value that another may repeat.

        Parameters
        ----------
        block : BlockAccount
            The block.

        Returns
        -------
        ndarray of bool
            True for a cell that is struck through, a label's, or empty by decision.
        """
        outcomes = block.account.outcomes[self.place]
        closed = np.isin(outcomes, [LABEL, LABEL_HELD, EMPTIED])
        struck = block.sheet.struck | block.sheet.partly_struck.keys()
        if struck:
            columns = np.broadcast_to(np.asarray(self.place[1]), self.rows.shape)
            places = zip(self.rows.tolist(), columns.tolist(), strict=True)
            closed |= np.array([place in struck for place in places], dtype=bool)
        return np.asarray(closed)

    def find_open(self, block: BlockAccount) -> Mask:
        """Tell which of the cells hold anything and have no outcome yet.

        Parameters
        ----------
        block : BlockAccount
            The block.

        Returns
        -------
        ndarray of bool
            One a record.
        """
        filled = block.sheet.kinds[self.place] != " "
        is_open = filled & (block.account.outcomes[self.place] == "")
        return np.asarray(is_open if self.present is None else is_open & self.present)

    def write(
        self, block: BlockAccount, where: Mask, *, outcomes: Objects, reasons: Objects,
        values: Objects, likely: Objects, target: str,
    ) -> None:  # fmt: skip
        """Write what became of cells into the account.

        Parameters
        ----------
        block : BlockAccount
            The block.
        where : ndarray of bool
            The records whose cells are meant.
        outcomes, reasons, values, likely : ndarray of object, shape (records,)
            What became of them.
        target : str
            The columns that they fill.
        """
        rows, columns = self.place
        at = (rows[where], columns if isinstance(columns, int) else columns[where])
        account = block.account
        account.outcomes[at], account.reasons[at] = outcomes[where], reasons[where]
        account.values[at], account.likely[at] = values[where], likely[where]
        account.targets[at] = target

    def says_something(self, block: BlockAccount) -> Mask:
        """Tell which records' cells gave a value or are held, a marker for none apart.

        Parameters
        ----------
        block : BlockAccount
            The block, its cells settled.

        Returns
        -------
        ndarray of bool
            One a record.
        """
        outcomes = block.account.outcomes[self.place]
        used = (outcomes == "accepted") | (outcomes == "converted")
        said = (used & (block.account.values[self.place] != "")) | (outcomes == "quarantined")
        return np.asarray(said if self.present is None else said & self.present)


def strip_label(text: str, label: str) -> str:
    """Give what stands behind a label in the same cell.

    Parameters
    ----------
    text : str
        The cell's text.
    label : str
        The label or pattern.

    Returns
    -------
    str
        The rest, without the signs that part it from the label.

    Examples
    --------
    >>> strip_label("Weight: 950 g", "Weight")
    '950 g'
    """
    plain = " ".join(text.split())
    head = " ".join(label.split()).rstrip("*")
    length = _measure_head(plain, head.casefold())
    if length is not None:
        plain = plain[length:]
        if label.rstrip().endswith("*"):
            # The rest of the label reaches to its sign, where it has one.
            plain = re.sub(r"^[^:=\d]*[:=]", "", plain)
    return re.sub(r"^[ :=]+|^\.(?=[ :=])[ :=]*|^- ", "", plain).lstrip()


def _measure_head(text: str, folded: str) -> int | None:
    """Count the letters of a text that are a folded beginning; folded, some are two letters."""
    for length in range(len(text) + 1):
        head = text[:length].casefold()
        if head == folded:
            return length
        if not folded.startswith(head):
            break
    return None
