"""Expected mass at each keel score: log-linear and factor models, apart by species and sex."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np
import pandas as pd

from bodycond.condition.group_regression import regress_group
from bodycond.condition.groups import (
    count_without_group,
    find_mixed_columns,
    iterate_groups,
    list_excluded,
    list_names,
    mark_measured,
    require_numbers,
)
from bodycond.condition.mass_by_keel_fit import MassByKeel
from bodycond.condition.mass_design import Design, build_design
from bodycond.errors import (
    MixedGroupsError,
    ScaleError,
    name_first_few,
    require_choice,
    require_columns,
    require_level,
)
from bodycond.scales import KEEL_SCALE, ScoreScale

Response = Literal["log_mass", "mass"]
Form = Literal["linear", "factor"]


def fit_mass_by_keel(
    exams: pd.DataFrame,
    *,
    mass: str = "mass_g",
    score: str = "keel",
    by: Sequence[str] = ("species", "sex"),
    pool: str | None = None,
    response: Response = "log_mass",
    form: Form = "linear",
    bird: str = "bird_id",
    covariates: Sequence[str] = (),
    scale: ScoreScale = KEEL_SCALE,
    level: float = 0.95,
) -> MassByKeel:
    """Fit mass against keel score in each group.

    Parameters
    ----------
    exams : DataFrame
        Exams, one a row.
    mass : str, default "mass_g"
        Column of the mass in g.
    score : str, default "keel"
        Column of the point grade. Exams of which only an interval is known are left out and
        counted.
    by : sequence of str, default ("species", "sex")
        Columns to fit apart by. Unknown sex is a level of its own.
    pool : str, optional
        The reason, in words, for pooling species or sexes where ``by`` leaves them out.
    response : {"log_mass", "mass"}, default "log_mass"
        Log mass, so that a step of the score is a percentage and species can be compared; or
        mass in g.
    form : {"linear", "factor"}, default "linear"
        One slope per grade, or one level for each grade that occurs.
    bird : str, default "bird_id"
        Column of the bird. Where birds repeat, standard errors are clustered by bird.
    covariates : sequence of str, default ()
        More columns: numbers enter as they are, anything else as levels. Expected masses are
        then at the mean of each number and at the commonest level.
    scale : ScoreScale, default KEEL_SCALE
        The score's scale, for the grades between the lowest and highest found.
    level : float, default 0.95
        Confidence level of intervals, and coverage of the prediction band.

    Returns
    -------
    MassByKeel
        The fits; groups without one have NaN and a reason.

    Raises
    ------
    MissingColumnError
        If a column is absent.
    MixedGroupsError
        If species or sexes would be pooled without a reason.
    ArgumentError
        If an option is unknown or impossible, ``pool`` is not words, or mass or score is a column
        of text.
    ScaleError
        If a grade is not on the scale.

    Notes
    -----
    Least squares within each group. Without repeats, classical standard errors with n - p
    degrees of freedom. With repeats, the sandwich clustered by bird (Liang and Zeger 1986) with
    the small-sample factor G/(G-1) (n-1)/(n-p) and G - 1 degrees of freedom, G birds; what rests
    on a level that one bird alone has then gets no interval, since a sandwich takes that bird's
    variance for 0. With log mass, exponents of fitted values are medians.

    Examples
    --------
    >>> exams = pd.DataFrame({
    ...     "species": "Strix aluco", "sex": "F",
    ...     "keel": [2.0, 2, 3, 3, 4, 4], "mass_g": [430.0, 445, 500, 520, 575, 590],
    ... })
    >>> fit = fit_mass_by_keel(exams)
    >>> fit.expected["mass_g"].round(0).tolist()
    [439.0, 506.0, 584.0]
    """
    by, covariates = list_names(by), list_names(covariates)
    require_choice(response, ("log_mass", "mass"), argument="response")
    require_choice(form, ("linear", "factor"), argument="form")
    require_level(level)
    require_columns(exams.columns, (mass, score, *by, *covariates), purpose="Mass by keel score")
    require_numbers(exams, (mass, score), purpose="Mass by keel score")
    _refuse_mixed(exams, by=by, pool=pool)
    _refuse_strange_grades(exams, mass=mass, score=score, by=by, scale=scale)
    fits = []
    for keys, rows in iterate_groups(exams, by=by):
        design = build_design(
            rows, mass=mass, score=score, response=response, form=form, bird=bird,
            covariates=covariates, scale=scale,
        )  # fmt: skip
        fits.append((keys, design, regress_group(design, level=level)))
    return MassByKeel(
        mass=mass,
        score=score,
        by=by,
        pool=pool,
        response=response,
        form=form,
        covariates=covariates,
        scale=scale,
        level=level,
        coefficients=_stack(fits, by, "coefficients", _COEFFICIENT_COLUMNS),
        expected=_stack(fits, by, "expected", (score, *_EXPECTED_COLUMNS)),
        groups=_stack(fits, by, "group", _GROUP_COLUMNS),
        points=_stack_points(fits, by, score=score),
        excluded=_list_excluded(exams, by, fits),
    )


_COEFFICIENT_COLUMNS = ("term", "estimate", "se", "low", "high", "reason")
_EXPECTED_COLUMNS = (
    "mass_g", "low", "high", "predict_low", "predict_high", "n", "n_birds", "reason",
)  # fmt: skip
_GROUP_COLUMNS = (
    "n_birds", "n_rows", "n_repeat", "residual_sd", "r_squared", "degrees_of_freedom",
    "standard_errors", "percent_per_grade", "percent_low", "percent_high", "reason",
)  # fmt: skip


def _refuse_mixed(exams: pd.DataFrame, *, by: Sequence[str], pool: str | None) -> None:
    mixed = find_mixed_columns(exams, by=by, pool=pool)
    if mixed:
        raise MixedGroupsError(
            needed="Mass by keel score needs species and sexes apart, or a reason to pool them",
            found="; ".join(f"{name} pooled ({what})" for name, what in mixed.items()),
            then='Add them to by=, or give the reason in words: pool="..."',
        )


def _refuse_strange_grades(
    exams: pd.DataFrame, *, mass: str, score: str, by: Sequence[str], scale: ScoreScale
) -> None:
    entering = mark_measured(exams, (mass,)) & exams[list(by)].notna().all(axis=1)
    grades = exams.loc[entering, score]
    strange = grades[~scale.contains(grades.to_numpy(dtype=np.float64, na_value=np.nan))].dropna()
    if len(strange):
        raise ScaleError(
            needed=f"{score!r} must hold grades of {scale.name!r}: {scale.low:g} to "
            f"{scale.high:g} in steps of {scale.step:g}",
            found=f"{len(strange)} others: "
            f"{name_first_few(f'{grade:g}' for grade in sorted(strange.unique()))} at rows "
            f"{name_first_few(strange.index)}",
            then="Correct them, or name the scale that they belong to with scale=",
        )


_Fits = list[tuple[dict[str, str], Design, dict[str, pd.DataFrame]]]


def _stack(fits: _Fits, by: Sequence[str], part: str, columns: Sequence[str]) -> pd.DataFrame:
    tables = [tables[part].assign(**keys) for keys, _, tables in fits if not tables[part].empty]
    names = [*by, *columns]
    if not tables:
        return _type_columns(pd.DataFrame(columns=names))
    return _type_columns(pd.concat(tables, ignore_index=True).reindex(columns=names))


# Numbers that are NaN in every group, or of which there are none, must still be numbers.
_NUMBERS = frozenset(
    {*_COEFFICIENT_COLUMNS, *_EXPECTED_COLUMNS, *_GROUP_COLUMNS}
    - {"term", "reason", "standard_errors", "n", "n_birds", "n_rows", "n_repeat"}
)


def _type_columns(table: pd.DataFrame) -> pd.DataFrame:
    untyped = {name for name in _NUMBERS.intersection(table.columns) if table[name].dtype == object}
    return table.astype(dict.fromkeys(untyped, "float64"))


def _stack_points(fits: _Fits, by: Sequence[str], *, score: str) -> pd.DataFrame:
    names = [*by, score, "mass_g", "row"]
    tables = [
        pd.DataFrame({score: design.grades, "mass_g": design.masses, "row": design.rows}).assign(
            **keys
        )
        for keys, design, _ in fits
        if design.rows.size
    ]
    if not tables:
        return pd.DataFrame(columns=names)
    return pd.concat(tables, ignore_index=True).reindex(columns=names)


def _list_excluded(exams: pd.DataFrame, by: Sequence[str], fits: _Fits) -> pd.DataFrame:
    counted = [count_without_group(exams, by=by)]
    for keys, design, _ in fits:
        counted += [(keys, why, count) for why, count in design.left_out.items()]
    return list_excluded(counted, by=by)
