"""The scaled mass index: exponents by group, gates, refusals, what is left out."""

import re
import warnings

import numpy as np
import pandas as pd
import pytest

from bodycond.condition import fit_scaled_mass
from bodycond.errors import (
    ArgumentError,
    DegenerateDataError,
    GateWarning,
    MissingColumnError,
    MixedGroupsError,
)
from bodycond.statistics.lines import fit_line

MIXED_NEEDED = "The scaled mass index needs species and sexes apart, or a reason to pool them"
MIXED_CURE = 'Add them to by=, or give the reason in words: pool="..."'


@pytest.fixture
def both_sexes(make_exams):
    return pd.concat([make_exams(), make_exams(sex="M", seed=2)], ignore_index=True)


def group_of(fit, **keys):
    rows = fit.groups
    for name, value in keys.items():
        rows = rows.loc[rows[name] == value]
    (row,) = rows.to_dict("records")
    return row


def test_each_group_has_its_own_line(both_sexes):
    fit = fit_scaled_mass(both_sexes, size="tarsus_mm")
    for sex in "FM":
        chosen = both_sexes.loc[both_sexes["sex"] == sex]
        line = fit_line(np.log(chosen["tarsus_mm"]), np.log(chosen["mass_g"]))
        group = group_of(fit, sex=sex)
        assert group["slope"] == line.slope
        assert (group["slope_low"], group["slope_high"]) == (line.slope_low, line.slope_high)
        assert group["size0_mm"] == pytest.approx(chosen["tarsus_mm"].mean(), rel=1e-14)
        assert (group["n"], group["usable"]) == (40, True)


def test_index_is_the_formula(both_sexes):
    fit = fit_scaled_mass(both_sexes, size="tarsus_mm", accept="wide_slope")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", GateWarning)
        index = fit.index(both_sexes)
    assert index.name == "scaled_mass_g"
    for row in (0, 41):
        bird = both_sexes.iloc[row]
        group = group_of(fit, sex=bird["sex"])
        written_out = bird["mass_g"] * (group["size0_mm"] / bird["tarsus_mm"]) ** group["slope"]
        assert index.iloc[row] == pytest.approx(written_out, rel=1e-14)


def test_a_good_fit_is_silent(make_exams):
    exams = make_exams(200)
    fit = fit_scaled_mass(exams, size="tarsus_mm")
    assert fit.groups["gates"].tolist() == [""]
    fit.index(exams)


def test_index_of_new_birds_keeps_the_fitted_exponent_and_size(make_exams):
    old, new = make_exams(200), make_exams(5, seed=9)
    fit = fit_scaled_mass(old, size="tarsus_mm")
    group = fit.groups.iloc[0]
    expected = new["mass_g"] * (group["size0_mm"] / new["tarsus_mm"]) ** group["slope"]
    pd.testing.assert_series_equal(fit.index(new), expected, check_names=False)


def test_built_in_correlation_with_size(make_exams):
    """Naive mistake 9: the index is not independent of size where the line is its own."""
    for noise in (0.02, 0.1, 0.3):
        exams = make_exams(300, noise=noise)
        fit = fit_scaled_mass(exams, size="tarsus_mm")
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", GateWarning)
            index = fit.index(exams)
        group = fit.groups.iloc[0]
        seen = np.corrcoef(np.log(index), np.log(exams["tarsus_mm"]))[0, 1]
        assert group["size_correlation"] == pytest.approx(-np.sqrt((1 - group["r"]) / 2), rel=1e-12)
        assert seen == pytest.approx(group["size_correlation"], abs=1e-10)
        assert f"log size {group['size_correlation']:.2f}" in fit.summary()


def test_built_in_correlation_where_heavy_birds_are_small(make_exams):
    exams = make_exams(100, exponent=-2.6)
    fit = fit_scaled_mass(exams, size="tarsus_mm")
    with pytest.warns(GateWarning, match="odd_slope"):
        index = fit.index(exams)
    seen = np.corrcoef(np.log(index), np.log(exams["tarsus_mm"]))[0, 1]
    assert seen > 0
    assert fit.groups["size_correlation"].iloc[0] == pytest.approx(seen, abs=1e-10)


def test_pooled_sexes_raise():
    """Naive mistake 1: each sex has r = -1, pooled they have r = +0.42."""
    exams = pd.DataFrame(
        {"species": "one", "sex": list("FFFMMM"), "mass_g": [270.0, 280, 290, 130, 140, 150],
         "tarsus_mm": [4.0, 3, 2, 3, 2, 1]}
    )  # fmt: skip
    assert fit_line(exams["tarsus_mm"], exams["mass_g"]).r == pytest.approx(0.42, abs=0.01)
    fit = fit_scaled_mass(exams, size="tarsus_mm", by=("species",))
    message = f"{MIXED_NEEDED}. Found: sex pooled (F, M). {MIXED_CURE}."
    with pytest.raises(MixedGroupsError, match=f"^{re.escape(message)}$"):
        fit.index(exams)
    assert not fit.usable_rows(exams).any()


def test_pooling_with_a_reason_is_printed(both_sexes):
    fit = fit_scaled_mass(
        both_sexes, size="tarsus_mm", by="species", pool="the sexes are alike in this species"
    )
    assert fit.index(both_sexes).notna().all()
    assert "Pooled, because: the sexes are alike in this species" in fit.summary()
    assert "pooled because: the sexes are alike in this species." in fit.methods()


def test_a_fit_of_one_sex_refuses_the_other(make_exams):
    hens, cocks = make_exams(60), make_exams(10, sex="M", seed=2)
    fit = fit_scaled_mass(hens, size="tarsus_mm", by=("species",), accept=("wide_slope",))
    assert fit.only == {"sex": "F"}
    both = pd.concat([hens.iloc[:3], cocks], ignore_index=True)
    message = f"{MIXED_NEEDED}. Found: fitted to sex F, asked for 10 exams of others. {MIXED_CURE}."
    with pytest.raises(MixedGroupsError, match=f"^{re.escape(message)}$"):
        fit.index(both)
    assert fit.usable_rows(both).tolist() == [True] * 3 + [False] * 10
    message = (
        f"{MIXED_NEEDED}. Found: fitted to sex F, and no column 'sex' to tell others by. "
        f"{MIXED_CURE}."
    )
    with pytest.raises(MixedGroupsError, match=f"^{re.escape(message)}$"):
        fit.index(hens.drop(columns="sex"))


def test_no_correlation_raises_with_its_numbers(make_exams):
    """Naive mistake 8: with r near 0 the exponent is noise, and the index may rise with size."""
    exams = make_exams(60, exponent=0.0, noise=0.1, seed=5)
    fit = fit_scaled_mass(exams, size="tarsus_mm")
    group = fit.groups.iloc[0]
    message = (
        "The scaled mass index needs 5 birds and a correlation of log mass with log size whose "
        f"interval leaves 0 out. Found: Buteo buteo, F: {group['gates']}. Leave these groups out "
        "(usable_rows tells which), choose another size=, or override with accept= one of "
        "few_birds, r_includes_zero."
    )
    assert f"r_includes_zero: r = {group['r']:.2f}, interval" in message
    with pytest.raises(DegenerateDataError, match=f"^{re.escape(message)}$"):
        fit.index(exams)
    assert np.isfinite(group["slope"])


def test_an_overridden_gate_is_printed_everywhere(make_exams):
    exams = make_exams(60, exponent=0.0, noise=0.1, seed=5)
    fit = fit_scaled_mass(exams, size="tarsus_mm", accept=("r_includes_zero",))
    with pytest.warns(GateWarning, match=r"r_includes_zero: .* \(overridden\)"):
        assert fit.index(exams).notna().all()
    assert "Gates overridden by the user: r_includes_zero" in fit.summary()
    assert "Gates overridden: r_includes_zero." in fit.methods()
    assert "(overridden)" in fit.groups["gates"].iloc[0]


def test_accepting_few_birds_does_not_accept_a_correlation_of_0():
    exams = pd.DataFrame(
        {"species": "a", "sex": "F", "tarsus_mm": [70.0, 71, 72, 73], "mass_g": [9.0, 8, 8.5, 9.2]}
    )
    fit = fit_scaled_mass(exams, size="tarsus_mm", accept=("few_birds",))
    with pytest.raises(DegenerateDataError, match="r_includes_zero"):
        fit.index(exams)


def test_only_groups_asked_for_are_judged(make_exams):
    good, weak = make_exams(200), make_exams(3, sex="M", seed=2)
    fit = fit_scaled_mass(pd.concat([good, weak]), size="tarsus_mm")
    assert fit.index(good).notna().all()
    with pytest.raises(DegenerateDataError, match="Buteo buteo, M: few_birds: 3 birds"):
        fit.index(pd.concat([good, weak]))
    assert fit.usable_rows(pd.concat([good, weak])).sum() == 200


def test_unfitted_groups_have_no_index_and_are_counted(make_exams):
    fit = fit_scaled_mass(make_exams(200), size="tarsus_mm")
    new = pd.concat([make_exams(2, seed=3), make_exams(3, species="Strix aluco", seed=4)])
    with pytest.warns(GateWarning, match="3 exams belong to no fitted group and have no index"):
        index = fit.index(new)
    assert index.isna().tolist() == [False] * 2 + [True] * 3


@pytest.mark.parametrize("n", [0, 1, 2, 3, 4])
def test_few_birds(make_exams, n):
    exams = make_exams(n)
    fit = fit_scaled_mass(exams, size="tarsus_mm")
    if n == 0:
        assert fit.groups.empty
        assert fit.index(exams).empty
        assert fit.summary() == "Scaled mass from mass_g and tarsus_mm"
        return
    group = fit.groups.iloc[0]
    assert (group["n"], group["usable"]) == (n, False)
    assert f"few_birds: {n} birds, at least 5 are needed" in group["gates"]
    assert bool(group["reason"]) == (n < 4)
    assert f"n = {n} bird{'' if n == 1 else 's'}" in fit.summary()
    with pytest.raises(DegenerateDataError, match=f"few_birds: {n} birds"):
        fit.index(exams)


@pytest.mark.parametrize(
    ("column", "reason"),
    [
        ("tarsus_mm", "log tarsus_mm does not vary: all 12 values are equal"),
        ("mass_g", "log mass_g does not vary: all 12 values are equal"),
    ],
)
def test_all_equal(make_exams, column, reason):
    exams = make_exams(12).assign(**{column: 77.7})
    fit = fit_scaled_mass(exams, size="tarsus_mm")
    assert fit.groups["reason"].iloc[0] == reason
    assert reason in fit.summary()
    with pytest.raises(DegenerateDataError, match=re.escape(reason)):
        fit.index(exams)


def test_all_missing(make_exams):
    exams = make_exams(6).assign(mass_g=np.nan)
    fit = fit_scaled_mass(exams, size="tarsus_mm")
    group = fit.groups.iloc[0]
    assert (group["n"], group["n_missing"]) == (0, 6)
    assert group["reason"] == "a line needs 2 complete pairs, found 0"
    assert fit.excluded.to_numpy().tolist() == [
        ["Buteo buteo", "F", "mass or size missing or not positive", 6]
    ]


def test_what_is_left_out_is_counted(make_exams):
    exams = make_exams(30)
    exams.loc[0, "mass_g"] = 0.0
    exams.loc[1, "tarsus_mm"] = np.nan
    exams.loc[2, "mass_g"] = np.inf
    exams.loc[3, "sex"] = None
    exams.loc[5, "bird_id"] = exams.loc[4, "bird_id"]
    fit = fit_scaled_mass(exams, size="tarsus_mm")
    assert fit.groups["n"].iloc[0] == 25
    assert fit.excluded.to_numpy().tolist() == [
        ["", "", "species or sex missing", 1],
        ["Buteo buteo", "F", "mass or size missing or not positive", 3],
        ["Buteo buteo", "F", "later exam of a bird already in the line", 1],
    ]
    assert fit.groups["n"].iloc[0] + fit.excluded["n_rows"].sum() == len(exams)
    assert "1 rows left out: species or sex missing" in fit.summary()
    with pytest.warns(GateWarning, match="1 exams belong to no fitted group"):
        index = fit.index(exams)
    assert index.isna().tolist() == [True] * 4 + [False] * 26


def test_a_birds_first_complete_exam_counts(make_exams):
    """Naive mistake 6: ten weights of one bird are one bird."""
    exams = make_exams(25)
    exams["exam_date"] = pd.Timestamp("2021-06-01")
    earlier = exams.assign(exam_date=pd.Timestamp("2021-01-01"), mass_g=exams["mass_g"] * 1.1)
    fit = fit_scaled_mass(pd.concat([exams, earlier]), size="tarsus_mm")
    alone = fit_scaled_mass(earlier, size="tarsus_mm")
    assert fit.groups["slope"].tolist() == alone.groups["slope"].tolist()
    assert fit.groups["intercept"].tolist() == alone.groups["intercept"].tolist()
    assert fit.groups[["n", "n_repeat"]].iloc[0].tolist() == [25, 25]


def test_ages_pooled_in_a_line_warn(make_exams):
    exams = make_exams(60).assign(age_class=["adult"] * 40 + ["juvenile"] * 15 + [None] * 5)
    fit = fit_scaled_mass(exams, size="tarsus_mm")
    with pytest.warns(GateWarning, match="mixed_ages: adult 40, juvenile 15, unknown 5"):
        assert fit.index(exams).notna().all()
    one = fit_scaled_mass(exams.assign(age_class="adult"), size="tarsus_mm")
    assert "mixed_ages" not in one.groups["gates"].iloc[0]


def test_growing_feathers_warn_where_the_size_is_of_feathers(make_exams):
    moult = pd.array([True] * 4 + [None] + [False] * 55, dtype="boolean")
    exams = make_exams(60).assign(in_moult=moult)
    by_wing = fit_scaled_mass(exams, size="wing_mm")
    assert "growing_feathers: 4 of 60 birds" in by_wing.groups["gates"].iloc[0]
    by_bone = fit_scaled_mass(exams, size="tarsus_mm")
    assert "growing_feathers" not in by_bone.groups["gates"].iloc[0]


def test_unknown_sex_is_a_level_of_its_own(make_exams):
    exams = pd.concat([make_exams(50), make_exams(50, sex="U", seed=3)])
    fit = fit_scaled_mass(exams, size="tarsus_mm")
    assert fit.groups["sex"].tolist() == ["F", "U"]
    with pytest.warns(GateWarning, match="sex_unknown: unsexed birds may be of both sexes"):
        fit.index(exams)


def test_groups_by_columns_of_any_kind(make_exams):
    """Years, categories and headings with blanks: names in messages, no lost groups."""
    exams = pd.concat([make_exams(60), make_exams(3, sex="M", seed=2)], ignore_index=True)
    exams["ringing year"] = [2020] * 63
    exams["sex"] = exams["sex"].astype("category")
    fit = fit_scaled_mass(exams, size="tarsus_mm", by=("species", "sex", "ringing year"))
    assert fit.usable_rows(exams).sum() == 60
    with pytest.raises(DegenerateDataError, match="Buteo buteo, M, 2020: few_birds"):
        fit.index(exams)
    assert "Buteo buteo, F, 2020: exponent" in fit.summary()


def test_no_grouping(make_exams):
    exams = make_exams(200).drop(columns=["species", "sex"])
    fit = fit_scaled_mass(exams, size="tarsus_mm", by=(), pool="one species and sex")
    assert fit.index(exams).notna().all()
    assert "all exams: exponent" in fit.summary()
    assert "by all birds together" in fit.methods()


@pytest.mark.parametrize(
    ("options", "error", "text"),
    [
        ({"size": "hallux_mm"}, MissingColumnError, "index needs the column 'hallux_mm'"),
        ({"by": ("species", "race")}, MissingColumnError, "needs the column 'race'"),
        ({"accept": ("weakr",)}, ArgumentError, "accept= names gates"),
        ({"level": 95}, ArgumentError, "level= is a confidence level"),
        ({"pool": True}, ArgumentError, "pool= takes the reason"),
        ({"mass": "bird_id"}, ArgumentError, "The scaled mass index needs numbers"),
    ],
)  # fmt: skip
def test_impossible_calls(make_exams, options, error, text):
    with pytest.raises(error, match=re.escape(text)):
        fit_scaled_mass(make_exams(), **({"size": "tarsus_mm"} | options))


def test_index_needs_columns_and_numbers(make_exams):
    exams = make_exams(200)
    fit = fit_scaled_mass(exams, size="tarsus_mm")
    with pytest.raises(MissingColumnError, match="needs the column 'mass_g'"):
        fit.index(exams.drop(columns="mass_g"))
    with pytest.raises(MissingColumnError, match="needs the column 'sex'"):
        fit.usable_rows(exams.drop(columns="sex"))
    with pytest.raises(ArgumentError, match="'mass_g' is str"):
        fit.index(exams.assign(mass_g=exams["mass_g"].astype(str)))


def test_exams_are_left_alone(make_exams):
    exams = make_exams(60).set_index(pd.Index([4] * 60))
    before = exams.copy(deep=True)
    fit = fit_scaled_mass(exams, size="tarsus_mm")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", GateWarning)
        index = fit.index(exams)
    fit.usable_rows(exams)
    pd.testing.assert_frame_equal(exams, before)
    assert index.index.equals(exams.index)


def test_frame_is_a_copy(make_exams):
    fit = fit_scaled_mass(make_exams(), size="tarsus_mm")
    frame = fit.to_frame()
    frame.loc[0, "slope"] = 0
    assert fit.groups.loc[0, "slope"] != 0
