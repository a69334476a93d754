"""Fitting the exponent of the scaled mass index in each group of exams."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd

from bodycond.condition.gates import GATES_THAT_STOP, find_gates, require_gate_names, word_gate
from bodycond.condition.groups import (
    find_mixed_columns,
    iterate_groups,
    mark_first_rows,
    name_group,
)
from bodycond.condition.scaled_mass_fit import ScaledMassFit
from bodycond.errors import require_columns
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
        If ``accept`` names no gate, or the level is not between 0 and 1.

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
    require_columns(exams.columns, (mass, size, *by), purpose="The scaled mass index")
    require_gate_names(accept)
    mixed = find_mixed_columns(exams, by=by, pool=pool)
    rows_out = [_count_without_group(exams, by)]
    groups = []
    for keys, rows in iterate_groups(exams, by=by):
        group = _fit_group(rows, size=size, mass=mass, bird=bird, level=level)
        gates = find_gates(group, sex=keys.get("sex"))
        stopping = [gate for gate in gates if gate in GATES_THAT_STOP and gate not in accept]
        words = [
            word_gate(gate, group) + (" (overridden)" if gate in accept else "") for gate in gates
        ]
        group["gates"] = "; ".join(words)
        group["usable"] = not stopping and bool(np.isfinite(group["slope"]))
        groups.append({**keys, **group})
        where = name_group(keys)
        rows_out += [
            (f"{where}: mass or size missing or not positive", group["n_missing"]),
            (f"{where}: later exam of a bird already in the line", group["n_repeat"]),
        ]
    columns = [*by, *_GROUP_COLUMNS]
    return ScaledMassFit(
        size=size,
        mass=mass,
        by=tuple(by),
        pool=pool,
        accept=tuple(accept),
        mixed=mixed,
        level=level,
        groups=pd.DataFrame(groups, columns=columns),
        excluded=pd.DataFrame([row for row in rows_out if row[1]], columns=["reason", "n_rows"]),
    )


_GROUP_COLUMNS = (
    "n", "slope", "slope_low", "slope_high", "slope_se", "r", "r_low", "r_high", "size0_mm",
    "intercept", "slope_ols", "size_correlation", "n_rows", "n_missing", "n_repeat", "gates",
    "usable", "reason",
)  # fmt: skip


def _fit_group(
    rows: pd.DataFrame, *, size: str, mass: str, bird: str, level: float
) -> dict[str, Any]:
    complete = rows.loc[(rows[mass] > 0) & (rows[size] > 0)]
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
        "reason": _word_reason(line.reason, size=size, mass=mass),
    }


def _word_reason(reason: str, *, size: str, mass: str) -> str:
    if reason.startswith("x "):
        return f"log {size} {reason[2:]}"
    return f"log {mass} {reason[2:]}" if reason.startswith("y ") else reason


def _count_without_group(exams: pd.DataFrame, by: Sequence[str]) -> tuple[str, int]:
    names = " or ".join(by)
    return f"{names} missing", int(exams[list(by)].isna().any(axis=1).sum()) if by else 0
