"""Expected mass at each keel score: log-linear and factor models, apart by species and sex."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal

import numpy as np
import pandas as pd

from bodycond.condition.groups import find_mixed_columns, iterate_groups, name_group
from bodycond.condition.mass_by_keel_fit import MassByKeel
from bodycond.condition.mass_design import Design, build_design
from bodycond.errors import MixedGroupsError, require_choice, require_columns
from bodycond.scales import KEEL_SCALE, ScoreScale
from bodycond.statistics.lines import require_level

Response = Literal["log_mass", "mass"]
Form = Literal["linear", "factor"]

# A prediction and a residual variance need some degrees of freedom to stand on.
_FEWEST_ROWS_OVER_TERMS = 2


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
        If an option is unknown.
    ScaleError
        If a grade is not on the scale.

    Notes
    -----
    Least squares within each group. Without repeats, classical standard errors with n - p
    degrees of freedom. With repeats, the sandwich clustered by bird (Liang and Zeger 1986) with
    the small-sample factor G/(G-1) (n-1)/(n-p) and G - 1 degrees of freedom, G birds. With log
    mass, exponents of fitted values are medians.

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
    require_choice(response, ("log_mass", "mass"), argument="response")
    require_choice(form, ("linear", "factor"), argument="form")
    require_level(level)
    require_columns(exams.columns, (mass, score, *by, *covariates), purpose="Mass by keel score")
    _refuse_mixed(exams, by=by, pool=pool)
    fits = []
    for keys, rows in iterate_groups(exams, by=by):
        design = build_design(
            rows, mass=mass, score=score, response=response, form=form, bird=bird,
            covariates=covariates, scale=scale,
        )  # fmt: skip
        fits.append((keys, design, _fit_group(design, level=level)))
    return MassByKeel(
        mass=mass,
        score=score,
        by=tuple(by),
        pool=pool,
        response=response,
        form=form,
        covariates=tuple(covariates),
        scale=scale,
        level=level,
        coefficients=_stack(fits, by, "coefficients", _COEFFICIENT_COLUMNS),
        expected=_stack(fits, by, "expected", (score, *_EXPECTED_COLUMNS)),
        groups=_stack(fits, by, "group", _GROUP_COLUMNS),
        points=_stack_points(fits, by, score=score),
        excluded=_list_excluded(exams, by, fits),
    )


_COEFFICIENT_COLUMNS = ("term", "estimate", "se", "low", "high", "reason")
_EXPECTED_COLUMNS = ("mass_g", "low", "high", "predict_low", "predict_high", "n")
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


def _find_obstacle(design: Design) -> str:
    n, terms = design.matrix.shape
    if n == 0:
        return "no exam holds both a mass and a grade"
    if np.ptp(design.grades) == 0:
        return f"all {n} exams have grade {design.grades[0]:g}"
    if n < terms + _FEWEST_ROWS_OVER_TERMS:
        return f"{n} exams for {terms} terms; at least {terms + _FEWEST_ROWS_OVER_TERMS} are needed"
    if np.linalg.matrix_rank(design.matrix) < terms:
        return "a covariate is constant or follows from the other terms"
    if design.n_birds < n and design.n_birds < terms + 1:
        return f"{design.n_birds} birds for {terms} terms; clustering needs more birds than terms"
    if np.ptp(design.response) == 0:
        return f"all {n} masses are equal"
    return ""


def _fit_group(design: Design, *, level: float) -> dict[str, pd.DataFrame]:
    reason = _find_obstacle(design)
    clustered = design.n_birds < design.response.size
    group: dict[str, Any] = {
        "n_birds": design.n_birds,
        "n_rows": design.response.size,
        "n_repeat": design.response.size - design.n_birds,
        "standard_errors": "clustered by bird" if clustered else "classical",
        "reason": reason,
    }
    if reason:
        empty = pd.DataFrame({"term": design.terms, "reason": reason})
        return {"coefficients": empty, "expected": pd.DataFrame(), "group": pd.DataFrame([group])}
    import statsmodels.api as sm
    from scipy.special import stdtrit

    model = sm.OLS(design.response, design.matrix)
    fitted = (
        model.fit(cov_type="cluster", cov_kwds={"groups": design.clusters}, use_t=True)
        if clustered
        else model.fit()
    )
    degrees = design.n_birds - 1 if clustered else int(fitted.df_resid)
    quantile = float(stdtrit(degrees, 0.5 + level / 2.0))
    errors = np.asarray(fitted.bse)
    estimates = np.asarray(fitted.params)
    coefficients = pd.DataFrame(
        {
            "term": design.terms,
            "estimate": estimates,
            "se": errors,
            "low": estimates - quantile * errors,
            "high": estimates + quantile * errors,
            "reason": "",
        }
    )
    group |= {
        "residual_sd": float(np.sqrt(fitted.scale)),
        "r_squared": float(fitted.rsquared),
        "degrees_of_freedom": degrees,
    }
    if design.log and design.form == "linear":
        step = coefficients.loc[1, ["estimate", "low", "high"]].to_numpy(dtype=np.float64)
        percents = 100 * np.expm1(step)
        names = ("percent_per_grade", "percent_low", "percent_high")
        group |= dict(zip(names, percents.tolist(), strict=True))
    expected = _expect_masses(
        design, estimates, np.asarray(fitted.cov_params()), float(fitted.scale), quantile
    )
    return {"coefficients": coefficients, "expected": expected, "group": pd.DataFrame([group])}


def _expect_masses(
    design: Design,
    estimates: np.ndarray[Any, np.dtype[np.float64]],
    covariance: np.ndarray[Any, np.dtype[np.float64]],
    residual_variance: float,
    quantile: float,
) -> pd.DataFrame:
    middle = design.at_grades @ estimates
    of_mean = np.einsum("ij,jk,ik->i", design.at_grades, covariance, design.at_grades)
    mean_width = quantile * np.sqrt(of_mean)
    next_width = quantile * np.sqrt(of_mean + residual_variance)
    back = np.exp if design.log else np.asarray
    return pd.DataFrame(
        {
            design.score: design.expected_grades,
            "mass_g": back(middle),
            "low": back(middle - mean_width),
            "high": back(middle + mean_width),
            "predict_low": back(middle - next_width),
            "predict_high": back(middle + next_width),
            "n": design.count_at_grades(),
        }
    )


_Fits = list[tuple[dict[str, str], Design, dict[str, pd.DataFrame]]]


def _stack(fits: _Fits, by: Sequence[str], part: str, columns: Sequence[str]) -> pd.DataFrame:
    tables = [tables[part].assign(**keys) for keys, _, tables in fits if not tables[part].empty]
    names = [*by, *columns]
    if not tables:
        return pd.DataFrame(columns=names)
    return pd.concat(tables, ignore_index=True).reindex(columns=names)


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
    without = int(exams[list(by)].isna().any(axis=1).sum()) if by else 0
    listed = [(f"{' or '.join(by)} missing", without)] if without else []
    for keys, design, _ in fits:
        listed += [(f"{name_group(keys)}: {why}", count) for why, count in design.left_out.items()]
    return pd.DataFrame(listed, columns=["reason", "n_rows"])
