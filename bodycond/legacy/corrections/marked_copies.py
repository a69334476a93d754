"""A sheet copied as it stood into a workbook, its held cells marked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from xml.sax.saxutils import escape

import numpy as np
import numpy.typing as npt

from bodycond.legacy.corrections.workbook_pen import Pen, fit_page
from bodycond.legacy.corrections.xlsx_texts import (
    escape_text,
    find_number,
    is_risky,
    needs_escape,
    read_back,
)
from bodycond.legacy.files.sheets import Sheet
from bodycond.tables_on_disk import name_column

MOST_ROWS = 1_048_576
MOST_COLUMNS = 16_384

# Each note is a drawing of its own; with many thousands a workbook opens slowly or not at all.
MOST_NOTES = 1_000

# A note longer than this does not fit on a screen; the list has the whole text.
_LONGEST_NOTE = 600

# Headings deeper than this would leave no room to scroll in.
_DEEPEST_FREEZE = 12

_NARROWEST, _WIDEST = 7, 48
_ROWS_MEASURED = 2_000

Place = tuple[int, int]


@dataclass(frozen=True, kw_only=True, eq=False)
class HeldCell:
    """What a held cell's note says.

    Parameters
    ----------
    reason : str
        Why it is held.
    likely : str
        What it is likely to mean; the empty text where nobody can tell.
    """

    reason: str
    likely: str


@dataclass(frozen=True, kw_only=True, eq=False)
class HeldCells:
    """The held cells of a sheet.

    Parameters
    ----------
    single : dict of (int, int) to HeldCell
        Those with a line of their own, by row and column, counted from 0.
    whole : ndarray of bool, shape of the sheet
        Those that are held as a column or a sheet.
    """

    single: dict[Place, HeldCell]
    whole: npt.NDArray[np.bool_]

    @property
    def n_cells(self) -> int:
        """Count the held cells.

        Returns
        -------
        int
            The number.
        """
        return len(self.single) + int(self.whole.sum())


def copy_sheet(
    workbook: Any, sheet: Sheet, *, name: str, held: HeldCells, heading_row: int
) -> tuple[dict[int, str], tuple[str, ...]]:
    """Copy a sheet into a workbook and mark its held cells.

    Parameters
    ----------
    workbook : Any
        Opened for writing only.
    sheet : Sheet
        The sheet.
    name : str
        The copy's name.
    held : HeldCells
        The sheet's held cells.
    heading_row : int
        Last row of headings, counted from 1; it stays in sight. 0 where there is none.

    Returns
    -------
    rows : dict of int to str
        XML of the rows without a mark, which stand empty in the workbook until it is packed.
    said : tuple of str
        What the copy does not show as the source did.
    """
    target = workbook.create_sheet(name)
    if 0 < heading_row <= _DEEPEST_FREEZE:
        target.freeze_panes = f"A{heading_row + 1}"
    fit_page(target, title_rows=f"1:{heading_row}" if 0 < heading_row <= _DEEPEST_FREEZE else None)
    for column, width in enumerate(_measure_columns(sheet), start=1):
        target.column_dimensions[name_column(column)].width = width
    places: dict[int, list[Place]] = {}
    for place in sorted({*held.single, *sheet.comments, *sheet.struck}):
        places.setdefault(place[0], []).append(place)
    pen = Pen(sheet=target)
    plain = _PlainRows(sheet=sheet, pen=pen, whole=held.whole)
    rows: dict[int, str] = {}
    notes_left = MOST_NOTES
    for row in range(min(sheet.texts.shape[0], MOST_ROWS)):
        inside = [place for place in places.get(row, ()) if place[1] < plain.width]
        if not inside:
            # A sheet is large for its plain rows, and cell by cell they take most of the time.
            target.append(())
            rows[row + 1] = plain.write_row(row)
            continue
        cells, noted = plain.list_cells(row), False
        for place in inside:
            note = _word_note(sheet, place, held.single.get(place)) if notes_left else ""
            style = _find_style(sheet, place, held)
            cells[place[1]] = _mark_cell(sheet, pen, place, style=style, note=note)
            notes_left -= bool(note)
            noted |= bool(note)
        target.append(cells if noted else ())
        if not noted:
            rows[row + 1] = plain.join_cells(row, cells)
    return rows, _list_differences(sheet, held.single)


class _PlainRows:
    """Writes the cells that bear no mark of their own; each different one is prepared once."""

    def __init__(self, *, sheet: Sheet, pen: Pen, whole: npt.NDArray[np.bool_]) -> None:
        self.pen = pen
        self.width = min(sheet.texts.shape[1], MOST_COLUMNS)
        self._texts = sheet.texts[:, : self.width]
        # Cells of a column held as a whole go by the same letter, in capitals.
        kinds = sheet.kinds[:, : self.width]
        self._kinds = np.where(whole[:, : self.width], np.char.upper(kinds.astype("U1")), kinds)
        self._starts = [f'<c r="{name_column(column + 1)}' for column in range(self.width)]
        self._known: dict[str, str] = {}

    def list_cells(self, row: int) -> list[Any]:
        """Give a row's cells, to be marked and written one by one."""
        pairs = zip(self._texts[row], self._kinds[row].tolist(), strict=True)
        return [_make_cell(str(text), letter, self.pen) for text, letter in pairs]

    def write_row(self, row: int) -> str:
        """Write a row as XML."""
        number, known, parts = row + 1, self._known, []
        for start, text, letter in zip(
            self._starts, self._texts[row], self._kinds[row].tolist(), strict=True
        ):
            if letter == " ":
                continue
            key = letter + text
            if key not in known:
                known[key] = _write_cell(_make_cell(str(text), letter, self.pen))
            parts.append(f'{start}{number}"{known[key]}')
        return f'<row r="{number}">{"".join(parts)}</row>'

    def join_cells(self, row: int, cells: list[Any]) -> str:
        """Write cells, some of them marked, as a row of XML."""
        parts = [
            f'{start}{row + 1}"{_write_cell(cell)}'
            for start, cell in zip(self._starts, cells, strict=True)
            if cell is not None
        ]
        return f'<row r="{row + 1}">{"".join(parts)}</row>'


def _make_cell(text: str, letter: str, pen: Pen) -> Any:
    """Give a number or a cell of text; None for an empty cell."""
    if letter == " ":
        return None
    whole = letter.isupper()
    number = find_number(text) if letter in "nN" else None
    if number is not None:
        return pen.write_number(number, "held_whole") if whole else number
    long = len(text) > _WIDEST or "\n" in text
    style = "wrapped" if long and not is_risky(text) else "plain"
    return pen.write(text, "held_whole" if whole else style)


def _write_cell(cell: Any) -> str:
    """Write the part of a cell's XML that stands behind its address."""
    if isinstance(cell, int | float):
        return f"><v>{cell:.16g}</v></c>"
    if isinstance(cell.value, int | float):
        return f' s="{cell.style_id}"><v>{cell.value:.16g}</v></c>'
    text = cell.value or ""
    space = ' xml:space="preserve"' if text != text.strip() else ""
    return f' s="{cell.style_id}" t="inlineStr"><is><t{space}>{escape(text)}</t></is></c>'


def _find_style(sheet: Sheet, place: Place, held: HeldCells) -> str:
    if place in held.single:
        return "held"
    if held.whole[place]:
        return "held_whole"
    return "struck" if place in sheet.struck else "plain"


def _mark_cell(sheet: Sheet, pen: Pen, place: Place, *, style: str, note: str) -> Any:
    text = str(sheet.texts[place])
    number = find_number(text) if sheet.kinds[place] == "n" else None
    cell = pen.write(text, style) if number is None else pen.write_number(number, style)
    if note:
        cell.comment = _make_note(note)
    return cell


def _make_note(text: str) -> Any:
    from openpyxl.comments import Comment

    shown = text if len(text) <= _LONGEST_NOTE else f"{text[:_LONGEST_NOTE]} ..."
    lines = sum(1 + len(line) // 45 for line in shown.split("\n"))
    return Comment(escape_text(shown), "bodycond", width=320, height=24 + 17 * lines)


def _word_note(sheet: Sheet, place: Place, cell: HeldCell | None) -> str:
    lines = []
    if cell is not None:
        lines.append(f"Held: {cell.reason}")
        if cell.likely:
            lines.append(f"Likely: {cell.likely}")
        if place in sheet.formulas:
            lines.append(f"Formula in the source: {sheet.formulas[place]}")
    if place in sheet.comments:
        lines.append(f"Note in the source: {sheet.comments[place]}")
    return "\n".join(lines)


def _measure_columns(sheet: Sheet) -> list[float]:
    """Give each column a width that shows nearly all of its texts."""
    texts = sheet.texts[:_ROWS_MEASURED, :MOST_COLUMNS]
    widths = []
    for column in texts.T:
        lengths = [max(map(len, text.split("\n"))) for text in column.tolist() if text]
        usual = float(np.quantile(lengths, 0.95)) if lengths else 0.0
        widths.append(min(max(usual + 2, _NARROWEST), _WIDEST))
    return widths


def _list_differences(sheet: Sheet, held: Mapping[Place, HeldCell]) -> tuple[str, ...]:
    said = []
    texts = sheet.texts[sheet.filled].tolist()
    unique = set(texts)
    escaped = {text for text in unique if needs_escape(text)}
    if escaped:
        count = sum(text in escaped for text in texts)
        said.append(
            f"{count} cells hold letters that are no signs (control letters) or look like them; "
            "they stand in the file as _xHHHH_ and come back as they were"
        )
    cut = sum(read_back(text) != text for text in unique)
    if cut:
        said.append(f"{cut} texts longer than a cell may be are cut, and say so")
    hidden = [f"row {row + 1}" for row in sorted(sheet.hidden_rows)]
    hidden += [f"column {name_column(column + 1)}" for column in sorted(sheet.hidden_columns)]
    if hidden or sheet.hidden:
        parts = (["the whole sheet"] if sheet.hidden else []) + hidden
        more = f" and {len(parts) - 12} more" if len(parts) > 12 else ""
        said.append(f"hidden in the source and shown here: {', '.join(parts[:12])}{more}")
    noted = len({*held, *sheet.comments})
    if noted > MOST_NOTES:
        said.append(
            f"of {noted} notes the first {MOST_NOTES} are shown; every held cell has the fill and "
            "the border, and its reason in the list"
        )
    rows, columns = sheet.texts.shape
    if rows > MOST_ROWS or columns > MOST_COLUMNS:
        said.append(f"the copy ends where a sheet must: row {MOST_ROWS}, column {MOST_COLUMNS}")
    return tuple(said)
