"""Columns of a spreadsheet by their letters."""

from __future__ import annotations


def name_column(column: int) -> str:
    """Give a column's letters as spreadsheets show them.

    Parameters
    ----------
    column : int
        The column, counted from 1.

    Returns
    -------
    str
        For example ``"AB"`` for 28.

    Examples
    --------
    >>> name_column(28)
    'AB'
    """
    letters = ""
    while column > 0:
        column, rest = divmod(column - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def number_column(letters: str) -> int:
    """Give the number of a column from its letters.

    Parameters
    ----------
    letters : str
        Capital letters as spreadsheets show them.

    Returns
    -------
    int
        Counted from 1.

    Examples
    --------
    >>> number_column("AB")
    28
    """
    number = 0
    for letter in letters:
        number = 26 * number + ord(letter) - 64
    return number
