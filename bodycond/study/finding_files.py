"""Files and folders named on the command line, as the list of files to read."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from bodycond.errors import ArgumentError, UnreadableFileError, name_first_few
from bodycond.study.manifest import read_earlier_outputs

_MOST_NAMES = 4

HIDDEN = "hidden"
TEMPORARY = "a temporary file of an open workbook"
OTHER_KIND = "of a kind that the import does not read"
OUR_OWN = "written by an earlier import"
WRITTEN_TO = "the folder that is written to"
GIVEN_APART = "given as recipe or corrections"
NO_FILE = "no ordinary file"


@dataclass(frozen=True, kw_only=True, eq=False)
class FoundFiles:
    """Files to read, and what was left out of the folders.

    Parameters
    ----------
    files : tuple of Path
        The files in the order in which they are read; each once.
    left_out : tuple of (Path, str)
        What stands in the folders and is not read, with the reason.
    problems : tuple of str
        What should have been read and cannot be.
    """

    files: tuple[Path, ...]
    left_out: tuple[tuple[Path, str], ...] = ()
    problems: tuple[str, ...] = ()

    def describe_left_out(self) -> list[str]:
        """Say what was left out of the folders, by reason.

        Returns
        -------
        list of str
            One line a reason.
        """
        reasons = list(dict.fromkeys(reason for _, reason in self.left_out))
        lines = []
        for reason in reasons:
            paths = [path for path, other in self.left_out if other == reason]
            if reason == OTHER_KIND:
                endings = Counter(path.suffix.lower() or "no ending" for path in paths)
                shown = name_first_few(
                    (f"{ending} ({count})" for ending, count in endings.most_common()),
                    limit=_MOST_NAMES,
                )
            else:
                shown = name_first_few((path.name for path in paths), limit=_MOST_NAMES)
            lines.append(f"Left out of the folders, {reason} ({len(paths)}): {shown}.")
        return lines


def collect_files(paths: str | Path | Iterable[str | Path]) -> list[Path]:
    """List the files to read: those named, and every readable one in the folders named.

    Parameters
    ----------
    paths : str, Path or iterable of these
        Files and folders.

    Returns
    -------
    list of Path
        As `find_files` gives them.

    Raises
    ------
    ArgumentError
        If nothing is named.
    UnreadableFileError
        If the folders hold nothing that can be read.
    """
    return list(find_files(paths).files)


def find_files(
    paths: str | Path | Iterable[str | Path],
    *,
    out: Path | None = None,
    apart: Sequence[Path] = (),
) -> FoundFiles:
    """List the files to read, and what is left out of the folders with the reason.

    A file that is named is read whatever its name; in a folder, hidden and temporary files, files
    of other kinds and what an earlier import wrote are left out. Folders are read to their depths,
    in the order of their names; links to folders are not followed.

    Parameters
    ----------
    paths : str, Path or iterable of these
        Files and folders.
    out : Path, optional
        Folder that will be written to; not read where it lies in one of the folders.
    apart : sequence of Path
        Files that the call names for another purpose.

    Returns
    -------
    FoundFiles
        The files.

    Raises
    ------
    ArgumentError
        If nothing is named.
    UnreadableFileError
        If the folders hold nothing that can be read.
    """
    named = [Path(path) for path in ([paths] if isinstance(paths, str | Path) else paths)]
    if not named:
        raise ArgumentError(
            needed="An import needs at least one file or folder",
            found="no path",
            then="Name what to read",
        )
    files: list[Path] = []
    left_out: list[tuple[Path, str]] = []
    problems: list[str] = []
    barred = {_place(path) for path in apart}
    for path in named:
        if not path.is_dir():
            files.append(path)
            continue
        found = _walk(path, out=out, barred=barred, left_out=left_out, problems=problems)
        if not found:
            problems.append(f"{path}: the folder holds no file that the import reads")
        files += found
    unique: dict[str, Path] = {}
    for path in files:
        unique.setdefault(_place(path), path)
    kept = [path for path in unique.values() if _is_text(path)]
    problems += [
        f"{path}: its name is no valid text; rename it"
        for path in unique.values()
        if not _is_text(path)
    ]
    if not kept:
        raise UnreadableFileError(
            needed="At least one file must be readable",
            found="; ".join(problems),
            then="Name a file, or a folder that holds CSV, TSV, TXT, XLSX, XLSM, XLSB, XLS or ODS "
            "files",
        )
    return FoundFiles(files=tuple(kept), left_out=tuple(left_out), problems=tuple(problems))


def _walk(
    root: Path,
    *,
    out: Path | None,
    barred: set[str],
    left_out: list[tuple[Path, str]],
    problems: list[str],
) -> list[Path]:
    found: list[Path] = []

    def _note_locked(error: OSError) -> None:
        problems.append(f"{error.filename}: the folder cannot be opened ({error.strerror})")

    target = _place(out) if out is not None else None
    ours: set[str] = set()
    for folder, inner, names in os.walk(root, onerror=_note_locked):
        here = Path(folder)
        kept = []
        for name in sorted(inner):
            reason = HIDDEN if _is_hidden(name) else WRITTEN_TO
            if _is_hidden(name) or _place(here / name) == target:
                left_out.append((here / name, reason))
            else:
                kept.append(name)
        inner[:] = kept
        ours |= {_place(here / name) for name in read_earlier_outputs(here)}
        for name in sorted(names):
            path = here / name
            why = _find_why_left_out(path, ours=ours, barred=barred)
            if why:
                left_out.append((path, why))
            else:
                found.append(path)
    return found


def _find_why_left_out(path: Path, *, ours: set[str], barred: set[str]) -> str:
    from bodycond.legacy.files.source_files import TEXT_SUFFIXES, WORKBOOK_SUFFIXES

    if path.name.startswith("~$"):
        return TEMPORARY
    if _is_hidden(path.name):
        return HIDDEN
    if path.suffix.lower() not in TEXT_SUFFIXES | WORKBOOK_SUFFIXES:
        return OTHER_KIND
    if _place(path) in ours:
        return OUR_OWN
    if _place(path) in barred:
        return GIVEN_APART
    return "" if path.is_file() else NO_FILE


def _is_hidden(name: str) -> bool:
    return name.startswith(".")


def _is_text(path: Path) -> bool:
    try:
        str(path).encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True


def _place(path: Path) -> str:
    # One file can be written in several ways: 'a.csv' and '../here/a.csv'.
    return os.path.realpath(path)
