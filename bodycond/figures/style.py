"""Journal style: physical widths, readable text, lines that print, and files without surprises."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager, nullcontext
from contextvars import ContextVar
from typing import TYPE_CHECKING, Any, Literal

from bodycond.errors import ArgumentError
from bodycond.figures.palette import OKABE_ITO

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Width = Literal["single", "onehalf", "double"]

WIDTHS_MM: dict[str, float] = {"single": 84.0, "onehalf": 120.0, "double": 174.0}
"""Column widths that most journals print without scaling; an author's instructions win."""

MAX_HEIGHT_MM = 225.0
NARROWEST_MM = 40.0
MM_PER_INCH = 25.4
POINTS_PER_INCH = 72.0

# Capitals of 8 pt DejaVu Sans are 2 mm high in print; nothing may fall below 6 pt.
TEXT_PT = 8.0
SMALL_TEXT_PT = 7.0
LEAST_TEXT_PT = 6.0
HAIRLINE_PT = 0.5

# A square panel has room for a legend above; a wide one need not be as high as it is wide.
_USUAL_HEIGHT_MM = 110.0

# DejaVu Sans comes with matplotlib, so that text takes the same room on every machine.
_FONT = "DejaVu Sans"

OUTPUT_SETTINGS: dict[Any, Any] = {
    "pdf.fonttype": 42,
    "pdf.use14corefonts": False,
    "pdf.compression": 6,
    "svg.fonttype": "path",
    "svg.hashsalt": "bodycond",
    "savefig.bbox": None,
    "savefig.facecolor": "white",
    "savefig.transparent": False,
    "text.usetex": False,
    "path.simplify": False,
}
"""What has to hold while a file is written, whatever style drew the figure."""

_DRAWING_SETTINGS: dict[Any, Any] = {
    "font.family": [_FONT],
    "font.size": TEXT_PT,
    "axes.titlesize": TEXT_PT,
    "axes.labelsize": TEXT_PT,
    "figure.titlesize": TEXT_PT,
    "xtick.labelsize": SMALL_TEXT_PT,
    "ytick.labelsize": SMALL_TEXT_PT,
    "legend.fontsize": SMALL_TEXT_PT,
    "legend.title_fontsize": SMALL_TEXT_PT,
    "legend.frameon": False,
    "legend.handlelength": 1.8,
    "legend.handletextpad": 0.5,
    "legend.columnspacing": 1.2,
    "legend.labelspacing": 0.3,
    "axes.linewidth": 0.6,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.axisbelow": True,
    "xtick.major.width": 0.6,
    "ytick.major.width": 0.6,
    "xtick.minor.width": HAIRLINE_PT,
    "ytick.minor.width": HAIRLINE_PT,
    "xtick.major.size": 3.0,
    "ytick.major.size": 3.0,
    "xtick.minor.size": 1.8,
    "ytick.minor.size": 1.8,
    "lines.linewidth": 1.2,
    "lines.markersize": 3.6,
    "lines.markeredgewidth": HAIRLINE_PT,
    "patch.linewidth": HAIRLINE_PT,
    "hatch.linewidth": HAIRLINE_PT,
    "figure.dpi": 100.0,
    "figure.facecolor": "white",
    "axes.facecolor": "white",
}

_active: ContextVar[bool] = ContextVar("journal_style_active", default=False)


@contextmanager
def journal_style(
    *,
    width: Width | float = "single",
    height_mm: float | None = None,
    settings: Mapping[Any, Any] | None = None,
) -> Iterator[None]:
    """Draw in a journal's size and style for as long as the block lasts.

    Parameters
    ----------
    width : {"single", "onehalf", "double"} or float, default "single"
        Final width: 84, 120 or 174 mm, or a number of mm where a journal asks for another.
    height_mm : float, optional
        Final height, at most 225 mm. Default the width, or 110 mm
        where it is wider.
    settings : mapping of str to object, optional
        matplotlib settings that win over the style's.

    Yields
    ------
    None
        Nothing; afterwards the settings are as they were.

    Raises
    ------
    ArgumentError
        If the width is unknown or under 40 mm, or the height is over 225 mm.

    Notes
    -----
    The block starts from matplotlib's own defaults and not from the user's settings file, so
    that the same code gives the same figure everywhere. Figures are meant to be printed without
    scaling: text is 8 pt, or 7 pt beside ticks and in legends, lines at least 0.5 pt.

    Examples
    --------
    >>> import matplotlib
    >>> with journal_style(width="double"):
    ...     round(matplotlib.rcParams["figure.figsize"][0] * 25.4)
    174
    """
    import matplotlib as mpl
    from cycler import cycler

    size_inch = _measure_figure(width, height_mm)
    token = _active.set(True)
    try:
        with mpl.rc_context():
            mpl.rcdefaults()
            mpl.rcParams.update(_DRAWING_SETTINGS | OUTPUT_SETTINGS)
            mpl.rcParams["figure.figsize"] = size_inch
            mpl.rcParams["axes.prop_cycle"] = cycler(color=list(OKABE_ITO.values()))
            mpl.rcParams.update(dict(settings or {}))
            yield
    finally:
        _active.reset(token)


def _measure_figure(width: Width | float, height_mm: float | None) -> tuple[float, float]:
    width_mm = WIDTHS_MM.get(width) if isinstance(width, str) else float(width)
    if width_mm is None or not NARROWEST_MM <= width_mm < float("inf"):
        known = ", ".join(f"{name!r} ({size:g})" for name, size in WIDTHS_MM.items())
        raise ArgumentError(
            needed=f"width= takes {known} or a number of mm from {NARROWEST_MM:g}",
            found=f"width={width!r}",
            then="Give the journal's column width; text is not scaled to fit a narrower one",
        )
    if height_mm is None:
        height_mm = min(width_mm, _USUAL_HEIGHT_MM)
    if not NARROWEST_MM <= height_mm <= MAX_HEIGHT_MM:
        raise ArgumentError(
            needed=f"height_mm= takes {NARROWEST_MM:g} to {MAX_HEIGHT_MM:g}, which is what a page "
            "holds",
            found=f"height_mm={height_mm!r}",
            then="Give a height that fits, or spread the panels over two figures",
        )
    return width_mm / MM_PER_INCH, height_mm / MM_PER_INCH


def style_unless_given(ax: Axes | None) -> AbstractContextManager[None]:
    """Give the journal style where a drawer makes its own axes and no style is on yet.

    Parameters
    ----------
    ax : Axes or None
        What the caller gave; axes of theirs are drawn on in their own style.

    Returns
    -------
    context manager
        `journal_style`, or one that does nothing.
    """
    return nullcontext() if ax is not None or _active.get() else journal_style()


def measure_width_pt(ax: Axes) -> float:
    """Measure the figure, or the part of one, that axes are on.

    Parameters
    ----------
    ax : Axes
        The axes.

    Returns
    -------
    float
        Width in pt.
    """
    figure = ax.figure
    return float(figure.bbox.width / figure.dpi * POINTS_PER_INCH)


def make_axes() -> Axes:
    """Make one panel on a figure of the present style's size, without any window or pyplot state.

    Returns
    -------
    Axes
        The panel; its figure is ``ax.figure``.
    """
    import matplotlib as mpl
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=tuple(mpl.rcParams["figure.figsize"]), layout="constrained")
    FigureCanvasAgg(figure)
    ax = figure.add_subplot()
    # matplotlib makes ticks when it draws, which may be after the style has ended.
    # Looked up one by one: a copy would make matplotlib choose a backend, and load pyplot.
    settings: Any = mpl.rcParams
    ticks: Any = ax.tick_params
    for axis in ("x", "y"):
        for which in ("major", "minor"):
            ticks(
                axis=axis,
                which=which,
                width=settings[f"{axis}tick.{which}.width"],
                length=settings[f"{axis}tick.{which}.size"],
                labelsize=settings[f"{axis}tick.labelsize"],
                labelfontfamily=settings["font.family"][0],
            )
    return ax
