"""A folder of results made aside and then put in place, so that nobody's work is written over."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path

from bodycond.errors import ArgumentError, name_first_few
from bodycond.tables_on_disk import hash_file

_UNFINISHED = ".unfinished_"


def require_folder(folder: Path) -> None:
    """Raise an error if a folder of results cannot be one, before any work is done.

    Parameters
    ----------
    folder : Path
        The folder; it need not be there yet.

    Raises
    ------
    ArgumentError
        If it, or what it would lie in, is a file.
    """
    for path in (folder, *folder.parents):
        if path.exists():
            if not path.is_dir():
                raise ArgumentError(
                    needed="--out names the folder to write to",
                    found=f"{path}, which is a file",
                    then="Name a folder; it is made if need be",
                )
            return


@contextmanager
def open_workshop(folder: Path) -> Iterator[Path]:
    """Make a hidden folder inside a folder of results, and clear it away at the end.

    Parameters
    ----------
    folder : Path
        The folder of results; made if need be.

    Yields
    ------
    Path
        Where to make the results.

    Raises
    ------
    OSError
        If the folder cannot be written to.
    """
    folder.mkdir(parents=True, exist_ok=True)
    workshop = Path(tempfile.mkdtemp(prefix=_UNFINISHED, dir=folder))
    try:
        yield workshop
    finally:
        shutil.rmtree(workshop, ignore_errors=True)


def choose_form_name(folder: Path, name: str, fresh: Path, *, earlier: Mapping[str, str]) -> str:
    """Choose a name for a form that people fill in, past those that somebody has filled in.

    Parameters
    ----------
    folder : Path
        The folder of results.
    name : str
        The form's name in it.
    fresh : Path
        The form as it is to be written.
    earlier : mapping of str to str
        SHA-256 by name of what an earlier run wrote.

    Returns
    -------
    str
        The name, or the name with the first number behind it that is free.
    """
    path = Path(name)
    number, chosen = 1, name
    while not _may_write(folder / chosen, fresh, earlier.get(chosen), ()):
        number += 1
        chosen = path.with_name(f"{path.stem}_{number}{path.suffix}").as_posix()
    return chosen


def put_in_place(
    workshop: Path,
    names: Sequence[str],
    *,
    folder: Path,
    earlier: Mapping[str, str],
    given: Sequence[Path],
) -> list[Path]:
    """Move finished results to their places, all of them or none.

    Parameters
    ----------
    workshop : Path
        Where they were made.
    names : sequence of str
        Their names, in the order in which they are to be moved.
    folder : Path
        The folder of results.
    earlier : mapping of str to str
        SHA-256 by name of what an earlier run wrote.
    given : sequence of Path
        Files that this run reads.

    Returns
    -------
    list of Path
        The results in their places.

    Raises
    ------
    ArgumentError
        If one of them would be written over a file of somebody's own.
    """
    taken = [
        name
        for name in names
        if not _may_write(folder / name, workshop / name, earlier.get(name), given)
    ]
    if taken:
        raise ArgumentError(
            needed=f"The import writes to {folder} and over nothing but its own files",
            found=f"{name_first_few(taken)}, which somebody has put there or edited since",
            then="Move away what you want to keep, or choose another --out; nothing was written",
        )
    for name in names:
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        (workshop / name).replace(target)
    return [folder / name for name in names]


def _may_write(target: Path, fresh: Path, known: str | None, given: Sequence[Path]) -> bool:
    if not target.exists() and not target.is_symlink():
        return True
    if not target.is_file():
        return False
    digest = hash_file(target)
    if digest == hash_file(fresh):
        return True
    # What this run reads is no draft of ours any more, even where we wrote it once.
    is_given = any(path.exists() and path.samefile(target) for path in given)
    return digest == known and not is_given
