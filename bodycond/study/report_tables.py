"""Results as tables of words for the report: rounded by their intervals, n in every row."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import pandas as pd

from bodycond.rounding import word_interval
from bodycond.study.analysis import StudyAnalysis


@dataclass(frozen=True, kw_only=True)
class ReportTable:
    """A table ready to print.

    Parameters
    ----------
    caption : str
        What it shows, with n and interval where they apply.
    headings : tuple of str
        Column headings.
    rows : tuple of tuple of str
        Cells; the first of a row is its heading.
    """

    caption: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def table_of_frame(
    frame: pd.DataFrame, *, caption: str, headings: dict[str, str], most: int | None = None
) -> ReportTable:
    """Print a frame's columns as they are.

    Parameters
    ----------
    frame : DataFrame
        The frame.
    caption : str
        The caption.
    headings : dict of str to str
        Columns to print, with their headings.
    most : int, optional
        Rows to print at the most; the caption then says how many there are.

    Returns
    -------
    ReportTable
        The table.
    """
    shown = frame if most is None else frame.head(most)
    if len(shown) < len(frame):
        caption = f"{caption} The first {len(shown)} of {len(frame)}; all are in the table file."
    rows = [
        tuple(word_cell(record[name]) for name in headings) for record in shown.to_dict("records")
    ]
    return ReportTable(caption=caption, headings=tuple(headings.values()), rows=tuple(rows))


def word_cell(cell: Any) -> str:
    """Write one cell: missing as nothing, numbers without needless digits.

    Parameters
    ----------
    cell : object
        The cell.

    Returns
    -------
    str
        Its words.
    """
    if cell is None or cell is pd.NA or (isinstance(cell, float) and pd.isna(cell)):
        return ""
    if isinstance(cell, float):
        return f"{cell:g}"
    return f"{cell:,}".replace(",", "\u202f") if isinstance(cell, int) else str(cell)


def table_flags(found: pd.DataFrame, *, most: int) -> ReportTable:
    """Print what the check found, what must be mended first.

    Parameters
    ----------
    found : DataFrame
        Rows of `list_flags`.
    most : int
        Rows to print at the most.

    Returns
    -------
    ReportTable
        One row a fault: where, what, why, likely cure.
    """
    ordered = found.sort_values("severity", kind="stable")
    rows = [
        (
            ", ".join(
                part
                for part in (word_cell(row["file"]), f"sheet {row['sheet']}", f"row {row['row']}")
            ),
            row["severity"],
            f"{row['column']} {word_cell(row['value'])}",
            f"{str(row['rule']).replace('_', ' ')}; expected {word_cell(row['expected'])}",
            word_cell(row["cure"]),
        )
        for row in ordered.head(most).to_dict("records")
    ]
    more = f" The first {most} of {len(found)}; all are in tables/flags.csv."
    return ReportTable(
        caption="Found by the check of exams; the evidence for each is in tables/flags.csv."
        + (more if len(found) > most else ""),
        headings=("Place", "Severity", "Value", "Why", "Likely cure"),
        rows=tuple(rows),
    )


def table_agreement(analysis: StudyAnalysis) -> Sequence[ReportTable]:
    """Print the headline pair in full, then every pair's kappa and signed difference.

    Parameters
    ----------
    analysis : StudyAnalysis
        Results.

    Returns
    -------
    sequence of ReportTable
        Two tables, or none.
    """
    if analysis.agreement is None or analysis.headline_pair is None:
        return ()
    pair = analysis.headline_pair
    full = [
        (
            estimate.name,
            word_interval(estimate.value, estimate.low, estimate.high, level=estimate.level),
            str(estimate.n),
            "; ".join(part for part in (estimate.reason, *estimate.notes) if part),
        )
        for estimate in pair.estimates
    ]
    every = []
    for compared in analysis.agreement.comparisons:
        kappa, signed = compared.kappa, compared.estimates[-1]
        every.append(
            (
                f"{compared.first_name}, {compared.second_name}",
                word_interval(kappa.value, kappa.low, kappa.high, level=kappa.level),
                word_interval(signed.value, signed.low, signed.high, level=signed.level),
                str(kappa.n),
                kappa.reason,
            )
        )
    return (
        ReportTable(
            caption=f"{pair.first_name} and {pair.second_name} on {pair.scale.name}.",
            headings=("Statistic", "Estimate", "Birds", "Remark"),
            rows=tuple(full),
        ),
        ReportTable(
            caption="Every pair of scorers: quadratic weighted kappa, and mean signed difference "
            "in grades (second minus first). Pairs are not ranked: their intervals overlap.",
            headings=("Pair", "Kappa", "Signed difference", "Birds", "Remark"),
            rows=tuple(every),
        ),
    )
