"""Cells that are held as a whole column or sheet, because the recipe has not decided it yet.

No decision on a single cell frees them: one answer in the recipe frees all of them at once. They
are listed as one line, so that the cells that a person can decide are not lost among them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.legacy.recipes.recipe_gaps import RecipeGap, find_gap
from bodycond.tables_on_disk import name_column

_OF_A_SHEET = [gap.name for gap in RecipeGap if gap.of_sheet]

# A line for a single cell says more than a line for a column of one.
_FEWEST = 2


@dataclass(frozen=True, kw_only=True, eq=False)
class HeldSpan:
    """Cells of one column, or of one sheet, that wait for one answer in the recipe.

    Parameters
    ----------
    file, sheet : str
        Where they are.
    rows, columns : ndarray of int
        The cells, counted from 1.
    reason : str
        Why they are held.
    cure : str
        What to do about it.
    likely, target : str
        What all of them are likely to mean, and the column meant; empty where they differ.
    first_raw : str
        What the first of them holds.
    """

    file: str
    sheet: str
    rows: npt.NDArray[np.intp]
    columns: npt.NDArray[np.intp]
    reason: str
    cure: str
    likely: str
    target: str
    first_raw: str

    @property
    def address(self) -> str:
        """Name the range that the cells lie in.

        Returns
        -------
        str
            For example ``F2:F6537``.
        """
        corners = (
            f"{name_column(int(column))}{int(row)}"
            for row, column in (
                (self.rows.min(), self.columns.min()),
                (self.rows.max(), self.columns.max()),
            )
        )
        return ":".join(corners)

    @property
    def words(self) -> str:
        """Say why the cells are held and what to do about it.

        Returns
        -------
        str
            A line.
        """
        return (
            f"{self.reason}: {self.cure}, which frees all {self.rows.size} cells at once; "
            "nothing to decide here"
        )

    @property
    def example(self) -> str:
        """Say how many cells there are, and what the first one holds.

        Returns
        -------
        str
            A line.
        """
        return f"({self.rows.size} cells; the first holds {self.first_raw!r})"


def is_span(address: str) -> bool:
    """Tell whether an address is that of a range and not of a cell.

    Parameters
    ----------
    address : str
        As the list of held cells has it.

    Returns
    -------
    bool
        True for a range.

    Examples
    --------
    >>> is_span("F2:F6537"), is_span("F2")
    (True, False)
    """
    return ":" in address


def split_held(quarantine: pd.DataFrame) -> tuple[pd.DataFrame, tuple[HeldSpan, ...]]:
    """Part held cells into those that a person can decide and those that the recipe must.

    Parameters
    ----------
    quarantine : DataFrame
        As `LegacyImport.quarantine`.

    Returns
    -------
    single : DataFrame
        The cells with a line of their own.
    spans : tuple of HeldSpan
        The others by column or sheet, in the order of their first cells.
    """
    gaps = {reason: find_gap(str(reason)) for reason in quarantine["reason"].unique()}
    # Gaps by their names, since pandas groups texts.
    gap = quarantine["reason"].map({reason: found and found.name for reason, found in gaps.items()})
    if not gap.notna().any():
        return quarantine, ()
    column = quarantine["column"].where(~gap.isin(_OF_A_SHEET), 0)
    number = quarantine.groupby(
        [quarantine["file"], quarantine["sheet"], column, gap], sort=False, dropna=True
    ).ngroup()
    sizes = number[number >= 0].value_counts()
    inside = number.isin(sizes.index[sizes >= _FEWEST]) & gap.notna()
    spans = tuple(
        _make_span(cells, RecipeGap[str(gap[cells.index[0]])].cure)
        for _, cells in quarantine[inside].groupby(number[inside], sort=False)
    )
    return quarantine[~inside], spans


def _make_span(cells: pd.DataFrame, cure: str) -> HeldSpan:
    first = cells.iloc[0]
    return HeldSpan(
        file=str(first["file"]),
        sheet=str(first["sheet"]),
        rows=cells["row"].to_numpy(dtype=np.intp),
        columns=cells["column"].to_numpy(dtype=np.intp),
        # What is said of one cell alone, such as a comment, stands behind what all share.
        reason=min(map(str, cells["reason"].unique()), key=len),
        cure=cure,
        likely=_find_shared(cells["likely"]),
        target=_find_shared(cells["target"]) if "target" in cells else "",
        first_raw=str(first["raw"]),
    )


def _find_shared(texts: pd.Series) -> str:
    unique: Iterable[object] = texts.dropna().unique()
    found = [text for text in unique if isinstance(text, str) and text]
    return found[0] if len(found) == 1 else ""
