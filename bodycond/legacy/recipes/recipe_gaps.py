"""What only the recipe can answer: the reason that such cells are held for, and what to do.

The readers take the reason from here, and the lists of held cells know it again by the same words.
"""

from __future__ import annotations

from enum import Enum

# What is said of one column or cell stands behind what all cells of a gap share.
_ENDS = ("", " ", ";")


class RecipeGap(Enum):
    """Something that the recipe leaves open, so that a column or a sheet is held whole.

    Parameters
    ----------
    opening : str
        The words that its reasons begin with.
    cure : str
        What to do about it.
    of_sheet : bool
        Whether a whole sheet is held for it, and not one column.
    """

    COLUMN_UNDECIDED = (
        "the recipe leaves the column undecided", "answer the column's question in the recipe",
        False,
    )  # fmt: skip
    COLUMN_UNNAMED = (
        "the recipe does not name the column", "name the column in the recipe", False,
    )  # fmt: skip
    NO_HEADING = (
        "no heading stands over column", "name the column in the recipe, or set it aside there",
        False,
    )  # fmt: skip
    SHEET_UNDECIDED = (
        "the recipe leaves the sheet undecided", "answer the sheet's question in the recipe", True,
    )  # fmt: skip
    HEADINGS_ABSENT = (
        "none of the recipe's headings stands in heading_row",
        "mend the heading_row or the headings in the recipe", True,
    )  # fmt: skip
    NO_ENTRY = (
        "the recipe has no entry for this sheet", "give the sheet an entry in the recipe", True,
    )  # fmt: skip
    DESCRIBED_TWICE = (
        "the recipe describes these cells twice: two areas or blocks overlap",
        "mend the areas in the recipe", True,
    )  # fmt: skip
    BLOCKS_ABSENT = (
        "none of the blocks that the recipe describes stands on the sheet",
        "mend the blocks in the recipe", True,
    )  # fmt: skip
    OUTSIDE_BLOCKS = (
        "outside the blocks that the recipe describes",
        "set the rest of the sheet aside in the recipe", True,
    )  # fmt: skip

    def __init__(self, opening: str, cure: str, of_sheet: bool) -> None:
        self.opening = opening
        self.cure = cure
        self.of_sheet = of_sheet

    def word(self, about: str = "") -> str:
        """Write the reason that the cells are held for.

        Parameters
        ----------
        about : str, optional
            What is meant: a heading, a column's letters, a row.

        Returns
        -------
        str
            The reason, from which `find_gap` gives the gap back.

        Examples
        --------
        >>> RecipeGap.NO_HEADING.word("C")
        'no heading stands over column C'
        """
        return f"{self.opening} {about}" if about else self.opening


def find_gap(reason: str) -> RecipeGap | None:
    """Find the gap of the recipe that a cell is held for.

    Parameters
    ----------
    reason : str
        The cell's reason; a comment or a formula of the cell may stand behind it.

    Returns
    -------
    RecipeGap or None
        None where a person can decide the cell.

    Examples
    --------
    >>> find_gap("no heading stands over column C; comment: see the diary").name
    'NO_HEADING'
    """
    for gap in RecipeGap:
        if reason.startswith(gap.opening) and reason[len(gap.opening) :][:1] in _ENDS:
            return gap
    return None
