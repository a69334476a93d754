"""The pandera models of the exam table and the rating table, built from `bodycond.columns`."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.columns import EXAM_COLUMNS, RATING_COLUMNS, Column
from bodycond.scales import KEEL_SCALE

if TYPE_CHECKING:
    import pandera.pandas as pa

KEEL_GRADES: tuple[str, ...] = ("keel", "keel_low", "keel_high")
"""Columns whose values are grades of `KEEL_SCALE`; any other score brings its own scale."""

UNIQUE_COLUMNS: frozenset[str] = frozenset({"exam_id"})
"""Columns of the exam table in which a value occurs once."""


def describe_limits(column: Column) -> str:
    """Say in words between which values a column's cells must lie.

    Parameters
    ----------
    column : Column
        The column.

    Returns
    -------
    str
        For example ``"30 to 15000 g"``; empty where there are no limits.

    Examples
    --------
    >>> from bodycond.columns import find_column
    >>> describe_limits(find_column("mass_g"))
    '30 to 15000 g'
    """
    unit = f" {column.unit}" if column.unit else ""
    if column.name in KEEL_GRADES:
        return f"{KEEL_SCALE.low:g} to {KEEL_SCALE.high:g} in steps of {KEEL_SCALE.step:g}"
    if column.low is not None and column.high is not None:
        return f"{column.low:g} to {column.high:g}{unit}"
    if column.low is not None:
        return f"at least {column.low:g}{unit}"
    return f"at most {column.high:g}{unit}" if column.high is not None else ""


def build_exam_schema(
    *, present: Iterable[str] | None = None, row_rules: bool = True
) -> pa.DataFrameSchema:
    """Build the pandera model of the exam table.

    Known columns must be there, in their dtype, within their hard limits or codes; ``exam_id``
    is required and unique; other columns are allowed. Nothing is converted: `coerce_exams`
    does that, in plain sight.

    Parameters
    ----------
    present : iterable of str, optional
        Ask only for the known columns among these names. Default all of them.
    row_rules : bool, default True
        Also ask that each score's interval is in order, ``low <= point <= high``.

    Returns
    -------
    pandera.pandas.DataFrameSchema
        The model; call ``.validate(table, lazy=True)``.

    Examples
    --------
    >>> import pandas as pd
    >>> from bodycond.exams import coerce_exams
    >>> exams = coerce_exams(pd.DataFrame({"exam_id": ["a"], "mass_g": [212.0]}))
    >>> len(build_exam_schema().validate(exams))
    1
    """
    return _build_schema(
        EXAM_COLUMNS, name="exams", unique=UNIQUE_COLUMNS, present=present, row_rules=row_rules
    )


def build_rating_schema(
    *, present: Iterable[str] | None = None, row_rules: bool = True
) -> pa.DataFrameSchema:
    """Build the pandera model of the table of ratings, one row per scorer and exam.

    Parameters
    ----------
    present : iterable of str, optional
        Ask only for the known columns among these names. Default all of them.
    row_rules : bool, default True
        Also ask that each score's interval is in order, ``low <= point <= high``.

    Returns
    -------
    pandera.pandas.DataFrameSchema
        The model; call ``.validate(table, lazy=True)``.
    """
    return _build_schema(
        RATING_COLUMNS, name="ratings", unique=frozenset(), present=present, row_rules=row_rules
    )


def _build_schema(
    columns: Sequence[Column],
    *,
    name: str,
    unique: frozenset[str],
    present: Iterable[str] | None,
    row_rules: bool,
) -> pa.DataFrameSchema:
    import pandera.pandas as pa

    names = None if present is None else set(present)
    chosen = [column for column in columns if names is None or column.name in names]
    rules = [
        pa.Check(
            lambda table: pd.Series(~find_disordered_intervals(table), index=table.index),
            name="interval_order",
            error="interval_order: low <= point <= high",
        )
    ]
    return pa.DataFrameSchema(
        {
            column.name: pa.Column(
                column.dtype,
                _column_checks(column),
                nullable=not column.required,
                unique=column.name in unique,
                title=column.label,
                description=column.meaning,
            )
            for column in chosen
        },
        checks=rules if row_rules else [],
        name=name,
        strict=False,
        coerce=False,
    )


def _column_checks(column: Column) -> list[pa.Check]:
    import pandera.pandas as pa

    limits = describe_limits(column)
    checks: list[pa.Check] = []
    if column.name in KEEL_GRADES:
        grades = [float(grade) for grade in KEEL_SCALE.values]
        checks.append(pa.Check.isin(grades, error=f"off_scale: {limits}"))
    elif column.low is not None and column.high is not None:
        error = f"outside_hard_range: {limits}"
        checks.append(pa.Check.in_range(column.low, column.high, error=error))
    elif column.low is not None:
        checks.append(pa.Check.ge(column.low, error=f"outside_hard_range: {limits}"))
    if column.codes:
        error = f"unknown_code: {', '.join(column.codes)}"
        checks.append(pa.Check.isin(list(column.codes), error=error))
    if column.required and column.dtype == "str":
        checks.append(pa.Check.str_length(min_value=1, error="missing_required: not empty"))
    return checks


def find_score_names(names: Iterable[str]) -> list[str]:
    """Find the scores that a table keeps in the pattern ``x``, ``x_low``, ``x_high``.

    Parameters
    ----------
    names : iterable of str
        The table's column names.

    Returns
    -------
    list of str
        The scores' column names, in order; ``x`` itself may be absent.

    Examples
    --------
    >>> find_score_names(["keel", "keel_low", "keel_high", "fat_low", "fat_high", "low_high"])
    ['keel', 'fat']
    """
    listed = [str(name) for name in names]
    return [
        name.removesuffix("_low")
        for name in listed
        if name.endswith("_low") and f"{name.removesuffix('_low')}_high" in listed
    ]


def find_text_scores(table: pd.DataFrame) -> list[str]:
    """Find scores in the pattern whose columns hold anything but numbers.

    Parameters
    ----------
    table : DataFrame
        Exams or ratings.

    Returns
    -------
    list of str
        Names of scores that no order can be asked of.
    """
    return [
        score
        for score in find_score_names(table.columns)
        if any(
            name in table.columns and not pd.api.types.is_numeric_dtype(table[name])
            for name in (f"{score}_low", score, f"{score}_high")
        )
    ]


def find_disordered_intervals(
    table: pd.DataFrame, *, score: str | None = None
) -> npt.NDArray[np.bool_]:
    """Find rows whose score interval is upside down or does not hold its point grade.

    Parameters
    ----------
    table : DataFrame
        Exams or ratings; columns that are not numbers are left to the dtype rule.
    score : str, optional
        Look at this score alone. Default every score that has ``_low`` and ``_high``.

    Returns
    -------
    ndarray of bool
        True where ``low <= point <= high`` fails; missing values fail nothing.
    """
    wrong = np.zeros(len(table), dtype=bool)
    texts = find_text_scores(table)
    for name in find_score_names(table.columns) if score is None else [score]:
        columns = [f"{name}_low", name, f"{name}_high"]
        if name in texts:
            continue
        low, point, high = (
            table[column].to_numpy(dtype=np.float64, na_value=np.nan)
            if column in table.columns
            else np.full(len(table), np.nan)
            for column in columns
        )
        # Comparisons with NaN are False, so a missing end is never out of order.
        wrong |= (low > high) | (point < low) | (point > high)
    return wrong
