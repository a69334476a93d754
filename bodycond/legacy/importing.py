"""Recipe and files in; exams, ratings and the account of every cell out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path, PurePosixPath

import pandas as pd

from bodycond.errors import ArgumentError, UnreadableFileError
from bodycond.legacy.birds.linked_birds import link_birds
from bodycond.legacy.corrections.correction_log import build_correction_log
from bodycond.legacy.corrections.correction_records import Corrections
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.files.source_files import describe_all_unreadable, label_files, read_sheets
from bodycond.legacy.import_notes import (
    note_days_ahead,
    note_markers,
    note_repeated_exams,
    note_same_content,
    note_same_rows,
    note_unmatched,
    word_sheet_notes,
)
from bodycond.legacy.legacy_import import LegacyImport
from bodycond.legacy.reading.sheet_reading import import_sheet
from bodycond.legacy.reading.table_building import build_table, fill_sex
from bodycond.legacy.recipes.recipe import ImportRecipe
from bodycond.tables_on_disk import hash_file

FILE_COLUMNS = ("file", "sha256", "sheets", "readable", "problem")

Progress = Callable[[str], None]


def import_legacy(
    paths: str | Path | Iterable[str | Path],
    recipe: ImportRecipe,
    *,
    corrections: Corrections | None = None,
    progress: Progress | None = None,
) -> LegacyImport:
    """Import old sheets by a recipe.

    Parameters
    ----------
    paths : str, Path or iterable of these
        The files, in the order in which their exams are wanted.
    recipe : ImportRecipe
        What each sheet and column means. What it leaves open is quarantined.
    corrections : Corrections, optional
        Decisions of people on single cells and on which birds are one; the raw text stays in the
        ledger.
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
        import_sheet(sheet, recipe, stem=_name_sheet(stems[label], sheet), corrections=corrections)
        for label, sheets in opened.items()
        for sheet in sheets
    ]
    accounts = tuple(part.account for part in parts)
    exams, said = fill_sex(build_table(parts, table="exams"))
    exams, ratings, linked = link_birds(exams, build_table(parts, table="ratings"), corrections)
    notes = word_sheet_notes(parts)
    notes += [*note_unmatched(recipe, opened), *said, *note_repeated_exams(exams)]
    notes += [
        *note_days_ahead(exams),
        *note_markers(accounts),
        *note_same_content(files),
        *note_same_rows(exams),
    ]
    return LegacyImport(
        exams=exams,
        ratings=ratings,
        accounts=accounts,
        files=files,
        notes=tuple(notes),
        recipe=recipe,
        corrections_log=build_correction_log(
            corrections or Corrections(),
            [*(entry for part in parts for entry in part.logged), *linked],
            sheets=[(account.sheet.file, account.sheet.name) for account in accounts],
        ),
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
