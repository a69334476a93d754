"""Weighted kappa and its standard errors against published tables, and against scikit-learn."""

import numpy as np
import pytest

from bodycond.agreement import compare_two_scorers, weighted_kappa
from bodycond.scales import KEEL_SCALE, ScoreScale

WHOLE = ScoreScale(name="1 to 5", low=1, high=5, step=1)


def expand(table):
    """Turn a table of counts into two columns of grades 1, 2, ..."""
    counts = np.asarray(table)
    first, second = np.indices(counts.shape) + 1
    repeats = counts.ravel()
    return (
        np.repeat(first.ravel(), repeats).astype(float),
        np.repeat(second.ravel(), repeats).astype(float),
        ScoreScale(name="categories", low=1, high=counts.shape[0], step=1),
    )


def kappa_of(case, weights):
    first, second, scale = expand(case["data"]["table"])
    return weighted_kappa(first, second, weights=weights, scale=scale, interval="analytic")


@pytest.mark.parametrize(
    ("case_id", "weights"),
    [
        ("kappa_agresti_carcinoma", "unweighted"),
        ("kappa_agresti_carcinoma_quadratic", "quadratic"),
        ("kappa_ms_winnipeg", "unweighted"),
    ],
)
def test_kappa_with_both_standard_errors_and_interval(published, case_id, weights):
    case = published(case_id)
    expected, rel = case["expected"], case["tolerance"]["rel"]
    kappa = kappa_of(case, weights)
    assert kappa.observed == pytest.approx(expected["po"], rel=rel)
    assert kappa.expected == pytest.approx(expected["pe"], rel=rel)
    assert kappa.value == pytest.approx(expected["kappa"], rel=rel)
    assert kappa.se == pytest.approx(expected["se"], rel=rel)
    assert kappa.se_null == pytest.approx(expected["se0_null"], rel=rel)
    assert kappa.low == pytest.approx(expected["ci95_lower"], rel=rel)
    assert kappa.high == pytest.approx(expected["ci95_upper"], rel=rel)
    assert kappa.n == np.sum(case["data"]["table"])


@pytest.mark.parametrize("case_id", ["kappa_ms_winnipeg_weighted", "kappa_sexualfun_weighted"])
@pytest.mark.parametrize("weights", ["linear", "quadratic"])
def test_linear_and_quadratic_kappa(published, case_id, weights):
    case = published(case_id)
    kappa = kappa_of(case, weights)
    rel = case["tolerance"]["rel"]
    assert kappa.value == pytest.approx(case["expected"][f"{weights}_kappa"], rel=rel)
    assert kappa.se == pytest.approx(case["expected"][f"{weights}_se"], rel=rel)


def test_unweighted_kappa_of_the_couples(published):
    case = published("kappa_sexualfun_weighted")
    kappa = kappa_of(case, "unweighted")
    rel = case["tolerance"]["rel"]
    assert kappa.value == pytest.approx(case["expected"]["kappa"], rel=rel)
    assert kappa.se == pytest.approx(case["expected"]["se"], rel=rel)
    assert f"{kappa.value:.4f}" == case["published"]["kappa"]
    assert f"{kappa.se:.4f}" == case["published"]["se"]


def test_cohen_1968_with_own_weights(published):
    """Cohen's own standard error (.090) was shown wrong in 1969, so the 1969 one is tested."""
    case = published("wkappa_cohen1968")
    expected, rel = case["expected"], case["tolerance"]["rel"]
    disagreement = np.array(case["data"]["disagreement_weights"], dtype=float)
    kappa = kappa_of(case, 1 - disagreement / disagreement.max())
    assert kappa.value == pytest.approx(expected["kappa_w"], rel=rel)
    assert kappa.se == pytest.approx(expected["se_fce1969"], rel=rel)
    assert kappa.se_null == pytest.approx(expected["se0_fce1969"], rel=rel)
    assert kappa.weights == "custom"
    plain = kappa_of(case, "unweighted")
    assert plain.value == pytest.approx(expected["kappa_unweighted"], rel=rel)


def test_fleiss_cohen_everitt_1969(published):
    case = published("wkappa_fce1969")
    expected, rel = case["expected"], case["tolerance"]["rel"]
    kappa = kappa_of(case, np.array(case["data"]["agreement_weights"]))
    assert kappa.observed == pytest.approx(expected["po_w"], rel=rel)
    assert kappa.expected == pytest.approx(expected["pe_w"], rel=rel)
    assert kappa.value == pytest.approx(expected["kappa_w"], rel=rel)
    assert kappa.se**2 == pytest.approx(expected["var"], rel=rel)
    assert kappa.se_null**2 == pytest.approx(expected["var0"], rel=rel)
    plain = kappa_of(case, "unweighted")
    assert plain.value == pytest.approx(expected["kappa_unweighted"], rel=rel)
    assert plain.se == pytest.approx(expected["se_unweighted"], rel=rel)
    assert plain.se_null == pytest.approx(expected["se0_unweighted"], rel=rel)


def test_worked_example(published):
    case = published("worked_example_kappa")
    expected, absolute = case["expected"], case["tolerance"]["abs"]
    first, second = case["data"]["first"], case["data"]["second"]
    for weights in ("unweighted", "linear", "quadratic"):
        kappa = weighted_kappa(first, second, weights=weights, scale=WHOLE, interval="analytic")
        assert kappa.value == pytest.approx(expected[weights], abs=absolute)
        if weights != "unweighted":
            assert kappa.se == pytest.approx(expected[f"{weights}_se"], abs=absolute)
    assert kappa.low == pytest.approx(expected["analytic_low"], abs=5e-4)
    assert kappa.high == pytest.approx(expected["analytic_high"], abs=5e-4)
    companions = compare_two_scorers(first, second, scale=WHOLE).to_frame().set_index("statistic")
    assert companions.loc["exact agreement", "value"] == pytest.approx(expected["exact"])
    within_one = companions.loc["agreement within one grade", "value"]
    assert within_one == pytest.approx(expected["within_one"])
    signed = "mean signed difference in grades, second minus first"
    assert companions.loc[signed, "value"] == pytest.approx(expected["signed"], abs=1e-12)


def test_half_grades_count_by_value(published):
    case = published("half_grades_by_value")
    kappa = weighted_kappa(case["data"]["first"], case["data"]["second"], interval="analytic")
    assert kappa.value == pytest.approx(case["expected"]["quadratic"], abs=5e-5)


def test_unused_grades_count(published):
    case = published("unused_grades_count")
    kappa = weighted_kappa(
        case["data"]["first"], case["data"]["second"], scale=WHOLE, interval="analytic"
    )
    assert kappa.value == pytest.approx(case["expected"]["quadratic"], abs=5e-4)


@pytest.mark.parametrize(("weights", "name"), [("linear", "linear"), ("quadratic", "quadratic")])
def test_against_scikit_learn_on_the_keel_scale(weights, name):
    """Nine grades with halves; scikit-learn is told all of them, as codes."""
    from sklearn.metrics import cohen_kappa_score

    generator = np.random.default_rng(11)
    truth = generator.integers(0, 9, 200)
    first = np.clip(truth + generator.integers(-1, 2, 200), 0, 8)
    second = np.clip(truth + generator.integers(-2, 3, 200), 0, 8)
    grades = KEEL_SCALE.values
    kappa = weighted_kappa(grades[first], grades[second], weights=weights, interval="analytic")
    outside = cohen_kappa_score(first, second, labels=list(range(9)), weights=name)
    assert kappa.value == pytest.approx(outside, rel=1e-12)


@pytest.mark.parametrize("weights", ["unweighted", "linear", "quadratic"])
def test_standard_errors_against_statsmodels(weights):
    from statsmodels.stats.inter_rater import cohens_kappa

    generator = np.random.default_rng(5)
    first = generator.integers(1, 6, 150).astype(float)
    second = np.clip(first + generator.integers(-1, 2, 150), 1, 5)
    ours = weighted_kappa(first, second, weights=weights, scale=WHOLE, interval="analytic")
    table = np.zeros((5, 5))
    np.add.at(table, (first.astype(int) - 1, second.astype(int) - 1), 1)
    name = {"unweighted": None, "linear": "linear", "quadratic": "quadratic"}[weights]
    theirs = cohens_kappa(table, wt=name)
    assert ours.value == pytest.approx(theirs.kappa, rel=1e-12)
    assert ours.se == pytest.approx(theirs.std_kappa, rel=1e-10)
    assert ours.se_null == pytest.approx(theirs.std_kappa0, rel=1e-10)
