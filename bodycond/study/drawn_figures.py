"""The figures of a study: each species' four, and the table of the headline pair of scorers."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from bodycond.figures import (
    FigureDescription,
    describe_agreement_table,
    describe_index_by_keel,
    describe_mass_by_keel,
    describe_mass_on_size,
    draw_agreement_table,
    draw_index_by_keel,
    draw_mass_by_keel,
    draw_mass_on_size,
    journal_style,
    save_figure,
)
from bodycond.study.analysis import ConditionResults, StudyAnalysis
from bodycond.study.report import ReportFigure, embed_figure


def draw_study_figures(
    analysis: StudyAnalysis, folder: Path
) -> tuple[dict[str, list[ReportFigure]], list[Path]]:
    """Draw and write every figure of a study.

    Parameters
    ----------
    analysis : StudyAnalysis
        Results.
    folder : Path
        Where to write.

    Returns
    -------
    tuple of (dict, list of Path)
        Figures for the report by section, and the files.
    """
    shelf = _Shelf(folder)
    if analysis.condition is not None:
        _draw_condition(analysis.condition, shelf.keep)
    if analysis.headline_pair is not None:
        pair = analysis.headline_pair
        shelf.keep(
            "agreement",
            "agreement_table",
            lambda: draw_agreement_table(pair),
            describe_agreement_table(pair),
        )
    return shelf.figures, shelf.files


class _Shelf:
    """Draws a figure at journal width, writes it, and keeps what the report needs of it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.figures: dict[str, list[ReportFigure]] = {}
        self.files: list[Path] = []

    def keep(
        self, section: str, stem: str, draw: Callable[[], Any], words: FigureDescription
    ) -> None:
        with journal_style(width="single"):
            saved = save_figure(
                draw().figure, self.folder / stem, alt_text=words.alt_text, caption=words.caption
            )
        self.files.extend(saved.files)
        svg = next(path for path in saved.files if path.suffix == ".svg")
        shown = embed_figure(svg, alt_text=words.alt_text, caption=words.caption)
        self.figures.setdefault(section, []).append(shown)


def _draw_condition(results: ConditionResults, keep: Callable[..., None]) -> None:
    linear, points, ranks = results.linear, results.mass_on_size, results.index_by_keel
    fitted = set(linear.groups.loc[linear.groups["reason"] == "", "species"])
    sized = set() if points is None else set(points.points["species"])
    ranked = set() if ranks is None else set(ranks.points["species"])
    for species, stem in name_stems(fitted | sized | ranked).items():
        group = {"species": species}
        if species in fitted:
            keep(
                "mass",
                f"mass_by_keel_{stem}",
                lambda group=group: draw_mass_by_keel(linear, group=group),
                describe_mass_by_keel(linear, group=group),
            )
        if points is not None and species in sized:
            keep(
                "size",
                f"mass_on_size_{stem}",
                lambda group=group: draw_mass_on_size(points, group=group),
                describe_mass_on_size(points, group=group),
            )
        if ranks is not None and species in ranked:
            keep(
                "index",
                f"index_by_keel_{stem}",
                lambda group=group: draw_index_by_keel(ranks, group=group, scale=linear.scale),
                describe_index_by_keel(ranks, group=group, scale=linear.scale),
            )


def name_stems(species: Iterable[str]) -> dict[str, str]:
    """Give each species a part of a file name that every system takes, each a different one.

    Parameters
    ----------
    species : iterable of str
        Names as they stand in the table, with whatever is in them.

    Returns
    -------
    dict of str to str
        Stems by species, in the order of the names.

    Examples
    --------
    >>> name_stems(["Buteo buteo", "Buteo?/buteo"])
    {'Buteo buteo': 'buteo_buteo', 'Buteo?/buteo': 'buteo_buteo_2'}
    """
    stems: dict[str, str] = {}
    for name in sorted(map(str, species)):
        plain = re.sub(r"[^a-z0-9]+", "_", name.lower()).strip("_") or "species"
        stem, count = plain, 2
        while stem in stems.values():
            stem, count = f"{plain}_{count}", count + 1
        stems[name] = stem
    return stems
