"""An import with every account of it, each made once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pandas as pd

from bodycond.study.drafting_words import count_things
from bodycond.study.import_reasons import list_columns, tally_reasons
from bodycond.study.report_tables import word_cell

if TYPE_CHECKING:
    from bodycond.legacy import LegacyImport
    from bodycond.legacy.corrections.correction_records import Corrections

CELL_OUTCOMES = ("accepted", "converted", "quarantined", "set_aside")
_MOST_REFUSED = 10
# Comparing the birds of fewer exams takes under two seconds.
_MANY_EXAMS = 15_000
ROW_FATES = ("exams_out", "ratings_out", "rows_held", "rows_not_exams")


@dataclass(frozen=True, kw_only=True, eq=False)
class ImportFindings:
    """An import with every account of it.

    Parameters
    ----------
    imported : LegacyImport
        The import.
    quarantine, reconciliation : DataFrame
        Of the import.
    reasons : DataFrame
        As `tally_reasons` gives them.
    columns : DataFrame
        As `list_columns` gives them.
    links : DataFrame
        Proposals which ids may be of one bird, and which one id may be two.
    given : Corrections or None
        The corrections that were given.
    """

    imported: LegacyImport
    quarantine: pd.DataFrame
    reconciliation: pd.DataFrame
    reasons: pd.DataFrame
    columns: pd.DataFrame
    links: pd.DataFrame
    given: Corrections | None = None

    @property
    def counts(self) -> dict[str, int]:
        """Count what came in and what came out.

        Returns
        -------
        dict of str to int
            Counts by name.
        """
        exams, files = self.imported.exams, self.imported.files
        cells = self.reconciliation[["raw_cells", *CELL_OUTCOMES]].sum()
        log = self.imported.corrections_log
        return {
            "files": len(files),
            "files_read": int(files["readable"].sum()),
            "sheets": len(self.reconciliation),
            "exams": len(exams),
            "birds": int(exams["bird_id"].nunique()),
            "ratings": len(self.imported.ratings),
            **{str(name): int(count) for name, count in cells.items()},
            "questions": len(self.imported.recipe.questions),
            "bird_links": len(self.links),
            "corrections_applied": int(log["applied"].sum()),
            "corrections_refused": self.n_refused,
        }

    @property
    def n_refused(self) -> int:
        """Count the decisions that were not applied.

        Returns
        -------
        int
            The number.
        """
        log = self.imported.corrections_log
        # A cell changed in a marked copy is noticed, and no decision.
        return int((~log["applied"] & (log["decision"] != "")).sum())

    @property
    def checks(self) -> pd.DataFrame:
        """Compare sums that must agree, each counted in two ways.

        Returns
        -------
        DataFrame
            ``first``, ``first_count``, ``second``, ``second_count``, ``agrees``.
        """
        sums = self.reconciliation.drop(columns=["file", "sheet"]).sum()
        spread = int(sums.get("rows_spread", 0))
        rows_in = "filled rows" + (
            f" ({sums['rows_in']}) and records that share a row ({spread})" if spread else ""
        )
        filled = sum(int(account.sheet.filled.sum()) for account in self.imported.accounts)
        pairs = [
            ("filled cells in the sheets", filled,
             "accepted + converted + held back + set aside", sums[list(CELL_OUTCOMES)].sum()),
            (rows_in, sums["rows_in"] + spread,
             "exams + ratings + rows held + rows that are neither", sums[list(ROW_FATES)].sum()),
            ("rows counted as exams", sums["exams_out"],
             "rows of the table of exams", len(self.imported.exams)),
            ("rows counted as ratings", sums["ratings_out"],
             "rows of the table of ratings", len(self.imported.ratings)),
            ("cells counted as held back", sums["quarantined"],
             "rows of the quarantine", len(self.quarantine)),
        ]  # fmt: skip
        frame = pd.DataFrame(
            pairs, columns=["first", "first_count", "second", "second_count"]
        ).astype({"first_count": "int64", "second_count": "int64"})
        return frame.assign(agrees=frame["first_count"] == frame["second_count"])

    def word_answer(self) -> list[str]:
        """Say in a few sentences what came in and whether it adds up.

        Returns
        -------
        list of str
            The sentences.
        """
        numbers = self.counts
        counts = {name: word_cell(count) for name, count in numbers.items()}
        exams, birds, ratings, sheets = (
            count_things(numbers[f"{noun}s"], noun) for noun in ("exam", "bird", "rating", "sheet")
        )
        checks = self.checks
        wrong = checks.loc[~checks["agrees"], "first"]
        verdict = (
            "Every cell and every row is accounted for: all sums agree."
            if wrong.empty
            else f"THE SUMS DO NOT AGREE: {'; '.join(wrong)}. This is a fault of bodycond; "
            "do not use these tables."
        )
        of_birds = (
            f"of {birds}" if numbers["birds"] or not numbers["exams"] else "without a bird_id"
        )
        came = numbers["exams"] + numbers["ratings"]
        return [
            f"{exams} {of_birds} and {ratings} came from {sheets}; {counts['files_read']} of "
            f"{count_things(numbers['files'], 'file')} could be read. "
            f"Of {counts['raw_cells']} filled cells, {counts['accepted']} were accepted as "
            f"they stand, {counts['converted']} converted, {counts['quarantined']} held back and "
            f"{counts['set_aside']} set aside. {verdict}",
            *([] if came else ["Nothing was imported: no row became an exam or a rating."]),
        ]

    def word_corrections(self) -> list[str]:
        """Say how many corrections were applied and refused.

        Returns
        -------
        list of str
            The sentences; none where none were given.
        """
        if self.given is None:
            return []
        counts, log = self.counts, self.imported.corrections_log
        refused = log.loc[~log["applied"] & (log["decision"] != "")]
        lines = [
            f"Corrections: {counts['corrections_applied']} applied, {len(refused)} not applied; "
            "each with who and why in corrections_log.csv."
        ]
        lines += [
            f"  {row['given_in']}: {row['outcome']}"
            for row in refused.head(_MOST_REFUSED).to_dict("records")
        ]
        if len(refused) > _MOST_REFUSED:
            lines.append(f"  and {len(refused) - _MOST_REFUSED} more, in corrections_log.csv")
        noticed = int((log["decision"] == "").sum())
        if noticed:
            lines.append(
                f"Changed in a marked copy without a decision, and not taken over: {noticed}."
            )
        if self.given.n_undecided:
            lines.append(f"Rows without a decision, passed over: {self.given.n_undecided}.")
        return lines


def find_out(
    imported: LegacyImport, *, links: pd.DataFrame, given: Corrections | None = None
) -> ImportFindings:
    """Make every account of an import.

    Parameters
    ----------
    imported : LegacyImport
        The import.
    links : DataFrame
        As `propose_links` gives them.
    given : Corrections, optional
        The corrections that were given to it.

    Returns
    -------
    ImportFindings
        The accounts.
    """
    return ImportFindings(
        imported=imported,
        quarantine=imported.quarantine,
        reconciliation=imported.reconciliation,
        reasons=tally_reasons(imported.accounts),
        columns=list_columns(imported),
        links=links,
        given=given,
    )


def propose_links(
    imported: LegacyImport,
    given: Corrections | None = None,
    *,
    progress: Callable[[str], None] | None = None,
) -> pd.DataFrame:
    """Propose which ids may be one bird; what was decided is not proposed again.

    Parameters
    ----------
    imported : LegacyImport
        The import.
    given : Corrections, optional
        The corrections that were given to it.
    progress : callable, optional
        Called with the name of each step, where there are so many exams that it takes long.

    Returns
    -------
    DataFrame
        One row a proposal, with the columns of a decision to fill in.
    """
    from bodycond.legacy.birds.bird_links import propose_bird_links
    from bodycond.legacy.corrections.correction_records import tabulate_corrections

    decided = None if given is None else tabulate_corrections(given.bird_links())
    say = progress if len(imported.exams) >= _MANY_EXAMS else None
    return propose_bird_links(imported.exams, decisions=decided, progress=say).to_frame()
