"""Gates of the scaled mass index: when its exponent is too weak to lean on.

The limits are judgements, common practice with no single source, and are printed with the numbers
that met them. Two gates stop the index, since what it would give is noise; the others warn:
a scaled mass is defined, but the reader should know that its exponent rests on little, or on birds
of several ages, or on feathers that were still growing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy as np

from bodycond.errors import ArgumentError, name_first_few

Group = Mapping[str, Any]

GATES_THAT_STOP: tuple[str, ...] = ("few_birds", "r_includes_zero")

_CONDITIONS: dict[str, Callable[[Group], bool]] = {
    "few_birds": lambda group: group["n"] < 5,
    "r_includes_zero": lambda group: not (group["r_low"] > 0 or group["r_high"] < 0),
    "small_n": lambda group: 5 <= group["n"] < 20,
    "weak_r": lambda group: abs(group["r"]) < 0.3,
    "wide_slope": lambda group: group["slope_high"] - group["slope_low"] > 2,
    "odd_slope": lambda group: not 1.5 <= group["slope"] <= 5,
    "mixed_ages": lambda group: bool(group["age_classes"]),
    "growing_feathers": lambda group: group["n_growing"] > 0,
}

_WORDS: dict[str, str] = {
    "few_birds": "few_birds: {n} birds, at least 5 are needed",
    "r_includes_zero": "r_includes_zero: r = {r:.2f}, interval {r_low:.2f} to {r_high:.2f}",
    "small_n": "small_n: {n} birds, fewer than 20",
    "weak_r": "weak_r: r = {r:.2f}, below 0.3",
    "wide_slope": "wide_slope: exponent {slope_low:.2f} to {slope_high:.2f}, wider than 2",
    "odd_slope": "odd_slope: exponent {slope:.2f}, outside 1.5 to 5",
    "mixed_ages": "mixed_ages: {age_classes}",
    "growing_feathers": "growing_feathers: {n_growing} of {n} birds were measured in moult",
    "sex_unknown": "sex_unknown: unsexed birds may be of both sexes",
}


def find_gates(group: Group, *, sex: str | None) -> list[str]:
    """Name the gates that a group meets.

    Parameters
    ----------
    group : mapping
        Numbers of the fit: ``n``, ``r``, ``r_low``, ``r_high``, ``slope``, ``slope_low``,
        ``slope_high``, ``age_classes``, ``n_growing``.
    sex : str or None
        The group's sex where groups are by sex.

    Returns
    -------
    list of str
        Names in a fixed order.
    """
    if group["n"] < 5:
        # The gates that only warn would repeat what this one says, but the other that stops is a
        # reason of its own: to accept few birds is not to accept a correlation that may be 0.
        candidates = ["few_birds", *(["r_includes_zero"] if np.isfinite(group["r_low"]) else [])]
    elif np.isfinite(group["slope"]):
        candidates = list(_CONDITIONS)
    else:
        candidates = []
    met = [gate for gate in candidates if _CONDITIONS[gate](group)]
    return [*met, "sex_unknown"] if sex == "U" else met


def word_gate(gate: str, group: Group) -> str:
    """Write a gate with the numbers that met it.

    Parameters
    ----------
    gate : str
        The gate's name.
    group : mapping
        Numbers of the fit.

    Returns
    -------
    str
        The words.
    """
    return _WORDS[gate].format(**group)


def require_gate_names(accept: Sequence[str]) -> None:
    """Raise if a gate to be overridden does not exist.

    Parameters
    ----------
    accept : sequence of str
        Names given by the user.

    Raises
    ------
    ArgumentError
        If a name is unknown.
    """
    unknown = [name for name in accept if name not in _WORDS]
    if unknown:
        raise ArgumentError(
            needed=f"accept= names gates: {', '.join(_WORDS)}",
            found=name_first_few(map(repr, unknown)),
            then="Name one of them",
        )
