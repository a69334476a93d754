"""Old spreadsheets in, one exam table out, and an account of every cell."""

from bodycond.legacy.birds.bird_links import (
    BirdLinks,
    LinkAssumptions,
    apply_bird_links,
    propose_bird_links,
)
from bodycond.legacy.conversion.score_conversion import ScoreConversion, convert_scores
from bodycond.legacy.corrections.correction_files import read_corrections
from bodycond.legacy.corrections.correction_records import Corrections, draft_corrections
from bodycond.legacy.corrections.marked_workbooks import (
    write_marked_workbook,
    write_marked_workbooks,
)
from bodycond.legacy.drafting.drafting import draft_recipe
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.files.source_files import read_sheets
from bodycond.legacy.importing import import_legacy
from bodycond.legacy.legacy_import import LegacyImport
from bodycond.legacy.recipes.recipe import ImportRecipe
from bodycond.legacy.recipes.recipe_rules import ColumnRule, SheetRule

__all__ = [
    "BirdLinks",
    "ColumnRule",
    "Corrections",
    "ImportRecipe",
    "LegacyImport",
    "LinkAssumptions",
    "ScoreConversion",
    "Sheet",
    "SheetRule",
    "apply_bird_links",
    "convert_scores",
    "draft_corrections",
    "draft_recipe",
    "import_legacy",
    "propose_bird_links",
    "read_corrections",
    "read_sheets",
    "write_marked_workbook",
    "write_marked_workbooks",
]
