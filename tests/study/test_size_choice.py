"""The size is the measure that goes best with mass, among those that were taken often enough."""

import numpy as np
import pandas as pd
import pytest

from bodycond.study.size_choice import choose_size, compare_sizes


@pytest.fixture
def exams():
    random = np.random.default_rng(11)
    n = 60
    log_size = random.normal(0, 0.05, n)
    return pd.DataFrame(
        {
            "bird_id": [f"B{bird}" for bird in range(n)],
            "species": "Buteo buteo",
            "sex": "F",
            "mass_g": 900 * np.exp(3 * log_size + random.normal(0, 0.05, n)),
            "tarsus_mm": 76 * np.exp(log_size + random.normal(0, 0.06, n)),
            "wing_mm": 390 * np.exp(log_size + random.normal(0, 0.01, n)),
        }
    )


def choose(exams):
    return choose_size(compare_sizes(exams, level=0.95), exams)


def test_the_best_correlated_measure_is_chosen(exams):
    assert choose(exams) == "wing_mm"


def test_a_measure_taken_in_fewer_than_half_of_the_weighed_birds_is_not(exams):
    exams.loc[:30, "wing_mm"] = np.nan
    assert choose(exams) == "tarsus_mm"
    # Half of the birds that were weighed have a wing, 29 of 58.
    exams.loc[:1, "mass_g"] = np.nan
    assert choose(exams) == "wing_mm"


def test_with_few_birds_bones_come_before_feathers(exams):
    assert choose(exams.head(10)) == "tarsus_mm"


def test_a_measure_that_does_not_vary_is_not_the_best(exams):
    assert choose(exams.assign(wing_mm=390.0)) == "tarsus_mm"


def test_no_measure(exams):
    assert choose(exams.drop(columns=["wing_mm", "tarsus_mm"])) is None
    assert choose(exams.assign(wing_mm=np.nan, tarsus_mm=np.nan)) is None
