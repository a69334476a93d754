"""Figures: ink only, from results to axes, and from axes to files fit for print."""

from bodycond.figures.agreement_caption import describe_agreement_table
from bodycond.figures.agreement_table import draw_agreement_table
from bodycond.figures.caption_phrases import FigureDescription
from bodycond.figures.captions import (
    describe_index_by_keel,
    describe_mass_by_keel,
    describe_mass_on_size,
)
from bodycond.figures.index_by_keel import draw_index_by_keel
from bodycond.figures.mass_by_keel import draw_mass_by_keel
from bodycond.figures.mass_on_size import draw_mass_on_size
from bodycond.figures.saving import SavedFigure, save_figure
from bodycond.figures.style import journal_style

__all__ = [
    "FigureDescription",
    "SavedFigure",
    "describe_agreement_table",
    "describe_index_by_keel",
    "describe_mass_by_keel",
    "describe_mass_on_size",
    "draw_agreement_table",
    "draw_index_by_keel",
    "draw_mass_by_keel",
    "draw_mass_on_size",
    "journal_style",
    "save_figure",
]
