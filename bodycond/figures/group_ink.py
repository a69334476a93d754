"""Ink that every figure of groups shares: points, lines with a dark casing, legend, notices."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from bodycond.figures.group_marks import (
    GroupMark,
    ShownGroup,
    name_shared,
    shares_species_alone,
)
from bodycond.figures.palette import GREY
from bodycond.figures.style import (
    HAIRLINE_PT,
    MM_PER_INCH,
    POINTS_PER_INCH,
    measure_width_pt,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.collections import PathCollection
    from matplotlib.lines import Line2D

FloatArray = npt.NDArray[np.float64]

Dashes = tuple[float, ...]
LegendEntry = tuple[tuple[Any, ...], str]

UNUSABLE: Dashes = (4.0, 2.0)
"""Dashes of a line that is not to be used."""

NEXT_BIRD: Dashes = (1.5, 1.2)
"""Short dashes of the band of the next bird."""

_FILL_ALPHA = 0.75
_PALE_ALPHA = 0.12
_CASING_PT = 0.35
_SIDES = {"x": "bottom", "y": "left"}
# Above this width the legend has room for two columns.
_WIDE_MM = 110.0
# Mean width of a letter of DejaVu Sans over its size, a little generously.
_LETTER_WIDTH = 0.6


def draw_points(
    ax: Axes,
    x: FloatArray,
    y: FloatArray,
    *,
    mark: GroupMark,
    label: str,
    pale: bool = False,
    size: float | None = None,
) -> PathCollection:
    """Draw raw points in a group's shape and colour, edged in black so that they show on white.

    Parameters
    ----------
    ax : Axes
        The axes.
    x, y : ndarray of float, shape (n,)
        Where.
    mark : GroupMark
        Shape and colour.
    label : str
        Kept as the artist's identifier, for example ``"points female"``.
    pale : bool, default False
        With hardly any fill, for points that did not enter a line.
    size : float, optional
        Width in pt. Default the style's.

    Returns
    -------
    PathCollection
        The points.
    """
    from matplotlib.colors import to_rgba

    return ax.scatter(
        x,
        y,
        s=None if size is None else size**2,
        marker=mark.marker,
        facecolors=[to_rgba(mark.colour, _PALE_ALPHA if pale else _FILL_ALPHA)],
        edgecolors="black",
        linewidths=HAIRLINE_PT,
        zorder=3,
        gid=label,
    )


def draw_line(
    ax: Axes,
    x: FloatArray,
    y: FloatArray,
    *,
    mark: GroupMark,
    label: str,
    dashes: Dashes | None = None,
) -> None:
    """Draw a group's line with a thin black casing, without which a bright line fades on white.

    Parameters
    ----------
    ax : Axes
        The axes.
    x, y : ndarray of float, shape (n,)
        Where.
    mark : GroupMark
        The group's colour.
    label : str
        Kept as the artist's identifier.
    dashes : tuple of float, optional
        Lengths of ink and gap in line widths: `UNUSABLE` or `NEXT_BIRD`. Default a solid line.
    """
    (line,) = ax.plot(x, y, color=mark.colour, gid=label, zorder=4)
    _dress_line(line, dashes)


def _dress_line(line: Line2D, dashes: Dashes | None) -> Line2D:
    from matplotlib.patheffects import Normal, Stroke

    if dashes is not None:
        # Lengths scale with the width, so the casing needs them in its own.
        line.set_dash_capstyle("butt")
        line.set_linestyle((0, dashes))
    width = line.get_linewidth() + 2 * _CASING_PT
    line.set_path_effects([Stroke(linewidth=width, foreground="black"), Normal()])
    return line


def make_entry(
    mark: GroupMark,
    *,
    label: str,
    points: bool = True,
    line: bool = True,
    dashes: Dashes | None = None,
    pale: bool = False,
) -> LegendEntry:
    """Make a group's legend entry.

    Parameters
    ----------
    mark : GroupMark
        Shape and colour.
    label : str
        The entry's text.
    points, line : bool, default True
        Whether the group has points, and a line.
    dashes : tuple of float, optional
        The line's dashes.
    pale : bool, default False
        Whether the points are pale.

    Returns
    -------
    LegendEntry
        What is shown, line under point, and the text.
    """
    from matplotlib.colors import to_rgba
    from matplotlib.lines import Line2D

    parts = []
    if line:
        parts.append(_dress_line(Line2D([], [], color=mark.colour), dashes))
    if points:
        face = to_rgba(mark.colour, _PALE_ALPHA) if pale else mark.colour
        parts.append(
            Line2D(
                [], [], linestyle="none", marker=mark.marker, markerfacecolor=face,
                markeredgecolor="black",
            )
        )  # fmt: skip
    return tuple(parts), label


def place_legend(ax: Axes, entries: Sequence[LegendEntry], *, shown: Sequence[ShownGroup]) -> None:
    """Place the legend above the axes, where no point can be, headed by what the groups share.

    Parameters
    ----------
    ax : Axes
        The axes.
    entries : sequence of LegendEntry
        The entries.
    shown : sequence of ShownGroup
        The groups shown.
    """
    from matplotlib.legend_handler import HandlerTuple

    width_mm = measure_width_pt(ax) / POINTS_PER_INCH * MM_PER_INCH
    legend = ax.legend(
        [parts for parts, _ in entries], [label for _, label in entries],
        handler_map={tuple: HandlerTuple(ndivide=1, pad=0.0)},
        loc="lower left", bbox_to_anchor=(0.0, 1.02), borderaxespad=0.0, borderpad=0.0,
        ncols=2 if width_mm > _WIDE_MM and len(entries) > 2 else 1,
        title=name_shared(shown) or None, alignment="left",
    )  # fmt: skip
    if shares_species_alone(shown):
        legend.get_title().set_fontstyle("italic")


def say_why(ax: Axes, text: str, *, without_ticks: str = "") -> None:
    """Write in the middle of empty axes why nothing is drawn.

    Parameters
    ----------
    ax : Axes
        The axes.
    text : str
        The reason, as a sentence.
    without_ticks : str, default ""
        ``"y"`` or ``"xy"``: axes whose ticks would show numbers that nothing stands behind.
    """
    import matplotlib as mpl

    for name in without_ticks:
        ax.tick_params(axis=name, which="both", length=0, **{f"label{_SIDES[name]}": False})  # type: ignore[arg-type]

    size = float(mpl.rcParams["font.size"])
    width_pt = measure_width_pt(ax) * ax.get_position().width
    letters = max(int(0.85 * width_pt / (_LETTER_WIDTH * size)), 12)
    ax.text(
        0.5, 0.5, textwrap.fill(text, letters), transform=ax.transAxes, ha="center", va="center",
        color=GREY, gid="reason",
    )  # fmt: skip


def wrap_reason(text: str, *, letters: int = 44) -> str:
    """Break a reason into lines that a legend holds at 84 mm.

    Parameters
    ----------
    text : str
        The reason.
    letters : int, default 44
        Letters a line, which 7 pt gives in 63 mm.

    Returns
    -------
    str
        The lines.
    """
    # Hard spaces keep a number with its name: 'r = 0.30' on one line.
    return textwrap.fill(text.replace(" = ", "\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}"), letters)
