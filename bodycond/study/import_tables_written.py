"""The tables of an import as files."""

from __future__ import annotations

from pathlib import Path

import pandas as pd

from bodycond.study.import_findings import ImportFindings
from bodycond.tables_on_disk import write_csv, write_json, write_parquet

# Where the commonest programs for tables end; the Parquet file holds what a CSV has beyond.
_SMALL = "csv_neutralised.json"


def write_import_tables(findings: ImportFindings, folder: Path) -> None:
    """Write exams, ratings and every account of the import.

    Parameters
    ----------
    findings : ImportFindings
        The import.
    folder : Path
        Where to write.
    """
    from bodycond.legacy.ledger import write_ledger

    imported = findings.imported
    tables = {
        "exams": imported.exams,
        "quarantine": findings.quarantine,
        "reconciliation": findings.reconciliation,
        "reasons": findings.reasons,
        "columns": findings.columns,
        "notes": pd.DataFrame({"note": pd.Series(list(imported.notes), dtype="str")}),
    }
    if len(imported.ratings):
        tables["ratings"] = imported.ratings
    if findings.given is not None:
        tables["corrections_log"] = imported.corrections_log
    neutralised: dict[str, dict[str, object]] = {}
    for stem, table in tables.items():
        written = write_csv(table, folder / f"{stem}.csv")
        if written.neutralised or written.neutralised_headings:
            neutralised[f"{stem}.csv"] = {
                "cells": [list(place) for place in written.neutralised],
                "headings": list(written.neutralised_headings),
            }
    for stem in ("exams", "ratings"):
        if stem in tables:
            write_parquet(tables[stem], folder / f"{stem}.parquet")
    write_ledger(imported.accounts, folder / "ledger.parquet")
    write_json(
        folder / _SMALL,
        {
            "meaning": "a text that begins like a formula got an apostrophe in the CSV files, so "
            "that no program runs it; here are the rows, counted from 0 below the heading, and "
            "columns. bodycond.tables_on_disk.read_csv undoes it; the Parquet files hold the text "
            "as it was",
            "files": neutralised,
        },
    )
