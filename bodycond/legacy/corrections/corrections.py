"""Corrections applied: the sheet as it should read, and a log of every decision.

The source is never changed. `apply_to_sheet` gives a second sheet to be read in its place;
`settle_corrections` puts what was written back into the account, beside who decided and why.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from bodycond.legacy.corrections.changed_copies import find_changed_cells
from bodycond.legacy.corrections.correction_checking import find_row
from bodycond.legacy.corrections.correction_log import APPLIED, LoggedCorrection
from bodycond.legacy.corrections.correction_records import Correction, Corrections
from bodycond.legacy.corrections.filled_in_workbooks import find_place
from bodycond.legacy.corrections.xlsx_texts import read_back
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.ledger import SheetAccount

_CHANGED_IN_COPY = (
    "not applied: changed in a marked copy, and a correction needs a decision, who and why"
)
_FILLED_IN_COPY = (
    "not applied: written in a marked copy into a cell that is empty in the source, which no "
    "correction can fill"
)


def apply_to_sheet(
    sheet: Sheet, corrections: Corrections
) -> tuple[Sheet, tuple[LoggedCorrection, ...]]:
    """Apply the decisions on a sheet's cells.

    Parameters
    ----------
    sheet : Sheet
        The sheet as it stands in the file; it is left as it is.
    corrections : Corrections
        All decisions.

    Returns
    -------
    sheet : Sheet
        The sheet to read: corrected cells hold the corrected text, and cells of no value are
        empty. A corrected cell counts as not struck through. Without such decisions it is the
        very sheet that was given.
    logged : tuple of LoggedCorrection
        One a decision on this sheet, then one a cell changed in a marked copy of it, which is
        never applied.
    """
    logged: list[LoggedCorrection] = []
    decided: dict[tuple[int, int], Correction] = {}
    for correction in corrections.for_sheet(file=sheet.file, sheet=sheet.name):
        logged.append(_judge(sheet, correction, decided))
    changes = {
        (entry.row, entry.column): entry.correction
        for entry in logged
        if entry.applied and entry.correction.decision in {"corrected", "no_value"}
    }
    logged += _log_proposals(sheet, corrections)
    if not changes:
        return sheet, tuple(logged)
    texts, kinds = sheet.texts.copy(), sheet.kinds.copy()
    for place, correction in changes.items():
        texts[place] = correction.corrected
        kinds[place] = "t" if correction.corrected else " "
    corrected = replace(
        sheet,
        texts=texts,
        kinds=kinds,
        struck=sheet.struck - changes.keys(),
        partly_struck={
            place: text for place, text in sheet.partly_struck.items() if place not in changes
        },
    )
    return corrected, tuple(logged)


def _judge(
    sheet: Sheet, correction: Correction, decided: dict[tuple[int, int], Correction]
) -> LoggedCorrection:
    """Tell whether a decision holds; note those that do in ``decided``."""
    number = find_row(correction.cell)
    if number is not None and correction.decision == "not_exam":
        return _judge_row(sheet, correction, number)
    place = find_place(correction.cell)
    rows, columns = sheet.texts.shape
    if place is None or place[0] >= rows or place[1] >= columns:
        return LoggedCorrection(
            correction=correction,
            applied=False,
            outcome=f"refused: the sheet has no cell {correction.cell}",
        )
    row, column = place
    raw = str(sheet.texts[place])
    applied, outcome = True, APPLIED
    before = decided.get(place)
    if not sheet.filled[place]:
        applied, outcome = False, "refused: the cell is empty"
    elif not _holds(raw, correction.raw):
        applied = False
        outcome = f"stale: the cell now holds {raw!r} and not {correction.raw!r}"
    elif before is None:
        decided[place] = correction
    elif (before.decision, before.corrected) == (correction.decision, correction.corrected):
        outcome = f"{APPLIED}; {before.given_in} decides the same"
    else:
        applied, outcome = False, f"refused: {before.given_in} decides otherwise"
    return LoggedCorrection(
        correction=correction, applied=applied, outcome=outcome, row=row, column=column
    )


def _judge_row(sheet: Sheet, correction: Correction, row: int) -> LoggedCorrection:
    """Tell whether a decision on a whole row holds, which names what its first cell holds."""
    filled = np.flatnonzero(sheet.filled[row]).tolist() if row < len(sheet.filled) else []
    if not filled:
        return LoggedCorrection(
            correction=correction, applied=False,
            outcome=f"refused: row {row + 1} of the sheet is empty",
        )  # fmt: skip
    raw = str(sheet.texts[row, filled[0]])
    applied, outcome = True, APPLIED
    if not _holds(raw, correction.raw):
        applied = False
        outcome = f"stale: the first cell of the row now holds {raw!r} and not {correction.raw!r}"
    return LoggedCorrection(correction=correction, applied=applied, outcome=outcome, row=row)


def _holds(raw: str, given: str) -> bool:
    """Tell whether a cell holds what a correction says, but for what its way here may change."""
    if given in (raw, read_back(raw)):
        return True
    # Spreadsheet programs save a line end inside a cell as their own.
    return _join_lines(given) in (_join_lines(raw), _join_lines(read_back(raw)))


def _join_lines(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _log_proposals(sheet: Sheet, corrections: Corrections) -> list[LoggedCorrection]:
    copies = [
        copy for copy in corrections.copies if (copy.file, copy.name) == (sheet.file, sheet.name)
    ]
    known = {
        (row.cell, row.decision, row.corrected)
        for row in corrections.for_sheet(file=sheet.file, sheet=sheet.name)
    }
    entries: dict[tuple[str, ...], LoggedCorrection] = {}
    for copy in copies:
        found, disorder = find_changed_cells(sheet, copy)
        if disorder:
            note = Correction(decision="", file=sheet.file, sheet=sheet.name)
            entries[disorder,] = LoggedCorrection(correction=note, applied=False, outcome=disorder)
        for (row, column), proposal in found:
            key = (proposal.cell, proposal.decision, proposal.corrected)
            if key not in known:
                entries[key] = LoggedCorrection(
                    correction=proposal, applied=False, row=row, column=column,
                    outcome=_CHANGED_IN_COPY if proposal.raw else _FILLED_IN_COPY,
                )  # fmt: skip
    return list(entries.values())


def word_correction(correction: Correction, *, raw: str) -> str:
    """Word the reason that a corrected cell has in the ledger.

    Parameters
    ----------
    correction : Correction
        A decision on a cell.
    raw : str
        What the cell holds in the file.

    Returns
    -------
    str
        What was decided, by whom and why.

    Examples
    --------
    >>> decision = Correction(decision="corrected", corrected="185", who="S1", why="paper card")
    >>> word_correction(decision, raw="18S")
    "corrected from '18S' by S1 (paper card)"
    """
    said = {
        "corrected": f"corrected from {raw!r}",
        "no_value": "said to hold no value",
        "as_written": "kept as written",
        "not_exam": "row said to be no exam",
    }[correction.decision]
    day = f" on {correction.decided_on}" if correction.decided_on else ""
    return f"{said} by {correction.who}{day} ({correction.why})"


def settle_corrections(
    account: SheetAccount, sheet: Sheet, logged: Iterable[LoggedCorrection]
) -> SheetAccount:
    """Put what was written back into the account of a corrected sheet, beside each decision.

    Parameters
    ----------
    account : SheetAccount
        The account after the corrected sheet was read; its arrays are written into.
    sheet : Sheet
        The sheet as it stands in the file.
    logged : iterable of LoggedCorrection
        From `apply_to_sheet`.

    Returns
    -------
    SheetAccount
        The account of ``sheet``. A cell that was read as corrected is ``converted``; one whose
        corrected text is held stays so; one of no value is ``converted`` into none; one kept as
        written, and every cell of a row that is no exam, or of its own block's part of the row,
        is ``set_aside``. The tallies of rows are left to the reader of the sheet.
    """
    entries = [entry for entry in logged if entry.applied and entry.outcome == APPLIED]
    for entry in entries:
        decision = entry.correction.decision
        if entry.row is None:
            continue
        if decision == "not_exam":
            _settle_row(account, sheet, entry)
            continue
        if entry.column is None:
            continue
        place = (entry.row, entry.column)
        reason = word_correction(entry.correction, raw=str(sheet.texts[place]))
        if decision == "corrected":
            outcome = str(account.outcomes[place])
            _settle(account, place, "converted" if outcome == "accepted" else outcome, reason)
        elif decision == "no_value":
            _settle(account, place, account.outcomes[place] or "converted", reason)
        elif decision == "as_written" and account.outcomes[place] == "quarantined":
            account.likely[place] = ""
            _settle(account, place, "set_aside", reason)
    return replace(account, sheet=sheet)


def _settle_row(account: SheetAccount, sheet: Sheet, entry: LoggedCorrection) -> None:
    reason = word_correction(entry.correction, raw=entry.correction.raw)
    left, right = entry.columns or (0, sheet.texts.shape[1])
    for column in range(left, right):
        cell = (entry.row or 0, column)
        if sheet.filled[cell]:
            account.targets[cell] = account.likely[cell] = account.values[cell] = ""
            _settle(account, cell, "set_aside", reason)


def _settle(account: SheetAccount, place: tuple[int, int], outcome: str, reason: str) -> None:
    before = str(account.reasons[place])
    account.outcomes[place] = outcome
    if reason not in before:
        account.reasons[place] = f"{reason}; {before}" if before else reason
