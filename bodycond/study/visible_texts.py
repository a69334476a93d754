"""Texts from strangers' files made fit to be shown: every letter visible, none too long."""

from __future__ import annotations

import re

_LONGEST = 80

# How a correction begins the reason of its cell; who, when and why differ from cell to cell.
_DECISION = re.compile(
    r"\A(corrected from .*|said to hold no value|kept as written|row said to be no exam)"
    r" by [^;]* \(.*",
    re.DOTALL,
)

_NOTE_OF_STRUCTURE = re.compile(r"(?:^|; )(?:comment|formula): .*\Z", re.DOTALL)


def show_text(text: object, *, limit: int | None = None) -> str:
    """Write a text so that all of it can be seen and none of it acts.

    Parameters
    ----------
    text : object
        The text.
    limit : int, optional
        Letters to show; what is cut is counted.

    Returns
    -------
    str
        Line breaks as ``\\n`` and letters that cannot be seen (controls, marks that turn the
        direction of writing, halves of a pair) as their code.

    Examples
    --------
    >>> show_text("two\\nlines"), show_text("abcdef", limit=3)
    ('two\\\\nlines', 'abc… (6 letters)')
    """
    words = str(text)
    if limit is not None and len(words) > limit:
        return f"{show_text(words[:limit])}… ({len(words)} letters)"
    if words.isprintable():
        return words
    return "".join(_show_letter(letter) for letter in words)


def show_cell(text: object) -> str:
    """Write a cell's raw text for a table: quoted where its ends are blanks, and not too long.

    Parameters
    ----------
    text : object
        The cell.

    Returns
    -------
    str
        Its words.

    Examples
    --------
    >>> show_cell("2.5"), show_cell(" 3")
    ('2.5', '" 3"')
    """
    words = str(text)
    shown = show_text(words, limit=_LONGEST)
    return f'"{shown}"' if words and (words != words.strip()) else shown


def strip_cell_words(reason: str) -> str:
    """Give a reason without what it says of one cell alone: a comment, a formula, a decision.

    Parameters
    ----------
    reason : str
        A reason of the ledger.

    Returns
    -------
    str
        What many cells share.

    Examples
    --------
    >>> strip_cell_words("day first; comment: see the diary")
    'day first'
    >>> strip_cell_words("corrected from '18S' by S1 (paper card)")
    'corrected: see corrections_log.csv'
    """
    decided = _DECISION.match(reason)
    if decided:
        return f"{decided[1].split(' from ', 1)[0]}: see corrections_log.csv"
    return _NOTE_OF_STRUCTURE.sub("", reason) or reason


def word_rest(number: int, most: int, file: str) -> str:
    """Say that a list is cut, and where all of it stands.

    Parameters
    ----------
    number, most : int
        How many there are, and how many are shown.
    file : str
        The file that has all.

    Returns
    -------
    str
        A sentence with a blank before it; empty where nothing is cut.

    Examples
    --------
    >>> word_rest(70, 60, "reasons.csv"), word_rest(3, 60, "reasons.csv")
    (' The first 60 of 70; all are in reasons.csv.', '')
    """
    if number <= most:
        return ""
    shown = f"{number:,}".replace(",", "\u202f")
    return f" The first {most} of {shown}; all are in {file}."


def _show_letter(letter: str) -> str:
    if letter.isprintable():
        return letter
    # Blanks of another width than usual are no letters that can be printed, and do no harm.
    return (
        " "
        if letter.isspace() and letter not in "\n\r\t\v\f\x1c\x1d\x1e\x1f\x85"
        else (repr(letter)[1:-1])
    )
