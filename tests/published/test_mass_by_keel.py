"""Mass by keel score against R's lm, and scaled mass by keel fat against R's cor."""

import numpy as np
import pandas as pd
import pytest

from bodycond.condition import fit_mass_by_keel, fit_scaled_mass, tabulate_index_by_keel
from bodycond.scales import ScoreScale

KEEL_FAT = ScoreScale(name="keel fat 0 to 4", low=0, high=4, step=0.5)
CASES = {
    "keel_hawks_rt": ("RT", (300, 480), (500, 2000)),
    "keel_hawks_ss": ("SS", (140, 230), (80, 250)),
}
POOL = "as the published case does"


@pytest.mark.parametrize("case_id", CASES)
def test_mass_on_keel_fat(published, plausible_hawks, case_id):
    case = published(case_id)
    expected, rel = case["expected"], case["tolerance"]["rel"]
    exams = plausible_hawks(*CASES[case_id])
    fit = fit_mass_by_keel(
        exams, score="keel_fat", by=("species",), pool=POOL, response="mass", scale=KEEL_FAT
    )
    terms = fit.coefficients.set_index("term")
    assert terms.loc["intercept", "estimate"] == pytest.approx(expected["ols_intercept"], rel=rel)
    assert terms.loc["keel_fat", "estimate"] == pytest.approx(expected["ols_slope"], rel=rel)
    assert terms.loc["keel_fat", "se"] == pytest.approx(expected["ols_slope_se"], rel=rel)
    assert terms.loc["keel_fat", ["low", "high"]].tolist() == pytest.approx(
        expected["ols_slope_ci95"], rel=rel
    )
    group = fit.groups.iloc[0]
    assert group["n_birds"] == expected["n"]
    assert group["r_squared"] == pytest.approx(expected["r2"], rel=rel)
    assert group["residual_sd"] == pytest.approx(expected["residual_sd"], rel=rel)


@pytest.mark.parametrize("case_id", CASES)
def test_rank_correlation_of_index_and_mass(published, plausible_hawks, case_id):
    case = published(case_id)
    expected, rel = case["expected"], case["tolerance"]["rel"]
    exams = plausible_hawks(*CASES[case_id])
    fit = fit_scaled_mass(exams, size="wing_mm", by=("species",), pool=POOL)
    ranks = tabulate_index_by_keel(fit, exams, score="keel_fat", resamples=200)
    rho = ranks.correlations.set_index("measure")["rho"]
    assert rho["scaled mass"] == pytest.approx(expected["spearman_smi_keel"], rel=rel)
    assert rho["mass"] == pytest.approx(expected["spearman_mass_keel"], rel=rel)


def test_anscombe_first_set(published):
    """Anscombe's pairs as mass and grade: the whole table of lm, printed digits included."""
    case = published("ols_anscombe1")
    expected, rel = case["expected"], case["tolerance"]["rel"]
    exams = pd.DataFrame({"keel": case["data"]["x"], "mass_g": case["data"]["y"]}, dtype=float)
    scale = ScoreScale(name="x", low=4, high=14, step=1)
    fit = fit_mass_by_keel(exams, by=(), pool="no birds", response="mass", scale=scale)
    terms = fit.coefficients.set_index("term")
    assert terms.loc["intercept", "estimate"] == pytest.approx(expected["intercept"], rel=rel)
    assert terms.loc["intercept", "se"] == pytest.approx(expected["se_intercept"], rel=rel)
    assert terms.loc["keel", "estimate"] == pytest.approx(expected["slope"], rel=rel)
    assert terms.loc["keel", "se"] == pytest.approx(expected["se_slope"], rel=rel)
    assert fit.groups["residual_sd"].iloc[0] == pytest.approx(expected["residual_sd"], rel=rel)
    assert f"{terms.loc['keel', 'estimate']:.3f}" == case["published"]["slope"]


def test_clustered_standard_errors_against_the_written_out_sandwich():
    """Birds repeat: the sandwich by bird, written out with NumPy from Liang and Zeger (1986)."""
    generator = np.random.default_rng(3)
    birds = np.repeat(np.arange(40), 3)
    keel = generator.integers(1, 6, 120).astype(float)
    log_mass = 5 + 0.08 * keel + 0.05 * generator.normal(size=40)[birds]
    log_mass += 0.03 * generator.normal(size=120)
    exams = pd.DataFrame(
        {"species": "Buteo buteo", "sex": "F", "bird_id": birds.astype(str), "keel": keel,
         "mass_g": np.exp(log_mass)}
    )  # fmt: skip
    fit = fit_mass_by_keel(exams)
    design = np.column_stack([np.ones(120), keel])
    bread = np.linalg.inv(design.T @ design)
    residual = log_mass - design @ (bread @ design.T @ log_mass)
    scores = np.zeros((40, 2))
    np.add.at(scores, birds, design * residual[:, np.newaxis])
    factor = 40 / 39 * 119 / 118
    covariance = factor * bread @ (scores.T @ scores) @ bread
    assert fit.coefficients["se"].tolist() == pytest.approx(
        np.sqrt(np.diag(covariance)).tolist(), rel=1e-9
    )
    assert fit.groups["degrees_of_freedom"].iloc[0] == 39
