"""The main condition estimates again, under other choices of exams."""

from __future__ import annotations

from typing import Any

import pandas as pd

from bodycond.condition import fit_mass_by_keel, fit_scaled_mass
from bodycond.study.choosing_exams import choose_exams

CHOICES: tuple[tuple[str, dict[str, bool]], ...] = (
    ("as reported", {}),
    ("flagged values kept", {"keep_flagged": True}),
    ("without crops half full or more", {"without_full_crops": True}),
)
"""Name of each choice, and what it asks of `choose_exams`."""


def vary_choices(
    exams: pd.DataFrame,
    faults: pd.DataFrame,
    *,
    score: str,
    size: str | None,
    level: float,
    options: dict[str, Any],
) -> pd.DataFrame:
    """Repeat the percentage per grade and the exponent under each choice of exams.

    Parameters
    ----------
    exams : DataFrame
        Every imported exam.
    faults : DataFrame
        Faults that the check found.
    score : str
        Column of the grade.
    size : str or None
        Column of the structural size; None leaves the exponent out.
    level : float
        Confidence level.
    options : dict
        What `fit_mass_by_keel` was called with, the form apart.

    Returns
    -------
    DataFrame
        One row a choice and group: ``species``, ``sex``, ``exams`` (the choice), ``n_birds``,
        ``percent_per_grade``, ``percent_low``, ``percent_high`` and, with a size,
        ``n_birds_in_line``, ``slope``, ``slope_low``, ``slope_high``.
    """
    names = ["species", "sex", "n_birds", "percent_per_grade", "percent_low", "percent_high"]
    tables = []
    for name, choice in CHOICES:
        chosen = choose_exams(exams, faults, score=score, **choice).exams
        table = fit_mass_by_keel(chosen, form="linear", **options).groups.reindex(columns=names)
        if size is not None:
            lines = fit_scaled_mass(chosen, size=size, level=level).groups
            kept = ["species", "sex", "n", "slope", "slope_low", "slope_high"]
            named = lines[kept].rename(columns={"n": "n_birds_in_line"})
            table = table.merge(named, on=["species", "sex"], how="outer")
        tables.append(table.assign(exams=name))
    return pd.concat(tables, ignore_index=True)
