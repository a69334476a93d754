"""Scaled mass against R, hand arithmetic and a worked example."""

import numpy as np
import pandas as pd
import pytest

from bodycond.condition import ScaledMassFit, fit_scaled_mass

PENGUINS = {
    "smi_penguins_adelie_female": ("Adelie", "female"),
    "smi_penguins_adelie_male": ("Adelie", "male"),
    "smi_penguins_chinstrap_male": ("Chinstrap", "male"),
    "smi_penguins_gentoo_female": ("Gentoo", "female"),
}
HAWKS = {
    "smi_hawks_rt": ("RT", (300, 480), (500, 2000)),
    "smi_hawks_ss": ("SS", (140, 230), (80, 250)),
}


def check_fit(fit, index, case):
    expected, rel = case["expected"], case["tolerance"]["rel"]
    group = fit.groups.iloc[0]
    assert group["n"] == expected["n"]
    assert group["slope"] == pytest.approx(expected["b_sma"], rel=rel)
    assert [group["slope_low"], group["slope_high"]] == pytest.approx(
        expected["b_sma_ci95"], rel=rel
    )
    assert group["intercept"] == pytest.approx(expected["ln_intercept"], rel=rel)
    assert group["r"] == pytest.approx(expected["r_loglog"], rel=rel)
    assert group["slope_ols"] == pytest.approx(expected["b_ols"], rel=rel)
    assert group["size0_mm"] == pytest.approx(expected["L0_arithmetic_mean"], rel=rel)
    assert index.mean() == pytest.approx(expected["smi_mean"], rel=rel)
    assert index.std(ddof=1) == pytest.approx(expected["smi_sd"], rel=rel)
    assert index.min() == pytest.approx(expected["smi_min"], rel=rel)
    assert index.max() == pytest.approx(expected["smi_max"], rel=rel)
    assert index.iloc[:5].tolist() == pytest.approx(expected["smi_first5"], rel=rel)


@pytest.mark.parametrize("case_id", PENGUINS)
def test_penguins_computed_with_r(published, penguins, case_id, recwarn):
    species, sex = PENGUINS[case_id]
    chosen = penguins.loc[(penguins["species"] == species) & (penguins["sex"] == sex)]
    exams = chosen.assign(sex=chosen["sex"].map({"female": "F", "male": "M"})).rename(
        columns={"body_mass_g": "mass_g", "flipper_length_mm": "wing_mm"}
    )
    fit = fit_scaled_mass(exams, size="wing_mm")
    index = fit.index(exams)
    check_fit(fit, index.dropna(), published(case_id))


def test_weak_correlation_of_penguins_warns(penguins):
    """The low correlations of these birds are the case's own caveat."""
    from bodycond.errors import GateWarning

    adelie = penguins.loc[(penguins["species"] == "Adelie") & (penguins["sex"] == "female")]
    exams = adelie.assign(sex="F")
    fit = fit_scaled_mass(exams, size="flipper_length_mm", mass="body_mass_g")
    with pytest.warns(GateWarning, match=r"weak_r: r = 0\.26"):
        fit.index(exams)


@pytest.mark.parametrize("case_id", HAWKS)
def test_hawks_computed_with_r(published, plausible_hawks, case_id):
    exams = plausible_hawks(*HAWKS[case_id])
    fit = fit_scaled_mass(exams, size="wing_mm", by=("species",), pool="as the published case does")
    check_fit(fit, fit.index(exams), published(case_id))


def test_perch(published):
    case = published("lecren_perch")
    exams = pd.DataFrame(
        {"mass_g": case["data"]["weight_g"], "length_cm": case["data"]["length_cm"]}
    )
    fit = fit_scaled_mass(exams, size="length_cm", by=(), pool="one species of fish, unsexed")
    index = fit.index(exams)
    rel = case["tolerance"]["rel"]
    assert index.mean() == pytest.approx(case["expected"]["smi_mean"], rel=rel)
    assert index.iloc[:5].tolist() == pytest.approx(case["expected"]["smi_first5"], rel=rel)


def test_hand_arithmetic(published):
    """100 g at size 10, standard size 12, exponent 3: 100 * 1.2 ** 3."""
    case = published("smi_arithmetic")
    data, expected = case["data"], case["expected"]
    groups = pd.DataFrame(
        {"slope": [data["b_SMA"]], "size0_mm": [data["L0"]], "gates": [""], "usable": [True],
         "reason": [""]}
    )  # fmt: skip
    fit = ScaledMassFit(
        size="size_mm", mass="mass_g", by=(), pool="arithmetic", accept=(), mixed={}, level=0.95,
        groups=groups, excluded=pd.DataFrame(columns=["reason", "n_rows"]),
    )  # fmt: skip
    exams = pd.DataFrame({"mass_g": data["mass"], "size_mm": [data["length"], data["L0"]]})
    assert fit.index(exams).tolist() == pytest.approx(
        [expected["smi"], expected["smi_if_length_equals_L0"]], rel=case["tolerance"]["rel"]
    )


def test_worked_example(published):
    case = published("worked_example_scaled_mass")
    expected = case["expected"]
    exams = pd.DataFrame(case["data"]).assign(species="one", sex="F")
    fit = fit_scaled_mass(exams, size="size_mm", accept=("small_n",))
    group = fit.groups.iloc[0]
    for name in ("r", "slope_ols", "slope", "slope_se", "size_correlation"):
        assert group[name] == pytest.approx(expected[name], abs=5e-6), name
    for name in ("slope_low", "slope_high"):
        assert group[name] == pytest.approx(expected[name], abs=5e-5), name
    assert group["size0_mm"] == pytest.approx(expected["size0_mm"], abs=1e-9)
    with pytest.warns(UserWarning, match="small_n"):
        index = fit.index(exams)
    assert index.tolist() == pytest.approx(expected["index"], abs=0.005)
    built_in = np.corrcoef(np.log(index), np.log(exams["size_mm"]))[0, 1]
    assert built_in == pytest.approx(group["size_correlation"], abs=1e-12)
