"""Which structural measure the scaled mass index takes its size from."""

from __future__ import annotations

import pandas as pd

from bodycond.columns import SIZE_COLUMNS
from bodycond.condition import fit_scaled_mass

# A size is a candidate where at least half of the weighed birds have it; a group counts towards
# the choice of size where it has birds enough for its correlation to mean something.
_LEAST_SHARE_MEASURED = 0.5
_LEAST_BIRDS_TO_CHOOSE = 20


def compare_sizes(exams: pd.DataFrame, *, level: float) -> pd.DataFrame:
    """Correlate log mass with every structural measure, group by group.

    Parameters
    ----------
    exams : DataFrame
        Exams.
    level : float
        Confidence level.

    Returns
    -------
    DataFrame
        ``size``, ``species``, ``sex``, ``n``, ``r``, ``r_low``, ``r_high``, ``slope``, ``reason``.
    """
    tables = [
        fit_scaled_mass(exams, size=name, level=level).groups.assign(size=name)
        for name in SIZE_COLUMNS
        if name in exams.columns and exams[name].notna().any()
    ]
    columns = ["size", "species", "sex", "n", "r", "r_low", "r_high", "slope", "reason"]
    if not tables:
        return pd.DataFrame(columns=columns)
    return pd.concat(tables, ignore_index=True)[columns]


def choose_size(candidates: pd.DataFrame, exams: pd.DataFrame) -> str | None:
    """Choose the measure that correlates best with mass, as Peig and Green (2009) advise.

    Parameters
    ----------
    candidates : DataFrame
        Result of `compare_sizes`.
    exams : DataFrame
        The exams, to see how often each measure was taken.

    Returns
    -------
    str or None
        Column of the size; None where none was measured in half of the weighed birds. Where no
        group has 20 birds to judge by, the first that was, bones before feathers.
    """
    weighed = exams.loc[exams["mass_g"].notna()]
    common = [
        name
        for name in SIZE_COLUMNS
        if name in weighed.columns and weighed[name].notna().mean() >= _LEAST_SHARE_MEASURED
    ]
    if not common:
        return None
    enough = candidates.loc[
        candidates["size"].isin(common)
        & (candidates["n"] >= _LEAST_BIRDS_TO_CHOOSE)
        & candidates["r"].notna()
    ]
    if enough.empty:
        return common[0]
    weighted = (enough["r"] * enough["n"]).groupby(enough["size"]).sum()
    means = weighted / enough["n"].groupby(enough["size"]).sum()
    return max(common, key=lambda name: float(means.get(name, float("-inf"))))
