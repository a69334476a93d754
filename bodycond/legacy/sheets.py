"""Files opened as grids of raw cells, each cell still where and as it was written."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import numpy.typing as npt

from bodycond.errors import UnreadableFileError

TEXT_SUFFIXES = frozenset({".csv", ".tsv", ".txt", ".tab"})
WORKBOOK_SUFFIXES = frozenset({".xlsx", ".xlsm", ".xls", ".xlsb", ".ods"})


@dataclass(frozen=True, kw_only=True, eq=False)
class Sheet:
    """One sheet of a file as a grid.

    Parameters
    ----------
    file : str
        The file's label: its name, with as much of its folder as tells it from others.
    name : str
        The sheet's name; for a text file the file's stem.
    texts : ndarray of object, shape (rows, columns)
        Every cell as text; the empty string is an empty cell. A date cell is in ISO form.
    kinds : ndarray of str, shape (rows, columns)
        One letter a cell: ``t`` text, ``n`` number, ``d`` date, ``h`` time of day, ``b`` truth
        value, ``e`` error value, ``f`` formula with no stored result, a blank where empty.
    hidden : bool, default False
        The sheet is hidden.
    hidden_rows, hidden_columns : frozenset of int
        Hidden rows and columns, counted from 0.
    comments : mapping of (int, int) to str
        Comments by row and column, counted from 0.
    struck : frozenset of (int, int)
        Cells whose text is struck through.
    partly_struck : mapping of (int, int) to str
        Cells of whose text a part is struck through, with the part that is not.
    formulas : mapping of (int, int) to str
        The formula behind a cell's value.
    merged : tuple of (int, int, int, int)
        Merged ranges: first row, first column, last row, last column, counted from 0.
    notes : tuple of str
        What a reader of the import should know: encoding, delimiter, hidden parts.
    """

    file: str
    name: str
    texts: npt.NDArray[np.object_]
    kinds: npt.NDArray[np.str_]
    hidden: bool = False
    hidden_rows: frozenset[int] = frozenset()
    hidden_columns: frozenset[int] = frozenset()
    comments: Mapping[tuple[int, int], str] = field(default_factory=dict)
    struck: frozenset[tuple[int, int]] = frozenset()
    partly_struck: Mapping[tuple[int, int], str] = field(default_factory=dict)
    formulas: Mapping[tuple[int, int], str] = field(default_factory=dict)
    merged: tuple[tuple[int, int, int, int], ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def filled(self) -> npt.NDArray[np.bool_]:
        """Tell which cells hold anything, blanks included.

        Returns
        -------
        ndarray of bool, shape (rows, columns)
            True where a cell is not empty.
        """
        return np.asarray(self.kinds != " ")

    def row_texts(self, row: int) -> list[str]:
        """Give one row's texts, stripped.

        Parameters
        ----------
        row : int
            The row, counted from 0.

        Returns
        -------
        list of str
            One text a column.
        """
        return [str(text).strip() for text in self.texts[row]]


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
    from bodycond.legacy.text_tables import read_text_table
    from bodycond.legacy.workbooks import read_workbook

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
