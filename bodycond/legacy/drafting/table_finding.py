"""Where the tables are on a sheet: rows of headings, rows of units, tables below and beside."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from bodycond.legacy.drafting.dated_headings import names_dates
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.headings.heading_units import fold_heading, read_unit
from bodycond.legacy.headings.headings import CERTAIN, match_heading
from bodycond.legacy.headings.layout import name_headings

# Rows in which headings are looked for one by one; further down only rows that leave no doubt.
_ROWS_LOOKED_AT = 200
# Longer cells are remarks, and cells with three digits running are numbers, dates or rings.
_LONGEST_HEADING = 45
# A column of more different texts than this holds numbers, names or remarks and no headings.
_MOST_DIFFERENT = 20_000
# What two rows of headings must mean more than one.
_GAIN = 0.5
_DATE = re.compile(
    r"\d{4}-\d\d-\d\d|\d{1,2}[-/.]\d{1,2}[-/.]\d{2,4}|\d{1,2}[-. ][A-Za-z]{3}[-. ]?\d*"
)
_QUANTITY = re.compile(r"[~<>]?\d+([.,]\d+)? ?(g|gr|kg|mm|cm|in|lbs?|oz)\.?", re.IGNORECASE)
_LETTER = re.compile(r"[^\W\d_]")
_HINT = re.compile(
    r"\(?\d ?[-\u2013] ?\d\)?|[dmytja]{1,4}[-/. ][dmytja]{1,4}[-/. ][dmytja]{1,4}", re.I
)


@dataclass(frozen=True, kw_only=True, eq=False)
class TableLayout:
    """Where a draft supposes a table.

    Parameters
    ----------
    heading_rows : tuple of int
        Row of headings, or the two rows, counted from 1.
    units_row : int or None
        Row of units.
    evidence : str
        Why these rows.
    n_known : int
        Headings that mean a field.
    """

    heading_rows: tuple[int, ...]
    units_row: int | None
    evidence: str
    n_known: int

    @property
    def heading_row(self) -> int:
        """Give the last row of headings.

        Returns
        -------
        int
            Counted from 1.
        """
        return self.heading_rows[-1]


def find_table(sheet: Sheet) -> TableLayout | None:
    """Find the rows of headings of a sheet.

    Parameters
    ----------
    sheet : Sheet
        The sheet.

    Returns
    -------
    TableLayout or None
        None where no row has headings that mean a field, nor words above numbers.
    """
    best: tuple[float, int, float] | None = None
    for row in range(min(sheet.texts.shape[0], _ROWS_LOOKED_AT)):
        texts = [text for text in sheet.row_texts(row) if text]
        if len(texts) < 2:
            continue
        known, numbers, dates = _weigh_row(texts)
        if dates >= 2 and known:
            numbers -= 0.8 * dates  # a column for each date
            known += 0.4
        if names_dates(sheet, row):
            known, numbers = max(known, 1.2), 0.0
        score = known - numbers + 0.1 * (len(set(texts)) == len(texts))
        # The earliest row wins a tie: headings that are repeated further down stand first here.
        enough = known >= 1.2 or (known >= 1.0 and not numbers and _has_numbers(sheet, row + 1))
        if enough and known >= numbers and (best is None or score > best[0] + 1e-9):
            best = (score, row, known)
    if best is None:
        return _find_words_above_numbers(sheet)
    return _complete(sheet, best[1])


def _has_numbers(sheet: Sheet, row: int) -> bool:
    """Tell whether the rows from one on, a few of them, hold numbers, dates or codes."""
    below = [text for at in range(row, min(row + 5, sheet.texts.shape[0]))
             for text in sheet.row_texts(at)]  # fmt: skip
    return any(re.search(r"\d", text) for text in below)


def _weigh_row(texts: Sequence[str]) -> tuple[float, float, int]:
    known, numbers, dates = 0.0, 0.0, 0
    for text in texts:
        if _DATE.fullmatch(text):
            dates += 1
        if not _LETTER.search(text) or _DATE.fullmatch(text) or _QUANTITY.fullmatch(text):
            numbers += 1
        elif len(text) <= _LONGEST_HEADING:
            known += _weigh_word(text)
        else:
            numbers += 0.5
    return known, numbers, dates


def _weigh_word(text: str) -> float:
    match = match_heading(text)
    if match.field:
        # A letter alone is more often a code than a heading.
        return 0.2 if len(text.strip(" .")) < 2 else 0.6 + 0.4 * (match.confidence >= CERTAIN)
    return 0.3 if match.theme and len(text) > 2 else 0.0


def _complete(sheet: Sheet, row: int) -> TableLayout:
    rows = _choose_rows(sheet, row)
    names = [name for name in name_headings(sheet, rows) if not name.startswith("(column ")]
    known = sum(match_heading(name).field != "" for name in names)
    written = " and ".join(map(str, rows))
    plural = "s" if len(rows) > 1 else ""
    return TableLayout(
        heading_rows=rows, units_row=_find_units_row(sheet, rows),
        evidence=f"row{plural} {written}: {known} of {len(names)} headings mean a field",
        n_known=known,
    )  # fmt: skip


def _choose_rows(sheet: Sheet, row: int) -> tuple[int, ...]:
    """Take the row above or below too where the two together say more."""
    for upper in (row + 1, row):
        if 1 <= upper < sheet.texts.shape[0] and _stands_over(sheet, upper):
            # 'Biometrics' over 'Wing' and 'Tail' says nothing that the lower row does not.
            pair, lower = (upper, upper + 1), (upper + 1,)
            more = _sum_meaning(sheet, pair) > _sum_meaning(sheet, lower)
            return pair if more or not _stands_alone(sheet, upper + 1) else lower
    alone = _sum_meaning(sheet, (row + 1,))
    best = alone + _GAIN
    rows: tuple[int, ...] = (row + 1,)
    for pair in ((row, row + 1), (row + 1, row + 2)):
        if pair[0] < 1 or pair[1] > sheet.texts.shape[0] or not _can_be_pair(sheet, pair):
            continue
        together = _sum_meaning(sheet, pair)
        if together > best:
            best, rows = together, pair
    return rows


def _can_be_pair(sheet: Sheet, pair: tuple[int, int]) -> bool:
    upper, lower = (sheet.row_texts(row - 1) for row in pair)
    for line in (upper, lower):
        texts = [text for text in line if text]
        if len(texts) < 2 or any(_is_value(text) for text in texts):
            return False
    return upper != lower and not _is_units_line([text for text in lower if text])


def _is_value(text: str) -> bool:
    return re.search(r"\d{3}", text) is not None or (
        _LETTER.search(text) is None and _HINT.fullmatch(text) is None
    )


def _stands_alone(sheet: Sheet, row: int) -> bool:
    """Tell whether a row names every column by itself, and no two alike."""
    lower = sheet.row_texts(row - 1)
    filled = [text for text in lower if text]
    below = np.asarray(sheet.filled[row:].any(axis=0))
    named = all(text or not below[at] for at, text in enumerate(lower))
    return named and len(set(filled)) == len(filled)


def _stands_over(sheet: Sheet, row: int) -> bool:
    """Tell whether merged headings of a row stand over headings of their own in the row below."""
    lower = sheet.row_texts(row)
    filled = [text for text in lower if text]
    if not filled or any(re.search(r"\d{2}", text) or len(text) > 25 for text in filled):
        return False
    under = [text for left, right in _spans(sheet, row) for text in lower[left : right + 1] if text]
    words = all(_LETTER.search(text) and read_unit(text) is None for text in under)
    upper = sheet.row_texts(row - 1)
    # Headings one above the other: where the lower row is empty, the upper one says what it is.
    open_below = sum(bool(up) and not low for up, low in zip(upper, lower, strict=True))
    return len(under) >= 2 and words and (2 * len(under) > len(filled) or open_below > 0)


def _spans(sheet: Sheet, row: int) -> list[tuple[int, int]]:
    width = sheet.texts.shape[1]
    return [
        (left, right) for top, left, _, right in sheet.merged
        if top + 1 == row and right > left and right - left + 1 < width
    ]  # fmt: skip


def _sum_meaning(sheet: Sheet, rows: tuple[int, ...]) -> float:
    fields: dict[str, float] = {}
    for name in name_headings(sheet, rows):
        if name.startswith("(column "):
            continue
        match = match_heading(name)
        if match.field:
            # A field counts once: of two columns 'L' neither is told apart.
            key = f"{match.field} {fold_heading(name)}"
            fields[key] = max(fields.get(key, 0.0), match.confidence)
    return sum(fields.values())


def _find_words_above_numbers(sheet: Sheet) -> TableLayout | None:
    """Find a row of words, none of them known, above rows of numbers or dates."""
    n_rows = sheet.texts.shape[0]
    for row in range(min(n_rows - 1, 40)):
        filled = [text for text in sheet.row_texts(row) if text]
        words = [text for text in filled if _LETTER.search(text) and len(text) <= 30]
        if len(filled) < 3 or len(words) < len(filled) or len(set(words)) < len(words):
            continue
        below = [sheet.row_texts(at) for at in range(row + 1, min(row + 6, n_rows))]
        numbers = sum(bool(text) and not _LETTER.search(text) for line in below for text in line)
        if any(text for line in below for text in line) and numbers >= max(2, len(below)):
            if any(re.search(r"\d{3}", text) for text in words):
                return None
            return _complete(sheet, row)
    return None


def _find_units_row(sheet: Sheet, rows: Sequence[int]) -> int | None:
    for row in (rows[-1] + 1, rows[0] - 1):
        if not 1 <= row <= sheet.texts.shape[0]:
            continue
        texts = [text for text in sheet.row_texts(row - 1) if text]
        if _is_units_line(texts):
            return row
    return None


def _is_units_line(texts: Sequence[str]) -> bool:
    units = sum(read_unit(text) is not None for text in texts)
    hints = sum(_HINT.fullmatch(text) is not None for text in texts)
    if (not units and hints < 2) or any(re.search(r"\d{2}", text) for text in texts):
        return False
    return 2 * (units + hints) > len(texts) and (units + hints >= 2 or len(texts) == 1)


def find_other_headings(sheet: Sheet, known_rows: Sequence[int]) -> list[int]:
    """Find rows that look like the headings of another table on the same sheet.

    Under its own headings such a table would be read into the wrong fields without a word.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    known_rows : sequence of int
        The rows of headings that are known, counted from 1.

    Returns
    -------
    list of int
        Rows, counted from 1, with two or more headings that mean a field and no number; rows
        that repeat the known headings are not among them.
    """
    fields: dict[int, set[str]] = {}
    for column in range(sheet.texts.shape[1]):
        rows = np.flatnonzero(sheet.kinds[:, column] == "t")
        codes, texts = pd.factorize(sheet.texts[rows, column])
        if len(texts) > _MOST_DIFFERENT:
            continue
        means = np.array([_name_sure_field(str(text)) for text in texts] + [""], dtype=object)
        for at in np.flatnonzero(means[codes] != ""):
            fields.setdefault(int(rows[at]), set()).add(means[codes[at]])
    known = [text for row in known_rows[-1:] for text in sheet.row_texts(row - 1) if text]
    found = []
    for row in sorted(row for row, names in fields.items() if len(names) >= 2):
        written = [text for text in sheet.row_texts(row) if text]
        numbers = any(not _LETTER.search(text) for text in written)
        sure = sum(_name_sure_field(text) != "" for text in written)
        few = sure < 4 and 3 * sure < len(written)
        if row + 1 in known_rows or numbers or written == known or few:
            continue
        found.append(row + 1)
    return found


def _name_sure_field(text: str) -> str:
    if len(text) > _LONGEST_HEADING or not _LETTER.match(text) or re.search(r"\d{3}", text):
        return ""
    match = match_heading(text)
    return match.field if match.confidence >= CERTAIN else ""
