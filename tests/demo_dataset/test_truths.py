"""The estimands in truths.json: recomputed from other birds, and against closed forms."""

from __future__ import annotations

import json

import numpy as np
import pytest
from scipy.stats import f, multivariate_normal, norm, t

N_BIRDS = 40_000
N_BATCHES = 10
OTHER_SEED = 977
CUTS = np.array([-1.6, -0.6, 0.5, 1.6])
NOISE_SD = 0.45


@pytest.fixture(scope="module")
def truths(demo):
    return json.loads((demo / "truths.json").read_text(encoding="utf-8"))


def list_estimates(truths) -> dict[tuple[str, ...], tuple[float, float]]:
    """Every estimand that has a standard error, by its path, with that error."""
    found = {}

    def walk(node, path):
        if isinstance(node, dict):
            for name, error in node.get("monte_carlo_se", {}).items():
                found[(*path, name)] = (node[name], error)
            for key, value in node.items():
                walk(value, (*path, key))
        elif isinstance(node, list):
            for position, value in enumerate(node):
                walk(value, (*path, str(position)))

    walk({"groups": truths["groups"], "agreement": truths["agreement"]}, ())
    return found


def find_group(truths, species: str, sex: str):
    return next(g for g in truths["groups"] if (g["species"], g["sex"]) == (species, sex))


def test_estimands_come_back_from_other_birds(truths, script):
    """The gap is a t with 9 degrees of freedom, as errors come from ten batches of each."""
    again = list_estimates(script("truths").compute_truths(n=N_BIRDS, seed=OTHER_SEED))
    kept = list_estimates(truths)
    assert again.keys() == kept.keys()
    assert len(kept) > 400
    limit = t.ppf(1 - 0.001 / (2 * len(kept)), N_BATCHES - 1)
    far = {
        path: (value, again[path])
        for path, (value, error) in kept.items()
        if abs(value - again[path][0]) > limit * np.hypot(error, again[path][1])
    }
    assert not far


def test_estimands_are_exact_enough_to_judge_a_study_by(truths):
    for path, (value, error) in list_estimates(truths).items():
        if path[-1] in ("sma_slope", "ols_slope", "per_cent_per_grade"):
            assert error < 0.005 * abs(value), path


def test_constants_are_those_of_the_scenario(truths):
    constants = truths["constants"]
    assert truths["n_birds_per_group"] == 1_000_000
    assert constants["size_exponent"] == 2.6
    assert constants["cutpoints"] == CUTS.tolist()
    assert constants["rating_noise_sd"] == NOISE_SD
    usable = {"Falco tinnunculus", "Buteo buteo", "Strix aluco"}
    for kind in constants["species"]:
        expected = (0.045, 0.08) if kind["name"] in usable else (0.025, 0.11)
        assert (kind["size_sd"], kind["condition_effect"]) == expected
    severities = {one["code"]: one["severity"] for one in constants["scorers"]}
    assert severities == {"S01": 0, "S02": 0.4, "S03": 0, "S04": 0, "S05": 0, "S06": 0}


@pytest.mark.parametrize("sex", ["F", "M"])
@pytest.mark.parametrize(
    ("species", "size_sd", "condition_effect"),
    [("Buteo buteo", 0.045, 0.08), ("Tyto alba", 0.025, 0.11)],
)
def test_slopes_agree_with_algebra(truths, species, sex, size_sd, condition_effect):
    """Whether the wing was measured, and S01's grade, depend on nothing else that moves mass."""
    sample = find_group(truths, species, sex)["samples"]["every_exam"]
    wing = sample["size"]["wing_mm"]
    expected = 2.6 * size_sd**2 / (size_sd**2 + 0.007**2)
    assert abs(wing["ols_slope"] - expected) < 5 * wing["monte_carlo_se"]["ols_slope"]
    keel = sample["keel"]["S01"]
    slope = condition_effect * covary_condition_and_grade() / vary_grade()
    assert abs(keel["slope"] - slope) < 5 * keel["monte_carlo_se"]["slope"]


def covary_condition_and_grade() -> float:
    spread = np.hypot(1.0, NOISE_SD)
    return float((norm.pdf(CUTS / spread) / spread).sum())


def vary_grade() -> float:
    edges = np.r_[-np.inf, CUTS, np.inf]
    shares = np.diff(norm.cdf(edges, scale=np.hypot(1.0, NOISE_SD)))
    grades = np.arange(1, 6)
    return float((shares * grades**2).sum() - (shares * grades).sum() ** 2)


def test_kappa_of_peers_agrees_with_the_bivariate_normal(truths):
    spread = 1.0 + NOISE_SD**2
    both = multivariate_normal(cov=[[spread, 1.0], [1.0, spread]])
    edges = np.r_[-20.0, CUTS, 20.0]
    below = np.array([[both.cdf([a, b]) for b in edges] for a in edges])
    observed = np.diff(np.diff(below, axis=0), axis=1)
    expected = np.outer(observed.sum(axis=1), observed.sum(axis=0))
    distance = np.abs(np.subtract.outer(np.arange(5), np.arange(5)))
    found = truths["agreement"]["peers"]
    for name, weight in (
        ("unweighted", distance > 0), ("linear", distance), ("quadratic", distance**2),
    ):  # fmt: skip
        kappa = 1 - (weight * observed).sum() / (weight * expected).sum()
        assert abs(found[name] - kappa) < 5 * found["monte_carlo_se"][name]


def test_groups_meant_to_be_usable_are_and_the_others_are_not(truths):
    for group in truths["groups"]:
        tarsus = group["samples"]["adult_exam"]["size"]["tarsus_mm"]
        if group["species"] in ("Accipiter nisus", "Tyto alba"):
            assert tarsus["sma_slope"] > 5.0
            assert tarsus["r"] < 0.5
        else:
            assert 3.0 < tarsus["sma_slope"] < 3.6
            assert tarsus["r"] > 0.7


def test_expected_mass_rises_with_every_grade(truths):
    for group in truths["groups"]:
        for sample in group["samples"].values():
            lines = sample["keel"]["S01"]["by_grade"]
            assert [line["keel"] for line in lines] == [1, 2, 3, 4, 5]
            assert (np.diff([line["median_mass_g"] for line in lines]) > 0).all()
            assert sum(line["share"] for line in lines) == pytest.approx(1.0, abs=1e-5)


def test_truths_are_the_same_when_computed_twice(script):
    compute = script("truths").compute_group
    assert compute(2, n=2000, seed=5) == compute(2, n=2000, seed=5)


def choose_exams(exams, *, species: str, sex: str, sample: str):
    """The exams of a group that a study of this sample would take."""
    chosen = exams[(exams["species"] == species) & (exams["sex"] == sex)]
    if sample != "every_exam":
        chosen = chosen[chosen["age_class"] == "adult"]
    if sample == "adult_empty_crop":
        chosen = chosen[chosen["crop_fill"].isin(["0", "1", "no_crop"])]
        chosen = chosen[chosen["gravid"] != True]  # noqa: E712  (missing counts as not gravid)
    return chosen


def test_the_seed_is_one_whose_intervals_all_hold_their_estimand(truths, true_exams):
    """What the README says of the seed, by formulas that owe nothing to the package."""
    n_intervals, missed = 0, []
    for group in truths["groups"]:
        for sample, estimands in group["samples"].items():
            exams = choose_exams(
                true_exams, species=group["species"], sex=group["sex"], sample=sample
            )
            intervals = [
                (find_keel_interval(exams), estimands["keel"]["random_scorer"]["slope"]),
                *(
                    (find_axis_interval(exams, size=size), estimands["size"][size]["sma_slope"])
                    for size in ("tarsus_mm", "wing_mm")
                ),
            ]
            for interval, estimand in intervals:
                if interval is not None:
                    n_intervals += 1
                    if not interval[0] < estimand < interval[1]:
                        missed.append((group["species"], group["sex"], sample, estimand))
    assert n_intervals > 60
    assert not missed


def find_keel_interval(exams) -> tuple[float, float] | None:
    """95 % interval of the slope of ln mass on grade, cluster-robust by bird."""
    graded = exams.dropna(subset=["mass_g", "keel"])
    if graded["bird_id"].nunique() < 10:
        return None
    x = np.column_stack([np.ones(len(graded)), graded["keel"]])
    y = np.log(graded["mass_g"].to_numpy())
    bread = np.linalg.inv(x.T @ x)
    beta = bread @ x.T @ y
    scores, owner = x * (y - x @ beta)[:, None], graded["bird_id"].to_numpy()
    birds = np.unique(owner)
    sums = np.array([scores[owner == bird].sum(axis=0) for bird in birds])
    n, g = len(y), len(birds)
    cover = bread @ (sums.T @ sums) @ bread * g / (g - 1) * (n - 1) / (n - 2)
    half = t.ppf(0.975, g - 1) * np.sqrt(cover[1, 1])
    return beta[1] - half, beta[1] + half


def find_axis_interval(exams, *, size: str) -> tuple[float, float] | None:
    """95 % interval of the standardised major axis at each bird's first exam."""
    measured = exams.drop_duplicates("bird_id").dropna(subset=["mass_g", size])
    n = len(measured)
    if n < 10:
        return None
    x, y = np.log(measured[size]), np.log(measured["mass_g"])
    r, slope = np.corrcoef(x, y)[0, 1], y.std() / x.std()
    b = f.ppf(0.95, 1, n - 2) * (1 - r**2) / (n - 2)
    return slope * (np.sqrt(b + 1) - np.sqrt(b)), slope * (np.sqrt(b + 1) + np.sqrt(b))
