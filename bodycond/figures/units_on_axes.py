"""Axis titles with units, and plain numbers on logarithmic axes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bodycond.columns import label_column

if TYPE_CHECKING:
    from matplotlib.axis import Axis

# Over more than this ratio a logarithmic axis has room for 1, 2 and 5 of each decade.
_WIDE_RATIO = 8.0


def label_with_unit(column: str, *, unit: str) -> str:
    """Give an axis title that always ends in a unit.

    Parameters
    ----------
    column : str
        The column's name.
    unit : str
        Unit of a column that bodycond does not know.

    Returns
    -------
    str
        The column's label, or its name with the unit.

    Examples
    --------
    >>> label_with_unit("wing_mm", unit="mm"), label_with_unit("Wing", unit="mm")
    ('Wing length (mm)', 'Wing (mm)')
    """
    label = label_column(column)
    return label if label.endswith(")") else f"{label} ({unit})"


def tick_plainly(axis: Axis, *, low: float, high: float) -> None:
    """Put plain numbers on a logarithmic axis, without powers of ten.

    Parameters
    ----------
    axis : Axis
        The axis, already logarithmic.
    low, high : float
        Smallest and largest value drawn.
    """
    from matplotlib.ticker import LogLocator, MaxNLocator, NullLocator, StrMethodFormatter

    if high > _WIDE_RATIO * low:
        axis.set_major_locator(LogLocator(subs=(1.0, 2.0, 5.0)))
    else:
        # Steps of a round number: a decade rule would leave one tick or none on a narrow range.
        axis.set_major_locator(MaxNLocator(nbins=5, steps=[1, 2, 2.5, 5, 10]))
    axis.set_major_formatter(StrMethodFormatter("{x:g}"))
    axis.set_minor_locator(NullLocator())
