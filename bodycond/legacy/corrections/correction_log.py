"""The log of corrections: what became of each decision, those that met no cell included."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import pandas as pd

from bodycond.errors import name_first_few
from bodycond.legacy.corrections.correction_records import (
    BIRD_DECISIONS,
    CORRECTION_COLUMNS,
    Correction,
    Corrections,
)

LOG_COLUMNS: tuple[str, ...] = (*CORRECTION_COLUMNS, "applied", "outcome", "given_in")

APPLIED = "applied"


@dataclass(frozen=True, kw_only=True, eq=False)
class LoggedCorrection:
    """What became of a decision.

    Parameters
    ----------
    correction : Correction
        The decision.
    applied : bool
        It holds.
    outcome : str
        ``applied``, or why it was not; behind it how many records a row that is no exam had.
    row, column : int or None
        The cell, counted from 0; None where there is none. A decision on a whole row has no
        column.
    columns : tuple of (int, int), optional
        First column, and the column behind the last, that a decision on a row is about. Default
        all.
    """

    correction: Correction
    applied: bool
    outcome: str
    row: int | None = None
    column: int | None = None
    columns: tuple[int, int] | None = None


def build_correction_log(
    corrections: Corrections,
    logged: Sequence[LoggedCorrection],
    *,
    sheets: Iterable[tuple[str, str]],
) -> pd.DataFrame:
    """Make the log of all decisions, those that met no cell included.

    Parameters
    ----------
    corrections : Corrections
        All decisions.
    logged : sequence of LoggedCorrection
        From `apply_to_sheet` for each sheet, and from whoever links birds.
    sheets : iterable of (str, str)
        File and name of every sheet of the import.

    Returns
    -------
    DataFrame
        Columns as in `LOG_COLUMNS`: one row a decision in the order in which they were given,
        then one a cell that was changed in a marked copy.
    """
    names = list(sheets)
    met = {id(entry.correction): entry for entry in logged}
    entries = [
        met[id(row)]
        if id(row) in met
        else LoggedCorrection(correction=row, applied=False, outcome=_word_unmet(row, names))
        for row in corrections.rows
    ]
    given = {id(row) for row in corrections.rows}
    entries += [entry for entry in logged if id(entry.correction) not in given]
    data = [
        (*entry.correction.values, entry.applied, entry.outcome, entry.correction.given_in)
        for entry in entries
    ]
    dtypes = {name: "bool" if name == "applied" else "str" for name in LOG_COLUMNS}
    return pd.DataFrame(data, columns=list(LOG_COLUMNS)).astype(dtypes)


def _word_unmet(correction: Correction, sheets: Sequence[tuple[str, str]]) -> str:
    if correction.decision in BIRD_DECISIONS:
        return "not met: no birds were linked"
    files = list(dict.fromkeys(file for file, _ in sheets))
    if correction.file not in files:
        last = correction.file.rsplit("/", 1)[-1]
        alike = [file for file in files if file.rsplit("/", 1)[-1] == last]
        hint = f"; it has {name_first_few(alike)}" if alike else ""
        return f"not met: the file is not in this import{hint}"
    within = name_first_few(sheet for file, sheet in sheets if file == correction.file)
    return f"not met: the file has no such sheet; it has {within}"
