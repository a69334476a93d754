"""Log mass on log size with each group's standardised major axis."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
import pandas as pd

from bodycond.condition import MassOnSize
from bodycond.condition.gates import GATES_THAT_STOP
from bodycond.figures.group_ink import (
    UNUSABLE,
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
from bodycond.figures.palette import GREY
from bodycond.figures.style import make_axes, style_unless_given
from bodycond.figures.units_on_axes import label_with_unit, tick_plainly

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def draw_mass_on_size(
    result: MassOnSize, *, group: Mapping[str, str] | None = None, ax: Axes | None = None
) -> Axes:
    """Draw mass on size, both logarithmic, with the axis line of every group.

    Parameters
    ----------
    result : MassOnSize
        Points and lines.
    group : mapping of str to str, optional
        Which groups: ``{"species": "Buteo buteo"}`` draws the sexes of one species. Default all,
        up to 7.
    ax : Axes, optional
        Where to draw. Default a new figure in the present `journal_style`.

    Returns
    -------
    Axes
        The axes. A line whose group has no usable index is dashed, and the legend says which
        gate stops it; a group too small for an interval has points alone; later exams of a bird,
        which are not in the line, are pale.

    Raises
    ------
    ArgumentError
        If ``group`` matches no group of the result.
    """
    shown = select_groups(result.lines, by=result.by, group=group)
    require_known_group(result.lines, shown, by=result.by, group=group)
    with style_unless_given(ax):
        axes = make_axes() if ax is None else ax
        axes.set_xlabel(label_with_unit(result.size, unit="mm"))
        axes.set_ylabel(label_with_unit(result.mass, unit="g"))
        points = [take_rows(result.points, each.keys) for each in shown]
        drawn = pd.concat(points) if points else result.points
        if drawn.empty:
            say_why(axes, explain_empty_lines(result, shown), without_ticks="xy")
            return axes
        axes.set_xscale("log")
        axes.set_yscale("log")
        entries = []
        for each, rows in zip(shown, points, strict=True):
            (line,) = take_rows(result.lines, each.keys).to_dict("records")
            _draw_group(axes, each, rows, line)
            entries.append(_make_group_entry(each, rows, line))
        if not drawn["in_line"].astype(bool).all():
            grey = GroupMark(colour=GREY, marker="o")
            label = "pale: later exam of a bird, not in the line"
            entries.append(make_entry(grey, label=label, line=False, pale=True))
        for axis, name in ((axes.xaxis, "size_mm"), (axes.yaxis, "mass_g")):
            tick_plainly(axis, low=float(drawn[name].min()), high=float(drawn[name].max()))
        place_legend(axes, entries, shown=shown)
    return axes


def _draw_group(ax: Axes, shown: ShownGroup, points: pd.DataFrame, line: Mapping[Any, Any]) -> None:
    in_line = points["in_line"].to_numpy(dtype=bool)
    size = points["size_mm"].to_numpy(dtype=np.float64)
    mass = points["mass_g"].to_numpy(dtype=np.float64)
    for chosen, pale, name in ((in_line, False, "points"), (~in_line, True, "later")):
        if chosen.any():
            draw_points(
                ax, size[chosen], mass[chosen], mark=shown.mark, pale=pale,
                label=f"{name} {shown.label}",
            )  # fmt: skip
    if not has_line(line):
        return
    ends = np.array([line["size_from_mm"], line["size_to_mm"]], dtype=np.float64)
    masses = np.exp(line["intercept"] + line["slope"] * np.log(ends))
    draw_line(
        ax, ends, masses, mark=shown.mark, label=f"line {shown.label}", dashes=_choose_dashes(line)
    )


def _choose_dashes(line: Mapping[Any, Any]) -> tuple[float, ...] | None:
    return None if line["usable"] else UNUSABLE


def _make_group_entry(
    shown: ShownGroup, points: pd.DataFrame, line: Mapping[Any, Any]
) -> LegendEntry:
    n = int(points["in_line"].sum())
    label = f"{shown.label}, {n} bird{'' if n == 1 else 's'}"
    drawn = has_line(line)
    if not line["usable"]:
        what = "line not usable" if drawn else "no line"
        label = wrap_reason(f"{label}; {what}: {name_obstacle(line)}")
    return make_entry(shown.mark, label=label, line=drawn, dashes=_choose_dashes(line))


def has_line(line: Mapping[Any, Any]) -> bool:
    """Tell whether a group has a line worth drawing.

    Parameters
    ----------
    line : mapping
        A row of the result's lines.

    Returns
    -------
    bool
        False where there is no slope, or so few birds that it has no interval.
    """
    return bool(np.isfinite(line["slope"])) and not line["reason"]


def name_obstacle(line: Mapping[Any, Any]) -> str:
    """Say what stops a group's line, and leave out what merely cautions.

    Parameters
    ----------
    line : mapping
        A row of the result's lines.

    Returns
    -------
    str
        The reason why there is no line, or the gates that stop the index, with their numbers.
    """
    if line["reason"]:
        return str(line["reason"])
    gates = [gate.partition(": ") for gate in str(line["gates"]).split("; ")]
    stopping = [words for name, _, words in gates if name in GATES_THAT_STOP]
    return "; ".join(stopping) or str(line["gates"])


def explain_empty_lines(result: MassOnSize, shown: Sequence[ShownGroup]) -> str:
    """Say why there is nothing to draw.

    Parameters
    ----------
    result : MassOnSize
        Points and lines.
    shown : sequence of ShownGroup
        The groups asked for, without an exam among them.

    Returns
    -------
    str
        The reason.
    """
    mass, size = (label_with_unit(result.mass, unit="g"), label_with_unit(result.size, unit="mm"))
    whose = ", ".join(shown[0].keys.values()) if len(shown) == 1 else "the groups asked for"
    return f"No exam of {whose} holds both {mass.lower()} and {size.lower()}"
