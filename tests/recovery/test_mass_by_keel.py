"""Mass by keel score: the slope drawn with lies in its interval, birds repeated or not.

The accepted band is the binomial one of 99.9 % about the nominal 95 %: 274 to 296 of 300 runs. The
runs are groups of one table, which is how a study fits many groups.
"""

import numpy as np
import pandas as pd
import pytest

from bodycond.condition import fit_mass_by_keel

RUNS = 300
SLOPE, INTERCEPT, BIRD_SD, EXAM_SD = 0.08, 5.0, 0.08, 0.04
BY = ("species", "sex", "run")


def draw(birds, exams_each, *, seed):
    """Exams of all runs: each bird keeps to a level and is graded a step about it."""
    generator = np.random.default_rng(seed)
    bird = np.repeat(np.arange(RUNS * birds), exams_each)
    level = generator.integers(2, 5, RUNS * birds)[bird]
    keel = level + generator.integers(-1, 2, bird.size).astype(float)
    log_mass = INTERCEPT + SLOPE * keel + BIRD_SD * generator.normal(size=RUNS * birds)[bird]
    log_mass += EXAM_SD * generator.normal(size=bird.size)
    return pd.DataFrame(
        {"species": "Buteo buteo", "sex": "F", "run": bird // birds, "bird_id": bird,
         "keel": keel, "mass_g": np.exp(log_mass)}
    )  # fmt: skip


def count_held(low, high, truth):
    return int(((low <= truth) & (truth <= high)).sum())


@pytest.mark.parametrize("exams_each", [1, 3])
def test_intervals_hold_slope_mean_and_next_bird(exams_each):
    from scipy.stats import binom

    fit = fit_mass_by_keel(draw(40, exams_each, seed=1), by=BY)
    slopes = fit.coefficients.loc[fit.coefficients["term"] == "keel"]
    at_three = fit.expected.loc[fit.expected["keel"] == 3]
    assert len(slopes) == len(at_three) == RUNS
    next_log = (
        INTERCEPT
        + 3 * SLOPE
        + np.hypot(BIRD_SD, EXAM_SD) * np.random.default_rng(2).normal(size=RUNS)
    )
    low, high = binom.ppf([0.0005, 0.9995], RUNS, 0.95)
    for held in (
        count_held(slopes["low"], slopes["high"], SLOPE),
        count_held(at_three["low"], at_three["high"], np.exp(INTERCEPT + 3 * SLOPE)),
        count_held(at_three["predict_low"], at_three["predict_high"], np.exp(next_log)),
    ):
        assert low <= held <= high
    spread = slopes["estimate"].std()
    assert slopes["estimate"].mean() == pytest.approx(SLOPE, abs=4 * spread / np.sqrt(RUNS))
    # The standard deviation of 300 slopes is known to 1 / sqrt(600) = 4 %; 3.3 of them is 13.5 %.
    assert slopes["se"].mean() == pytest.approx(spread, rel=0.135)


def test_exams_taken_for_birds_find_an_effect_that_is_not_there():
    """Naive mistake 6: 10 birds ten times, no effect: most tests at 5 % find one.

    With the birds named a fraction does. It is still above 5 %, since a sandwich of 10 birds is
    too narrow, which is why the fit says that 10 birds are few.
    """
    generator = np.random.default_rng(10)
    bird = np.repeat(np.arange(RUNS * 10), 10)
    keel = np.tile(np.resize([2.0, 3, 4], 10), RUNS)[bird]
    log_mass = 5 + 0.1 * generator.normal(size=RUNS * 10)[bird]
    log_mass += 0.02 * generator.normal(size=bird.size)
    exams = pd.DataFrame(
        {"species": "a", "sex": "F", "run": bird // 10, "bird_id": bird,
         "keel": keel, "mass_g": np.exp(log_mass)}
    )  # fmt: skip
    found = {}
    for label in ("bird_id", "no such column"):
        fit = fit_mass_by_keel(exams, by=BY, bird=label)
        slopes = fit.coefficients.loc[fit.coefficients["term"] == "keel"]
        found[label] = 1 - count_held(slopes["low"], slopes["high"], 0.0) / RUNS
        if label == "bird_id":
            assert fit.groups["standard_errors"].unique().tolist() == [
                "clustered by bird; 10 birds are few, intervals may be too narrow"
            ]
    assert found["no such column"] > 0.5
    assert found["bird_id"] < 0.2
