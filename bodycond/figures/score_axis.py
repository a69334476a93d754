"""The score axis, always the whole scale, with jittered points and n under every grade."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from bodycond.columns import label_column
from bodycond.figures.group_marks import ShownGroup
from bodycond.figures.style import measure_width_pt
from bodycond.scales import ScoreScale

if TYPE_CHECKING:
    from matplotlib.axes import Axes

FloatArray = npt.NDArray[np.float64]

# Share of the room between two grades that points may take, so that grades stay apart.
_SLOT_SHARE = 0.84

# More labels than this collide at 84 mm.
_MOST_LABELS = 11

_SMALLEST_MARKER_PT = 2.4

# Fractions of multiples of the golden ratio fill an interval evenly from the first point on.
_GOLDEN_FRACTION = (5**0.5 - 1) / 2


def spread_points(grades: FloatArray, *, centre: float, width: float) -> FloatArray:
    """Move points of one grade sideways so that they do not cover one another.

    Parameters
    ----------
    grades : ndarray of float, shape (n,)
        Grade of each point.
    centre : float
        Middle of the room they get, from the grade, in grades.
    width : float
        The room's width in grades.

    Returns
    -------
    ndarray of float, shape (n,)
        Positions on the axis. The same points always get the same positions: the k-th of a grade
        takes the fraction of k times the golden ratio, without chance.

    Examples
    --------
    >>> spread_points(np.array([2.0, 2.0, 3.0]), centre=0.0, width=0.2).round(3)
    array([2.   , 1.924, 3.   ])
    """
    positions = np.asarray(grades, dtype=np.float64).copy()
    for grade in np.unique(positions):
        same = np.flatnonzero(grades == grade)
        fractions = (0.5 + _GOLDEN_FRACTION * np.arange(same.size)) % 1.0
        positions[same] = grade + centre + (fractions - 0.5) * width
    return positions


def divide_slot(
    grades: npt.ArrayLike, *, n_groups: int, scale: ScoreScale
) -> tuple[FloatArray, float]:
    """Divide the room around a grade into a lane for each group.

    Parameters
    ----------
    grades : array_like of float
        Every grade drawn; where half grades do not occur the lanes are wider.
    n_groups : int
        Groups side by side.
    scale : ScoreScale
        The scale.

    Returns
    -------
    tuple of (ndarray of float, float)
        Each lane's middle, from the grade, and the width of a lane; in grades.
    """
    found = np.unique(np.asarray(grades, dtype=np.float64))
    gap = min(float(np.diff(found).min()), 2 * scale.step) if found.size > 1 else scale.step
    lane = _SLOT_SHARE * gap / max(n_groups, 1)
    return np.asarray(lane * (np.arange(n_groups) - (n_groups - 1) / 2), dtype=np.float64), lane


def fit_markers_to_lane(ax: Axes, lane: float) -> float:
    """Choose the size of points so that those of neighbouring lanes stand apart.

    Parameters
    ----------
    ax : Axes
        The axes, dressed by `dress_score_axis`.
    lane : float
        Width of a lane in grades.

    Returns
    -------
    float
        Size in pt, at most the style's.
    """
    import matplotlib as mpl

    left, right = ax.get_xlim()
    lane_pt = measure_width_pt(ax) * ax.get_position().width * lane / (right - left)
    return float(np.clip(0.5 * lane_pt, _SMALLEST_MARKER_PT, mpl.rcParams["lines.markersize"]))


def dress_score_axis(ax: Axes, *, score: str, scale: ScoreScale) -> None:
    """Set the x axis to the whole scale, whatever grades occur.

    Parameters
    ----------
    ax : Axes
        The axes.
    score : str
        Column of the grade, for the label.
    scale : ScoreScale
        The scale.
    """
    ticks = choose_labelled_grades(scale)
    pad = max(scale.step, 0.1 * (scale.high - scale.low)) / 2 + 0.02 * (scale.high - scale.low)
    ax.set_xlim(scale.low - pad, scale.high + pad)
    ax.set_xticks(ticks, [f"{tick:g}" for tick in ticks])
    if scale.n_grades <= 2 * _MOST_LABELS:
        ax.set_xticks([grade for grade in scale.values if grade not in ticks], minor=True)
    ax.set_xlabel(label_column(score))


def choose_labelled_grades(scale: ScoreScale) -> FloatArray:
    """Choose the grades that get a label: the whole ones, or fewer where they would collide.

    Parameters
    ----------
    scale : ScoreScale
        The scale.

    Returns
    -------
    ndarray of float
        The grades, the lowest among them.
    """
    whole = scale.whole_grades
    chosen = whole if whole.size > 1 else scale.values
    stride = -(-chosen.size // _MOST_LABELS)
    return chosen[::stride]


def write_counts(
    ax: Axes,
    rows: Sequence[tuple[str, FloatArray]],
    *,
    scale: ScoreScale,
) -> None:
    """Write under every grade how many points of each group it has.

    Parameters
    ----------
    ax : Axes
        The axes, dressed by `dress_score_axis`.
    rows : sequence of (str, ndarray of float)
        For each group the row's heading and the grades of its points.
    scale : ScoreScale
        The scale. Nothing is written where it has too many grades for the numbers to stand
        apart.
    """
    import matplotlib as mpl
    from matplotlib.font_manager import FontProperties

    if scale.n_grades > _MOST_LABELS:
        return
    size = FontProperties(size=mpl.rcParams["xtick.labelsize"]).get_size_in_points()
    line = 1.25 * size
    below_tick_labels = mpl.rcParams["xtick.major.size"] + mpl.rcParams["xtick.major.pad"] + line
    labelled = choose_labelled_grades(scale)
    for position, (heading, grades) in enumerate(rows):
        down = -(below_tick_labels + position * line)
        ax.annotate(
            heading, xy=(0.0, 0.0), xycoords="axes fraction", xytext=(-3.0, down),
            textcoords="offset points", ha="right", va="top", fontsize=size,
        )  # fmt: skip
        for grade in scale.values:
            count = int(np.isclose(grades, grade).sum())
            # A whole grade without points says 0; an unused half grade stays empty.
            if count or grade in labelled:
                ax.annotate(
                    f"{count}", xy=(grade, 0.0), xycoords=("data", "axes fraction"),
                    xytext=(0.0, down), textcoords="offset points", ha="center", va="top",
                    fontsize=size, gid="count",
                )  # fmt: skip
    ax.xaxis.labelpad = line * len(rows) + mpl.rcParams["axes.labelpad"]


def abbreviate_group(shown: ShownGroup, everyone: Sequence[ShownGroup]) -> str:
    """Give the heading of a group's row of counts.

    Parameters
    ----------
    shown : ShownGroup
        The group.
    everyone : sequence of ShownGroup
        All groups of the figure.

    Returns
    -------
    str
        ``"n"`` for the one group of a figure, ``"n F"`` where sex alone tells them apart, else
        ``"n (2)"`` by the legend's order.
    """
    if len(everyone) == 1:
        return "n"
    sexes = {each.keys.get("sex") for each in everyone}
    if "sex" in shown.keys and len(sexes) == len(everyone):
        return f"n {shown.keys['sex']}"
    return f"n ({list(everyone).index(shown) + 1})"
