"""Sheets made in a test, read by a recipe written in the test."""

from __future__ import annotations

import pytest

from bodycond.legacy.files.grids import build_grid
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.ledger import build_ledger, build_quarantine, build_reconciliation
from bodycond.legacy.reading.sheet_reading import import_sheet
from bodycond.legacy.reading.table_building import build_table
from bodycond.legacy.recipes.recipe import ImportRecipe


class ReadSheet:
    """A sheet as it was read: its tables and accounts."""

    def __init__(self, part):
        self.part = part
        self.exams = build_table([part], table="exams")
        self.ratings = build_table([part], table="ratings")
        self.ledger = build_ledger([part.account]).set_index("address")
        self.quarantine = build_quarantine([part.account]).set_index("address")
        self.counts = build_reconciliation([part.account]).iloc[0]
        self.notes = part.notes

    def at(self, cell):
        """Give the ledger's row of a cell."""
        return self.ledger.loc[f"s!{cell}"]


@pytest.fixture
def read_sheet():
    """Read rows by a recipe's text; further fields of the sheet as keywords."""

    def _read(rows, recipe, *, file="book.csv", name="s", **fields):
        texts, kinds = build_grid(rows)
        sheet = Sheet(file=file, name=name, texts=texts, kinds=kinds, **fields)
        made = ImportRecipe.from_text("version: 1\n" + recipe)
        return ReadSheet(import_sheet(sheet, made, stem="b"))

    return _read
