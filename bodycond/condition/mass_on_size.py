"""Log mass against log size with each group's line: what the scaled mass index rests on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from bodycond.condition.groups import (
    iterate_groups,
    mark_first_rows,
    mark_measured,
    name_group,
    require_numbers,
)
from bodycond.condition.scaled_mass_fit import ScaledMassFit
from bodycond.errors import require_columns


@dataclass(frozen=True, kw_only=True, eq=False)
class MassOnSize:
    """The points and lines of log mass on log size.

    Parameters
    ----------
    size, mass : str
        Columns of the size (mm) and the mass (g).
    by : tuple of str
        Columns that the groups are formed by.
    points : DataFrame
        The ``by`` columns, ``size_mm``, ``mass_g``, ``in_line`` (False for a later exam of a
        bird), ``row`` (index label).
    lines : DataFrame
        The ``by`` columns, ``slope``, ``intercept``, ``size_from_mm``, ``size_to_mm``, ``r``,
        ``n``, ``usable``, ``gates``, ``reason``.
    n_missing : int
        Exams without a mass, a size or a group.
    """

    size: str
    mass: str
    by: tuple[str, ...]
    points: pd.DataFrame
    lines: pd.DataFrame
    n_missing: int

    def to_frame(self) -> pd.DataFrame:
        """Give the points as a table, unrounded.

        Returns
        -------
        DataFrame
            A copy of ``points``.
        """
        return self.points.copy()

    def summary(self) -> str:
        """Write each line's exponent, correlation and n.

        Returns
        -------
        str
            The lines.
        """
        lines = [f"Log {self.mass} on log {self.size}; {self.n_missing} exams left out"]
        for row in self.lines.to_dict("records"):
            name = name_group({key: row[key] for key in self.by})
            lines.append(
                f"{name}: {row['reason']}"
                if row["reason"]
                else f"{name}: exponent {row['slope']:.2f}, r = {row['r']:.2f}, n = {row['n']}"
            )
        return "\n".join(lines)

    def methods(self) -> str:
        """Give the sentence that a methods section would carry.

        Returns
        -------
        str
            The sentence.
        """
        return (
            f"{self.mass} and {self.size} are shown on logarithmic axes with the standardised "
            "major axis of each group, drawn over the range of sizes found."
        )


def collect_mass_on_size(
    fit: ScaledMassFit, exams: pd.DataFrame, *, bird: str = "bird_id"
) -> MassOnSize:
    """Collect the points and lines of a scaled mass fit.

    Parameters
    ----------
    fit : ScaledMassFit
        The fit.
    exams : DataFrame
        The exams that it was fitted to, or others.
    bird : str, default "bird_id"
        Column of the bird.

    Returns
    -------
    MassOnSize
        Points and lines.

    Raises
    ------
    MissingColumnError
        If a column is absent.
    ArgumentError
        If mass or size is a column of text.
    """
    require_columns(exams.columns, (fit.mass, fit.size, *fit.by), purpose="Mass on size")
    require_numbers(exams, (fit.mass, fit.size), purpose="Mass on size")
    tables = []
    for keys, rows in iterate_groups(exams, by=fit.by):
        complete = rows.loc[mark_measured(rows, (fit.mass, fit.size))]
        tables.append(
            pd.DataFrame(
                {
                    "size_mm": complete[fit.size].to_numpy(dtype=np.float64),
                    "mass_g": complete[fit.mass].to_numpy(dtype=np.float64),
                    "in_line": mark_first_rows(complete, bird=bird).to_numpy(),
                    "row": complete.index.to_numpy(),
                }
            ).assign(**keys)
        )
    names = [*fit.by, "size_mm", "mass_g", "in_line", "row"]
    filled = [table for table in tables if not table.empty]
    points = pd.concat(filled, ignore_index=True) if filled else pd.DataFrame(columns=names)
    return MassOnSize(
        size=fit.size,
        mass=fit.mass,
        by=fit.by,
        points=points.reindex(columns=names),
        lines=_collect_lines(fit, points),
        n_missing=len(exams) - len(points),
    )


def _collect_lines(fit: ScaledMassFit, points: pd.DataFrame) -> pd.DataFrame:
    kept = ["slope", "intercept", "r", "n", "usable", "gates", "reason"]
    lines = fit.groups[[*fit.by, *kept]].copy()
    if not fit.by:
        return lines.assign(
            size_from_mm=points["size_mm"].min(), size_to_mm=points["size_mm"].max()
        )
    spans = points.groupby(list(fit.by), as_index=False).agg(
        size_from_mm=("size_mm", "min"), size_to_mm=("size_mm", "max")
    )
    return lines.merge(spans, on=list(fit.by), how="left")
