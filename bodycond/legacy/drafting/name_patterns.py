"""Patterns that fit the names of one family of files or sheets."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import takewhile
from pathlib import PurePath

from bodycond.legacy.recipes.recipe_rules import fits_pattern

# The least that the names of one family of files have in common.
_LEAST_NAME = 3


def mark_digits(names: Sequence[str]) -> str | None:
    """Give a pattern of names that differ in digits alone.

    Parameters
    ----------
    names : sequence of str
        The names.

    Returns
    -------
    str or None
        None where they differ in anything else.

    Examples
    --------
    >>> mark_digits(["exams_2019", "exams_2021"]), mark_digits(["north", "south"])
    ('exams_20??', None)
    """
    if len({len(name) for name in names}) != 1 or any(re.search(r"[*?\[]", name) for name in names):
        return None
    made = ""
    for letters in zip(*names, strict=True):
        if len(set(letters)) > 1 and not all(letter.isdigit() for letter in letters):
            return None
        made += letters[0] if len(set(letters)) == 1 else "?"
    return made


def name_pattern(names: Sequence[str], *, least: int = _LEAST_NAME) -> str | None:
    """Give a pattern of what begins and what ends all of some names.

    Parameters
    ----------
    names : sequence of str
        The names.
    least : int, default 3
        Letters that they must have in common in front; below the default they may differ in
        anything, else in digits and signs alone.

    Returns
    -------
    str or None
        None where they are no family.

    Examples
    --------
    >>> name_pattern(["exams_1992_2020.csv", "exams_2022.csv"])
    'exams_*.csv'
    """
    marked = mark_digits(names)
    if marked is not None:
        return marked
    endings = {PurePath(name).suffix.lower() for name in names}
    start = _find_common_start(names)
    end = _find_common_start([name[::-1] for name in names])[::-1]
    end = end[: max(0, min(len(name) for name in names) - len(start))] if start else end
    if len(endings) > 1 or len(start) < least or re.search(r"[*?\[]", start + end):
        return None
    # A word that goes on differently is another family: exams.csv and exam_notes.csv.
    differing = [name[len(start) : len(name) - len(end)] for name in names]
    if least == _LEAST_NAME and not all(re.fullmatch(r"[\d_\- .]*", part) for part in differing):
        return None
    return f"{start}*{end}" if all(fits_pattern(name, f"{start}*{end}") for name in names) else None


def name_sheets(names: Sequence[str], others: Sequence[str]) -> str | None:
    """Give a pattern that fits some sheets of a file and none of the others.

    Parameters
    ----------
    names, others : sequence of str
        The sheets meant, and the rest.

    Returns
    -------
    str or None
        None where no pattern tells them apart.

    Examples
    --------
    >>> name_sheets(["Site 1", "Site 12"], ["Notes"]), name_sheets(["a", "b"], [])
    ('Site 1*', '*')
    """
    if not others:
        return "*"
    for pattern in (mark_digits(names), name_pattern(names, least=1)):
        if pattern is not None and not any(fits_pattern(name, pattern) for name in others):
            return pattern
    return None


def _find_common_start(names: Sequence[str]) -> str:
    columns = takewhile(lambda letters: len(set(letters)) == 1, zip(*names, strict=False))
    return "".join(letters[0] for letters in columns)
