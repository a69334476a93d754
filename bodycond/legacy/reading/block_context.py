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
    tables : list of SheetTable
        Its records, at most one table each of exams and ratings.
    tally : RowTally
        Where its rows went.
    notes : list of str
        What a reader of the import should know.
    """

    tables: list[SheetTable]
    tally: RowTally
    notes: list[str]


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
    not_exams : mapping of int to str
        Rows of the sheet, counted from 0, that are no exams by decision, with the reason.
    """

    recipe: ImportRecipe
    stem: str
    names: Mapping[str, str]
    labels: tuple[SharedLabels, ...]
    years: Mapping[str, str]
    not_exams: Mapping[int, str] = field(default_factory=dict)


def tally_block(block: BlockAccount, tables: Sequence[SheetTable]) -> RowTally:
    """Count the rows of a block and the records that they gave.

    Parameters
    ----------
    block : BlockAccount
        The block, read.
    tables : sequence of SheetTable
        Its records.

    Returns
    -------
    RowTally
        The counts.
    """
    counts = {table.table: len(table.rows) for table in tables}
    return block.count_rows(exams=counts.get("exams", 0), ratings=counts.get("ratings", 0))


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
