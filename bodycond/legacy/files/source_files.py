"""Files opened, whatever their kind, as sheets of raw cells."""

from __future__ import annotations

import hashlib
import os
from collections import OrderedDict
from collections.abc import Iterable, Sequence
from pathlib import Path
from threading import Lock

from bodycond.errors import UnreadableFileError
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.files.text_tables import read_text_table
from bodycond.legacy.files.workbooks import read_workbook

TEXT_SUFFIXES = frozenset({".csv", ".tsv", ".txt", ".tab"})
# A draft and the import after it read the same files: their sheets are kept for the second time.
# A kept cell takes about 40 bytes.
MOST_KEPT_CELLS = 2_500_000

_Key = tuple[str, str, str]
_kept: OrderedDict[_Key, tuple[Sheet, ...]] = OrderedDict()
_kept_lock = Lock()

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
    # The content and not the time of the last change: a file may be written anew within a second.
    key = (hashlib.sha256(content).hexdigest(), label, path.name)
    with _kept_lock:
        if key in _kept:
            _kept.move_to_end(key)
            return list(_kept[key])
    if suffix in WORKBOOK_SUFFIXES:
        return _keep(key, read_workbook(path, content, label=label))
    if suffix in TEXT_SUFFIXES:
        return _keep(key, [read_text_table(path, content, label=label)])
    raise UnreadableFileError(
        needed="The import reads CSV, TSV, TXT, XLSX, XLSM, XLSB, XLS and ODS files",
        found=f"{path} with the ending {suffix or '(none)'!r}",
        then="Save it as one of these, or leave it out",
    )


def _keep(key: _Key, sheets: list[Sheet]) -> list[Sheet]:
    for sheet in sheets:
        sheet.freeze()
    with _kept_lock:
        _kept[key] = tuple(sheets)
        while sum(sheet.texts.size for kept in _kept.values() for sheet in kept) > MOST_KEPT_CELLS:
            _kept.popitem(last=False)
    return sheets


def forget_sheets() -> None:
    """Forget the sheets of files that were read: frees the memory, and the next reading is cold.

    Examples
    --------
    >>> forget_sheets()
    """
    with _kept_lock:
        _kept.clear()


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
