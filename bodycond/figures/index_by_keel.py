"""Scaled mass at each keel score: one point a bird, medians and quartiles."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np
import pandas as pd

from bodycond.condition import IndexByKeel
from bodycond.figures.group_ink import LegendEntry, draw_points, make_entry, place_legend, say_why
from bodycond.figures.group_marks import ShownGroup, select_groups, take_rows
from bodycond.figures.score_axis import (
    abbreviate_group,
    divide_slot,
    dress_score_axis,
    fit_markers_to_lane,
    spread_points,
    write_counts,
)
from bodycond.figures.style import make_axes, style_unless_given
from bodycond.scales import KEEL_SCALE, ScoreScale

if TYPE_CHECKING:
    from matplotlib.axes import Axes

SCALED_MASS_LABEL = "Scaled mass (g)"

# Where in its lane a grade's summary stands, right of the points, so that neither hides the other.
_SUMMARY_AT = 0.38


def draw_index_by_keel(
    result: IndexByKeel,
    *,
    group: Mapping[str, str] | None,
    scale: ScoreScale = KEEL_SCALE,
    ax: Axes | None = None,
) -> Axes:
    """Draw scaled mass by keel score: one point a bird, each grade's median and quartiles.

    Parameters
    ----------
    result : IndexByKeel
        Points and medians.
    group : mapping of str to str or None
        Which groups: ``{"species": "Buteo buteo"}`` draws the sexes of one species beside one
        another; None draws all, up to 7.
    scale : ScoreScale, default KEEL_SCALE
        The score's scale, all of which the axis shows.
    ax : Axes, optional
        Where to draw. Default a new figure in the present `journal_style`.

    Returns
    -------
    Axes
        The axes. A group without a usable index has no points in the result; where none is left
        the axes say so.

    Raises
    ------
    ArgumentError
        If ``group`` names a column that the groups are not formed by.
    ScaleError
        If a grade is not on the scale.
    """
    shown = select_groups(result.points, by=result.by, group=group)
    scale.positions(result.points[result.score].to_numpy(dtype=np.float64))
    with style_unless_given(ax):
        axes = make_axes() if ax is None else ax
        dress_score_axis(axes, score=result.score, scale=scale)
        axes.set_ylabel(SCALED_MASS_LABEL)
        if not shown:
            say_why(axes, explain_empty_index(result, group), without_ticks="y")
            return axes
        points = [take_rows(result.points, each.keys) for each in shown]
        centres, lane = divide_slot(
            pd.concat(points)[result.score], n_groups=len(shown), scale=scale
        )
        for each, rows, centre in zip(shown, points, centres, strict=True):
            _draw_group(axes, result, each, rows, centre=float(centre), lane=lane)
        write_counts(
            axes,
            [(abbreviate_group(each, shown), rows[result.score].to_numpy(dtype=np.float64))
             for each, rows in zip(shown, points, strict=True)],
            scale=scale,
        )  # fmt: skip
        place_legend(axes, _make_entries(shown, points), shown=shown)
    return axes


def _draw_group(
    ax: Axes, result: IndexByKeel, shown: ShownGroup, points: pd.DataFrame, *, centre: float,
    lane: float,
) -> None:  # fmt: skip
    grades = points[result.score].to_numpy(dtype=np.float64)
    size = fit_markers_to_lane(ax, lane)
    draw_points(
        ax, spread_points(grades, centre=centre - 0.12 * lane, width=0.6 * lane),
        points["scaled_mass_g"].to_numpy(dtype=np.float64), mark=shown.mark,
        label=f"points {shown.label}", size=size,
    )  # fmt: skip
    rows = take_rows(result.grades, shown.keys)
    names = [result.score, "median_g", "quartile_low_g", "quartile_high_g"]
    grade, median, low, high = rows[names].to_numpy(dtype=np.float64).T
    x = grade + centre + _SUMMARY_AT * lane
    ax.vlines(x, low, high, color="black", linewidth=1.2, zorder=4,
              gid=f"quartiles {shown.label}")  # fmt: skip
    ax.plot(
        x, median, linestyle="none", marker=shown.mark.marker, markersize=1.35 * size,
        markerfacecolor="white", markeredgecolor="black", markeredgewidth=0.9, zorder=5,
        gid=f"medians {shown.label}",
    )  # fmt: skip


def _make_entries(shown: list[ShownGroup], points: list[pd.DataFrame]) -> list[LegendEntry]:
    from matplotlib.lines import Line2D

    entries = []
    for each, rows in zip(shown, points, strict=True):
        label = f"{each.label}, {len(rows)} bird{'' if len(rows) == 1 else 's'}"
        entries.append(make_entry(each.mark, label=label, line=False))
    bar = Line2D([], [], color="black", linewidth=1.2)
    white = Line2D(
        [], [], linestyle="none", marker=shown[0].mark.marker, markersize=5.0,
        markerfacecolor="white", markeredgecolor="black", markeredgewidth=0.9,
    )  # fmt: skip
    return [*entries, ((bar, white), "median and quartiles")]


def explain_empty_index(result: IndexByKeel, group: Mapping[str, str] | None) -> str:
    """Say why there is nothing to draw.

    Parameters
    ----------
    result : IndexByKeel
        Points and medians.
    group : mapping of str to str or None
        The groups asked for, without a bird among them.

    Returns
    -------
    str
        The reason.
    """
    whose = f" of {', '.join(group.values())}" if group else ""
    found = f"No bird{whose} has both a usable scaled mass and a point grade"
    reasons = [f"{row.n_rows} exams: {row.reason}" for row in result.excluded.itertuples()]
    return f"{found}. In the whole table, {'; '.join(reasons)}" if reasons else found
