"""Where the table is on a sheet: titles, headings, units, totals, blank and repeated rows."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.legacy.grids import name_column
from bodycond.legacy.headings import CERTAIN, match_heading, read_unit
from bodycond.legacy.notation import fold_text
from bodycond.legacy.recipe_rules import SheetRule
from bodycond.legacy.sheets import Sheet

# Headings stand near the top; a table that begins further down is for the recipe to say.
_ROWS_LOOKED_AT = 40

# A cell alone in a row of a table this wide is a note, not an exam.
_WIDE_TABLE = 4

# Longer cells are remarks, and cells with three digits running are numbers, dates or rings.
_LONGEST_HEADING = 40

_TOTALS = re.compile(
    r"(grand |sub-?)?(totals?|sum|mean|average|avg|median|std\.? ?dev\.?|s\.?d\.?|count|minimum|"
    r"maximum|min|max|summe|gesamt|mittel(wert)?|durchschnitt|anzahl|somme|totaux|moyenne|"
    r"nombre|suma|media|promedio|totaal|som|gemiddelde?|aantal)( (of|wing|mass|weight|mm|g))*"
    r" ?[:=]?( ?\d+([.,]\d+)?)?|n ?= ?\d+"
)


@dataclass(frozen=True, kw_only=True, eq=False)
class TableLayout:
    """Where a draft supposes the table.

    Parameters
    ----------
    heading_row : int
        Row of headings, counted from 1.
    units_row : int or None
        Row of units below it.
    evidence : str
        Why these rows.
    n_known : int
        Headings that mean a field.
    """

    heading_row: int
    units_row: int | None
    evidence: str
    n_known: int


def name_headings(sheet: Sheet, heading_rows: Sequence[int]) -> list[str]:
    """Give each column's heading, told apart where two are alike.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    heading_rows : sequence of int
        Rows of headings, counted from 1; two rows are joined by a blank.

    Returns
    -------
    list of str
        One a column: a repeated heading has ``.2`` behind it, an empty one is ``(column F)``.
    """
    width = sheet.texts.shape[1]
    names: list[str] = []
    seen: Counter[str] = Counter()
    taken: set[str] = set()
    for column in range(width):
        written = [
            " ".join(str(sheet.texts[row - 1, column]).split())
            for row in heading_rows
            if row <= sheet.texts.shape[0]
        ]
        name = " ".join(part for part in written if part) or f"(column {name_column(column + 1)})"
        seen[name] += 1
        told_apart = name if seen[name] == 1 else f"{name}.{seen[name]}"
        while told_apart in taken:  # someone has written 'Wt.2' as a heading
            seen[name] += 1
            told_apart = f"{name}.{seen[name]}"
        taken.add(told_apart)
        names.append(told_apart)
    return names


def is_totals_text(text: str) -> bool:
    """Tell whether a row's first text makes it a row of totals or averages.

    Parameters
    ----------
    text : str
        The first cell that is not empty.

    Returns
    -------
    bool
        True for 'Total', 'Mean:', 'n = 12', 'Mittelwert' and their like.

    Examples
    --------
    >>> is_totals_text("Average"), is_totals_text("Mean Street bird")
    (True, False)
    """
    return _TOTALS.fullmatch(fold_text(text)) is not None


def sort_rows(sheet: Sheet, rule: SheetRule) -> npt.NDArray[np.object_]:
    """Say of each row why it holds no exam.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    rule : SheetRule
        Its rule.

    Returns
    -------
    ndarray of object, shape (rows,)
        The reason; the empty text for a row of data, ``blank`` for an empty one.
    """
    n_rows = sheet.texts.shape[0]
    reasons = np.full(n_rows, "", dtype=object)
    numbers = np.arange(1, n_rows + 1)
    headings = [row for row in rule.heading_rows if row <= n_rows]
    reasons[~sheet.filled.any(axis=1)] = "blank"
    below_headings = max(rule.heading_rows, default=0) + 1
    first = rule.first_row or below_headings
    reasons[(numbers < first) & (reasons == "")] = "between headings and data"
    reasons[(numbers < min(rule.heading_rows, default=1)) & (reasons != "blank")] = (
        "above the headings: a title or note"
    )
    if rule.last_row is not None:
        reasons[(numbers > rule.last_row) & (reasons != "blank")] = "below the table"
    for row in headings:
        reasons[row - 1] = "a heading"
    if rule.units_row is not None and rule.units_row <= n_rows:
        reasons[rule.units_row - 1] = "a row of units"
    _sort_data_rows(sheet, rule, reasons)
    return reasons


def _sort_data_rows(sheet: Sheet, rule: SheetRule, reasons: npt.NDArray[np.object_]) -> None:
    filled = sheet.filled
    columns = np.arange(filled.shape[1])
    heading = next((row for row in rule.heading_rows if row <= filled.shape[0]), None)
    heading_texts = sheet.row_texts(heading - 1) if heading is not None else []
    repeated: list[int] = []
    for row in np.flatnonzero(reasons == "").tolist():
        if row + 1 in rule.data_rows:
            continue
        if row + 1 in rule.totals_rows:
            reasons[row] = "a row that the recipe sets aside"
            continue
        first = int(columns[filled[row]][0])
        text = str(sheet.texts[row, first]).strip()
        if heading_texts and text == heading_texts[first] and text:
            if sheet.row_texts(row) == heading_texts:
                reasons[row] = "the headings repeated"
                repeated.append(row)
        elif is_totals_text(text) and not _has_words(sheet.texts[row, first + 1 :]):
            reasons[row] = f"a row of totals: it begins with {text!r}"
    for row in repeated:
        above = row - 1
        if above >= 0 and reasons[above] == "" and filled[above].sum() == 1:
            reasons[above] = "a title above repeated headings"


def _has_words(texts: npt.NDArray[np.object_]) -> bool:
    # A bird can be called Max; the row of a maximum holds numbers alone.
    return any(re.search(r"[^\W\d_]", str(text)) for text in texts)


def find_lone_cells(
    sheet: Sheet, reasons: npt.NDArray[np.object_], *, n_columns: int
) -> npt.NDArray[np.bool_]:
    """Find rows of data that hold one cell alone, in a table that is wide.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    reasons : ndarray of object
        As `sort_rows` gives.
    n_columns : int
        Columns that have a heading.

    Returns
    -------
    ndarray of bool, shape (rows,)
        True for a row that is more likely a note than an exam.
    """
    if n_columns < _WIDE_TABLE:
        return np.zeros(len(reasons), dtype=bool)
    return np.asarray((reasons == "") & (sheet.filled.sum(axis=1) == 1))


def find_table(sheet: Sheet) -> TableLayout | None:
    """Find the row of headings of a sheet.

    Parameters
    ----------
    sheet : Sheet
        The sheet.

    Returns
    -------
    TableLayout or None
        None where no row has two headings that mean a field.
    """
    best: tuple[float, int, int] | None = None
    for row in range(min(sheet.texts.shape[0], _ROWS_LOOKED_AT)):
        texts = [text for text in sheet.row_texts(row) if text]
        if len(texts) < 2:
            continue
        known = sum(match_heading(text).field != "" for text in texts)
        numbers = sum(not re.search(r"[^\W\d_]", text) for text in texts)
        score = known - numbers + 0.1 * (len(set(texts)) == len(texts))
        # The earliest row wins a tie: headings that are repeated further down stand first here.
        if known >= 2 and (best is None or score > best[0]):
            best = (score, row, known)
    if best is None:
        return None
    _, row, known = best
    units = _find_units_row(sheet, row)
    return TableLayout(
        heading_row=row + 1,
        units_row=units,
        evidence=f"row {row + 1} has {known} headings that mean a field",
        n_known=known,
    )


def find_other_headings(sheet: Sheet, heading_row: int) -> list[int]:
    """Find rows that look like the headings of another table on the same sheet.

    Under its own headings such a table would be read into the wrong fields without a word.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    heading_row : int
        The row of headings that is known, counted from 1.

    Returns
    -------
    list of int
        Rows, counted from 1, with two or more headings that mean a field and no number; rows
        that repeat the known headings are not among them.
    """
    rows, columns = np.nonzero(sheet.kinds == "t")
    codes, texts = pd.factorize(sheet.texts[rows, columns])
    fields = np.array([_name_sure_field(str(text)) for text in texts] + [""], dtype=object)
    means = fields[codes]
    hits = pd.DataFrame({"row": rows[means != ""], "field": means[means != ""]})
    counts = hits.groupby("row")["field"].nunique()
    known = [text for text in sheet.row_texts(heading_row - 1) if text]
    found = []
    for row in counts.index[counts >= 2].tolist():
        written = [text for text in sheet.row_texts(row) if text]
        numbers = any(not re.search(r"[^\W\d_]", text) for text in written)
        if not numbers and written != known:
            found.append(int(row) + 1)
    return found


def _name_sure_field(text: str) -> str:
    if len(text) > _LONGEST_HEADING or re.search(r"\d{3}", text):
        return ""
    match = match_heading(text)
    return match.field if match.confidence >= CERTAIN else ""


def _find_units_row(sheet: Sheet, heading: int) -> int | None:
    if heading + 1 >= sheet.texts.shape[0]:
        return None
    texts = [text for text in sheet.row_texts(heading + 1) if text]
    words = [text for text in texts if read_unit(text) or re.fullmatch(r"\(?\d-\d\)?", text)]
    return heading + 2 if texts and len(words) >= 2 and 2 * len(words) > len(texts) else None
