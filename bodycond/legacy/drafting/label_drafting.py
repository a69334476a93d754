"""Values that stand beside a word: labels of a form found, and drafted as columns are."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from bodycond.legacy.drafting.column_contents import ColumnContents
from bodycond.legacy.drafting.column_drafting import draft_column
from bodycond.legacy.drafting.drafted_columns import DraftedColumn, ask
from bodycond.legacy.drafting.neighbour_drafting import ask_about_rivals
from bodycond.legacy.drafting.split_drafting import draft_split
from bodycond.legacy.drafting.table_data import complete_match
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.headings.headings import CERTAIN, match_heading
from bodycond.legacy.notation import says_missing
from bodycond.legacy.recipes.recipe_rules import ColumnRule, SheetRule
from bodycond.legacy.recipes.sheet_areas import fold_blanks

_WITH_VALUE = re.compile(r"([^\W\d_][^:=\n]{0,30}?) ?([:=]) ?(\S.{0,60})")
_COLON = re.compile(r"([^\W\d_].{0,38}?) ?:")
_LEAST_LABELS = 3
# Cells between a label and its value that may be empty; the import passes over as many.
_PASSED = 3


@dataclass(frozen=True, kw_only=True, slots=True)
class LabelValue:
    """A label with the value beside it.

    Parameters
    ----------
    label : str
        The label as the recipe writes it.
    where : {"right", "below", "same"}
        Where the value stands.
    text, kind : str
        The value's cell; both empty for a label without a value.
    row : int, default 0
        Row of the label, counted from 0.
    """

    label: str
    where: str
    text: str
    kind: str
    row: int = 0


def find_label_values(sheet: Sheet, *, least: int = _LEAST_LABELS) -> list[LabelValue]:
    """Find the labels of a sheet that is one form.

    Parameters
    ----------
    sheet : Sheet
        The sheet, or the rows of it that can hold labels.
    least : int, default 3
        Labels that are needed; all but one of them, and one at least, must mean a field.

    Returns
    -------
    list of LabelValue
        From top to bottom; none where too few labels mean a field.
    """
    found: list[LabelValue] = []
    rows, columns = np.nonzero(sheet.kinds == "t")
    if len(rows) > 2000:
        return []
    for row, column in zip(rows.tolist(), columns.tolist(), strict=True):
        text = " ".join(str(sheet.texts[row, column]).split())
        value = _read_label(sheet, row, column, text)
        if value is not None:
            found.append(replace(value, row=row))
    known = sum(match_heading(_bare(value.label)).field != "" for value in found)
    return found if len(found) >= least and known >= max(1, least - 1) else []


def is_form(values: Sequence[LabelValue]) -> bool:
    """Tell a form from a table, whose headings stand in one row.

    Parameters
    ----------
    values : sequence of LabelValue
        As `find_label_values` gives.

    Returns
    -------
    bool
        True where the labels that mean a field are spread over three rows or more.
    """
    rows = [value.row for value in values if match_heading(_bare(value.label)).field]
    most = max((rows.count(row) for row in rows), default=0)
    return len(set(rows)) >= 3 and 5 * most < 4 * len(rows)


def is_turned(sheet: Sheet, values: Sequence[LabelValue]) -> bool:
    """Tell a table whose headings stand below each other, with a column for each bird.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    values : sequence of LabelValue
        As `find_label_values` gives.

    Returns
    -------
    bool
        True where most labels have several values in their row and no other label.
    """
    rows = [value.row for value in values if value.where == "right"]
    alone = [row for row in rows if rows.count(row) == 1]
    several = [row for row in alone if sheet.filled[row].sum() > 2]
    return len(several) >= _LEAST_LABELS and 5 * len(several) >= 4 * len(rows)


def repeats_headings(sheet: Sheet) -> bool:
    """Tell whether a row of headings stands on the sheet more than once, as on printed pages.

    Parameters
    ----------
    sheet : Sheet
        The sheet.

    Returns
    -------
    bool
        True where two rows of texts are the same and more than half of their cells are
        headings of a field; a card's labels have values beside them.
    """
    seen: set[tuple[str, ...]] = set()
    for row in np.flatnonzero((sheet.kinds == "t").sum(axis=1) >= _LEAST_LABELS):
        texts = tuple(fold_blanks(str(text)) for text in sheet.texts[row])
        written = [text for text in texts if text]
        known = sum(match_heading(text).confidence >= CERTAIN for text in written)
        if texts in seen and 2 * known > len(written):
            return True
        seen.add(texts)
    return False


def _bare(label: str) -> str:
    return label.rstrip(" :=")


def _read_label(sheet: Sheet, row: int, column: int, text: str) -> LabelValue | None:
    inside = _WITH_VALUE.fullmatch(text)
    if inside is not None and match_heading(inside[1]).confidence >= 0.5:
        label = f"{inside[1]}{text[len(inside[1]) :].split(inside[2])[0]}{inside[2]}"
        return LabelValue(label=label, where="same", text=inside[3], kind="t")
    colon = _COLON.fullmatch(text) is not None
    if not colon and match_heading(text).confidence < CERTAIN:
        return None
    for where, step in (("right", (0, 1)), ("below", (1, 0))):
        at = (row, column)
        for _ in range(1 + _PASSED if where == "right" else 1):
            at = (at[0] + step[0], at[1] + step[1])
            if at[0] >= sheet.texts.shape[0] or at[1] >= sheet.texts.shape[1]:
                break
            kind = str(sheet.kinds[at])
            if kind != " ":
                value = str(sheet.texts[at]).strip()
                if not _is_label(value):
                    return LabelValue(label=text, where=where, text=value, kind=kind)
                break
    return LabelValue(label=text, where="right", text="", kind="") if colon else None


def _is_label(text: str) -> bool:
    return _COLON.fullmatch(text) is not None or (
        match_heading(text).confidence >= CERTAIN and not re.search(r"\d", text)
    )


def pool_labels(forms: Sequence[Sequence[LabelValue]]) -> dict[str, tuple[str, ColumnContents]]:
    """Put the values of each label of several forms together.

    Parameters
    ----------
    forms : sequence of sequence of LabelValue
        The labels of each form.

    Returns
    -------
    dict of str to (str, ColumnContents)
        By label: where its value stands, and the values.
    """
    places: dict[str, str] = {}
    cells: dict[str, dict[tuple[str, str], int]] = {}
    missing: dict[str, dict[str, int]] = {}
    for form in forms:
        for value in form:
            if value.text or value.label not in places:
                places[value.label] = value.where
            own, none = cells.setdefault(value.label, {}), missing.setdefault(value.label, {})
            if value.text and says_missing(value.text):
                none[value.text] = none.get(value.text, 0) + 1
            elif value.text:
                own[value.text, value.kind] = own.get((value.text, value.kind), 0) + 1
    return {
        label: (
            places[label],
            ColumnContents(cells=cells[label], missing=missing[label], n_rows=len(forms)),
        )
        for label in places
    }


def draft_labels(
    labels: dict[str, tuple[str, ColumnContents]], *, place: str = "", table: str = "exams"
) -> tuple[ColumnRule, ...]:
    """Draft the labels of a form.

    Parameters
    ----------
    labels : dict of str to (str, ColumnContents)
        As `pool_labels` gives.
    place : str, default ""
        Names of file and sheet.
    table : {"exams", "ratings"}, default "exams"
        Table of the form's record.

    Returns
    -------
    tuple of ColumnRule
        Labels that mean a field first.
    """
    rules: list[ColumnRule] = []
    for label, (where, contents) in labels.items():
        match = complete_match(match_heading(_bare(label)), "", table)
        column = DraftedColumn(
            heading=label, match=match, contents=contents, table=table, place=place
        )
        rule = draft_split(replace(column, heading=_bare(label))) or draft_column(column)
        if match.theme == "a year without its day":
            rule = ask(column, f"Is it needed? It seems to hold the year alone. {contents.show()}")
        rules.append(replace(rule, heading=label, where=where))
    known = ask_about_rivals(rules)
    return tuple(sorted(known, key=lambda rule: not rule.fields))


def draft_form(forms: Sequence[tuple[Sheet, Sequence[LabelValue]]]) -> SheetRule:
    """Draft the entry of forms that are labels and values alone.

    Parameters
    ----------
    forms : sequence of (Sheet, sequence of LabelValue)
        Sheets with the same labels.

    Returns
    -------
    SheetRule
        One record a sheet.
    """
    first = forms[0][0]
    labels = pool_labels([values for _, values in forms])
    place = f"{first.file}\n{first.name}"
    return SheetRule(file=first.file, sheet=first.name, labels=draft_labels(labels, place=place))
