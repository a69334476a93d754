"""One table of everything that somebody should look at: the check's faults and held cells."""

from __future__ import annotations

import pandas as pd

FLAG_COLUMNS = (
    "found_by", "severity", "file", "sheet", "row", "exam_id", "bird_id", "column", "value", "rule",
    "expected", "cure", "evidence",
)  # fmt: skip


def list_flags(exams: pd.DataFrame, faults: pd.DataFrame, quarantine: pd.DataFrame) -> pd.DataFrame:
    """Join the check's faults with the cells that the import held back, by place in the files.

    Parameters
    ----------
    exams : DataFrame
        Imported exams, with ``source_file``, ``source_sheet`` and ``source_row``.
    faults : DataFrame
        Faults found by the check.
    quarantine : DataFrame
        Cells held back by the import.

    Returns
    -------
    DataFrame
        ``found_by`` ("check" or "import"), ``severity``, ``file``, ``sheet``, ``row`` (counted
        from 1 in the sheet), ``exam_id``, ``bird_id``, ``column``, ``value``, ``rule``,
        ``expected``, ``cure``, ``evidence``; nothing in it has been changed in the exams.
    """
    origin = exams[["source_file", "source_sheet", "source_row"]].rename(
        columns={"source_file": "file", "source_sheet": "sheet", "source_row": "sheet_row"}
    )
    checked = faults.merge(origin, left_on="row", right_index=True, how="left")
    checked = checked.drop(columns="row").rename(columns={"sheet_row": "row"})
    checked = checked.assign(
        found_by="check",
        value=checked["value"].map(lambda cell: "" if pd.isna(cell) else str(cell)),
    )
    held = pd.DataFrame(
        {
            "found_by": "import",
            "severity": "held back",
            "file": quarantine["file"],
            "sheet": quarantine["sheet"],
            "row": quarantine["row"],
            "exam_id": quarantine["exam_id"],
            "column": quarantine["target"].str.removeprefix("exams."),
            "value": quarantine["raw"].astype(str),
            "rule": quarantine["reason"],
            "cure": quarantine["likely"],
        }
    )
    parts = [part.reindex(columns=FLAG_COLUMNS) for part in (checked, held) if not part.empty]
    if not parts:
        return pd.DataFrame(columns=list(FLAG_COLUMNS))
    return pd.concat([part.astype(object) for part in parts], ignore_index=True)
