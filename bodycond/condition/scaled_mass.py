"""Fitting the exponent of the scaled mass index in each group of exams."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd

from bodycond.columns import FEATHER_COLUMNS
from bodycond.condition.gates import GATES_THAT_STOP, find_gates, require_gate_names, word_gate
from bodycond.condition.groups import (
    count_without_group,
    find_mixed_columns,
    find_pooled_levels,
    iterate_groups,
    list_excluded,
    list_names,
    mark_first_rows,
    mark_measured,
    require_numbers,
)
from bodycond.condition.scaled_mass_fit import ScaledMassFit
from bodycond.errors import require_columns, require_level
from bodycond.statistics.lines import fit_line


def fit_scaled_mass(
    exams: pd.DataFrame,
    *,
    size: str,
    mass: str = "mass_g",
    by: Sequence[str] = ("species", "sex"),
    pool: str | None = None,
    accept: Sequence[str] = (),
    bird: str = "bird_id",
    level: float = 0.95,
) -> ScaledMassFit:
    """Fit the exponent of the scaled mass index in each group.

    Parameters
    ----------
    exams : DataFrame
        Exams, one a row.
    size : str
        Column of a structural size in mm, for example ``"tarsus_mm"``.
    mass : str, default "mass_g"
        Column of the mass in g.
    by : sequence of str, default ("species", "sex")
        Columns to fit apart by. Unknown sex is a level of its own.
    pool : str, optional
        The reason, in words, for pooling species or sexes where ``by`` leaves them out.
    accept : sequence of str, default ()
        Names of gates to override; they are then printed with every result.
    bird : str, default "bird_id"
        Column of the bird. The line is fitted to each bird's first complete exam, since rows of
        one bird are no independent evidence. Where the column is absent, each row is a bird.
    level : float, default 0.95
        Confidence level of the intervals.

    Returns
    -------
    ScaledMassFit
        The fit; groups without a line have NaN and a reason.

    Raises
    ------
    MissingColumnError
        If a column is absent.
    ArgumentError
        If ``accept`` names no gate, ``pool`` is not words, the level is not between 0 and 1, or
        mass or size is a column of text.

    References
    ----------
    Peig J, Green AJ (2009) Oikos 118:1883-1891.

    Examples
    --------
    >>> exams = pd.DataFrame({
    ...     "species": "Buteo buteo", "sex": "F",
    ...     "tarsus_mm": [70.0, 72, 74, 76, 78, 80],
    ...     "mass_g": [800.0, 860, 900, 990, 1030, 1120],
    ... })
    >>> fit = fit_scaled_mass(exams, size="tarsus_mm", accept=("small_n",))
    >>> round(float(fit.groups["slope"].iloc[0]), 2)
    2.49
    """
    by, accept = list_names(by), list_names(accept)
    require_level(level)
    require_gate_names(accept)
    require_columns(exams.columns, (mass, size, *by), purpose="The scaled mass index")
    require_numbers(exams, (mass, size), purpose="The scaled mass index")
    mixed = find_mixed_columns(exams, by=by, pool=pool)
    rows_out = [count_without_group(exams, by=by)]
    groups = []
    for keys, rows in iterate_groups(exams, by=by):
        group = _fit_group(rows, size=size, mass=mass, bird=bird, level=level)
        groups.append({**keys, **group, **_judge(group, sex=keys.get("sex"), accept=accept)})
        rows_out += [
            (keys, "mass or size missing or not positive", group["n_missing"]),
            (keys, "later exam of a bird already in the line", group["n_repeat"]),
        ]
    return ScaledMassFit(
        size=size,
        mass=mass,
        by=by,
        pool=pool,
        accept=accept,
        mixed=mixed,
        only={} if mixed or pool else find_pooled_levels(exams, by=by),
        level=level,
        groups=pd.DataFrame(groups, columns=[*by, *_GROUP_COLUMNS]),
        excluded=list_excluded(rows_out, by=by),
    )


_GROUP_COLUMNS = (
    "n", "slope", "slope_low", "slope_high", "slope_se", "r", "r_low", "r_high", "size0_mm",
    "intercept", "slope_ols", "size_correlation", "n_rows", "n_missing", "n_repeat",
    "age_classes", "n_growing", "gates", "usable", "reason",
)  # fmt: skip


def _fit_group(
    rows: pd.DataFrame, *, size: str, mass: str, bird: str, level: float
) -> dict[str, Any]:
    complete = rows.loc[mark_measured(rows, (mass, size))]
    used = complete.loc[mark_first_rows(complete, bird=bird)]
    log_size = np.log(used[size].to_numpy(dtype=np.float64))
    log_mass = np.log(used[mass].to_numpy(dtype=np.float64))
    line = fit_line(log_size, log_mass, method="sma", level=level)
    least_squares = fit_line(log_size, log_mass, method="ols", level=level)
    return {
        "n": len(used),
        "slope": line.slope,
        "slope_low": line.slope_low,
        "slope_high": line.slope_high,
        "slope_se": line.slope_se,
        "r": line.r,
        "r_low": line.r_low,
        "r_high": line.r_high,
        "size0_mm": float(used[size].mean()),
        "intercept": line.intercept,
        "slope_ols": least_squares.slope,
        # Algebra: corr(log index, log size) is -sqrt((1 - |r|) / 2) for r > 0, fitted in-sample.
        "size_correlation": -np.sign(line.r) * np.sqrt((1 - abs(line.r)) / 2),
        "n_rows": len(rows),
        "n_missing": len(rows) - len(complete),
        "n_repeat": len(complete) - len(used),
        "age_classes": _word_ages(used),
        "n_growing": _count_growing(used, size),
        "reason": _word_reason(line.reason, size=size, mass=mass),
    }


def _judge(group: dict[str, Any], *, sex: str | None, accept: Sequence[str]) -> dict[str, Any]:
    gates = find_gates(group, sex=sex)
    words = [word_gate(gate, group) + (" (overridden)" if gate in accept else "") for gate in gates]
    stopped = any(gate in GATES_THAT_STOP and gate not in accept for gate in gates)
    return {
        "gates": "; ".join(words),
        "usable": not stopped and bool(np.isfinite(group["slope"])),
    }


def _word_ages(used: pd.DataFrame) -> str:
    if "age_class" not in used.columns:
        return ""
    counts = used["age_class"].astype(object).fillna("unknown").value_counts().sort_index()
    if len(counts) < 2:
        return ""
    return ", ".join(f"{age} {count}" for age, count in counts.items())


def _count_growing(used: pd.DataFrame, size: str) -> int:
    if size not in FEATHER_COLUMNS or "in_moult" not in used.columns:
        return 0
    return int(used["in_moult"].eq(True).fillna(False).sum())


def _word_reason(reason: str, *, size: str, mass: str) -> str:
    if reason.startswith("x "):
        return f"log {size} {reason[2:]}"
    return f"log {mass} {reason[2:]}" if reason.startswith("y ") else reason
