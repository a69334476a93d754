"""What a study found and wrote."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import pandas as pd

from bodycond.errors import name_first_few
from bodycond.rounding import word_interval
from bodycond.study.analysis import StudyAnalysis, word_gap
from bodycond.study.methods_section import list_described

if TYPE_CHECKING:
    from bodycond.exams import ExamCheck
    from bodycond.legacy import LegacyImport

_MOST_QUESTIONS = 5


@dataclass(frozen=True, kw_only=True, eq=False)
class StudyResult:
    """What a study found and wrote.

    Parameters
    ----------
    folder : Path
        Where everything is.
    imported : LegacyImport
        What came in.
    check : ExamCheck
        What the check found.
    flags : DataFrame
        Everything to look at.
    analysis : StudyAnalysis
        Results.
    questions : tuple of str
        What a drafted recipe left open.
    outputs : tuple of Path
        Every file written.
    left_over : tuple of Path
        Files of an earlier study in the same folder, which this one did not write.
    """

    folder: Path
    imported: LegacyImport
    check: ExamCheck
    flags: pd.DataFrame
    analysis: StudyAnalysis
    questions: tuple[str, ...]
    outputs: tuple[Path, ...]
    left_over: tuple[Path, ...] = ()

    @property
    def complete(self) -> bool:
        """Whether all that was asked for could be done.

        Returns
        -------
        bool
            False where a file was unreadable or something that the data offered failed.
        """
        unread = (~self.imported.files["readable"].astype(bool)).any()
        return not bool(unread or self.analysis.not_done["asked"].astype(bool).any())

    def to_frame(self) -> pd.DataFrame:
        """Give the study's counts as a table of one row.

        Returns
        -------
        DataFrame
            ``exams``, ``birds``, ``ratings``, ``held_cells``, ``flags``, ``questions``.
        """
        return pd.DataFrame(
            [
                {
                    "exams": len(self.imported.exams),
                    "birds": int(self.imported.exams["bird_id"].nunique()),
                    "ratings": len(self.imported.ratings),
                    "held_cells": len(self.imported.quarantine),
                    "flags": len(self.flags),
                    "questions": len(self.questions),
                }
            ]
        )

    def summary(self) -> str:
        """Write what came in, what came out, and where to look.

        Returns
        -------
        str
            The lines.
        """
        counts = self.to_frame().iloc[0]
        lines = [
            f"{counts['exams']} exams of {counts['birds']} birds, {counts['ratings']} ratings; "
            f"{counts['held_cells']} cells held back; the check found {len(self.check.faults)} "
            "faults and changed nothing.",
        ]
        files = self.imported.files
        unread = files.loc[~files["readable"].astype(bool), "problem"]
        lines += [f"Not read: {problem}" for problem in unread]
        lines += [word_gap(row) for row in self.analysis.not_done.to_dict("records")]
        pair = self.analysis.headline_pair
        if pair is not None:
            kappa = word_interval(
                pair.kappa.value, pair.kappa.low, pair.kappa.high, level=pair.kappa.level
            )
            lines.append(
                f"{pair.first_name} and {pair.second_name}: quadratic weighted kappa {kappa}, "
                f"{pair.kappa.n} birds."
            )
        if counts["held_cells"]:
            lines.append("What was held back, and why: tables/quarantine.csv.")
        if self.questions:
            draft = self.folder / "draft_recipe.yaml"
            lines.append(f"Open questions: {len(self.questions)}. Answer them in {draft}:")
            lines += [f"  {question}" for question in self.questions[:_MOST_QUESTIONS]]
            if len(self.questions) > _MOST_QUESTIONS:
                lines.append(f"  and {len(self.questions) - _MOST_QUESTIONS} more")
        if self.left_over:
            names = name_first_few(path.relative_to(self.folder).as_posix()
                                   for path in self.left_over)  # fmt: skip
            lines.append(f"Left from an earlier study, no part of this one: {names}.")
        return "\n".join(lines)

    def methods(self) -> str:
        """Give the methods text of every part that was done.

        Returns
        -------
        str
            Paragraphs parted by blank lines, with references.
        """
        described = list_described(self.imported, self.check, self.analysis)
        return "\n\n".join(result.methods() for result in described)
