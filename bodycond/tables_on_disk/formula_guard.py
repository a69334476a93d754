"""Texts that a spreadsheet program would run when it opens a CSV file, made harmless and back."""

from __future__ import annotations

import re

import pandas as pd

# The signs, and their full-width forms, which some language versions take for the same.
_SIGN = "[=+\\-@\uff1d\uff0b\uff0d\uff20]"
# What a program may trim in front of a sign. The four separators below are not among these.
_BLANK = (
    "[\x00-\x08\x0b\x0c\x0e-\x20\x7f\x85\xa0\u1680\u2000-\u200f\u2028\u2029\u202f\u205f\u2060\u3000"
    "\ufeff]*"
)
# A program set to another delimiter begins a new cell at these, inside our quotation marks too.
_SEPARATOR = "[;\t\r\n]"

# RE2, which searches whole columns at once, knows no look-behind; this finds the same texts.
RISKY = f"(?:^|{_SEPARATOR})'*{_BLANK}{_SIGN}|^'*[\t\r\n]"
"""Pattern of the texts that `neutralise_text` changes."""

_TO_MARK = re.compile(f"(?:\\A|(?<={_SEPARATOR}))(?='*{_BLANK}{_SIGN})|\\A(?='*[\t\r\n])")
_MARKED = re.compile(f"(?:\\A|(?<={_SEPARATOR}))'(?='*{_BLANK}{_SIGN})|\\A'(?='*[\t\r\n])")


def neutralise_text(text: str) -> str:
    """Put an apostrophe before each place at which a spreadsheet program could begin a formula.

    These are the start of the text, and of any part behind a semicolon, tab or line end, where a
    sign ``= + - @`` follows, whatever blanks or apostrophes stand between; and the start of a
    text that begins with a tab or line end.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    str
        The text, from which `restore_text` gives the old one back.

    Examples
    --------
    >>> neutralise_text("=1+1"), neutralise_text("'-"), neutralise_text("thin; -2"), "a=b"
    ("'=1+1", "''-", "thin;' -2", 'a=b')
    """
    return _TO_MARK.sub("'", text)


def restore_text(text: str) -> str:
    """Undo `neutralise_text`.

    Parameters
    ----------
    text : str
        A text that `neutralise_text` gave.

    Returns
    -------
    str
        The text before.

    Examples
    --------
    >>> restore_text("'=1+1"), restore_text("''-"), restore_text("'tis")
    ('=1+1', "'-", "'tis")
    """
    return _MARKED.sub("", text)


def find_risky(column: pd.Series) -> pd.Series:
    """Tell which cells of a column a spreadsheet program could run.

    Parameters
    ----------
    column : Series
        Any column; cells that are no texts are never risky.

    Returns
    -------
    Series of bool
        With the column's index.
    """
    if isinstance(column.dtype, pd.StringDtype):
        return column.str.contains(RISKY, regex=True).fillna(False).astype(bool)
    pattern = re.compile(RISKY)
    found = [isinstance(cell, str) and pattern.search(cell) is not None for cell in column]
    return pd.Series(found, index=column.index, dtype=bool)
