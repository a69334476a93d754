"""A fitted scaled mass index: what each bird would weigh at its group's mean size."""

from __future__ import annotations

import warnings
from collections.abc import Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from bodycond.condition.gates import GATES_THAT_STOP
from bodycond.condition.groups import name_group
from bodycond.condition.stored_fits import load_scaled_mass_fit, save_scaled_mass_fit
from bodycond.errors import (
    DegenerateDataError,
    GateWarning,
    MixedGroupsError,
    require_columns,
)
from bodycond.references import cite
from bodycond.rounding import word_interval


@dataclass(frozen=True, kw_only=True, eq=False)
class ScaledMassFit:
    """Exponent and standard size of each group, to apply to the same or to new birds.

    Parameters
    ----------
    size, mass : str
        Columns of the size (mm) and the mass (g).
    by : tuple of str
        Columns that the groups are formed by.
    pool : str or None
        Why species or sexes were pooled, where they were.
    accept : tuple of str
        Gates that the user overrides.
    mixed : dict of str to str
        Columns that are pooled without a reason; `index` then refuses.
    level : float
        Confidence level of the intervals.
    groups : DataFrame
        One row a group: the ``by`` columns, ``n`` (birds), ``slope``, ``slope_low``,
        ``slope_high``, ``slope_se``, ``r``, ``r_low``, ``r_high``, ``size0_mm``, ``intercept``,
        ``slope_ols``, ``size_correlation`` (of the log index with log size, built in by the
        method), ``n_rows``, ``n_missing``, ``n_repeat``, ``gates``, ``usable``, ``reason``.
    excluded : DataFrame
        ``reason`` and ``n_rows`` of rows that no line was fitted to.
    """

    size: str
    mass: str
    by: tuple[str, ...]
    pool: str | None
    accept: tuple[str, ...]
    mixed: dict[str, str]
    level: float
    groups: pd.DataFrame
    excluded: pd.DataFrame

    def index(self, exams: pd.DataFrame) -> pd.Series:
        """Compute the scaled mass of exams, which may be other birds than those fitted.

        Parameters
        ----------
        exams : DataFrame
            Exams with the mass, the size and the ``by`` columns.

        Returns
        -------
        Series of float
            Scaled mass in g on the index of ``exams``; NaN where mass or size is missing, or
            where the bird's group was not fitted.

        Raises
        ------
        MissingColumnError
            If a column is absent.
        MixedGroupsError
            If species or sexes are pooled without a reason.
        DegenerateDataError
            If a group asked for has fewer than 5 birds, or a correlation whose interval holds 0,
            and the gate is not in ``accept``.

        Warns
        -----
        GateWarning
            Where a group is defined but weak, with its numbers.

        Notes
        -----
        ``mass * (size0 / size) ** slope``, with the slope of the standardised major axis of log
        mass on log size.

        References
        ----------
        Peig J, Green AJ (2009) Oikos 118:1883-1891.
        """
        require_columns(
            exams.columns, (self.mass, self.size, *self.by), purpose="The scaled mass index"
        )
        self._refuse_mixed()
        fitted = _match_groups(exams, self.groups, self.by)
        asked = self.groups.loc[self.groups.index.isin(fitted.dropna().unique())]
        self._refuse_stopped(asked)
        messages = [f"{_name_row(row, self.by)}: {row.gates}" for row in _rows(asked) if row.gates]
        unfitted = int((fitted.isna() & exams[self.mass].notna()).sum())
        if unfitted:
            messages.append(f"{unfitted} exams belong to no fitted group and have no index")
        if messages:
            warnings.warn("Scaled mass: " + "; ".join(messages), GateWarning, stacklevel=2)
        mass = exams[self.mass].where(exams[self.mass] > 0)
        size = exams[self.size].where(exams[self.size] > 0)
        slope = fitted.map(self.groups["slope"]).astype("float64")
        size0 = fitted.map(self.groups["size0_mm"]).astype("float64")
        return (mass * (size0 / size) ** slope).rename("scaled_mass_g").astype("float64")

    def usable_rows(self, exams: pd.DataFrame) -> pd.Series:
        """Tell which exams `index` can take without refusing.

        Parameters
        ----------
        exams : DataFrame
            Exams with the ``by`` columns.

        Returns
        -------
        Series of bool
            True where the bird's group is fitted and no gate stops it.

        Raises
        ------
        MissingColumnError
            If a ``by`` column is absent.
        """
        require_columns(exams.columns, self.by, purpose="The scaled mass index")
        if self.mixed:
            return pd.Series(False, index=exams.index)
        fitted = _match_groups(exams, self.groups, self.by)
        return fitted.map(self.groups["usable"]).astype("boolean").fillna(False).astype(bool)

    def save(self, path: str | Path) -> None:
        """Write the fit as JSON, from which `load` makes the same fit again.

        Parameters
        ----------
        path : str or Path
            Where to write.
        """
        stored: dict[str, Any] = {item.name: getattr(self, item.name) for item in fields(self)}
        save_scaled_mass_fit(stored, Path(path))

    @classmethod
    def load(cls, path: str | Path) -> ScaledMassFit:
        """Read a fit that `save` wrote.

        Parameters
        ----------
        path : str or Path
            The file.

        Returns
        -------
        ScaledMassFit
            The fit, with every number as it was.

        Raises
        ------
        UnreadableFileError
            If the file is absent, is no JSON, or was written in another format version.
        """
        return cls(**load_scaled_mass_fit(Path(path)))

    def to_frame(self) -> pd.DataFrame:
        """Give the groups as a table, unrounded.

        Returns
        -------
        DataFrame
            A copy of ``groups``.
        """
        return self.groups.copy()

    def summary(self) -> str:
        """Write each group in a line, with the correlation that the index has built in.

        Returns
        -------
        str
            The lines.
        """
        lines = [f"Scaled mass from {self.mass} and {self.size}"]
        for row in _rows(self.groups):
            slope = word_interval(row.slope, row.slope_low, row.slope_high, level=self.level)
            lines.append(
                f"{_name_row(row, self.by)}: exponent {slope}; r = {row.r:.2f}; size0 "
                f"{row.size0_mm:.2f} mm; n = {row.n} birds; correlation of log index with log "
                f"size {row.size_correlation:.2f}"
                if not row.reason
                else f"{_name_row(row, self.by)}: {row.reason}"
            )
            if row.gates:
                lines.append(f"  {row.gates}")
        lines += [f"{row.n_rows} rows left out: {row.reason}" for row in _rows(self.excluded)]
        if self.pool:
            lines.append(f"Pooled, because: {self.pool}")
        if self.accept:
            lines.append(f"Gates overridden by the user: {', '.join(self.accept)}")
        return "\n".join(lines)

    def methods(self) -> str:
        """Give the sentences that a methods section would carry.

        Returns
        -------
        str
            The sentences, then the references.
        """
        groups = " and ".join(self.by) if self.by else "all birds together"
        overridden = f" Gates overridden: {', '.join(self.accept)}." if self.accept else ""
        pooled = f" Groups were pooled because: {self.pool}." if self.pool else ""
        return (
            f"The scaled mass index was computed from {self.mass} and {self.size} by {groups}, "
            "with the slope of the standardised major axis of log mass on log size, each bird's "
            "first complete exam, and the arithmetic mean size of those birds as standard size."
            f"{pooled}{overridden} {cite(['peig_2009', 'warton_2006'])}"
        )

    def _refuse_mixed(self) -> None:
        if self.mixed:
            raise MixedGroupsError(
                needed="The scaled mass index needs species and sexes apart, or a reason to pool "
                "them",
                found="; ".join(f"{name} pooled ({what})" for name, what in self.mixed.items()),
                then='Add them to by=, or give the reason in words: pool="..."',
            )

    def _refuse_stopped(self, asked: pd.DataFrame) -> None:
        stopped = asked.loc[~asked["usable"]]
        if stopped.empty:
            return
        found = "; ".join(
            f"{_name_row(row, self.by)}: {row.reason or row.gates}" for row in _rows(stopped)
        )
        raise DegenerateDataError(
            needed="The scaled mass index needs 5 birds and a correlation of log mass with log "
            "size whose interval leaves 0 out",
            found=found,
            then="Leave these groups out (usable_rows tells which), choose another size=, or "
            f"override with accept= one of {', '.join(GATES_THAT_STOP)}",
        )


def _match_groups(exams: pd.DataFrame, groups: pd.DataFrame, by: Sequence[str]) -> pd.Series:
    if not by:
        return pd.Series(0.0, index=exams.index)
    numbered = groups[list(by)].assign(group_row=np.arange(len(groups), dtype=np.float64))
    keys = exams[list(by)].astype("object")
    matched = keys.merge(numbered.astype(dict.fromkeys(by, "object")), on=list(by), how="left")
    return pd.Series(matched["group_row"].to_numpy(), index=exams.index)


def _rows(table: pd.DataFrame) -> list[Any]:
    return list(table.itertuples(index=False))


def _name_row(row: Any, by: Sequence[str]) -> str:
    return name_group({name: getattr(row, name) for name in by})
