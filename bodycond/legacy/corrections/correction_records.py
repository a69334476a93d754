"""Corrections: what a person decided about single cells and birds, with who and why."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

import pandas as pd

from bodycond.errors import require_columns
from bodycond.legacy.corrections.held_spans import split_held
from bodycond.legacy.files.sheets import Sheet
from bodycond.tables_on_disk import WrittenCsv, name_column, write_csv

CORRECTION_COLUMNS: tuple[str, ...] = (
    "decision", "file", "sheet", "cell", "raw", "corrected", "bird_id", "same_as", "who", "why",
    "decided_on",
)  # fmt: skip

CELL_DECISIONS: tuple[str, ...] = ("corrected", "no_value", "as_written", "not_exam")
BIRD_DECISIONS: tuple[str, ...] = ("same_bird", "different_birds")

# Beside the columns that count, what a person needs to decide.
DRAFT_COLUMNS: tuple[str, ...] = (*CORRECTION_COLUMNS, "reason", "likely")


@dataclass(frozen=True, kw_only=True, eq=False)
class Correction:
    """One decision.

    Parameters
    ----------
    decision : str
        ``corrected``, ``no_value``, ``as_written``, ``not_exam``, ``same_bird`` or
        ``different_birds``.
    file, sheet, cell : str
        Where the cell is, as the quarantine names it; ``cell`` as in ``B7``. Empty for birds.
    raw : str
        What the cell holds in the file.
    corrected : str
        What it should read as; goes through the column's rule like any other text.
    bird_id, same_as : str
        The two birds. Empty for cells.
    who, why : str
        Who decided, and how it is known.
    decided_on : str
        An ISO date, or empty.
    given_in : str
        File and line that the decision was read from.
    """

    decision: str
    file: str = ""
    sheet: str = ""
    cell: str = ""
    raw: str = ""
    corrected: str = ""
    bird_id: str = ""
    same_as: str = ""
    who: str = ""
    why: str = ""
    decided_on: str = ""
    given_in: str = ""

    @property
    def values(self) -> tuple[str, ...]:
        """Give the texts in the order of `CORRECTION_COLUMNS`.

        Returns
        -------
        tuple of str
            One a column.
        """
        return tuple(getattr(self, name) for name in CORRECTION_COLUMNS)

    @property
    def place(self) -> tuple[str, str, str]:
        """Give the cell that is decided.

        Returns
        -------
        tuple of str
            File, sheet and cell.
        """
        return self.file, self.sheet, self.cell


@dataclass(frozen=True, kw_only=True, eq=False)
class Corrections:
    """Decisions of one or several files, checked.

    Parameters
    ----------
    rows : tuple of Correction
        In the order in which they were given.
    copies : tuple of Sheet
        Copies of sheets as they came back in marked workbooks, under the file and the name of
        the source; a cell changed there is a proposal, never a correction.
    proposals : tuple of Correction
        Held cells that were changed in a copy, without who and why. Changes of other cells show
        when the corrections meet the source, in `apply_to_sheet`.
    n_undecided : int
        Rows without a decision.
    notes : tuple of str
        What a reader should know.
    """

    rows: tuple[Correction, ...] = ()
    copies: tuple[Sheet, ...] = ()
    proposals: tuple[Correction, ...] = ()
    n_undecided: int = 0
    notes: tuple[str, ...] = ()

    def for_sheet(self, *, file: str, sheet: str) -> tuple[Correction, ...]:
        """Give the decisions on the cells of a sheet.

        Parameters
        ----------
        file, sheet : str
            The file's label and the sheet's name.

        Returns
        -------
        tuple of Correction
            In the order in which they were given.
        """
        return tuple(row for row in self.rows if (row.file, row.sheet) == (file, sheet))

    def bird_links(self) -> tuple[Correction, ...]:
        """Give the decisions on which birds are one.

        Returns
        -------
        tuple of Correction
            Those of ``same_bird`` and ``different_birds``.
        """
        return tuple(row for row in self.rows if row.decision in BIRD_DECISIONS)

    def to_frame(self) -> pd.DataFrame:
        """Give the decisions as a table.

        Returns
        -------
        DataFrame
            Columns as in `CORRECTION_COLUMNS`, all text.
        """
        return tabulate_corrections(self.rows)

    def summary(self) -> str:
        """Say how many decisions there are of each kind.

        Returns
        -------
        str
            One line, then the notes.
        """
        counts = {
            name: sum(row.decision == name for row in self.rows)
            for name in (*CELL_DECISIONS, *BIRD_DECISIONS)
        }
        parts = [f"{name} {count}" for name, count in counts.items() if count]
        line = f"{len(self.rows)} decisions: {', '.join(parts) or 'none'}."
        if self.n_undecided:
            line += f" {self.n_undecided} rows have no decision yet."
        if self.proposals:
            line += (
                f" {len(self.proposals)} held cells were changed in a copy, which counts only "
                "with a decision, who and why."
            )
        return "\n".join([line, *self.notes])

    def save(self, path: str | Path) -> WrittenCsv:
        """Write the decisions as a corrections file.

        Parameters
        ----------
        path : str or Path
            Where to write, as CSV.

        Returns
        -------
        WrittenCsv
            The path, the rows and the cells that were neutralised.
        """
        return write_csv(self.to_frame(), Path(path))


def tabulate_corrections(rows: Iterable[Correction]) -> pd.DataFrame:
    """Make a table of decisions.

    Parameters
    ----------
    rows : iterable of Correction
        The decisions.

    Returns
    -------
    DataFrame
        Columns as in `CORRECTION_COLUMNS`, all text; the empty text where there is none.
    """
    data = [row.values for row in rows]
    return pd.DataFrame(data, columns=list(CORRECTION_COLUMNS)).astype("str")


def draft_corrections(quarantine: pd.DataFrame) -> pd.DataFrame:
    """Make a corrections table of held cells, for a person to fill in.

    Parameters
    ----------
    quarantine : DataFrame
        As `LegacyImport.quarantine`.

    Returns
    -------
    DataFrame
        Columns as in `DRAFT_COLUMNS`; everything to be decided is empty. A column or sheet that
        the recipe leaves undecided is one row at the end, as in ``F2:F6537``. ``reason`` and
        ``likely`` are there to decide by; reading passes over them. A row whose decision stays
        empty is no decision.

    Raises
    ------
    MissingColumnError
        If the quarantine lacks a column.

    Examples
    --------
    >>> held = pd.DataFrame({"file": ["book.csv"], "sheet": ["book"], "row": [7], "column": [2],
    ...                      "raw": ["18S"], "reason": ["no number"], "likely": ["185"]})
    >>> draft_corrections(held)[["cell", "raw", "decision"]].values.tolist()
    [['B7', '18S', '']]
    """
    needed = ("file", "sheet", "row", "column", "raw", "reason", "likely")
    require_columns(quarantine.columns, needed, purpose="A draft of corrections")
    single, spans = split_held(quarantine)
    draft = pd.DataFrame("", index=range(len(single)), columns=list(DRAFT_COLUMNS))
    for name in ("file", "sheet", "raw", "reason", "likely"):
        draft[name] = [text if isinstance(text, str) else "" for text in single[name]]
    draft["cell"] = _name_cells(single["row"].tolist(), single["column"].tolist())
    whole = [
        {
            **dict.fromkeys(DRAFT_COLUMNS, ""), "file": span.file, "sheet": span.sheet,
            "cell": span.address, "raw": span.example, "reason": span.words,
            "likely": span.likely,
        }
        for span in spans
    ]  # fmt: skip
    rest = pd.DataFrame(whole, columns=list(DRAFT_COLUMNS))
    return pd.concat([draft.astype("str"), rest.astype("str")], ignore_index=True)


def _name_cells(rows: Sequence[int], columns: Sequence[int]) -> list[str]:
    return [f"{name_column(column)}{row}" for row, column in zip(rows, columns, strict=True)]
