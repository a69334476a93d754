"""What the readers of a block are given, and what they give back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from bodycond.legacy.ledger import RowTally
from bodycond.legacy.reading.block_accounts import BlockAccount
from bodycond.legacy.reading.records import SheetTable
from bodycond.legacy.reading.shared_labels import SharedLabels
from bodycond.legacy.recipes.recipe import ImportRecipe
from bodycond.legacy.recipes.recipe_rules import ColumnRule, SheetRule


@dataclass(frozen=True, kw_only=True, eq=False)
class BlockRecords:
    """What a block gave.

    Parameters
    ----------
    block : BlockAccount
        The block, read.
    tables : list of SheetTable
        Its records, at most one table each of exams and ratings.
    notes : list of str
        What a reader of the import should know.
    is_form : bool, default False
        The whole block is one record.
    """

    block: BlockAccount
    tables: list[SheetTable] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    is_form: bool = False

    def count_rows(self) -> RowTally:
        """Count the rows of the block and the records that they gave.

        Returns
        -------
        RowTally
            The counts. A row is held as long as a cell of its record is.
        """
        self.block.release_rows(is_form=self.is_form)
        counts = {table.table: len(table.rows) for table in self.tables}
        return self.block.count_rows(exams=counts.get("exams", 0), ratings=counts.get("ratings", 0))


@dataclass(frozen=True, kw_only=True, slots=True)
class RowDrop:
    """Cells of one row that are no exam by decision.

    Parameters
    ----------
    row : int
        Row of the sheet, counted from 0.
    left, right : int
        First column, and the column behind the last.
    reason : str
        What was decided, by whom and why.
    """

    row: int
    left: int
    right: int
    reason: str

    def meets(self, top: int, bottom: int, left: int, right: int) -> bool:
        """Tell whether the decision is about a part of the sheet.

        Parameters
        ----------
        top, bottom, left, right : int
            The part, counted from 0; bottom and right lie behind it.

        Returns
        -------
        bool
            True where its row lies in the part and any of its columns too.
        """
        return top <= self.row < bottom and self.left < right and left < self.right


@dataclass(frozen=True, kw_only=True, eq=False)
class SheetContext:
    """What the records of every block of a sheet share.

    Parameters
    ----------
    recipe : ImportRecipe
        The recipe, for its scales.
    stem : str
        What made exam numbers begin with.
    names : mapping of str to str
        What ``{file}`` and ``{sheet}`` stand for in constants.
    labels : tuple of SharedLabels
        Values beside labels that go with every record of the sheet.
    years : mapping of str to str
        Four digits in the names of ``file`` and ``sheet``, where there are any.
    drops : sequence of RowDrop
        What is no exam by decision.
    """

    recipe: ImportRecipe
    stem: str
    names: Mapping[str, str]
    labels: tuple[SharedLabels, ...]
    years: Mapping[str, str]
    drops: Sequence[RowDrop] = ()


def set_year(rule: ColumnRule, context: SheetContext) -> ColumnRule:
    """Give a rule its year in digits, where the recipe takes it from a name.

    Parameters
    ----------
    rule : ColumnRule
        The rule.
    context : SheetContext
        Has the years in the names of file and sheet.

    Returns
    -------
    ColumnRule
        The rule, without a year where the name has none.
    """
    if rule.year in {"file", "sheet"}:
        return replace(rule, year=context.years.get(rule.year))
    return rule


def fill_names(rule: SheetRule, context: SheetContext) -> dict[str, str]:
    """Put the names of file and sheet into the constants of a rule.

    Parameters
    ----------
    rule : SheetRule
        The rule.
    context : SheetContext
        Has the names.

    Returns
    -------
    dict of str to str
        Constants by field.
    """
    filled = {}
    for name, text in rule.constants.items():
        for word, value in context.names.items():
            text = text.replace(f"{{{word}}}", value)
        filled[name] = text
    return filled
