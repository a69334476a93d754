"""What a run of the import gave, and where it stands."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import pandas as pd

from bodycond.errors import name_first_few
from bodycond.study.drafting_words import count_things
from bodycond.study.finding_files import FoundFiles
from bodycond.study.import_findings import ImportFindings

if TYPE_CHECKING:
    from bodycond.legacy import LegacyImport

MARKED_FOLDER = "marked"
TEMPLATE_STEM = "corrections_template"
LINKS_STEM = "bird_links"

_MOST_REASONS = 5


@dataclass(frozen=True, kw_only=True, eq=False)
class ImportRun:
    """What a run of the import gave, and where it stands.

    Parameters
    ----------
    folder : Path
        Where everything is.
    findings : ImportFindings
        The import and every account of it.
    found : FoundFiles
        The files read, and what was left out of folders.
    outputs : tuple of Path
        Every file written.
    left_over : tuple of Path
        Files that an earlier run wrote to the same folder and this one did not.
    """

    folder: Path
    findings: ImportFindings
    found: FoundFiles
    outputs: tuple[Path, ...]
    left_over: tuple[Path, ...] = ()

    @property
    def imported(self) -> LegacyImport:
        """The import itself.

        Returns
        -------
        LegacyImport
            Tables and accounts.
        """
        return self.findings.imported

    @property
    def marked(self) -> tuple[Path, ...]:
        """The marked workbooks.

        Returns
        -------
        tuple of Path
            One a file with held cells.
        """
        return tuple(path for path in self.outputs if path.parent.name == MARKED_FOLDER)

    @property
    def forms(self) -> tuple[Path, ...]:
        """What people fill in and give back: marked workbooks, and proposals of bird links.

        Returns
        -------
        tuple of Path
            The files.
        """
        links = (path for path in self.outputs if path.name.startswith(LINKS_STEM))
        return (*self.marked, *(links if len(self.findings.links) else ()))

    @property
    def not_read(self) -> tuple[str, ...]:
        """Files that could not be read, with the reason.

        Returns
        -------
        tuple of str
            One text a file or folder.
        """
        files = self.imported.files
        unread = files.loc[~files["readable"].astype(bool), "problem"]
        return (*map(str, unread), *self.found.problems)

    @property
    def complete(self) -> bool:
        """Whether all that was asked for could be done.

        Returns
        -------
        bool
            False where a file was unreadable, a correction was refused or nothing came out.
            Questions and held cells do not count against it.
        """
        came = len(self.imported.exams) + len(self.imported.ratings)
        return bool(came) and not self.not_read and not self.findings.n_refused

    @property
    def reconciles(self) -> bool:
        """Whether every cell and row that came in is accounted for.

        Returns
        -------
        bool
            True where every sum agrees.
        """
        return bool(self.findings.checks["agrees"].all())

    def to_frame(self) -> pd.DataFrame:
        """Give the run's counts as a table of one row.

        Returns
        -------
        DataFrame
            Files, sheets, exams, birds, ratings, cells by outcome, questions, proposed bird
            links, corrections.
        """
        return pd.DataFrame([self.findings.counts])

    def summary(self) -> str:
        """Write what came in, what was held and why, and what to do next.

        Returns
        -------
        str
            The lines.
        """
        lines = [
            *self.findings.word_answer(),
            *(f"Not read: {problem}" for problem in self.not_read),
            *self.found.describe_left_out(),
            *self._word_held(),
            *self.findings.word_corrections(),
        ]
        questions = len(self.imported.recipe.questions)
        if questions:
            lines.append(f"Questions that the recipe leaves open: {questions}; see the report.")
        if len(self.findings.links):
            proposed = count_things(len(self.findings.links), "proposal")
            lines.append(
                f"Birds that may be the same under several numbers, or two under one: {proposed} "
                "in bird_links.csv; none is applied. There, write same_bird or different_birds as "
                "decision, and who and why."
            )
        if self.left_over:
            names = name_first_few(
                path.relative_to(self.folder).as_posix() for path in self.left_over
            )
            lines.append(f"Left from an earlier import, no part of this one: {names}.")
        return "\n".join(lines)

    def methods(self) -> str:
        """Give the sentences that a methods section would carry.

        Returns
        -------
        str
            What was imported and how much of it was held.
        """
        return self.imported.methods()

    def _word_held(self) -> list[str]:
        held = self.findings.reasons.loc[self.findings.reasons["outcome"] == "quarantined"]
        by_reason = held.groupby("reason", sort=False)["cells"].sum()
        ordered = by_reason.sort_values(ascending=False, kind="stable")
        lines = [
            f"  {count_things(count, 'cell')}: {reason}"
            for reason, count in ordered.head(_MOST_REASONS).items()
        ]
        if not lines:
            return []
        if len(ordered) > len(lines):
            more = len(ordered) - len(lines)
            lines.append(f"  and {more} more reason{'' if more == 1 else 's'}")
        where = f", and marked in the workbooks in {MARKED_FOLDER}" if self.marked else ""
        return [f"Held back (each cell in quarantine.csv{where}):", *lines]
