"""Sheets made in a test, drafted without a file."""

from __future__ import annotations

import pytest

from bodycond.legacy.drafting.drafting import draft_file
from bodycond.legacy.drafting.entry_grouping import group_entries
from bodycond.legacy.files.grids import build_grid
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.recipes.recipe import ImportRecipe
from bodycond.legacy.recipes.recipe_writing import write_recipe_text


class Draft:
    """The entries of a draft, with their columns by heading."""

    def __init__(self, rules):
        self.rules = rules
        self.columns = {
            column.heading: column for rule in rules for column in (*rule.labels, *rule.columns)
        }

    def __getitem__(self, heading):
        return self.columns[heading]

    def is_sure(self, heading):
        """Tell whether a column is used without a question."""
        column = self.columns[heading]
        return column.ask is None and bool(column.fields)

    def fields(self):
        """Give the fields of each heading, an open one with a question mark."""
        return {
            heading: "+".join(column.fields) + ("?" if column.ask else "")
            for heading, column in self.columns.items()
        }


def make_sheet(rows, *, name="s", file="book.xlsx", merged=()):
    """Make a sheet of rows."""
    texts, kinds = build_grid(rows)
    return Sheet(file=file, name=name, texts=texts, kinds=kinds, merged=merged)


@pytest.fixture
def sheet_of():
    """Make a sheet of rows."""
    return make_sheet


@pytest.fixture
def draft_sheets():
    """Draft sheets as one file; every draft must be a recipe that can be loaded."""

    def _draft(*sheets):
        places = [(sheet.file, sheet.name) for sheet in sheets]
        rules = group_entries(draft_file(sheets), places)
        text = write_recipe_text(rules, {})
        again = ImportRecipe.from_text(text)
        assert [rule.ask for rule in again.sheets] == [rule.ask for rule in rules]
        return Draft(rules)

    return _draft


@pytest.fixture
def draft_rows(draft_sheets):
    """Draft one sheet of rows."""

    def _draft(rows, **fields):
        return draft_sheets(make_sheet(rows, **fields))

    return _draft
