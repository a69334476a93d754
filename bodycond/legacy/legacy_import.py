"""What an import gave: tables, and the account of every cell."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import cached_property

import pandas as pd

from bodycond.legacy.ledger import (
    SheetAccount,
    build_ledger,
    build_quarantine,
    build_reconciliation,
)
from bodycond.legacy.recipes.recipe import ImportRecipe


@dataclass(frozen=True, kw_only=True, eq=False)
class LegacyImport:
    """What an import gave, and where every cell went.

    Parameters
    ----------
    exams : DataFrame
        One row an exam: the columns of `bodycond.columns.EXAM_COLUMNS`, then the recipe's own.
    ratings : DataFrame
        One row a scorer and exam: the columns of `bodycond.columns.RATING_COLUMNS`, then the
        recipe's own.
    accounts : tuple of SheetAccount
        Where the cells of each sheet went; `ledger`, `quarantine` and `reconciliation` are made of
        them when they are asked for.
    files : DataFrame
        One row a file: ``file sha256 sheets readable problem``.
    notes : tuple of str
        Encodings, changed headings, absent sexes and the like.
    recipe : ImportRecipe
        The recipe used.
    corrections_log : DataFrame
        One row a correction that was given, with what became of it.
    """

    exams: pd.DataFrame
    ratings: pd.DataFrame
    accounts: tuple[SheetAccount, ...]
    files: pd.DataFrame
    notes: tuple[str, ...]
    recipe: ImportRecipe
    corrections_log: pd.DataFrame

    @cached_property
    def ledger(self) -> pd.DataFrame:
        """Give the account of every cell.

        Returns
        -------
        DataFrame
            One row a cell that is not empty: ``file sheet row column address raw outcome target
            value reason``; rows and columns are counted from 1.
        """
        return build_ledger(self.accounts)

    @cached_property
    def quarantine(self) -> pd.DataFrame:
        """Give the cells that a person must look at.

        Returns
        -------
        DataFrame
            One row a cell: ``file sheet row column address raw reason likely target exam_id``.
            ``likely`` is never applied.
        """
        return build_quarantine(self.accounts)

    @cached_property
    def reconciliation(self) -> pd.DataFrame:
        """Count cells and rows by sheet.

        Returns
        -------
        DataFrame
            By file and sheet: cells by outcome sum to ``raw_cells``; ``exams_out``,
            ``ratings_out``, ``rows_held`` and ``rows_not_exams`` sum to ``rows_in`` and
            ``rows_spread``, the records beyond the first that single rows gave.
        """
        return build_reconciliation(self.accounts)

    def to_frame(self) -> pd.DataFrame:
        """Give the reconciliation: counts by file and sheet.

        Returns
        -------
        DataFrame
            A copy of ``reconciliation``.
        """
        return self.reconciliation.copy()

    def summary(self) -> str:
        """Say in a few lines what came in, what was held and why.

        Returns
        -------
        str
            Counts, the commonest reasons of the quarantine, unreadable files and notes.
        """
        counts = self.reconciliation.drop(columns=["file", "sheet"]).sum()
        lines = [
            f"{int(self.files['readable'].sum())} of {len(self.files)} files read, "
            f"{len(self.reconciliation)} sheets, {counts['raw_cells']} cells that are not empty: "
            f"{counts['accepted']} accepted, {counts['converted']} converted, "
            f"{counts['quarantined']} quarantined, {counts['set_aside']} set aside.",
            f"{counts['rows_in']} rows: {counts['exams_out']} exams, {counts['ratings_out']} "
            f"ratings, {counts['rows_held']} held, {counts['rows_not_exams']} not exams.",
        ]
        commonest = Counter(self.quarantine["reason"]).most_common(5)
        lines += [f"Quarantined {count} times: {reason}" for reason, count in commonest]
        unread = self.files[~self.files["readable"]]
        lines += [f"Not read: {row.file}: {row.problem}" for row in unread.itertuples()]
        return "\n".join([*lines, *self.notes])

    def methods(self) -> str:
        """Give the sentences that a methods section would carry.

        Returns
        -------
        str
            What was imported and how much of it was held.
        """
        counts = self.reconciliation.drop(columns=["file", "sheet"]).sum()
        return (
            f"Exam records were read from {int(self.files['readable'].sum())} files by a written "
            f"recipe; each of {counts['raw_cells']} filled cells was accepted, converted, set "
            f"aside or, where its meaning was open, quarantined ({counts['quarantined']} cells), "
            f"and no value was changed without record. {counts['exams_out']} exams and "
            f"{counts['ratings_out']} ratings resulted; {counts['rows_held']} rows were held."
        )
