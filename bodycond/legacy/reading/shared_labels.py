"""Values beside labels that go with many records: read once, given out, and accounted for."""

from __future__ import annotations

from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from bodycond.columns import Column
from bodycond.legacy.reading.block_accounts import LABEL, LABEL_HELD, BlockAccount
from bodycond.legacy.reading.label_reading import find_labels
from bodycond.legacy.reading.records import IN_RATINGS, SheetTable
from bodycond.legacy.reading.table_columns import SHARED, RecordValues, join_texts, read_columns
from bodycond.legacy.recipes.recipe import ImportRecipe
from bodycond.legacy.recipes.recipe_rules import ColumnRule
from bodycond.legacy.recipes.targets import known_columns

_KEPT = ("outcomes", "reasons", "values", "likely", "targets")


@dataclass(frozen=True, kw_only=True, eq=False)
class SharedLabels:
    """The labels of one entry with the values beside them.

    Parameters
    ----------
    block : BlockAccount
        Where they stand.
    read : RecordValues
        Their values, one each.
    notes : list of str
        Labels that stand nowhere or several times.
    settled : list of (int, int, dict)
        Each cell of a label or its value, with what the account says of it. While the blocks are
        read the account says `LABEL` or `LABEL_HELD` there, so that what becomes of a row never
        becomes of a label that stands in it.
    used : dict of str to dict
        By field the columns of tables that it went to.
    """

    block: BlockAccount
    read: RecordValues
    notes: list[str]
    settled: list[tuple[int, int, dict[str, Any]]]
    used: dict[str, dict[str, None]] = field(default_factory=dict)

    def note_use(self, names: Iterable[str], tables: Sequence[SheetTable]) -> None:
        """Note which values went to records.

        Parameters
        ----------
        names : iterable of str
            Columns that were given out.
        tables : sequence of SheetTable
            The records made with them.
        """
        for name in names:
            for table in tables:
                target = _name_in(name, self.read.table, table.table)
                if target is not None and len(table.rows):
                    self.used.setdefault(name, {})[f"{table.table}.{target}"] = None

    def close(self) -> None:
        """Put what the account says of the cells back, for values that no record took anew."""
        account = self.block.account
        for row, column, said in self.settled:
            for name, text in said.items():
                getattr(account, name)[row, column] = text
            account.exam_ids[row, column] = ""
        for source in self.read.sources:
            place = int(source.rows[0]), source.column
            if account.outcomes[place] not in {"accepted", "converted"}:
                continue
            used = [to for name in source.rule.fields for to in self.used.get(name, {})]
            if used:
                account.targets[place] = "; ".join(used)
            elif account.values[place] != "":
                account.outcomes[place] = "set_aside"
                account.reasons[place] = "a value beside a label, which no record takes: " + (
                    f"{' and '.join(source.rule.fields)} filled otherwise, or no record made"
                )
                account.values[place] = account.targets[place] = ""


def read_labels(
    block: BlockAccount, rules: Sequence[ColumnRule], recipe: ImportRecipe, *, table: str
) -> SharedLabels:
    """Read the values beside the labels of an entry.

    Parameters
    ----------
    block : BlockAccount
        The block that they stand in.
    rules : sequence of ColumnRule
        Labels of the recipe.
    recipe : ImportRecipe
        The recipe, for its scales.
    table : {"exams", "ratings"}
        The table whose columns the labels fill.

    Returns
    -------
    SharedLabels
        To be closed when all records are made.
    """
    if not rules:
        read = RecordValues(table=table)
        return SharedLabels(block=block, read=read, notes=[], settled=[])
    account = block.account
    before = account.outcomes != ""
    found = find_labels(block, rules)
    read = read_columns(block, found.columns, recipe, table=table)[SHARED]
    settled: list[tuple[int, int, dict[str, Any]]] = []
    for row, column in np.argwhere((account.outcomes != "") & ~before).tolist():
        said = {name: getattr(account, name)[row, column] for name in _KEPT}
        settled.append((row, column, said))
        is_held = said["outcomes"] == "quarantined"
        account.outcomes[row, column] = LABEL_HELD if is_held else LABEL
    return SharedLabels(block=block, read=read, notes=found.notes, settled=settled)


def spread_labels(
    shared: RecordValues, labels: SharedLabels, *, count: int, taken: Container[str]
) -> list[str]:
    """Give the values beside labels to every record; a column of the table goes before a label.

    Parameters
    ----------
    shared : RecordValues
        What all records of a row share; added to.
    labels : SharedLabels
        The labels.
    count : int
        How many rows of data there are.
    taken : container of str
        Columns that a constant fills.

    Returns
    -------
    list of str
        The columns of the labels that were given out.
    """
    given = []
    for name, array in labels.read.values.items():
        target = _name_in(name, labels.read.table, shared.table)
        if target is None or not len(array):
            continue
        value = np.full(count, array[0], dtype=object)
        if target == "remarks":
            value = join_texts(shared.values.get(target), value)
        elif target in shared.values or target in taken:
            continue
        shared.values[target] = value
        shared.columns[target] = _find_column(target, shared.table, labels.read.columns[name])
        given.append(name)
    return given


def _name_in(name: str, source: str, table: str) -> str | None:
    """Give the column of a table that a column of another fills; None where it has none."""
    if source == table:
        return name
    target = IN_RATINGS.get(name, name) if table == "ratings" else name
    return target if target in known_columns(table) else None


def _find_column(name: str, table: str, column: Column) -> Column:
    return known_columns(table).get(name, column)
