"""Old spreadsheets in, one exam table out, and an account of every cell."""

from bodycond.legacy.drafting import draft_recipe
from bodycond.legacy.importing import import_legacy
from bodycond.legacy.legacy_import import LegacyImport
from bodycond.legacy.recipe import ImportRecipe
from bodycond.legacy.recipe_rules import ColumnRule, SheetRule
from bodycond.legacy.sheets import Sheet
from bodycond.legacy.source_files import read_sheets

__all__ = [
    "ColumnRule",
    "ImportRecipe",
    "LegacyImport",
    "Sheet",
    "SheetRule",
    "draft_recipe",
    "import_legacy",
    "read_sheets",
]
