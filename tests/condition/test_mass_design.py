"""From exams to a design matrix."""

import numpy as np
import pandas as pd
import pytest

from bodycond.condition.mass_design import build_design
from bodycond.scales import KEEL_SCALE


@pytest.fixture
def build():
    def call(exams, **changed):
        settings = {
            "mass": "mass_g", "score": "keel", "response": "log_mass", "form": "linear",
            "bird": "bird_id", "covariates": (), "scale": KEEL_SCALE,
        } | changed  # fmt: skip
        return build_design(pd.DataFrame(exams), **settings)

    return call


EXAMS = {"keel": [2.0, 4, 4, 2.5], "mass_g": [400.0, 500, 520, 420]}


def test_linear(build):
    design = build(EXAMS)
    assert design.matrix.tolist() == [[1, 2], [1, 4], [1, 4], [1, 2.5]]
    assert design.terms == ["intercept", "keel"]
    assert design.response.tolist() == np.log(EXAMS["mass_g"]).tolist()
    assert design.expected_grades.tolist() == [2, 2.5, 3, 4]
    assert design.at_grades.tolist() == [[1, 2], [1, 2.5], [1, 3], [1, 4]]
    assert design.count_at_grades().tolist() == [1, 1, 0, 2]


def test_factor(build):
    design = build(EXAMS, form="factor", response="mass")
    assert design.terms == ["intercept", "keel[2.5]", "keel[4]"]
    assert design.matrix.tolist() == [[1, 0, 0], [1, 0, 1], [1, 0, 1], [1, 1, 0]]
    assert design.at_grades.tolist() == [[1, 0, 0], [1, 1, 0], [1, 0, 1]]
    assert design.response.tolist() == EXAMS["mass_g"]
    assert not design.log


def test_birds(build):
    design = build(EXAMS | {"bird_id": ["x", "x", "y", None]})
    assert design.clusters.tolist() == [0, 0, 1, 2]
    assert (design.n_birds, design.birds_repeat) == (3, True)
    assert design.count_birds_at_grades().tolist() == [1, 1, 0, 2]
    assert not build(EXAMS).birds_repeat


def test_numbers_levels_and_flags_as_covariates(build):
    exams = EXAMS | {
        "wing_mm": [1, 2, 3, 4], "site": ["b", "a", "b", "c"], "in_moult": [True, False, True, True]
    }  # fmt: skip
    design = build(exams, covariates=("wing_mm", "site", "in_moult"))
    assert design.terms[2:] == ["wing_mm", "site[a]", "site[c]", "in_moult[False]"]
    assert design.matrix[:, 2:].tolist() == [[1, 0, 0, 0], [2, 1, 0, 1], [3, 0, 0, 0], [4, 0, 1, 0]]
    assert (design.at_grades[:, 2:] == [2.5, 0, 0, 0]).all()


def test_levels_in_equal_number_are_based_on_the_first_by_name(build):
    design = build(EXAMS | {"site": ["b", "a", "b", "a"]}, covariates=("site",))
    assert design.terms[2:] == ["site[b]"]


def test_nullable_columns(build):
    exams = {
        "keel": pd.Series([2, None, 4, 3], dtype="Float64"),
        "mass_g": pd.Series([400, 500, None, 420], dtype="Int64"),
        "wing_mm": pd.Series([390, 380, 400, 385], dtype="Int64"),
    }
    design = build(exams, covariates=("wing_mm",))
    assert design.grades.tolist() == [2, 3]
    assert design.left_out == {"keel missing": 1, "mass_g missing or not positive": 1}
    assert design.rows.tolist() == [0, 3]


def test_nothing_left(build):
    design = build({"keel": [np.nan], "mass_g": [1.0], "site": ["a"]}, covariates=("site",))
    assert design.matrix.shape == (0, 2)
    assert (design.n_birds, design.birds_repeat) == (0, False)
    assert design.count_at_grades().size == 0
    assert design.left_out == {"keel missing": 1}
