"""Body mass at each keel score: the exams, the fit, its interval and the next bird's band."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.condition import MassByKeel
from bodycond.figures.group_ink import (
    NEXT_BIRD,
    LegendEntry,
    draw_line,
    draw_points,
    make_entry,
    place_legend,
    say_why,
    wrap_reason,
)
from bodycond.figures.group_marks import (
    GroupMark,
    ShownGroup,
    require_known_group,
    select_groups,
    take_rows,
)
from bodycond.figures.mass_limits import choose_mass_limits
from bodycond.figures.palette import GREY, OKABE_ITO
from bodycond.figures.score_axis import (
    abbreviate_group,
    divide_slot,
    dress_score_axis,
    fit_markers_to_lane,
    spread_points,
    write_counts,
)
from bodycond.figures.style import make_axes, style_unless_given
from bodycond.figures.units_on_axes import label_with_unit

if TYPE_CHECKING:
    from matplotlib.axes import Axes

FloatArray = npt.NDArray[np.float64]

_BAND_ALPHA = 0.35
_THICK_PT = 2.0
_THIN_PT = 0.6
# Where in its lane a level stands, right of the points, so that neither hides the other.
_LEVEL_AT = 0.38


def draw_mass_by_keel(
    fit: MassByKeel, *, group: Mapping[str, str] | None, ax: Axes | None = None
) -> Axes:
    """Draw mass by keel score: raw exams, expected mass with its interval, the next bird's band.

    Parameters
    ----------
    fit : MassByKeel
        The fit.
    group : mapping of str to str or None
        Which groups: ``{"species": "Buteo buteo"}`` draws the sexes of one species beside one
        another, ``{"species": "Buteo buteo", "sex": "F"}`` one of them; None draws all, up to 7.
    ax : Axes, optional
        Where to draw. Default a new figure in the present `journal_style`.

    Returns
    -------
    Axes
        The axes; ``ax.figure`` is the figure. A group without a fit shows its exams, and the
        legend says why there is no line.

    Raises
    ------
    ArgumentError
        If ``group`` matches no group of the fit.

    Notes
    -----
    The linear form is drawn as a line through the expected masses at the grades found, the
    factor form as one level a grade with its interval (thick) and the next bird's band (thin).
    All exams lie inside the mass axis; a band much wider than they are is cut, and the caption
    of `describe_mass_by_keel` says how far it goes.
    The score axis is always the whole scale. Exams are moved sideways within their grade.
    """
    shown = select_groups(fit.groups, by=fit.by, group=group)
    require_known_group(fit.groups, shown, by=fit.by, group=group)
    with style_unless_given(ax):
        axes = make_axes() if ax is None else ax
        dress_score_axis(axes, score=fit.score, scale=fit.scale)
        axes.set_ylabel(label_with_unit(fit.mass, unit="g"))
        points = [take_rows(fit.points, each.keys) for each in shown]
        n_points = sum(map(len, points))
        if n_points == 0:
            say_why(axes, explain_empty_fit(fit, shown), without_ticks="y")
            return axes
        grades = pd.concat(points)[fit.score]
        centres, lane = divide_slot(grades, n_groups=len(shown), scale=fit.scale)
        entries = []
        for each, rows, centre in zip(shown, points, centres, strict=True):
            _draw_group(axes, fit, each, rows, centre=float(centre), lane=lane)
            entries.append(_make_group_entry(fit, each, n_exams=len(rows)))
        write_counts(
            axes,
            [(abbreviate_group(each, shown), rows[fit.score].to_numpy(dtype=np.float64))
             for each, rows in zip(shown, points, strict=True)],
            scale=fit.scale,
        )  # fmt: skip
        axes.set_ylim(choose_mass_limits(fit, shown).axis)
        place_legend(axes, [*entries, *_make_band_entries(fit, shown)], shown=shown)
    return axes


def _draw_group(
    ax: Axes, fit: MassByKeel, shown: ShownGroup, points: pd.DataFrame, *, centre: float,
    lane: float,
) -> None:  # fmt: skip
    grades = points[fit.score].to_numpy(dtype=np.float64)
    masses = points["mass_g"].to_numpy(dtype=np.float64)
    size = fit_markers_to_lane(ax, lane)
    beside = fit.form == "factor"
    x = spread_points(
        grades, centre=centre - (0.12 * lane if beside else 0.0),
        width=(0.6 if beside else 0.8) * lane,
    )  # fmt: skip
    draw_points(ax, x, masses, mark=shown.mark, label=f"points {shown.label}", size=size)
    rows = take_rows(fit.expected, shown.keys)
    if rows.empty:
        return
    numbers = rows[[fit.score, "mass_g", "low", "high", "predict_low", "predict_high"]]
    columns = list(numbers.to_numpy(dtype=np.float64).T)
    if beside:
        _draw_levels(ax, columns, shown, offset=centre + _LEVEL_AT * lane, size=1.35 * size)
    else:
        _draw_bands(ax, columns, shown)


def _draw_bands(ax: Axes, columns: list[FloatArray], shown: ShownGroup) -> None:
    grade, mass, low, high, predict_low, predict_high = columns
    ax.fill_between(
        grade, low, high, color=shown.mark.colour, alpha=_choose_band_alpha(shown), linewidth=0,
        zorder=2, gid=f"interval {shown.label}",
    )  # fmt: skip
    for edge, name in ((predict_low, "predict_low"), (predict_high, "predict_high")):
        # The edges alone: two filled bands of two sexes would hide where they overlap.
        draw_line(ax, grade, edge, mark=shown.mark, label=f"{name} {shown.label}", dashes=NEXT_BIRD)
    draw_line(ax, grade, mass, mark=shown.mark, label=f"expected {shown.label}")


def _choose_band_alpha(shown: ShownGroup) -> float:
    # Black at the others' strength would hide what lies below it.
    return _BAND_ALPHA / 3 if shown.mark.colour == OKABE_ITO["black"] else _BAND_ALPHA


def _draw_levels(
    ax: Axes, columns: list[FloatArray], shown: ShownGroup, *, offset: float, size: float
) -> None:
    grade, mass, low, high, predict_low, predict_high = columns
    x = grade + offset
    ax.vlines(x, predict_low, predict_high, color="black", linewidth=_THIN_PT, zorder=3.5,
              gid=f"prediction {shown.label}")  # fmt: skip
    ax.vlines(x, low, high, color="black", linewidth=_THICK_PT, zorder=4,
              gid=f"interval {shown.label}")  # fmt: skip
    ax.plot(
        x, mass, linestyle="none", marker=shown.mark.marker, markersize=size,
        markerfacecolor="white", markeredgecolor="black", markeredgewidth=0.8, zorder=5,
        gid=f"expected {shown.label}",
    )  # fmt: skip


def _make_group_entry(fit: MassByKeel, shown: ShownGroup, *, n_exams: int) -> LegendEntry:
    (group,) = take_rows(fit.groups, shown.keys).to_dict("records")
    exams = f"{n_exams} exam{'' if n_exams == 1 else 's'}"
    birds = f"{group['n_birds']} bird{'' if group['n_birds'] == 1 else 's'}"
    label = f"{shown.label}, {exams} of {birds}"
    if group["reason"]:
        label = wrap_reason(f"{label}; no fit: {group['reason']}")
    has_line = not group["reason"] and fit.form == "linear"
    return make_entry(shown.mark, label=label, line=has_line)


def _make_band_entries(fit: MassByKeel, shown: list[ShownGroup]) -> list[LegendEntry]:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    if not any(len(take_rows(fit.expected, each.keys)) for each in shown):
        return []
    share = f"{100 * fit.level:g} %"
    middle = name_middle(fit)
    if fit.form == "factor":
        thick = Line2D([], [], color="black", linewidth=_THICK_PT)
        white = Line2D([], [], linestyle="none", marker=shown[0].mark.marker, markersize=5.0,
                       markerfacecolor="white", markeredgecolor="black")  # fmt: skip
        thin = Line2D([], [], color="black", linewidth=_THIN_PT)
        return [
            ((thick, white), f"{middle}, {share} interval"),
            ((thin,), f"{share} band of the next bird"),
        ]
    grey = GroupMark(colour=GREY, marker="o")
    band = Patch(facecolor=GREY, alpha=_BAND_ALPHA, linewidth=0)
    return [
        ((band,), f"{share} interval of the {middle}"),
        make_entry(
            grey, label=f"{share} band of the next bird", points=False, dashes=NEXT_BIRD
        ),
    ]  # fmt: skip


def name_middle(fit: MassByKeel) -> str:
    """Name what the expected mass is: a median where log mass was fitted, else a mean.

    Parameters
    ----------
    fit : MassByKeel
        The fit.

    Returns
    -------
    str
        ``"median"`` or ``"mean"``.
    """
    return "median" if fit.response == "log_mass" else "mean"


def explain_empty_fit(fit: MassByKeel, shown: Sequence[ShownGroup]) -> str:
    """Say why there is nothing to draw.

    Parameters
    ----------
    fit : MassByKeel
        The fit.
    shown : sequence of ShownGroup
        The groups asked for, without an exam among them.

    Returns
    -------
    str
        The reason.
    """
    if not shown:
        needed = ", ".join([fit.mass, fit.score, *fit.by])
        return f"There is no group to fit: no exam holds all of {needed}"
    reasons = [
        f"{each.label}: {take_rows(fit.groups, each.keys)['reason'].iloc[0]}" for each in shown
    ]
    return f"No fit for {'; '.join(reasons)}"
