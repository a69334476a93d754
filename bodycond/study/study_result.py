"""What a study found and wrote."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pandas as pd

from bodycond.rounding import word_interval
from bodycond.study.analysis import StudyAnalysis

if TYPE_CHECKING:
    from bodycond.exams import ExamCheck
    from bodycond.legacy import LegacyImport


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
    """

    folder: Path
    imported: LegacyImport
    check: ExamCheck
    flags: pd.DataFrame
    analysis: StudyAnalysis
    questions: tuple[str, ...]
    outputs: tuple[Path, ...]

    @property
    def complete(self) -> bool:
        """Whether all that was asked for could be done.

        Returns
        -------
        bool
            False where a file was unreadable or something that the data offered failed.
        """
        unreadable = self.imported.files["problem"].fillna("").ne("").any()
        return not bool(unreadable or self.analysis.not_done["asked"].astype(bool).any())

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
            f"{counts['held_cells']} cells held back, {counts['flags']} flags, nothing changed.",
        ]
        for row in self.imported.files.to_dict("records"):
            if row["problem"]:
                lines.append(f"Not read: {row['problem']}")
        lines += [
            f"Not done: {row.part}. {row.reason}" for row in self.analysis.not_done.itertuples()
        ]
        if self.analysis.headline_pair is not None:
            pair = self.analysis.headline_pair
            kappa = word_interval(
                pair.kappa.value, pair.kappa.low, pair.kappa.high, level=pair.kappa.level
            )
            lines.append(
                f"{pair.first_name} and {pair.second_name}: quadratic weighted kappa {kappa}, "
                f"{pair.kappa.n} birds."
            )
        if self.questions:
            lines.append(f"{len(self.questions)} questions are open; see draft_recipe.yaml.")
        return "\n".join(lines)

    def methods(self) -> str:
        """Give the methods text of every part that was done.

        Returns
        -------
        str
            Paragraphs parted by blank lines, with references.
        """
        parts: list[Any] = [self.imported, self.check]
        if self.analysis.condition is not None:
            condition = self.analysis.condition
            parts += [condition.linear, condition.scaled_mass, condition.index_by_keel]
        parts.append(self.analysis.agreement)
        return "\n\n".join(part.methods() for part in parts if part is not None)
