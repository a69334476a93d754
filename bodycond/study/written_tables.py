"""Every table of a study as CSV and Parquet."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pandas as pd

from bodycond.study.analysis import StudyAnalysis
from bodycond.tables_on_disk import write_csv, write_json, write_parquet

if TYPE_CHECKING:
    from bodycond.legacy import LegacyImport


def name_tables(
    imported: LegacyImport, flags: pd.DataFrame, analysis: StudyAnalysis
) -> dict[str, pd.DataFrame]:
    """Name every table that a study writes.

    Parameters
    ----------
    imported : LegacyImport
        What came in.
    flags : DataFrame
        Everything to look at.
    analysis : StudyAnalysis
        Results.

    Returns
    -------
    dict of str to DataFrame
        Tables by file stem.
    """
    tables = {
        "exams": imported.exams,
        "ratings": imported.ratings,
        "quarantine": imported.quarantine,
        "ledger": imported.ledger,
        "reconciliation": imported.reconciliation,
        "files": imported.files,
        "flags": flags,
        "not_done": analysis.not_done,
    }
    results = analysis.condition
    if results is not None:
        tables |= {
            "mass_by_keel": results.linear.to_frame(),
            "mass_by_keel_factor": results.factor.to_frame(),
            "expected_mass": results.linear.expected,
            "expected_mass_factor": results.factor.expected,
            "mass_by_keel_groups": results.linear.groups,
            "size_candidates": results.size_candidates,
            "exams_left_out": results.chosen.left_out,
            "sensitivity": results.sensitivity,
        }
        if results.scaled_mass is not None:
            tables["scaled_mass_groups"] = results.scaled_mass.to_frame()
        if results.index is not None:
            tables["scaled_mass"] = imported.exams[["exam_id", "bird_id", "species", "sex"]].assign(
                scaled_mass_g=results.index
            )
        if results.index_by_keel is not None:
            tables["index_by_keel"] = results.index_by_keel.to_frame()
            tables["index_by_keel_grades"] = results.index_by_keel.grades
    if analysis.agreement is not None and analysis.headline_pair is not None:
        tables["agreement"] = analysis.agreement.to_frame()
        tables["agreement_table"] = analysis.headline_pair.table.reset_index()
    return tables


def write_tables(tables: dict[str, pd.DataFrame], folder: Path) -> list[Path]:
    """Write tables as CSV and Parquet, with a record of what CSV had to neutralise.

    Parameters
    ----------
    tables : dict of str to DataFrame
        Tables by file stem.
    folder : Path
        Where to write.

    Returns
    -------
    list of Path
        The files.
    """
    written: list[Path] = []
    neutralised: dict[str, list[tuple[int, str]]] = {}
    headings: dict[str, list[str]] = {}
    for stem, table in tables.items():
        named = table.rename(columns=str)
        made = write_csv(named, folder / f"{stem}.csv")
        if made.neutralised:
            neutralised[made.path.name] = list(made.neutralised)
        if made.neutralised_headings:
            headings[made.path.name] = list(made.neutralised_headings)
        write_parquet(named, folder / f"{stem}.parquet")
        written += [made.path, folder / f"{stem}.parquet"]
    record = folder / "csv_neutralised.json"
    write_json(
        record,
        {
            "meaning": "texts that a spreadsheet program could run got an apostrophe in the CSV "
            "files; here are their rows, counted from 0 below the heading, and columns; the "
            "Parquet files hold the text as it was",
            "cells": neutralised,
            "headings": headings,
        },
    )
    return [*written, record]
