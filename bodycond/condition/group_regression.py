"""Least squares of one group's mass on its grades, with the birds' repeats accounted for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.condition.mass_design import Design

FloatArray = npt.NDArray[np.float64]

# A prediction and a residual variance need some degrees of freedom to stand on.
_FEWEST_ROWS_OVER_TERMS = 2

# The clustered variance is too small with few clusters; 20 is common practice, no source.
_FEW_CLUSTERS = 20


def regress_group(design: Design, *, level: float) -> dict[str, pd.DataFrame]:
    """Regress one group, or say why that cannot be done.

    Parameters
    ----------
    design : Design
        The group's data.
    level : float
        Confidence level.

    Returns
    -------
    dict of str to DataFrame
        "coefficients", "expected" (empty without a fit) and "group" (one row).
    """
    reason = _find_obstacle(design)
    group: dict[str, Any] = {
        "n_birds": design.n_birds,
        "n_rows": design.response.size,
        "n_repeat": design.response.size - design.n_birds,
        "standard_errors": _name_standard_errors(design),
        "reason": reason,
    }
    if reason:
        empty = pd.DataFrame({"term": design.terms, "reason": reason})
        return {"coefficients": empty, "expected": pd.DataFrame(), "group": pd.DataFrame([group])}
    fit = _fit_least_squares(design, level=level)
    coefficients = _tabulate_coefficients(design, fit)
    group |= {
        "residual_sd": float(np.sqrt(fit.residual_variance)),
        "r_squared": fit.r_squared,
        "degrees_of_freedom": fit.degrees,
    }
    if design.log and design.form == "linear":
        step = coefficients.loc[1, ["estimate", "low", "high"]].to_numpy(dtype=np.float64)
        names = ("percent_per_grade", "percent_low", "percent_high")
        group |= dict(zip(names, (100 * np.expm1(step)).tolist(), strict=True))
    expected = _expect_masses(design, fit)
    return {"coefficients": coefficients, "expected": expected, "group": pd.DataFrame([group])}


@dataclass(frozen=True, kw_only=True, eq=False)
class _Fit:
    estimates: FloatArray
    covariance: FloatArray
    residual_variance: float
    r_squared: float
    degrees: int
    quantile: float


def _fit_least_squares(design: Design, *, level: float) -> _Fit:
    import statsmodels.api as sm
    from scipy.special import stdtrit

    model = sm.OLS(design.response, design.matrix)
    fitted = (
        model.fit(cov_type="cluster", cov_kwds={"groups": design.clusters}, use_t=True)
        if design.birds_repeat
        else model.fit()
    )
    degrees = design.n_birds - 1 if design.birds_repeat else int(fitted.df_resid)
    return _Fit(
        estimates=np.asarray(fitted.params),
        covariance=np.asarray(fitted.cov_params()),
        residual_variance=float(fitted.scale),
        r_squared=float(fitted.rsquared),
        degrees=degrees,
        quantile=float(stdtrit(degrees, 0.5 + level / 2.0)),
    )


def _tabulate_coefficients(design: Design, fit: _Fit) -> pd.DataFrame:
    contrasts = np.eye(len(design.terms))
    reasons = _find_lone_birds(design, contrasts)
    errors = _standard_errors(contrasts, fit.covariance, reasons)
    return pd.DataFrame(
        {
            "term": design.terms,
            "estimate": fit.estimates,
            "se": errors,
            "low": fit.estimates - fit.quantile * errors,
            "high": fit.estimates + fit.quantile * errors,
            "reason": reasons,
        }
    )


def _find_obstacle(design: Design) -> str:
    n, terms = design.matrix.shape
    if n == 0:
        return "no exam holds both a mass and a grade"
    if np.ptp(design.grades) == 0:
        whose = "the one exam has" if n == 1 else f"all {n} exams have"
        return f"{whose} grade {design.grades[0]:g}"
    if n < terms + _FEWEST_ROWS_OVER_TERMS:
        return f"{n} exams for {terms} terms; at least {terms + _FEWEST_ROWS_OVER_TERMS} are needed"
    if np.linalg.matrix_rank(design.matrix) < terms:
        return "a covariate is constant or follows from the other terms"
    if design.birds_repeat and design.n_birds < terms + _FEWEST_ROWS_OVER_TERMS:
        return (
            f"{design.n_birds} birds for {terms} terms; with repeated birds at least "
            f"{terms + _FEWEST_ROWS_OVER_TERMS} are needed"
        )
    if np.ptp(design.response) == 0:
        return f"all {n} masses are equal"
    return ""


def _name_standard_errors(design: Design) -> str:
    if not design.birds_repeat:
        return "classical"
    if design.n_birds < _FEW_CLUSTERS:
        return f"clustered by bird; {design.n_birds} birds are few, intervals may be too narrow"
    return "clustered by bird"


def _find_lone_birds(design: Design, contrasts: FloatArray) -> list[str]:
    """Say, for each contrast, on which one bird it rests so that it has no clustered error.

    Where the model fits a set of exams by a level of their own, their residuals sum to 0. If all
    of them are of one bird, the sandwich sees nothing of what sets that bird apart and takes its
    variance for 0.
    """
    reasons = [""] * contrasts.shape[0]
    if not design.birds_repeat:
        return reasons
    inverse = np.linalg.pinv(design.matrix)
    weights = contrasts @ inverse
    for label, exams in _list_levels(design).items():
        of_one_bird = np.unique(design.clusters[exams]).size == 1
        fitted_alone = np.allclose(design.matrix @ (inverse @ exams), exams)
        if not (of_one_bird and fitted_alone):
            continue
        for position in np.flatnonzero(np.abs(weights @ exams) > 1e-9):
            reasons[position] = (
                f"one bird alone has {label}, so there is no clustered standard error"
            )
    return reasons


def _list_levels(design: Design) -> dict[str, npt.NDArray[np.bool_]]:
    levels = {f"grade {grade:g}": design.grades == grade for grade in np.unique(design.grades)}
    for term, column in zip(design.terms, design.matrix.T, strict=True):
        if not term.startswith(f"{design.score}[") and np.isin(column, (0.0, 1.0)).all():
            levels[term] = column == 1.0
    return levels


def _standard_errors(
    contrasts: FloatArray, covariance: FloatArray, reasons: list[str]
) -> FloatArray:
    variances = np.einsum("ij,jk,ik->i", contrasts, covariance, contrasts)
    # A sandwich is non-negative but for rounding, which may leave a tiny negative number.
    errors = np.sqrt(np.maximum(variances, 0.0))
    return np.where([bool(reason) for reason in reasons], np.nan, errors)


def _expect_masses(design: Design, fit: _Fit) -> pd.DataFrame:
    middle = design.at_grades @ fit.estimates
    reasons = _find_lone_birds(design, design.at_grades)
    of_mean = _standard_errors(design.at_grades, fit.covariance, reasons)
    mean_width = fit.quantile * of_mean
    next_width = fit.quantile * np.sqrt(of_mean**2 + fit.residual_variance)
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
            "n_birds": design.count_birds_at_grades(),
            "reason": reasons,
        }
    )
