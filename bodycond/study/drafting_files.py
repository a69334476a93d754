"""A recipe drafted from files and written where nobody's work is lost."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pandas as pd

from bodycond.errors import ArgumentError
from bodycond.study.drafting_words import (
    count_things,
    describe_sheets,
    record_column,
)
from bodycond.study.finding_files import FoundFiles, find_files
from bodycond.study.open_questions import is_unread, list_questions
from bodycond.tables_on_disk import hash_file

if TYPE_CHECKING:
    from bodycond.legacy import ImportRecipe


@dataclass(frozen=True, kw_only=True, eq=False)
class DraftRun:
    """A drafted recipe and where it was written.

    Parameters
    ----------
    path : Path
        The recipe's file.
    recipe : ImportRecipe
        The draft.
    found : FoundFiles
        The files read, and what was left out of folders.
    changed : bool
        False where the file already held exactly this draft.
    """

    path: Path
    recipe: ImportRecipe
    found: FoundFiles
    changed: bool

    @property
    def questions(self) -> tuple[str, ...]:
        """What the draft could not decide.

        Returns
        -------
        tuple of str
            One question an undecided sheet or column, with its place.
        """
        return self.recipe.questions

    @property
    def not_read(self) -> tuple[str, ...]:
        """Files that could not be read, with the reason.

        Returns
        -------
        tuple of str
            One text a file or folder.
        """
        unread = (f"{rule.file}: {rule.ask}" for rule in self.recipe.sheets if is_unread(rule))
        return (*unread, *self.found.problems)

    @property
    def complete(self) -> bool:
        """Whether every file could be read; questions do not count against it.

        Returns
        -------
        bool
            True where all could.
        """
        return not self.not_read

    def to_frame(self) -> pd.DataFrame:
        """Give what each column was taken for.

        Returns
        -------
        DataFrame
            As `ImportRecipe.fields`.
        """
        return self.recipe.fields

    def list_sheets(self) -> list[dict[str, Any]]:
        """Give what was found on each sheet to a program.

        Returns
        -------
        list of dict
            One a sheet: names, table, rows, and a list of its columns.
        """
        return [
            {
                "file": rule.file,
                "sheet": rule.sheet,
                "table": rule.table,
                "area": rule.area,
                "heading_row": list(rule.heading_rows),
                "units_row": rule.units_row,
                "first_row": rule.first_row,
                "last_row": rule.last_row,
                "why": rule.why,
                "question": rule.ask,
                "fields": [record_column(column) for column in (*rule.columns, *rule.labels)],
            }
            for rule in self.recipe.sheets
        ]

    def summary(self) -> str:
        """Say sheet by sheet what was found, then what must be asked.

        Returns
        -------
        str
            The lines.
        """
        fate = "written to" if self.changed else "the same as it stands in"
        entries = sum(not is_unread(rule) for rule in self.recipe.sheets)
        named = f"{entries} {'entry' if entries == 1 else 'entries'}"
        lines = [
            f"{count_things(len(self.found.files), 'file')}; recipe of {named} {fate} {self.path}.",
            *(f"Not read: {problem}" for problem in self.not_read),
            *self.found.describe_left_out(),
        ]
        lines += describe_sheets(self.recipe, path=self.path)
        return "\n".join([*lines, "", *list_questions(self.recipe, path=self.path)])


def run_draft(
    files: str | Path | Iterable[str | Path],
    *,
    out: str | Path,
    replace: bool = False,
    progress: Callable[[str], None] | None = None,
) -> DraftRun:
    """Draft a recipe from files and folders, and write it.

    Parameters
    ----------
    files : path or iterable of path
        Workbooks, text files, and folders of them.
    out : path
        The recipe's file.
    replace : bool, default False
        Write over a file of that name that holds something else.
    progress : callable, optional
        Called with each file's label before it is read.

    Returns
    -------
    DraftRun
        The draft.

    Raises
    ------
    ArgumentError
        If the file exists and holds something else, or is a folder.
    UnreadableFileError
        If no file can be read.
    """
    from bodycond.legacy import draft_recipe

    target = Path(out)
    if target.is_dir():
        raise ArgumentError(
            needed="--out names the recipe's file",
            found=f"{target}, which is a folder",
            then=f"Name a file, such as {target / 'recipe.yaml'}",
        )
    found = find_files(files)
    recipe = draft_recipe(found.files, progress=progress)
    fresh = target.with_name(f".{target.name}.draft")
    recipe.save(fresh)
    try:
        same = target.is_file() and hash_file(target) == hash_file(fresh)
        if target.exists() and not same and not replace:
            raise ArgumentError(
                needed="A draft is not written over a recipe that somebody may have edited",
                found=f"{target}, which holds something else",
                then="Choose another --out, or add --replace to lose what stands there",
            )
        if not same:
            fresh.replace(target)
    finally:
        fresh.unlink(missing_ok=True)
    return DraftRun(path=target, recipe=recipe, found=found, changed=not same)
