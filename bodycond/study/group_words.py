"""Groups of birds, and what was left out of them, in words for the report."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pandas as pd

from bodycond.figures.group_marks import SEX_WORDS


def name_birds(row: Mapping[Any, Any]) -> str:
    """Name a group by species and sex.

    Parameters
    ----------
    row : mapping
        A row with ``species`` and ``sex``.

    Returns
    -------
    str
        The name.

    Examples
    --------
    >>> name_birds({"species": "Buteo buteo", "sex": "U"})
    'Buteo buteo, sex unknown'
    """
    return f"{row['species']}, {SEX_WORDS.get(str(row['sex']), str(row['sex']))}"


def count_left_out(excluded: pd.DataFrame, groups: pd.DataFrame) -> pd.DataFrame:
    """Set the exams that a model left out in a table of groups by reasons.

    Parameters
    ----------
    excluded : DataFrame
        ``reason`` and ``n_rows`` of a result; a reason begins with its group's species and sex,
        if it has one.
    groups : DataFrame
        The result's groups, with ``species`` and ``sex``.

    Returns
    -------
    DataFrame
        One row a group, one column a reason, counts; the row "all" holds what names no group.
    """
    names = {f"{row['species']}, {row['sex']}: ": name_birds(row)
             for row in groups.to_dict("records")}  # fmt: skip
    rows = []
    for row in excluded.to_dict("records"):
        reason = str(row["reason"])
        prefix = next((prefix for prefix in names if reason.startswith(prefix)), "")
        rows.append((names.get(prefix, "all"), reason.removeprefix(prefix), int(row["n_rows"])))
    table = pd.DataFrame(rows, columns=["birds", "reason", "n_rows"])
    counted = table.pivot_table(
        index="birds", columns="reason", values="n_rows", aggfunc="sum", fill_value=0, sort=False
    )
    return counted.astype(int)
