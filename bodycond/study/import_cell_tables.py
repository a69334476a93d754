"""The import report's tables of columns and cells, bounded, with the file that has the rest."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import PurePath
from typing import Any

import pandas as pd

from bodycond.errors import name_first_few
from bodycond.study.import_findings import ImportFindings
from bodycond.study.import_tables import name_place
from bodycond.study.report_tables import ReportTable, without_empty_columns, word_cell
from bodycond.study.visible_texts import show_cell, show_text, strip_cell_words, word_rest

MOST_ROWS = 60
_MOST_COLUMNS_TOLD = 150
_MOST_ADDRESSES = 3
_LONGEST_REASON = 240


def table_columns_read(findings: ImportFindings) -> ReportTable:
    """Print what each column was taken for, and who decided it.

    Parameters
    ----------
    findings : ImportFindings
        The import.

    Returns
    -------
    ReportTable
        One row a column.
    """
    rows = []
    for row in findings.columns.head(_MOST_COLUMNS_TOLD).to_dict("records"):
        decided = row["decided_by"]
        if decided == "the draft":
            decided = f"the draft, confidence {row['confidence']:.2f}"
        rows.append(
            (_name_entry(row), show_text(row["heading"], limit=_LONGEST_REASON),
             show_text(row["read_as"], limit=_LONGEST_REASON), decided,
             show_text(row["evidence"], limit=_LONGEST_REASON))
        )  # fmt: skip
    return without_empty_columns(
        ReportTable(
            caption="What each column was taken for. Where the draft decided, its confidence "
            "(0 to 1) is given, and nobody has changed or confirmed the line since."
            + word_rest(len(findings.columns), _MOST_COLUMNS_TOLD, "columns.csv"),
            headings=("Entry of the recipe", "Heading", "Read as", "Decided by", "Evidence"),
            rows=tuple(rows),
            grouped=True,
        )
    )


def table_held(quarantine: pd.DataFrame) -> ReportTable:
    """Print why cells were held back, with the first of them as written.

    Parameters
    ----------
    quarantine : DataFrame
        Held cells.

    Returns
    -------
    ReportTable
        One row a field and reason, most cells first.
    """
    unique = {text: strip_cell_words(text) for text in quarantine["reason"].unique()}
    keys = [quarantine["reason"].map(unique), quarantine["target"]]
    groups = list(quarantine.groupby(keys, sort=False, dropna=False))
    groups.sort(key=lambda group: -len(group[1]))
    rows = [
        (show_text(reason, limit=_LONGEST_REASON), _name_field(target), word_cell(len(cells)),
         _list_texts(cells["raw"]), _list_texts(cells["likely"]),
         _list_places(cells))
        for (reason, target), cells in groups[:MOST_ROWS]
    ]  # fmt: skip
    return ReportTable(
        caption="Cells held back, by reason and field. A likely reading is a proposal and was "
        "not applied. Every cell, with its address and raw text, stands in quarantine.csv."
        + word_rest(len(groups), MOST_ROWS, "reasons.csv"),
        headings=("Reason", "Meant for", "Cells", "As written", "Likely reading", "First places"),
        rows=tuple(rows),
    )


def table_reasons(findings: ImportFindings, *, outcome: str, caption: str) -> ReportTable | None:
    """Print what was converted or set aside, by reason, with an example.

    Parameters
    ----------
    findings : ImportFindings
        The import.
    outcome : {"converted", "set_aside"}
        What became of the cells.
    caption : str
        What the table shows.

    Returns
    -------
    ReportTable or None
        One row a field and reason, most cells first; None where there is no such cell.
    """
    told = findings.reasons.loc[findings.reasons["outcome"] == outcome]
    if told.empty:
        return None
    rows = [
        (show_text(row["reason"], limit=_LONGEST_REASON), _name_field(row["target"]),
         word_cell(row["cells"]), show_cell(row["first_raw"]), show_cell(row["first_value"]),
         _name_cell(row["first_file"], row["first_address"]))
        for row in told.head(MOST_ROWS).to_dict("records")
    ]  # fmt: skip
    return without_empty_columns(
        ReportTable(
            caption=caption + word_rest(len(told), MOST_ROWS, "reasons.csv"),
            headings=("Reason", "Field", "Cells", "For example", "Became", "First place"),
            rows=tuple(rows),
        )
    )


def table_any(
    frame: pd.DataFrame, *, headings: dict[str, str], caption: str, file: str
) -> ReportTable:
    """Print the first rows of a frame that has texts from strangers in it.

    Parameters
    ----------
    frame : DataFrame
        The frame.
    headings : dict of str to str
        Columns to print, with their headings.
    caption : str
        What the table shows.
    file : str
        The file that has all rows.

    Returns
    -------
    ReportTable
        The table.
    """
    rows = [
        tuple(show_text(word_cell(row[name]), limit=_LONGEST_REASON) for name in headings)
        for row in frame.head(MOST_ROWS).to_dict("records")
    ]
    return without_empty_columns(
        ReportTable(
            caption=caption + word_rest(len(frame), MOST_ROWS, file),
            headings=tuple(headings.values()),
            rows=tuple(rows),
        )
    )


def _name_entry(row: Mapping[Any, Any]) -> str:
    file, sheet = show_text(row["file"]), show_text(row["sheet"])
    name = f"{file}, every sheet" if sheet == "*" else name_place(file, sheet)
    if row["sheets"] == 1:
        return name
    return f"{name} ({row['sheets']} sheets)" if row["sheets"] else f"{name} (no such sheet)"


def _name_field(target: Any) -> str:
    return show_text(word_cell(target).removeprefix("exams.").replace("ratings.", "rating: "))


def _list_texts(texts: pd.Series) -> str:
    unique = [show_cell(text) for text in texts.dropna().unique() if text != ""]
    return name_first_few(unique, limit=_MOST_ADDRESSES)


def _list_places(cells: pd.DataFrame) -> str:
    named: list[str] = []
    before = None
    for row in cells.head(_MOST_ADDRESSES)[["file", "address"]].to_dict("records"):
        named.append(_name_cell(row["file"], row["address"], same_file=row["file"] == before))
        before = row["file"]
    more = len(cells) - len(named)
    return "; ".join(named) + (f"; and {word_cell(more)} more" if more else "")


def _name_cell(file: str, address: str, *, same_file: bool = False) -> str:
    # A text file's only sheet is called as the file is, and need not be named twice.
    cell = show_text(address.removeprefix(f"{PurePath(file).stem}!"))
    return cell if same_file else f"{show_text(file)}, {cell}"
