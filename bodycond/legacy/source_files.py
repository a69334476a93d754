"""Files opened, whatever their kind, as sheets of raw cells."""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from pathlib import Path

from bodycond.errors import UnreadableFileError
from bodycond.legacy.sheets import Sheet
from bodycond.legacy.text_tables import read_text_table
from bodycond.legacy.workbooks import read_workbook

TEXT_SUFFIXES = frozenset({".csv", ".tsv", ".txt", ".tab"})
WORKBOOK_SUFFIXES = frozenset({".xlsx", ".xlsm", ".xls", ".xlsb", ".ods"})


def label_files(paths: Iterable[str | Path]) -> dict[Path, str]:
    """Give each file a short label that no other has.

    Parameters
    ----------
    paths : iterable of str or Path
        The files; one given twice counts once, however its path is written.

    Returns
    -------
    dict of Path to str
        The file's name; where two files share it, with as many folders as tell them apart.

    Examples
    --------
    >>> sorted(label_files(["a/x.csv", "b/x.csv", "b/y.csv"]).values())
    ['a/x.csv', 'b/x.csv', 'y.csv']
    """
    # One file can be written in several ways: 'a.csv' and '../here/a.csv'.
    by_place: dict[str, Path] = {}
    for path in paths:
        by_place.setdefault(os.path.realpath(path), Path(path))
    unique = list(by_place.values())
    labels = {path: path.name for path in unique}
    for depth in range(2, 1 + max((len(path.parts) for path in unique), default=1)):
        counts: dict[str, int] = {}
        for label in labels.values():
            counts[label] = counts.get(label, 0) + 1
        shared = [path for path in unique if counts[labels[path]] > 1]
        if not shared:
            break
        for path in shared:
            labels[path] = "/".join(path.parts[-depth:])
    return labels


def read_sheets(path: str | Path, *, label: str | None = None) -> list[Sheet]:
    """Read every sheet of a file, whatever its kind.

    Parameters
    ----------
    path : str or Path
        A CSV, TSV, TXT, XLSX, XLSM, XLSB, XLS or ODS file.
    label : str, optional
        What to call the file in tables and messages. Default its name.

    Returns
    -------
    list of Sheet
        In the order of the file, hidden sheets included.

    Raises
    ------
    UnreadableFileError
        If the file is missing, empty, truncated, locked by a password or of an unknown kind.
    """
    path = Path(path)
    label = label or path.name
    content = _read_content(path)
    suffix = path.suffix.lower()
    if suffix in WORKBOOK_SUFFIXES:
        return read_workbook(path, content, label=label)
    if suffix in TEXT_SUFFIXES:
        return [read_text_table(path, content, label=label)]
    raise UnreadableFileError(
        needed="The import reads CSV, TSV, TXT, XLSX, XLSM, XLSB, XLS and ODS files",
        found=f"{path} with the ending {suffix or '(none)'!r}",
        then="Save it as one of these, or leave it out",
    )


def describe_all_unreadable(problems: Sequence[UnreadableFileError]) -> UnreadableFileError:
    """Make the error for a job of which no file could be read.

    Parameters
    ----------
    problems : sequence of UnreadableFileError
        What was wrong with each file, at least one.

    Returns
    -------
    UnreadableFileError
        To be raised.
    """
    return UnreadableFileError(
        needed="At least one file must be readable",
        found=f"{len(problems)} that {'is' if len(problems) == 1 else 'are'} not: "
        + "; ".join(f"{error.needed}, found {error.found}" for error in problems),
        then=problems[0].then,
    )


def _read_content(path: Path) -> bytes:
    try:
        content = path.read_bytes()
    except OSError as error:
        raise UnreadableFileError(
            needed=f"The file {path} must be readable",
            found=error.strerror or str(error),
            then="Check the path and that no other program has locked the file",
        ) from error
    if not content.strip():
        raise UnreadableFileError(
            needed=f"The file {path} must hold a table",
            found="an empty file" if not content else "a file of blanks alone",
            then="Look for the full copy, or leave the file out",
        )
    return content
