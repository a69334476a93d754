"""A sheet: a grid of raw cells, each still where and as it was written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
import numpy.typing as npt


@dataclass(frozen=True, kw_only=True, eq=False)
class Sheet:
    """One sheet of a file as a grid.

    Parameters
    ----------
    file : str
        The file's label: its name, with as much of its folder as tells it from others.
    name : str
        The sheet's name; for a text file the file's stem.
    texts : ndarray of object, shape (rows, columns)
        Every cell as text; the empty string is an empty cell. A date cell is in ISO form.
    kinds : ndarray of str, shape (rows, columns)
        One letter a cell: ``t`` text, ``n`` number, ``d`` date, ``h`` time of day, ``b`` truth
        value, ``e`` error value, ``f`` formula with no stored result, a blank where empty.
    hidden : bool, default False
        The sheet is hidden.
    hidden_rows, hidden_columns : frozenset of int
        Hidden rows and columns, counted from 0.
    comments : mapping of (int, int) to str
        Comments by row and column, counted from 0.
    struck : frozenset of (int, int)
        Cells whose text is struck through.
    partly_struck : mapping of (int, int) to str
        Cells of whose text a part is struck through, with the part that is not.
    formulas : mapping of (int, int) to str
        The formula behind a cell's value.
    merged : tuple of (int, int, int, int)
        Merged ranges: first row, first column, last row, last column, counted from 0.
    fills, inks : mapping of str to ndarray of int, shape (cells, 2)
        Cells with a coloured ground, and cells written in colour, as row and column counted from
        0, by colour. What a colour means is not known.
    shown : mapping of (int, int) to str
        How a number is shown where its format writes zeros, dashes or words that the number itself
        does not hold, as in a ring number of 0012345 or a mass of 2.12 kg.
    notes : tuple of str
        What a reader of the import should know: encoding, delimiter, hidden parts.
    """

    file: str
    name: str
    texts: npt.NDArray[np.object_]
    kinds: npt.NDArray[np.str_]
    hidden: bool = False
    hidden_rows: frozenset[int] = frozenset()
    hidden_columns: frozenset[int] = frozenset()
    comments: Mapping[tuple[int, int], str] = field(default_factory=dict)
    struck: frozenset[tuple[int, int]] = frozenset()
    partly_struck: Mapping[tuple[int, int], str] = field(default_factory=dict)
    formulas: Mapping[tuple[int, int], str] = field(default_factory=dict)
    merged: tuple[tuple[int, int, int, int], ...] = ()
    fills: Mapping[str, npt.NDArray[np.intp]] = field(default_factory=dict)
    inks: Mapping[str, npt.NDArray[np.intp]] = field(default_factory=dict)
    shown: Mapping[tuple[int, int], str] = field(default_factory=dict)
    notes: tuple[str, ...] = ()

    @cached_property
    def filled(self) -> npt.NDArray[np.bool_]:
        """Tell which cells hold anything, blanks included.

        Returns
        -------
        ndarray of bool, shape (rows, columns)
            True where a cell is not empty; not to be written to.
        """
        filled = np.asarray(self.kinds != " ")
        filled.flags.writeable = False
        return filled

    def freeze(self) -> Sheet:
        """Close the arrays against writing, so that one sheet can serve several readers.

        Returns
        -------
        Sheet
            The sheet itself.
        """
        self.texts.flags.writeable = False
        self.kinds.flags.writeable = False
        return self

    def row_texts(self, row: int) -> list[str]:
        """Give one row's texts, stripped.

        Parameters
        ----------
        row : int
            The row, counted from 0.

        Returns
        -------
        list of str
            One text a column.
        """
        return [str(text).strip() for text in self.texts[row]]
