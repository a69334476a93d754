"""The report: one self-contained HTML page that someone outside can read first line to last."""

from __future__ import annotations

import base64
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from bodycond.study.report_tables import ReportTable


@dataclass(frozen=True, kw_only=True)
class ReportFigure:
    """A figure to embed.

    Parameters
    ----------
    svg : str
        The SVG file, base64.
    alt_text : str
        What the figure shows, for somebody who cannot see it.
    title : str
        The caption's first sentence.
    caption : str
        The rest of it.
    """

    svg: str
    alt_text: str
    title: str
    caption: str


@dataclass(frozen=True, kw_only=True)
class ReportSection:
    """One section of the report.

    Parameters
    ----------
    anchor : str
        Name to link to.
    heading : str
        Its heading.
    paragraphs, points : tuple of str
        Text, then a list.
    cautions : tuple of (str, str)
        Cautions with their headings.
    tables : tuple of ReportTable
        Tables.
    figures : tuple of ReportFigure
        Figures.
    commands : tuple of str
        Lines to copy into a console.
    """

    anchor: str
    heading: str
    paragraphs: tuple[str, ...] = ()
    points: tuple[str, ...] = ()
    cautions: tuple[tuple[str, str], ...] = ()
    tables: tuple[ReportTable, ...] = ()
    figures: tuple[ReportFigure, ...] = ()
    commands: tuple[str, ...] = ()


def embed_figure(svg_file: Path, *, alt_text: str, caption: str) -> ReportFigure:
    """Read an SVG file for embedding.

    Parameters
    ----------
    svg_file : Path
        The file.
    alt_text, caption : str
        Its texts.

    Returns
    -------
    ReportFigure
        The figure.
    """
    encoded = base64.b64encode(svg_file.read_bytes()).decode("ascii")
    title, _, rest = caption.partition(". ")
    return ReportFigure(svg=encoded, alt_text=alt_text, title=f"{title.rstrip('.')}.", caption=rest)


def render_report(
    *, title: str, question: str, sections: Sequence[ReportSection], closing: str
) -> str:
    """Render the page; every text is escaped, so that a cell cannot become markup.

    Parameters
    ----------
    title, question : str
        Heading, and what was asked.
    sections : sequence of ReportSection
        The sections.
    closing : str
        The last line.

    Returns
    -------
    str
        HTML that needs nothing beside it.
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("bodycond.study", "."), autoescape=True, undefined=StrictUndefined
    )
    template = environment.get_template("report.html.j2")
    return template.render(title=title, question=question, sections=sections, closing=closing)
