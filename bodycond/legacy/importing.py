"""Recipe and files in; exams, ratings and the account of every cell out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Any

import numpy as np
import pandas as pd

from bodycond.columns import DTYPES, EXAM_COLUMNS, RATING_COLUMNS, Column
from bodycond.errors import ArgumentError, UnreadableFileError
from bodycond.legacy.import_notes import (
    note_markers,
    note_repeated_exams,
    note_same_content,
    note_unmatched,
)
from bodycond.legacy.ledger import build_ledger, build_quarantine, build_reconciliation
from bodycond.legacy.recipe import ImportRecipe
from bodycond.legacy.records import SheetTable
from bodycond.legacy.sheet_reading import SheetImport, import_sheet
from bodycond.legacy.sheets import Sheet
from bodycond.legacy.source_files import describe_all_unreadable, label_files, read_sheets
from bodycond.tables_on_disk import hash_file

FILE_COLUMNS = ("file", "sha256", "sheets", "readable", "problem")

Progress = Callable[[str], None]


@dataclass(frozen=True, kw_only=True, eq=False)
class LegacyImport:
    """What an import gave, and where every cell went.

    Parameters
    ----------
    exams : DataFrame
        One row an exam: the columns of `bodycond.columns.EXAM_COLUMNS`, then the recipe's own.
    ratings : DataFrame
        One row a scorer and exam: the columns of `bodycond.columns.RATING_COLUMNS`, then the
        recipe's own.
    quarantine : DataFrame
        One row a cell that a person must look at: ``file sheet row column address raw reason
        likely target exam_id``. ``likely`` is never applied.
    ledger : DataFrame
        One row a cell that is not empty: ``file sheet row column address raw outcome target
        value reason``; rows and columns are counted from 1.
    reconciliation : DataFrame
        Counts by file and sheet: cells by outcome sum to ``raw_cells``; ``exams_out``,
        ``ratings_out``, ``rows_held`` and ``rows_not_exams`` sum to ``rows_in``.
    files : DataFrame
        One row a file: ``file sha256 sheets readable problem``.
    notes : tuple of str
        Encodings, changed headings, absent sexes and the like.
    recipe : ImportRecipe
        The recipe used.
    """

    exams: pd.DataFrame
    ratings: pd.DataFrame
    quarantine: pd.DataFrame
    ledger: pd.DataFrame
    reconciliation: pd.DataFrame
    files: pd.DataFrame
    notes: tuple[str, ...]
    recipe: ImportRecipe

    def to_frame(self) -> pd.DataFrame:
        """Give the reconciliation: counts by file and sheet.

        Returns
        -------
        DataFrame
            A copy of ``reconciliation``.
        """
        return self.reconciliation.copy()

    def summary(self) -> str:
        """Say in a few lines what came in, what was held and why.

        Returns
        -------
        str
            Counts, the commonest reasons of the quarantine, unreadable files and notes.
        """
        counts = self.reconciliation.drop(columns=["file", "sheet"]).sum()
        lines = [
            f"{int(self.files['readable'].sum())} of {len(self.files)} files read, "
            f"{len(self.reconciliation)} sheets, {counts['raw_cells']} cells that are not empty: "
            f"{counts['accepted']} accepted, {counts['converted']} converted, "
            f"{counts['quarantined']} quarantined, {counts['set_aside']} set aside.",
            f"{counts['rows_in']} rows: {counts['exams_out']} exams, {counts['ratings_out']} "
            f"ratings, {counts['rows_held']} held, {counts['rows_not_exams']} not exams.",
        ]
        commonest = Counter(self.quarantine["reason"]).most_common(5)
        lines += [f"Quarantined {count} times: {reason}" for reason, count in commonest]
        unread = self.files[~self.files["readable"]]
        lines += [f"Not read: {row.file}: {row.problem}" for row in unread.itertuples()]
        return "\n".join([*lines, *self.notes])

    def methods(self) -> str:
        """Give the sentences that a methods section would carry.

        Returns
        -------
        str
            What was imported and how much of it was held.
        """
        counts = self.reconciliation.drop(columns=["file", "sheet"]).sum()
        return (
            f"Exam records were read from {int(self.files['readable'].sum())} files by a written "
            f"recipe; each of {counts['raw_cells']} filled cells was accepted, converted, set "
            f"aside or, where its meaning was open, quarantined ({counts['quarantined']} cells), "
            f"and no value was changed without record. {counts['exams_out']} exams and "
            f"{counts['ratings_out']} ratings resulted; {counts['rows_held']} rows were held."
        )


def import_legacy(
    paths: str | Path | Iterable[str | Path],
    recipe: ImportRecipe,
    *,
    progress: Progress | None = None,
) -> LegacyImport:
    """Import old sheets by a recipe.

    Parameters
    ----------
    paths : str, Path or iterable of these
        The files, in the order in which their exams are wanted.
    recipe : ImportRecipe
        What each sheet and column means. What it leaves open is quarantined.
    progress : callable, optional
        Called with each file's label before it is read.

    Returns
    -------
    LegacyImport
        Tables and accounts.

    Raises
    ------
    ArgumentError
        If no file is given.
    UnreadableFileError
        If no file can be read; a file that cannot be read beside others that can is reported in
        ``files``.
    """
    labels = label_files([paths] if isinstance(paths, str | Path) else paths)
    if not labels:
        raise ArgumentError(
            needed="An import needs at least one file",
            found="no path",
            then="Name the files to read",
        )
    opened, files = _open_files(labels, progress=progress)
    stems = _name_stems(opened)
    parts = [
        import_sheet(sheet, recipe, stem=_name_sheet(stems[label], sheet))
        for label, sheets in opened.items()
        for sheet in sheets
    ]
    accounts = [part.account for part in parts]
    exams, said = _fill_sex(_build_table(parts, table="exams"))
    notes = [note for part in parts for note in part.notes]
    ledger = build_ledger(accounts)
    notes += [*note_unmatched(recipe, opened), *said, *note_repeated_exams(exams)]
    notes += [*note_markers(ledger), *note_same_content(files)]
    return LegacyImport(
        exams=exams,
        ratings=_build_table(parts, table="ratings"),
        quarantine=build_quarantine(accounts),
        ledger=ledger,
        reconciliation=build_reconciliation(accounts),
        files=files,
        notes=tuple(notes),
        recipe=recipe,
    )


def _open_files(
    labels: Mapping[Path, str], *, progress: Progress | None
) -> tuple[dict[str, list[Sheet]], pd.DataFrame]:
    opened: dict[str, list[Sheet]] = {}
    rows: list[tuple[str, str | None, int, bool, str]] = []
    problems: list[UnreadableFileError] = []
    for path, label in labels.items():
        if progress is not None:
            progress(label)
        digest: str | None = None
        try:
            digest = hash_file(path)
            opened[label] = read_sheets(path, label=label)
            rows.append((label, digest, len(opened[label]), True, ""))
        except UnreadableFileError as error:
            problems.append(error)
            rows.append((label, digest, 0, False, str(error)))
    if not opened:
        raise describe_all_unreadable(problems)
    frame = pd.DataFrame(rows, columns=list(FILE_COLUMNS))
    dtypes = {"file": "str", "sha256": "str", "sheets": "int64", "readable": "bool"}
    return opened, frame.astype({**dtypes, "problem": "str"})


def _name_stems(opened: Mapping[str, list[Sheet]]) -> dict[str, str]:
    """Give each file's label without its ending, or with it where two would be the same."""
    stems = {label: str(PurePosixPath(label).with_suffix("")) for label in opened}
    counts = Counter(stems.values())
    return {label: stem if counts[stem] == 1 else label for label, stem in stems.items()}


def _name_sheet(stem: str, sheet: Sheet) -> str:
    return stem if stem.rsplit("/", maxsplit=1)[-1] == sheet.name else f"{stem}:{sheet.name}"


def _build_table(parts: Sequence[SheetImport], *, table: str) -> pd.DataFrame:
    known = EXAM_COLUMNS if table == "exams" else RATING_COLUMNS
    columns: dict[str, Column] = {column.name: column for column in known}
    used: list[tuple[str, str, SheetTable]] = []
    for part in parts:
        sheet = part.account.sheet
        for rows in part.tables:
            if rows.table == table:
                used.append((sheet.file, sheet.name, rows))
                columns = {**rows.columns, **columns}
    ordered = {column.name: column for column in known}
    ordered |= {name: column for name, column in columns.items() if name not in ordered}
    data = {name: _stack_values(name, used) for name in ordered}
    data["source_file"] = _repeat([(file, len(rows.rows)) for file, _, rows in used])
    data["source_sheet"] = _repeat([(sheet, len(rows.rows)) for _, sheet, rows in used])
    numbers = [rows.rows + 1 for _, _, rows in used]
    data["source_row"] = np.concatenate(numbers).astype(object) if numbers else _no_values()
    frame = pd.DataFrame(
        {name: _cast_column(data[name], column) for name, column in ordered.items()}
    )
    return frame.reset_index(drop=True)


def _no_values() -> np.ndarray[tuple[int], np.dtype[np.object_]]:
    return np.empty(0, dtype=object)


def _repeat(counts: list[tuple[str, int]]) -> np.ndarray[tuple[int], np.dtype[np.object_]]:
    arrays = [np.full(count, text, dtype=object) for text, count in counts]
    return np.concatenate(arrays) if arrays else _no_values()


def _stack_values(
    name: str, used: list[tuple[str, str, SheetTable]]
) -> np.ndarray[tuple[int], np.dtype[np.object_]]:
    arrays = [
        table.values.get(name, np.full(len(table.rows), None, dtype=object)) for _, _, table in used
    ]
    return np.concatenate(arrays) if arrays else _no_values()


def _cast_column(values: np.ndarray[tuple[int], np.dtype[np.object_]], column: Column) -> pd.Series:
    dtype: Any = DTYPES[column.kind]
    if column.kind == "date":
        # Days before 1678 and after 2262 do not come here: the parser knows 1800 to 2100.
        stamps: pd.Series = pd.to_datetime(pd.Series(values, dtype=object))
        return stamps.astype("datetime64[us]")
    return pd.Series(values, dtype=object).astype(dtype)


def _fill_sex(exams: pd.DataFrame) -> tuple[pd.DataFrame, list[str]]:
    missing = exams["sex"].isna()
    count = int(missing.sum())
    if not count:
        return exams, []
    filled = exams.assign(sex=exams["sex"].where(~missing, "U"))
    return filled, [f"sex is 'U' in {count} exams whose sex was not given or is held"]
