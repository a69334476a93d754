"""Rows of headings that are dates: a column for each day on which birds were weighed."""

from __future__ import annotations

import re

from bodycond.legacy.files.sheets import Sheet

_DATE = re.compile(r"\d{4}-\d\d-\d\d|\d{1,2}[-/.]\d{1,2}[-/.]\d{2,4}")
_NUMBER = re.compile(r"[~<>]?\d+([.,]\d+)?( ?[a-z]{1,2})?")
_LEAST_DATES = 3
_ROWS_BELOW = 6


def names_dates(sheet: Sheet, row: int) -> bool:
    """Tell whether a row is one of dates above numbers.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    row : int
        The row, counted from 0.

    Returns
    -------
    bool
        True where it starts with a word and is different dates beyond, and the rows below hold
        numbers and no date under these.
    """
    texts = sheet.row_texts(row)
    places = [at for at, text in enumerate(texts) if _DATE.fullmatch(text)]
    words = [text for at, text in enumerate(texts) if text and at not in set(places)]
    if len(places) < _LEAST_DATES or not words or len(words) > len(places):
        return False
    if len({texts[at] for at in places}) < len(places) or any(
        re.search(r"\d{2}", w) for w in words
    ):
        return False
    last = min(row + 1 + _ROWS_BELOW, sheet.texts.shape[0])
    below = [sheet.row_texts(at)[place] for at in range(row + 1, last) for place in places]
    filled = [text for text in below if text]
    return bool(filled) and all(_NUMBER.fullmatch(text) for text in filled)
