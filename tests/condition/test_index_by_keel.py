"""Scaled mass against the grade, with plain mass as the benchmark."""

import numpy as np
import pandas as pd
import pytest

from bodycond.condition import fit_scaled_mass, tabulate_index_by_keel
from bodycond.errors import ArgumentError, MissingColumnError, MixedGroupsError

pytestmark = pytest.mark.filterwarnings("ignore::bodycond.errors.GateWarning")


@pytest.fixture
def exams(make_exams):
    table = pd.concat([make_exams(60), make_exams(3, sex="M", seed=2)], ignore_index=True)
    table.loc[0, "keel"] = np.nan
    table.loc[1, "mass_g"] = np.nan
    table.loc[3, "bird_id"] = table.loc[2, "bird_id"]
    return table


def test_table(exams):
    from scipy.stats import spearmanr

    fit = fit_scaled_mass(exams, size="tarsus_mm")
    result = tabulate_index_by_keel(fit, exams, resamples=200)
    assert result.excluded.to_dict("records") == [
        {"reason": "the group has no usable index", "n_rows": 3},
        {"reason": "mass, size or point grade missing", "n_rows": 2},
        {"reason": "later exam of a bird already counted", "n_rows": 1},
    ]
    assert len(result.points) + result.excluded["n_rows"].sum() == len(exams)
    assert result.grades["n"].sum() == len(result.points) == 57
    correlations = result.correlations.set_index("measure")
    index = fit.index(exams.loc[exams["sex"] == "F"]).loc[result.points["row"]]
    outside = spearmanr(index, exams.loc[result.points["row"], "keel"]).statistic
    assert correlations.loc["scaled mass", "rho"] == pytest.approx(outside, rel=1e-12)
    outside = spearmanr(*exams.loc[result.points["row"], ["mass_g", "keel"]].to_numpy().T).statistic
    assert correlations.loc["mass", "rho"] == pytest.approx(outside, rel=1e-12)
    assert correlations["n"].tolist() == [57, 57]


def test_quartiles_by_grade(exams):
    fit = fit_scaled_mass(exams, size="tarsus_mm")
    result = tabulate_index_by_keel(fit, exams, resamples=100)
    points = result.points.groupby("keel")["scaled_mass_g"]
    grades = result.grades.set_index("keel")
    for column, share in (("quartile_low_g", 0.25), ("median_g", 0.5), ("quartile_high_g", 0.75)):
        assert grades[column].tolist() == pytest.approx(points.quantile(share).tolist())


def test_words(exams):
    fit = fit_scaled_mass(exams, size="tarsus_mm")
    result = tabulate_index_by_keel(fit, exams, resamples=100, seed=4)
    lines = result.summary().splitlines()
    assert lines[0].startswith("Buteo buteo, F: rank correlation of scaled mass with keel ")
    assert "n = 57 birds" in lines[0]
    assert "3 exams left out: the group has no usable index" in lines
    assert "(percentile bootstrap, 100 resamples, seed 4)" in result.methods()


def test_no_usable_group(make_exams):
    exams = make_exams(3)
    result = tabulate_index_by_keel(fit_scaled_mass(exams, size="tarsus_mm"), exams)
    assert result.points.empty
    assert result.correlations.empty
    assert result.excluded["n_rows"].tolist() == [3]
    assert result.summary() == "3 exams left out: the group has no usable index"
    assert result.methods()


@pytest.mark.parametrize("n", [0, 60])
def test_no_grades(make_exams, n):
    exams = make_exams(n)
    fit = fit_scaled_mass(exams, size="tarsus_mm")
    result = tabulate_index_by_keel(fit, exams.assign(keel=np.nan))
    assert result.points.empty
    assert result.grades.empty


def test_one_grade_has_no_correlation(make_exams):
    exams = make_exams(60).assign(keel=3.0)
    result = tabulate_index_by_keel(fit_scaled_mass(exams, size="tarsus_mm"), exams)
    assert result.correlations["rho"].isna().all()
    assert (result.correlations["reason"] == "one of the columns is 3 in all 60 rows").all()


def test_without_groups(make_exams):
    exams = make_exams(60)
    fit = fit_scaled_mass(exams, size="tarsus_mm", by=(), pool="one group")
    result = tabulate_index_by_keel(fit, exams, resamples=100)
    assert "all exams: rank correlation" in result.summary()
    assert list(result.points.columns) == ["keel", "scaled_mass_g", "row"]


def test_mixed_sexes_raise(make_exams):
    exams = pd.concat([make_exams(60), make_exams(60, sex="M", seed=2)])
    fit = fit_scaled_mass(exams, size="tarsus_mm", by=("species",))
    with pytest.raises(MixedGroupsError, match=r"sex pooled \(F, M\)"):
        tabulate_index_by_keel(fit, exams)


@pytest.mark.parametrize(
    ("options", "error", "text"),
    [
        ({"score": "fat"}, MissingColumnError, "The index by keel score needs the column 'fat'"),
        ({"score": "sex"}, ArgumentError, "The index by keel score needs numbers"),
        ({"resamples": 5}, ArgumentError, "Found: resamples=5"),
        ({"level": 2}, ArgumentError, "Found: level=2"),
    ],
)
def test_impossible_calls(make_exams, options, error, text):
    exams = make_exams(60)
    with pytest.raises(error, match=text):
        tabulate_index_by_keel(fit_scaled_mass(exams, size="tarsus_mm"), exams, **options)


def test_exams_are_left_alone(make_exams):
    exams = make_exams(60).set_axis([1] * 60)
    before = exams.copy(deep=True)
    result = tabulate_index_by_keel(fit_scaled_mass(exams, size="tarsus_mm"), exams, resamples=100)
    pd.testing.assert_frame_equal(exams, before)
    assert len(result.points) == 60
