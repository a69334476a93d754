"""Units that a sheet states outside headings and cells: in comments and in number formats."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from bodycond.legacy.drafting.table_cutting import FoundTable
from bodycond.legacy.drafting.unit_evidence import MEASURED
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.headings.heading_units import read_shown_unit, read_units
from bodycond.legacy.headings.headings import HeadingMatch


def add_comment_unit(match: HeadingMatch, found: FoundTable, position: int) -> HeadingMatch:
    """Take the unit that a comment at the heading states.

    Parameters
    ----------
    match : HeadingMatch
        What the heading says.
    found : FoundTable
        The table.
    position : int
        The column, counted from 0.

    Returns
    -------
    HeadingMatch
        With the unit, where the comment names one and the heading none.
    """
    rows = (row - 1 for row in found.layout.heading_rows)
    texts = [found.sheet.comments.get((row, position), "") for row in rows]
    units = {unit for text in texts for unit in read_units(text)}
    if match.unit is not None or len(units) != 1 or not match.field:
        return match
    evidence = f"{match.evidence}; a comment says {' '.join(' '.join(texts).split())!r}"
    return replace(match, unit=units.pop(), evidence=evidence)


def add_shown_unit(
    match: HeadingMatch, parts: Sequence[tuple[Sheet, npt.NDArray[np.intp]]], position: int
) -> HeadingMatch:
    """Take the unit that the format of a column's numbers shows, as in 2.12 kg.

    Parameters
    ----------
    match : HeadingMatch
        What the heading says.
    parts : sequence of (Sheet, ndarray of int)
        The sheets and their rows of data, counted from 0.
    position : int
        The column, counted from 0.

    Returns
    -------
    HeadingMatch
        With the unit, where every number shows it and the heading names no other; less sure, so
        that the column is asked about, where some show one, or several are shown.
    """
    if match.field not in MEASURED or not any(sheet.shown for sheet, _ in parts):
        return match
    units = {
        read_shown_unit(sheet.shown.get((row, position), ""))
        for sheet, rows in parts
        for row in rows.tolist()
        if sheet.kinds[row, position] == "n"
    }
    named = sorted(unit for unit in units if unit)
    if not named:
        return match
    said = f"the format of the cells shows {' and '.join(named)}"
    if len(units) == 1 and match.unit in {None, named[0]}:
        return replace(match, unit=named[0], evidence=f"{match.evidence}; {said}")
    sure = min(match.confidence, 0.5)
    return replace(match, confidence=sure, evidence=f"{match.evidence}, but {said}")
