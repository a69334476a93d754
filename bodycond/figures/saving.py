"""Figures on disk: PDF, SVG and PNG at exact physical width, with caption and alternative text."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bodycond.errors import ArgumentError, name_first_few
from bodycond.figures.style import MM_PER_INCH, OUTPUT_SETTINGS
from bodycond.tables_on_disk import write_bytes, write_text

if TYPE_CHECKING:
    from matplotlib.figure import Figure

FORMATS: tuple[str, ...] = ("pdf", "svg", "png")

DEFAULT_DPI = 300
LEAST_DPI = 150


@dataclass(frozen=True, kw_only=True, eq=False)
class SavedFigure:
    """The files that one figure was written to.

    Parameters
    ----------
    files : tuple of Path
        The figure's files in the order of the formats asked for, then the caption file.
    width_mm, height_mm : float
        Physical size.
    dpi : int
        Resolution of the PNG.
    caption, alt_text : str
        What the caption file holds.
    """

    files: tuple[Path, ...]
    width_mm: float
    height_mm: float
    dpi: int
    caption: str
    alt_text: str


def save_figure(
    figure: Figure,
    stem: str | Path,
    *,
    alt_text: str,
    caption: str,
    formats: Sequence[str] = FORMATS,
    dpi: int = DEFAULT_DPI,
) -> SavedFigure:
    """Write a figure in each format, and its caption beside it.

    Parameters
    ----------
    figure : Figure
        The figure; it is left as it was.
    stem : str or Path
        Path without the ending: ``figures/mass`` gives ``figures/mass.pdf`` and so on. The
        folder is made if need be.
    alt_text : str
        What the figure shows, for readers who cannot see it; kept in the files' metadata too.
    caption : str
        The caption.
    formats : sequence of {"pdf", "svg", "png"}, default all three
        What to write.
    dpi : int, default 300
        Resolution of the PNG; some journals ask for 600.

    Returns
    -------
    SavedFigure
        The files written.

    Raises
    ------
    ArgumentError
        If a format is unknown, none is given, the caption or alternative text is empty, or the
        resolution is under 150.
    OSError
        If the folder cannot be written to.

    Notes
    -----
    The page is the figure's size and is never cropped to its ink, so that what was drawn as
    84 mm is 84 mm. Fonts are embedded in the PDF as TrueType (Type 42) and drawn as outlines in
    the SVG. No date is written: the same figure gives the same bytes. Each file appears whole or
    not at all.
    """
    _require_saving_options(formats, alt_text=alt_text, caption=caption, dpi=dpi)
    place = Path(stem)
    width, height = (float(inch) * MM_PER_INCH for inch in figure.get_size_inches())
    files = []
    with _frozen_layout(figure):
        contents = {
            name: _render(figure, name, title=place.name, alt_text=alt_text, dpi=dpi)
            for name in formats
        }
    for name, content in contents.items():
        files.append(place.with_name(f"{place.name}.{name}"))
        write_bytes(files[-1], content)
    files.append(place.with_name(f"{place.name}.caption.txt"))
    write_text(files[-1], f"{caption.strip()}\n\nAlternative text: {alt_text.strip()}\n")
    return SavedFigure(
        files=tuple(files),
        width_mm=width,
        height_mm=height,
        dpi=dpi,
        caption=caption,
        alt_text=alt_text,
    )


def _require_saving_options(
    formats: Sequence[str], *, alt_text: str, caption: str, dpi: int
) -> None:
    unknown = [name for name in formats if name not in FORMATS]
    if unknown or not formats or isinstance(formats, str):
        raise ArgumentError(
            needed=f"formats= takes a sequence of {', '.join(map(repr, FORMATS))}",
            found=f"formats={formats!r}"
            + (f", unknown {name_first_few(map(repr, unknown))}" if unknown else ""),
            then="Give for example formats=('pdf', 'png')",
        )
    if len(set(formats)) < len(formats):
        raise ArgumentError(
            needed="formats= names each format once",
            found=f"formats={formats!r}",
            then="Leave the repeats out",
        )
    empty = [
        name for name, text in (("caption", caption), ("alt_text", alt_text)) if not text.strip()
    ]
    if empty:
        raise ArgumentError(
            needed="A figure needs a caption and an alternative text",
            found=f"{' and '.join(empty)} empty",
            then="Use the describe_ function that goes with the drawing",
        )
    if dpi < LEAST_DPI:
        raise ArgumentError(
            needed=f"dpi= takes {LEAST_DPI} or more; print needs 300 or 600",
            found=f"dpi={dpi}",
            then="Raise it, or scale a copy of the PNG down for the screen",
        )


def _render(figure: Figure, name: str, *, title: str, alt_text: str, dpi: int) -> bytes:
    import matplotlib as mpl

    # None leaves the field out; dates would make every run differ.
    metadata: dict[str, dict[str, Any]] = {
        "pdf": {"Title": title, "Subject": alt_text, "CreationDate": None},
        "svg": {"Title": title, "Description": alt_text, "Date": None},
        "png": {"Title": title, "Description": alt_text},
    }
    buffer = io.BytesIO()
    with mpl.rc_context(OUTPUT_SETTINGS):
        figure.savefig(
            buffer, format=name, dpi=dpi if name == "png" else 72, metadata=metadata[name]
        )
    return buffer.getvalue()


@contextmanager
def _frozen_layout(figure: Figure) -> Iterator[None]:
    # Each format measures text at its own resolution, so the layout would differ between files
    # and between a first and a second save. It is made once here and undone afterwards.
    import matplotlib as mpl

    engine = figure.get_layout_engine()
    places = [
        (
            ax,
            ax.get_position(original=True).frozen(),
            ax.get_position().frozen(),
            ax.get_in_layout(),
        )
        for ax in figure.axes
    ]
    try:
        if engine is not None:
            with mpl.rc_context(OUTPUT_SETTINGS):
                figure.draw_without_rendering()
            figure.set_layout_engine("none")
        yield
    finally:
        figure.set_layout_engine(engine)
        for ax, original, active, in_layout in places:
            ax.set_position(original, which="original")
            ax.set_position(active, which="active")
            # Setting a position takes axes out of the layout; put them back.
            ax.set_in_layout(in_layout)
