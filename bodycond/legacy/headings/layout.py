"""Rows and headings of a table: names of the columns, titles, units, totals, repeated headings."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.notation import fold_text
from bodycond.legacy.recipes.recipe_rules import SheetRule
from bodycond.tables_on_disk import name_column

# A cell alone in a row of a table this wide is a note, not an exam.
_WIDE_TABLE = 4

_TOTALS = re.compile(
    r"(grand |sub-? ?|sous-? ?|zwischen|overall |global )?"
    r"(totals?|totaux|totales|totale|totali|totais|totaal|totalt|sum|sums|summe|somme|suma|soma|somma|"
    r"som|gesamt|gesamtsumme|mean|means|average|averages|avg|mittel(werte?)?|durchschnitt|moyennes?|"
    r"moy|medias?|promedios?|prom|gemiddelden?|gem|medelv?(arde)?|gennemsnit|snitt|gjennomsnitt|"
    r"median[ae]?|mediaan|std\.? ?dev\.?|st\.? ?dev\.?|stdev|stdabw\.?|stabw\.?|"
    r"standard ?(deviation|error|abweichung)|standardabweichung|ecart[- ]type|"
    r"desviacion( estandar)?|"
    r"standaard(deviatie|afwijking)|s\.?d\.?|s\.?e\.?m?\.?|"
    r"counts?|anzahl|nombre|effectif|aantal|antal|antall|numero|minimum|maximum|minimo|maximo|minima|"
    r"maxima|massimo|min|max|mini|maxi|range|spannweite|percent|cv)"
    r"( (of|all|birds?|n|wing|tail|tarsus|mass|weight|wt|mm|g|year|pour|de|para|por|voor|fur|von|"
    r"oiseaux|aves|vogel|vogels|individuals|\(?(mm|g)\)?|\d{4}))*"
    r" ?[:=]?( ?\d+([.,]\d+)?)?|n ?[=:] ?\d+"
)

# Their first letters, accents included: a quick look before the pattern.
_BEGINNINGS = (
    "total sum somme sous grand gesamt mean median moy avg average mittel durchschnitt anzahl prom "
    "snitt gjennomsnitt gennemsnit std sd s.d. sem s.e. sub ecart \u00e9cart e\u0301cart deviation "
    "count nombre effectif aantal numero n\u00famero minimum maximum m\u00e9diane m\u00ednimo "
    "m\u00e1ximo range spannweite percent cv zwischensumme overall global gem n= n:"
)
_SUMMARY = re.compile(
    r"(?:of:)?=(?:SUM|AVERAGE|COUNTA?|MIN|MAX|MEDIAN|STDEV(?:\.[SP])?|SUBTOTAL|AGGREGATE)\("
    r"(?:\d+[,;])*\[?\.?([A-Z]{1,3})(\d+):\.?([A-Z]{1,3})(\d+)\]?\)", re.IGNORECASE,
)  # fmt: skip
_TOTALS_BEGIN = frozenset({word[:2] for word in _BEGINNINGS.split(" ")} | {"n "})


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
        One a column: a repeated heading has ``.2`` behind it, an empty one is ``(column F)``. A
        merged heading names each of the columns that it stretches over.
    """
    n_rows, width = sheet.texts.shape
    rows = [row for row in heading_rows if row <= n_rows]
    written = [[" ".join(text.split()) for text in sheet.row_texts(row - 1)] for row in rows]
    _spread_merged(sheet, rows, written)
    names: list[str] = []
    seen: Counter[str] = Counter()
    taken: set[str] = set()
    for column in range(width):
        parts = [line[column] for line in written if line[column]]
        name = " ".join(parts) or f"(column {name_column(column + 1)})"
        seen[name] += 1
        told_apart = name if seen[name] == 1 else f"{name}.{seen[name]}"
        while told_apart in taken:  # someone has written 'Wt.2' as a heading
            seen[name] += 1
            told_apart = f"{name}.{seen[name]}"
        taken.add(told_apart)
        names.append(told_apart)
    return names


def _spread_merged(sheet: Sheet, rows: Sequence[int], written: list[list[str]]) -> None:
    """Write a merged heading over every column that it stretches over, in its first row alone."""
    width = sheet.texts.shape[1]
    for top, left, _, right in sheet.merged:
        if top + 1 in rows and 0 <= left < width:
            line = written[rows.index(top + 1)]
            for column in range(left + 1, min(right + 1, width)):
                line[column] = line[column] or line[left]


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
    # Nearly every text of a large sheet begins unlike any word for a total.
    if len(text) > 40 or text[:2].casefold() not in _TOTALS_BEGIN:
        return False
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
    heading = next((row for row in rule.heading_rows if row <= filled.shape[0]), None)
    heading_texts = sheet.row_texts(heading - 1) if heading is not None else []
    for row in rule.totals_rows:
        if row <= len(reasons) and reasons[row - 1] == "" and row not in rule.data_rows:
            reasons[row - 1] = "a row that the recipe sets aside"
    repeated: list[int] = []
    for row, first, text in _find_odd_rows(sheet, reasons, heading_texts):
        if row + 1 in rule.data_rows:
            continue
        if heading_texts and text == heading_texts[first]:
            if sheet.row_texts(row) == heading_texts:
                reasons[row] = "the headings repeated"
                repeated.append(row)
        elif is_totals_text(text) and not _has_words(sheet.texts[row, first + 1 :]):
            reasons[row] = f"a row of totals: it begins with {text!r}"
    for row in _find_rows_of_formulas(sheet, reasons):
        if row + 1 not in rule.data_rows:
            reasons[row] = "a row of totals: each cell is a formula over cells above or below it"
    units = _read_row(sheet, rule.units_row)
    for row in repeated:
        if units and row + 1 < len(reasons) and sheet.row_texts(row + 1) == units:
            reasons[row + 1] = "the row of units repeated"
        above = row - 1
        if above >= 0 and reasons[above] == "" and filled[above].sum() == 1:
            reasons[above] = "a title above repeated headings"


def _find_rows_of_formulas(sheet: Sheet, reasons: npt.NDArray[np.object_]) -> list[int]:
    """Find rows of data in which every cell sums up several rows of one column."""
    summing: Counter[int] = Counter()
    for (row, _), formula in sheet.formulas.items():
        found = _SUMMARY.fullmatch(formula.replace("$", "").replace(" ", ""))
        if found and found[1] == found[3] and found[2] != found[4]:
            summing[row] += 1
    return [
        row
        for row, count in summing.items()
        if row < len(reasons) and reasons[row] == "" and count == sheet.filled[row].sum()
    ]


def _read_row(sheet: Sheet, row: int | None) -> list[str]:
    """Give the texts of a row counted from 1; none where it is not on the sheet."""
    return sheet.row_texts(row - 1) if row is not None and row <= len(sheet.texts) else []


def _find_odd_rows(
    sheet: Sheet, reasons: npt.NDArray[np.object_], heading_texts: Sequence[str]
) -> list[tuple[int, int, str]]:
    """Find rows whose first text is a heading or a word for totals: row, column and text."""
    rows = np.flatnonzero(reasons == "")
    if not len(rows) or not sheet.filled.shape[1]:
        return []
    first = sheet.filled[rows].argmax(axis=1)
    codes, different = pd.factorize(sheet.texts[rows, first])
    headings = set(heading_texts) - {""}
    odd = np.array(
        [bool(text) and (text in headings or is_totals_text(text))
         for text in (str(raw).strip() for raw in different)], dtype=bool,
    )  # fmt: skip
    places = np.flatnonzero(odd[codes])
    return [(int(rows[at]), int(first[at]), str(different[codes[at]]).strip()) for at in places]


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
