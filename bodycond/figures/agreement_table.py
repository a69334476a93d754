"""Two scorers' grades of the same birds as a table of counts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from bodycond.agreement import TwoScorerComparison
from bodycond.figures.group_ink import say_why
from bodycond.figures.palette import OKABE_ITO, contrast_ratio
from bodycond.figures.style import make_axes, style_unless_given
from bodycond.scales import ScoreScale

if TYPE_CHECKING:
    from matplotlib.axes import Axes

# Labels further apart than this share of the axes' length never touch at 84 mm.
_MOST_LABELS = 13


def draw_agreement_table(comparison: TwoScorerComparison, *, ax: Axes | None = None) -> Axes:
    """Draw how often each pair of grades was given, with totals and the diagonal marked.

    Parameters
    ----------
    comparison : TwoScorerComparison
        The comparison.
    ax : Axes, optional
        Where to draw. Default a new figure in the present `journal_style`.

    Returns
    -------
    Axes
        The axes: the first scorer's grades upwards, the second's to the right, over the whole
        scale. Cells are shaded by their count and empty where it is 0; full agreement is framed.
        Kappa stands in the caption, see `describe_agreement_table`.
    """
    counts = comparison.table.to_numpy(dtype=np.int64)
    with style_unless_given(ax):
        axes = make_axes() if ax is None else ax
        _dress_axes(axes, comparison)
        if counts.sum() == 0:
            say_why(axes, explain_empty_table(comparison))
            return axes
        _draw_cells(axes, counts, comparison.scale)
        _write_totals(axes, counts, comparison.scale)
    return axes


def explain_empty_table(comparison: TwoScorerComparison) -> str:
    """Say why there is nothing to draw.

    Parameters
    ----------
    comparison : TwoScorerComparison
        A comparison without a pair of grades.

    Returns
    -------
    str
        The reason.
    """
    return f"No bird was graded by both {comparison.first_name} and {comparison.second_name}"


def shade_count(count: int, *, most: int) -> str:
    """Give a cell's shade: white for none, blue for the largest count, steps by the count.

    Parameters
    ----------
    count : int
        The cell's count.
    most : int
        The largest count of the table.

    Returns
    -------
    str
        As ``"#RRGGBB"``.

    Examples
    --------
    >>> shade_count(0, most=9), shade_count(9, most=9)
    ('#ffffff', '#0072b2')
    """
    share = count / most if most else 0.0
    blue = [int(OKABE_ITO["blue"][start : start + 2], 16) for start in (1, 3, 5)]
    return "#" + "".join(f"{round(255 + share * (part - 255)):02x}" for part in blue)


def _dress_axes(ax: Axes, comparison: TwoScorerComparison) -> None:
    scale = comparison.scale
    half = scale.step / 2
    stride = -(-scale.n_grades // _MOST_LABELS)
    ticks = scale.values[::stride]
    labels = [f"{tick:g}" for tick in ticks]
    ax.set(
        xlim=(scale.low - half, scale.high + half), ylim=(scale.low - half, scale.high + half),
        xlabel=f"Grade by {comparison.second_name} ({scale.name})",
        ylabel=f"Grade by {comparison.first_name} ({scale.name})",
    )  # fmt: skip
    ax.set_xticks(ticks, labels)
    ax.set_yticks(ticks, labels)
    ax.set_aspect("equal")
    ax.tick_params(length=0)


def _draw_cells(ax: Axes, counts: npt.NDArray[np.int64], scale: ScoreScale) -> None:
    from matplotlib.patches import Rectangle

    size = _choose_text_size(scale)
    half = scale.step / 2
    most = int(counts.max())
    for row, first in enumerate(scale.values):
        for column, second in enumerate(scale.values):
            count = int(counts[row, column])
            shade = shade_count(count, most=most)
            same = row == column
            ax.add_patch(
                Rectangle(
                    (second - half, first - half), scale.step, scale.step, facecolor=shade,
                    edgecolor="black" if same else "#BFBFBF", linewidth=1.2 if same else 0.5,
                    zorder=2 if same else 1, gid=f"cell {first:g} {second:g}",
                )
            )  # fmt: skip
            if count:
                white = contrast_ratio(shade, "#FFFFFF") > contrast_ratio(shade, "#000000")
                ax.text(
                    second, first, f"{count}", ha="center", va="center", fontsize=size, zorder=3,
                    color="white" if white else "black", gid=f"count {first:g} {second:g}",
                )  # fmt: skip


def _write_totals(ax: Axes, counts: npt.NDArray[np.int64], scale: ScoreScale) -> None:
    size = _choose_text_size(scale)
    beside: dict[str, Any] = {"textcoords": "offset points", "fontsize": size}
    for grade, total in zip(scale.values, counts.sum(axis=1), strict=True):
        ax.annotate(f"{total}", xy=(1.0, grade), xycoords=("axes fraction", "data"),
                    xytext=(4.0, 0.0), ha="left", va="center", gid=f"first total {grade:g}",
                    **beside)  # fmt: skip
    for grade, total in zip(scale.values, counts.sum(axis=0), strict=True):
        ax.annotate(f"{total}", xy=(grade, 1.0), xycoords=("data", "axes fraction"),
                    xytext=(0.0, 3.0), ha="center", va="bottom", gid=f"second total {grade:g}",
                    **beside)  # fmt: skip
    ax.annotate(f"{counts.sum()}", xy=(1.0, 1.0), xycoords="axes fraction", xytext=(4.0, 3.0),
                ha="left", va="bottom", fontweight="bold", gid="grand total", **beside)  # fmt: skip
    ax.annotate("total", xy=(0.0, 1.0), xycoords="axes fraction", xytext=(-3.0, 3.0), ha="right",
                va="bottom", **beside)  # fmt: skip


def _choose_text_size(scale: ScoreScale) -> float:
    import matplotlib as mpl
    from matplotlib.font_manager import FontProperties

    small = FontProperties(size=mpl.rcParams["xtick.labelsize"]).get_size_in_points()
    return float(small if scale.n_grades <= _MOST_LABELS else max(small - 1.0, 6.0))
