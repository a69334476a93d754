"""Points and lines of log mass on log size."""

import numpy as np
import pandas as pd
import pytest

from bodycond.condition import collect_mass_on_size, fit_scaled_mass
from bodycond.errors import ArgumentError, MissingColumnError


def test_points_and_lines(make_exams):
    exams = pd.concat([make_exams(30), make_exams(20, sex="M", seed=2)], ignore_index=True)
    exams.loc[[0, 31], "mass_g"] = [np.nan, -1]
    exams.loc[1, "sex"] = None
    exams.loc[3, "bird_id"] = exams.loc[2, "bird_id"]
    fit = fit_scaled_mass(exams, size="tarsus_mm")
    drawn = collect_mass_on_size(fit, exams)
    assert len(drawn.points) == 47
    assert drawn.n_missing == 3
    assert drawn.points.loc[~drawn.points["in_line"], "row"].tolist() == [3]
    assert drawn.points.groupby("sex")["in_line"].sum().tolist() == fit.groups["n"].tolist()
    assert drawn.points["mass_g"].tolist() == exams.loc[drawn.points["row"], "mass_g"].tolist()
    lines = drawn.lines.set_index("sex")
    for sex, points in drawn.points.groupby("sex"):
        assert lines.loc[sex, "size_from_mm"] == points["size_mm"].min()
        assert lines.loc[sex, "size_to_mm"] == points["size_mm"].max()
    assert lines["slope"].tolist() == fit.groups["slope"].tolist()
    assert "3 exams left out" in drawn.summary()
    assert "standardised major axis" in drawn.methods()


def test_without_groups_and_without_a_line(make_exams):
    exams = make_exams(6).assign(mass_g=500.0)
    fit = fit_scaled_mass(exams, size="tarsus_mm", by=(), pool="one group")
    drawn = collect_mass_on_size(fit, exams)
    assert drawn.lines["size_from_mm"].tolist() == [exams["tarsus_mm"].min()]
    assert "all exams: log mass_g does not vary" in drawn.summary()


@pytest.mark.parametrize("n", [0, 4])
def test_nothing_to_draw(make_exams, n):
    exams = make_exams(n).assign(mass_g=np.nan)
    fit = fit_scaled_mass(exams, size="tarsus_mm")
    drawn = collect_mass_on_size(fit, exams)
    assert drawn.points.empty
    assert drawn.n_missing == n
    assert len(drawn.lines) == min(n, 1)
    assert drawn.lines["size_from_mm"].isna().all()


def test_new_birds_of_other_groups_are_points_without_a_line(make_exams):
    fit = fit_scaled_mass(make_exams(30), size="tarsus_mm")
    drawn = collect_mass_on_size(fit, make_exams(5, sex="M", seed=2))
    assert drawn.points["sex"].unique().tolist() == ["M"]
    assert drawn.lines["sex"].tolist() == ["F"]
    assert drawn.lines["size_from_mm"].isna().all()


def test_impossible_calls(make_exams):
    exams = make_exams(30)
    fit = fit_scaled_mass(exams, size="tarsus_mm")
    with pytest.raises(MissingColumnError, match="Mass on size needs the column 'tarsus_mm'"):
        collect_mass_on_size(fit, exams.drop(columns="tarsus_mm"))
    with pytest.raises(ArgumentError, match="Mass on size needs numbers"):
        collect_mass_on_size(fit, exams.assign(mass_g="heavy"))


def test_exams_are_left_alone(make_exams):
    exams = make_exams(30).set_axis([1] * 30)
    before = exams.copy(deep=True)
    drawn = collect_mass_on_size(fit_scaled_mass(exams, size="tarsus_mm"), exams)
    pd.testing.assert_frame_equal(exams, before)
    frame = drawn.to_frame()
    frame["size_mm"] = 0
    assert (drawn.points["size_mm"] > 0).all()
