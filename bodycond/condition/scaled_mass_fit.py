"""A fitted scaled mass index: what each bird would weigh at its group's mean size."""

from __future__ import annotations

import warnings
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from bodycond.condition.gates import GATES_THAT_STOP
from bodycond.condition.groups import mark_measured, name_group, require_numbers, word_excluded
from bodycond.errors import (
    DegenerateDataError,
    GateWarning,
    MixedGroupsError,
    require_columns,
)
from bodycond.references import cite
from bodycond.rounding import word_interval
from bodycond.tables_on_disk.stored_results import ResultKind, load_result, save_result

_KIND = ResultKind(
    name="scaled mass fit", word="fit", rows="Fit the scaled mass anew: its tables count their rows"
)


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
        method), ``n_rows``, ``n_missing``, ``n_repeat``, ``age_classes`` (where several are
        pooled in the line), ``n_growing`` (birds in moult, where the size is of feathers),
        ``gates``, ``usable``, ``reason``.
    excluded : DataFrame
        The ``by`` columns (empty for rows of no group), ``reason`` and ``n_rows`` of rows that no
        line was fitted to.
    only : dict of str to str
        The one species or sex of the birds fitted, where ``by`` leaves it out; `index` refuses
        others.
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
    only: dict[str, str] = field(default_factory=dict)

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
            If species or sexes are pooled without a reason, in the fit or by applying the fit of
            one species or sex to another.
        ArgumentError
            If mass or size is a column of text.
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
        require_numbers(exams, (self.mass, self.size), purpose="The scaled mass index")
        self._refuse_mixed(exams)
        fitted = _match_groups(exams, self.groups, self.by)
        asked = self.groups.loc[self.groups.index.isin(fitted.dropna().unique())]
        self._refuse_stopped(asked)
        messages = [
            f"{self._name(row)}: {row['gates']}" for row in asked.to_dict("records") if row["gates"]
        ]
        unfitted = int((fitted.isna() & exams[self.mass].notna()).sum())
        if unfitted:
            messages.append(f"{unfitted} exams belong to no fitted group and have no index")
        if messages:
            warnings.warn("Scaled mass: " + "; ".join(messages), GateWarning, stacklevel=2)
        measured = mark_measured(exams, (self.mass, self.size))
        mass = exams[self.mass].where(measured).astype("float64")
        size = exams[self.size].where(measured).astype("float64")
        slope = fitted.map(self.groups["slope"]).astype("float64")
        size0 = fitted.map(self.groups["size0_mm"]).astype("float64")
        return (mass * (size0 / size) ** slope).rename("scaled_mass_g")

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
        usable = fitted.map(self.groups["usable"]).astype("boolean").fillna(False).astype(bool)
        for name, level in self.only.items():
            usable &= _mark_level(exams, name, level)
        return usable

    def save(self, path: str | Path) -> None:
        """Write the fit as JSON, from which `load` makes the same fit again.

        Parameters
        ----------
        path : str or Path
            Where to write.

        Raises
        ------
        ArgumentError
            If a part of it was changed into what would not come back as it is.
        """
        save_result(self, Path(path), kind=_KIND)

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
            If the file is absent, is no JSON, was written in another format version or lacks a
            part.
        """
        return load_result(cls, Path(path), kind=_KIND)

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
        for row in self.groups.to_dict("records"):
            lines.append(f"{self._name(row)}: {self._summarise_group(row)}")
            lines += [f"  {row[part]}" for part in ("reason", "gates") if row[part]]
        lines += word_excluded(self.excluded, by=self.by, what="rows")
        if self.pool:
            lines.append(f"Pooled, because: {self.pool}")
        if self.accept:
            lines.append(f"Gates overridden by the user: {', '.join(self.accept)}")
        return "\n".join(lines)

    def _summarise_group(self, row: Mapping[Any, Any]) -> str:
        birds = f"n = {row['n']} bird{'' if row['n'] == 1 else 's'}"
        if not np.isfinite(row["slope"]):
            return f"no exponent; {birds}"
        slope = word_interval(row["slope"], row["slope_low"], row["slope_high"], level=self.level)
        return (
            f"exponent {slope}; r = {row['r']:.2f}; size0 {row['size0_mm']:.2f} mm; {birds}; "
            f"correlation of log index with log size {row['size_correlation']:.2f}"
        )

    def _name(self, row: Mapping[Any, Any]) -> str:
        return name_group({name: row[name] for name in self.by})

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

    def _refuse_mixed(self, exams: pd.DataFrame) -> None:
        pooled = [f"{name} pooled ({what})" for name, what in self.mixed.items()]
        for name, level in self.only.items():
            if name not in exams.columns:
                pooled.append(f"fitted to {name} {level}, and no column {name!r} to tell others by")
                continue
            others = int((~_mark_level(exams, name, level)).sum())
            if others:
                pooled.append(f"fitted to {name} {level}, asked for {others} exams of others")
        if pooled:
            raise MixedGroupsError(
                needed="The scaled mass index needs species and sexes apart, or a reason to pool "
                "them",
                found="; ".join(pooled),
                then='Add them to by=, or give the reason in words: pool="..."',
            )

    def _refuse_stopped(self, asked: pd.DataFrame) -> None:
        stopped = asked.loc[~asked["usable"].astype(bool)]
        if stopped.empty:
            return
        found = "; ".join(
            f"{self._name(row)}: {row['gates'] or row['reason']}"
            for row in stopped.to_dict("records")
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
    numbered = (
        groups[list(by)].astype("object").assign(group_row=np.arange(len(groups), dtype=np.float64))
    )
    # Groups are named by text, whatever the column holds (a year, a site number).
    keys = pd.DataFrame({name: exams[name].map(str, na_action="ignore") for name in by})
    matched = keys.astype("object").merge(numbered, on=list(by), how="left")
    return pd.Series(matched["group_row"].to_numpy(), index=exams.index)


def _mark_level(exams: pd.DataFrame, name: str, level: str) -> pd.Series:
    if name not in exams.columns:
        return pd.Series(False, index=exams.index)
    return exams[name].map(str, na_action="ignore").astype("object") == level
