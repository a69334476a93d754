"""The mass axis: all exams inside it, and very wide bands cut and named."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bodycond.condition import MassByKeel
from bodycond.figures.group_marks import ShownGroup, take_rows

# Share of the exams' range that bands may add on either side.
_ROOM_FOR_BANDS = 0.4


@dataclass(frozen=True, kw_only=True)
class MassLimits:
    """The mass axis and what lies beyond it.

    Parameters
    ----------
    axis : tuple of float
        Lower and upper end (g).
    beyond : dict of str to tuple of float
        By label of the group, the lowest and highest mass (g) of bands that leave the axis.
    """

    axis: tuple[float, float]
    beyond: dict[str, tuple[float, float]]


def choose_mass_limits(fit: MassByKeel, shown: Sequence[ShownGroup]) -> MassLimits:
    """Choose the mass axis so that all exams show, and bands as far as they leave room for them.

    Parameters
    ----------
    fit : MassByKeel
        The fit.
    shown : sequence of ShownGroup
        The groups shown, which have at least one exam.

    Returns
    -------
    MassLimits
        The axis. The band of a group of a few birds can be ten times as wide as all exams; it
        is cut where the exams' range has been widened by 40 % on either side, and named.
    """
    masses = np.concatenate(
        [take_rows(fit.points, each.keys)["mass_g"].to_numpy(dtype=np.float64) for each in shown]
    )
    low, high = float(masses.min()), float(masses.max())
    room = _ROOM_FOR_BANDS * (high - low) or 0.1 * high
    floor, ceiling = max(low - room, 0.0), high + room
    bands = {
        each.label: (float(rows["predict_low"].min()), float(rows["predict_high"].max()))
        for each in shown
        if len(rows := take_rows(fit.expected, each.keys).dropna(subset=["predict_low"]))
    }
    lowest = max(floor, min([low, *(band[0] for band in bands.values())]))
    highest = min(ceiling, max([high, *(band[1] for band in bands.values())]))
    pad = 0.04 * (highest - lowest) or room
    return MassLimits(
        axis=(max(lowest - pad, 0.0), highest + pad),
        beyond={
            label: band for label, band in bands.items() if band[0] < floor or band[1] > ceiling
        },
    )
