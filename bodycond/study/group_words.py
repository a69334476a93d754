"""Groups of birds, and what was left out of them, in words for the report."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pandas as pd

from bodycond.codes import SEX_WORDS


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


def count_left_out(excluded: pd.DataFrame) -> pd.DataFrame:
    """Set the exams that a model left out in a table of groups by reasons.

    Parameters
    ----------
    excluded : DataFrame
        ``species``, ``sex`` (empty for exams of no group), ``reason`` and ``n_rows`` of a result.

    Returns
    -------
    DataFrame
        One row a group, one column a reason, counts; the row "all" holds what is of no group.
    """
    birds = [name_birds(row) if row["species"] else "all" for row in excluded.to_dict("records")]
    counted = excluded.assign(birds=birds).pivot_table(
        index="birds", columns="reason", values="n_rows", aggfunc="sum", fill_value=0, sort=False
    )
    return counted.astype(int)
