"""The list of held cells in a marked workbook: what is held and why, and room to decide."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import pandas as pd

from bodycond.legacy.corrections.correction_records import CELL_DECISIONS
from bodycond.legacy.corrections.held_spans import HeldSpan
from bodycond.legacy.corrections.marked_copies import MOST_COLUMNS, MOST_ROWS
from bodycond.legacy.corrections.workbook_pen import Pen, fit_page
from bodycond.tables_on_disk import name_column

HELD_CELLS_SHEET = "Held cells"

# Column of the list, its width and whether the person fills it in.
LIST_COLUMNS: Mapping[str, tuple[float, bool]] = {
    "file": (20, False), "sheet": (16, False), "cell": (9, False), "raw": (24, False),
    "reason": (38, False), "likely": (20, False), "target": (20, False), "exam_id": (16, False),
    "decision": (13, True), "corrected": (20, True), "who": (12, True), "why": (30, True),
    "decided_on": (13, True),
}  # fmt: skip
_WRAPPED = ("file", "sheet", "raw", "reason", "likely", "target", "exam_id")
# Height of a line of text in points, and a letter's width in those of the column.
_LINE = 15.0
_LETTER = 1.15
_MOST_LINES = 12
# A sheet may hold no more links than this.
_MOST_LINKS = 65_000


def as_text(value: object) -> str:
    """Give a text, or the empty text for what is missing.

    Parameters
    ----------
    value : object
        A cell of the quarantine.

    Returns
    -------
    str
        The text.
    """
    return value if isinstance(value, str) else ""


def write_held_cell_list(
    workbook: Any,
    quarantine: pd.DataFrame,
    copies: Mapping[tuple[str, str], str],
    *,
    spans: Sequence[HeldSpan] = (),
) -> tuple[str, ...]:
    """Write the list of held cells, with columns for a person to fill in.

    Columns and sheets that are held whole come last, a line each and nothing to fill in.

    Parameters
    ----------
    workbook : Any
        Opened for writing only.
    quarantine : DataFrame
        The held cells with a line of their own.
    copies : mapping of (str, str) to str
        Name of the copy by file and sheet.
    spans : sequence of HeldSpan, optional
        What is held as a column or a sheet.

    Returns
    -------
    tuple of str
        What the list leaves out.
    """
    target = workbook.create_sheet(HELD_CELLS_SHEET)
    target.freeze_panes = "D2"
    fit_page(target, title_rows="1:1")
    for column, (width, _) in enumerate(LIST_COLUMNS.values(), start=1):
        target.column_dimensions[name_column(column)].width = width
    # Whole columns are few, and each of them says more than a cell.
    listed = quarantine.iloc[: max(MOST_ROWS - 1 - len(spans), 0)]
    last = len(listed) + len(spans) + 1
    target.auto_filter.ref = f"A1:{name_column(len(LIST_COLUMNS))}{last}"
    _add_choices(target, len(listed) + 1)
    pen = Pen(sheet=target)
    target.append(
        [
            pen.write(name, "fill_in_heading" if to_fill else "heading")
            for name, (_, to_fill) in LIST_COLUMNS.items()
        ]
    )
    cell: Any
    for number, cell in enumerate(listed.itertuples(index=False)):
        _set_height(target, number + 2, [as_text(getattr(cell, name)) for name in _WRAPPED])
        target.append(_list_held_cell(pen, cell, copies, linked=number < _MOST_LINKS))
    for number, span in enumerate(spans):
        cells = _list_span(pen, span, copies)
        said_in = dict(zip(LIST_COLUMNS, cells, strict=True))
        _set_height(
            target,
            len(listed) + 2 + number,
            [as_text(getattr(said_in[name], "value", None)) for name in _WRAPPED],
        )
        target.append(cells)
    said = []
    if len(listed) < len(quarantine):
        said.append(f"the list ends where a sheet must: {len(listed)} of {len(quarantine)} cells")
    if len(listed) > _MOST_LINKS:
        said.append(f"the first {_MOST_LINKS} cells of the list have a link to the copy")
    return tuple(said)


def _set_height(target: Any, row: int, texts: Sequence[str]) -> None:
    """Make a row as high as its longest text needs, since not every program does so itself."""
    lines = max(
        sum(1 + int(_LETTER * len(line) / LIST_COLUMNS[name][0]) for line in text.split("\n"))
        for name, text in zip(_WRAPPED, texts, strict=True)
    )
    if lines > 1:
        target.row_dimensions[row].height = _LINE * min(lines, _MOST_LINES)


def _list_held_cell(
    pen: Pen, cell: Any, copies: Mapping[tuple[str, str], str], *, linked: bool
) -> list[Any]:
    address = f"{name_column(int(cell.column))}{int(cell.row)}"
    inside = cell.row <= MOST_ROWS and cell.column <= MOST_COLUMNS
    if linked and inside:
        link = _link_cell(pen, address, copies[str(cell.file), str(cell.sheet)])
    else:
        link = pen.write(address)
    texts = {name: pen.write(as_text(getattr(cell, name)), "wrapped") for name in _WRAPPED}
    empty = {
        name: pen.write("", "fill_in_date" if name == "decided_on" else "fill_in")
        for name, (_, to_fill) in LIST_COLUMNS.items()
        if to_fill
    }
    cells = {**texts, **empty, "cell": link}
    return [cells[name] for name in LIST_COLUMNS]


def _list_span(pen: Pen, span: HeldSpan, copies: Mapping[tuple[str, str], str]) -> list[Any]:
    texts = {
        "file": span.file, "sheet": span.sheet, "raw": span.example, "reason": span.words,
        "likely": span.likely, "target": span.target,
    }  # fmt: skip
    cells = {name: pen.write(text, "wrapped") for name, text in texts.items()}
    cells["cell"] = _link_cell(pen, span.address, copies[span.file, span.sheet])
    return [cells.get(name) for name in LIST_COLUMNS]


def _link_cell(pen: Pen, address: str, copy: str) -> Any:
    from openpyxl.worksheet.hyperlink import Hyperlink

    link = pen.write(address, "link")
    name = copy.replace("'", "''")
    link.hyperlink = Hyperlink(ref="A1", location=f"'{name}'!{address}")
    return link


def _add_choices(target: Any, last: int) -> None:
    from openpyxl.worksheet.datavalidation import DataValidation

    column = name_column(list(LIST_COLUMNS).index("decision") + 1)
    choices = DataValidation(
        type="list",
        formula1=f'"{",".join(CELL_DECISIONS)}"',
        allow_blank=True,
        showErrorMessage=True,
        errorTitle="decision",
        error=f"Choose one of: {', '.join(CELL_DECISIONS)}; or leave it empty.",
    )
    choices.add(f"{column}2:{column}{max(last, 2)}")
    target.data_validations.append(choices)
