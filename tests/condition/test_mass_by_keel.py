"""Mass by keel score: estimates, expected masses, what is left out, what is refused."""

import re

import numpy as np
import pandas as pd
import pytest

from bodycond.condition import fit_mass_by_keel
from bodycond.errors import ArgumentError, MissingColumnError, MixedGroupsError, ScaleError
from bodycond.scales import ScoreScale


def small(**columns):
    return pd.DataFrame(
        {"species": "Strix aluco", "sex": "F", "keel": [2.0, 2, 3, 3, 4, 4],
         "mass_g": [430.0, 445, 500, 520, 575, 590]} | columns
    )  # fmt: skip


def test_linear_form_by_hand():
    exams = small(mass_g=[400.0, 420, 500, 520, 600, 620])
    fit = fit_mass_by_keel(exams, response="mass")
    terms = fit.coefficients.set_index("term")["estimate"]
    assert terms["keel"] == pytest.approx(100)
    assert terms["intercept"] == pytest.approx(210)
    assert fit.expected["mass_g"].tolist() == pytest.approx([410, 510, 610])
    assert fit.groups["residual_sd"].iloc[0] == pytest.approx(np.sqrt(600 / 4))


def test_factor_form_gives_group_means():
    fit = fit_mass_by_keel(small(), response="mass", form="factor")
    assert fit.coefficients["term"].tolist() == ["intercept", "keel[3]", "keel[4]"]
    assert fit.coefficients["estimate"].tolist() == pytest.approx([437.5, 72.5, 145])
    assert fit.expected["mass_g"].tolist() == pytest.approx([437.5, 510, 582.5])


def test_half_grades_are_levels_of_their_own():
    fit = fit_mass_by_keel(small(keel=[2, 2, 2.5, 2.5, 4, 4]), form="factor")
    assert fit.coefficients["term"].tolist() == ["intercept", "keel[2.5]", "keel[4]"]
    assert fit.expected["keel"].tolist() == [2, 2.5, 4]


def test_log_mass_gives_percent_and_medians():
    fit = fit_mass_by_keel(small())
    slope = fit.coefficients.set_index("term").loc["keel"]
    group = fit.groups.iloc[0]
    assert group["percent_per_grade"] == pytest.approx(100 * np.expm1(slope["estimate"]))
    assert group["percent_low"] == pytest.approx(100 * np.expm1(slope["low"]))
    geometric = np.exp(np.log(small()["mass_g"]).groupby(small()["keel"]).mean())
    factor = fit_mass_by_keel(small(), form="factor")
    assert factor.expected["mass_g"].tolist() == pytest.approx(geometric.tolist())
    assert np.isnan(factor.groups["percent_per_grade"].iloc[0])


def test_intervals_against_statsmodels(make_exams):
    import statsmodels.formula.api as smf

    exams = make_exams(60)
    fit = fit_mass_by_keel(exams, level=0.9)
    outside = smf.ols("np.log(mass_g) ~ keel", exams).fit()
    terms = fit.coefficients.set_index("term")
    limits = outside.conf_int(alpha=0.1)
    assert terms.loc["keel", ["low", "high"]].tolist() == pytest.approx(limits.loc["keel"].tolist())
    at = pd.DataFrame({"keel": fit.expected["keel"]})
    frame = outside.get_prediction(at).summary_frame(alpha=0.1)
    for ours, theirs in (
        ("mass_g", "mean"), ("low", "mean_ci_lower"), ("high", "mean_ci_upper"),
        ("predict_low", "obs_ci_lower"), ("predict_high", "obs_ci_upper"),
    ):  # fmt: skip
        assert fit.expected[ours].tolist() == pytest.approx(np.exp(frame[theirs]).tolist()), ours


def test_the_band_for_the_next_bird_is_far_wider_than_the_interval_of_the_mean():
    """Naive mistake 14: n 100, sd 40: the mean is known to 8 g, the next bird to 80 g."""
    generator = np.random.default_rng(4)
    keel = np.repeat([2.0, 3, 4], [33, 34, 33])
    exams = pd.DataFrame(
        {"species": "a", "sex": "F", "keel": keel, "mass_g": 500 + 40 * generator.normal(size=100)}
    )
    row = fit_mass_by_keel(exams, response="mass").expected.set_index("keel").loc[3.0]
    assert row["high"] - row["low"] == pytest.approx(16, rel=0.15)
    assert row["predict_high"] - row["predict_low"] == pytest.approx(160, rel=0.15)


def test_expected_grades_fill_the_gaps_but_never_go_beyond():
    fit = fit_mass_by_keel(small(keel=[2, 2, 2.5, 2.5, 4.5, 4.5]))
    assert fit.expected["keel"].tolist() == [2, 2.5, 3, 4, 4.5]
    assert fit.expected["n"].tolist() == [2, 2, 0, 0, 2]
    assert fit.expected["n_birds"].tolist() == [2, 2, 0, 0, 2]


def test_covariates_are_held_at_their_mean_and_commonest_level():
    generator = np.random.default_rng(2)
    n = 80
    exams = pd.DataFrame(
        {"species": "a", "sex": "F", "keel": generator.integers(1, 6, n).astype(float),
         "wing_mm": generator.normal(390, 8, n), "age_class": ["adult"] * 50 + ["juvenile"] * 30}
    )  # fmt: skip
    juvenile = exams["age_class"] == "juvenile"
    exams["mass_g"] = 200 + 60 * exams["keel"] + 2 * exams["wing_mm"] - 50 * juvenile
    exams["mass_g"] += 0.01 * generator.normal(size=n)
    fit = fit_mass_by_keel(exams, response="mass", covariates=("wing_mm", "age_class"))
    terms = fit.coefficients.set_index("term")["estimate"]
    assert terms["age_class[juvenile]"] == pytest.approx(-50, abs=0.01)
    assert terms["wing_mm"] == pytest.approx(2, abs=0.001)
    at_three = fit.expected.set_index("keel").loc[3.0, "mass_g"]
    assert at_three == pytest.approx(200 + 180 + 2 * exams["wing_mm"].mean(), abs=0.05)
    assert ", with wing_mm, age_class, by" in fit.methods()


def test_a_lone_covariate_name(make_exams):
    exams = make_exams()
    one = fit_mass_by_keel(exams, covariates="tarsus_mm")
    assert one.coefficients["term"].tolist() == ["intercept", "keel", "tarsus_mm"]


def test_pooled_sexes_raise():
    """Naive mistake 1: heavier hens with higher grades; within each sex mass falls with grade."""
    exams = pd.DataFrame(
        {"species": "one", "sex": list("FFFMMM"), "mass_g": [270.0, 280, 290, 130, 140, 150],
         "keel": [4.0, 3, 2, 3, 2, 1]}
    )  # fmt: skip
    message = (
        "Mass by keel score needs species and sexes apart, or a reason to pool them. Found: sex "
        'pooled (F, M). Add them to by=, or give the reason in words: pool="...".'
    )
    with pytest.raises(MixedGroupsError, match=f"^{re.escape(message)}$"):
        fit_mass_by_keel(exams, by=("species",))
    pooled = fit_mass_by_keel(exams, by=("species",), pool="to show the mistake", response="mass")
    assert pooled.coefficients["estimate"].iloc[1] > 0
    assert "Pooled, because: to show the mistake" in pooled.summary()
    assert "pooled because: to show the mistake" in pooled.methods()
    apart = fit_mass_by_keel(pd.concat([exams, exams]), response="mass")
    slopes = apart.coefficients.loc[apart.coefficients["term"] == "keel", "estimate"]
    assert slopes.tolist() == pytest.approx([-10, -10])


def test_repeated_birds_are_clustered():
    """Naive mistake 6: every exam ten times is no more evidence than once."""
    generator = np.random.default_rng(6)
    birds = pd.DataFrame(
        {"species": "a", "sex": "F", "bird_id": [f"b{number}" for number in range(30)],
         "keel": generator.integers(1, 6, 30).astype(float)}
    )  # fmt: skip
    birds["mass_g"] = np.exp(5 + 0.05 * birds["keel"] + 0.1 * generator.normal(size=30))
    once = fit_mass_by_keel(birds)
    tenfold = fit_mass_by_keel(pd.concat([birds] * 10, ignore_index=True))
    rows = fit_mass_by_keel(pd.concat([birds] * 10, ignore_index=True), bird="no such column")
    ratio = tenfold.coefficients["se"] / once.coefficients["se"]
    assert ((ratio > 0.7) & (ratio < 1.4)).all()
    # 300 rows taken for birds: the error shrinks by sqrt(28 / 298) and not by chance.
    naive = rows.coefficients["se"] / once.coefficients["se"]
    assert naive.tolist() == pytest.approx([np.sqrt(28 / 298)] * 2, rel=1e-9)
    group = tenfold.groups.iloc[0]
    assert group[["n_birds", "n_rows", "n_repeat", "degrees_of_freedom"]].tolist() == [
        30, 300, 270, 29,
    ]  # fmt: skip
    assert group["standard_errors"] == "clustered by bird"
    assert "standard errors were clustered by bird" in tenfold.methods()
    assert "Liang" in tenfold.methods()
    assert "clustered" not in once.methods()


def test_few_repeated_birds_are_said_to_be_few():
    exams = small(bird_id=list("aabbcd"), keel=[2.0, 2, 3, 3, 4, 4])
    fit = fit_mass_by_keel(exams)
    assert fit.groups["standard_errors"].iloc[0] == (
        "clustered by bird; 4 birds are few, intervals may be too narrow"
    )
    assert "were clustered by bird" in fit.methods()


def test_birds_without_a_label_are_birds_of_their_own():
    fit = fit_mass_by_keel(small(bird_id=[None] * 6))
    assert fit.groups["n_birds"].iloc[0] == 6
    assert fit.groups["standard_errors"].iloc[0] == "classical"


@pytest.fixture
def lone_bird():
    """Twelve birds twice at grades 2 to 4; one bird twice at grade 5."""
    generator = np.random.default_rng(0)
    keel = np.r_[np.repeat(np.resize([2.0, 3, 4], 12), 2), 5, 5]
    return pd.DataFrame(
        {"species": "a", "sex": "F", "bird_id": np.repeat(np.arange(13), 2).astype(str),
         "keel": keel, "mass_g": np.exp(5 + 0.1 * keel + 0.05 * generator.normal(size=26))}
    )  # fmt: skip


LONE = "one bird alone has {}, so there is no clustered standard error"


def test_a_grade_of_one_repeated_bird_has_no_interval(lone_bird):
    """The sandwich takes that bird's variance for 0: its interval would have no width."""
    fit = fit_mass_by_keel(lone_bird, form="factor")
    expected = fit.expected.set_index("keel")
    assert expected.loc[5.0, ["low", "high", "predict_low", "predict_high"]].isna().all()
    assert expected.loc[5.0, "reason"] == LONE.format("grade 5")
    assert (expected.loc[:4.0, "high"] - expected.loc[:4.0, "low"] > 1).all()
    assert (expected.loc[:4.0, "reason"] == "").all()
    terms = fit.coefficients.set_index("term")
    assert terms.index[terms["se"].isna()].tolist() == ["keel[5]"]
    assert terms.loc["keel[5]", "reason"] == LONE.format("grade 5")
    assert np.isfinite(terms.loc["keel[5]", "estimate"])
    assert "g (no interval), one bird alone has grade 5" in fit.summary()


def test_a_lowest_grade_of_one_repeated_bird_leaves_no_contrast(lone_bird):
    fit = fit_mass_by_keel(lone_bird.assign(keel=6 - lone_bird["keel"]), form="factor")
    assert fit.coefficients["se"].isna().all()
    assert fit.expected["low"].isna().tolist() == [True, False, False, False]


def test_a_covariate_beside_a_lone_grade_keeps_its_interval(lone_bird):
    wing = 380 + 5 * np.random.default_rng(1).normal(size=26)
    fit = fit_mass_by_keel(lone_bird.assign(wing_mm=wing), form="factor", covariates=("wing_mm",))
    terms = fit.coefficients.set_index("term")
    assert np.isfinite(terms.loc["wing_mm", "se"])
    assert np.isnan(terms.loc["keel[5]", "se"])


def test_a_covariate_level_of_one_repeated_bird(lone_bird):
    site = np.where(lone_bird["bird_id"] == "3", "Vessel Point", "Skelbeck")
    fit = fit_mass_by_keel(lone_bird.assign(site=site), covariates=("site",))
    terms = fit.coefficients.set_index("term")
    assert terms.loc["site[Vessel Point]", "reason"] == LONE.format("site[Vessel Point]")
    assert terms.loc[["intercept", "keel"], "se"].notna().all()


def test_a_line_through_two_grades_with_one_bird_at_one(lone_bird):
    two = lone_bird.loc[lone_bird["keel"].isin([2, 5])]
    fit = fit_mass_by_keel(two)
    assert fit.coefficients.set_index("term").loc["keel", "reason"] == LONE.format("grade 5")
    assert fit.groups[["percent_low", "percent_high"]].isna().all(axis=None)
    assert np.isfinite(fit.groups["percent_per_grade"].iloc[0])


def test_a_lone_bird_without_repeats_shares_the_residual_variance():
    fit = fit_mass_by_keel(small(keel=[2, 2, 3, 3, 3, 4]), form="factor")
    assert fit.coefficients["se"].notna().all()


@pytest.mark.parametrize(
    ("exams", "reason"),
    [
        (small(mass_g=np.nan), "no exam holds both a mass and a grade"),
        (small(keel=3.0), "all 6 exams have grade 3"),
        (small().iloc[[0, 2, 4]], "3 exams for 2 terms; at least 4 are needed"),
        (small().iloc[:1], "the one exam has grade 2"),
        (small(mass_g=500.0), "all 6 masses are equal"),
        (
            small(bird_id=list("aaabbb")),
            "2 birds for 2 terms; with repeated birds at least 4 are needed",
        ),
    ],
)
@pytest.mark.parametrize("form", ["linear", "factor"])
def test_groups_without_a_fit_say_why(exams, reason, form):
    fit = fit_mass_by_keel(exams, form=form)
    if form == "factor":
        reason = reason.replace("for 2 terms; at least 4", "for 3 terms; at least 5")
        reason = reason.replace("for 2 terms; with repeated birds at least 4",
                                "for 3 terms; with repeated birds at least 5")  # fmt: skip
    assert fit.groups["reason"].tolist() == [reason]
    assert fit.coefficients["estimate"].isna().all()
    assert (fit.coefficients["reason"] == reason).all()
    assert fit.expected.empty
    assert f"Strix aluco, F: no fit: {reason}" in fit.summary()


@pytest.mark.parametrize("covariates", [("site",), ("keel",), ("site", "wing_mm")])
def test_covariates_that_say_nothing(covariates):
    fit = fit_mass_by_keel(small(site="Skelbeck", wing_mm=390.0), covariates=covariates)
    if covariates == ("site",):
        assert fit.groups["reason"].tolist() == [""]  # one level adds no term
        return
    assert fit.groups["reason"].tolist() == [
        "a covariate is constant or follows from the other terms"
    ]


def test_one_group_fails_and_the_others_go_on(make_exams):
    exams = pd.concat([make_exams(), make_exams(2, sex="M", seed=2)])
    fit = fit_mass_by_keel(exams)
    assert (fit.groups["reason"] == "").tolist() == [True, False]
    assert fit.expected["sex"].unique().tolist() == ["F"]


def test_an_empty_table(make_exams):
    fit = fit_mass_by_keel(make_exams(0))
    for table in (fit.groups, fit.coefficients, fit.expected, fit.points):
        assert table.empty
    assert fit.summary() == "log_mass by keel, linear form"
    assert "clustered" not in fit.methods()


def test_what_is_left_out_is_counted(make_exams):
    exams = make_exams(30).assign(keel_low=lambda table: table["keel"])
    exams.loc[0, "keel"] = np.nan  # '3+': only the interval is known
    exams.loc[1, ["keel", "keel_low"]] = np.nan
    exams.loc[2, "mass_g"] = np.nan
    exams.loc[3, "mass_g"] = -1
    exams.loc[4, "tarsus_mm"] = np.inf
    exams.loc[5, "sex"] = None
    fit = fit_mass_by_keel(exams, covariates=("tarsus_mm",))
    assert fit.excluded.to_numpy().tolist() == [
        ["", "", "species or sex missing", 1],
        ["Buteo buteo", "F", "only an interval of keel is known", 1],
        ["Buteo buteo", "F", "keel missing", 1],
        ["Buteo buteo", "F", "mass_g missing or not positive", 2],
        ["Buteo buteo", "F", "tarsus_mm missing", 1],
    ]
    assert fit.groups["n_rows"].sum() + fit.excluded["n_rows"].sum() == len(exams)
    assert fit.points["row"].tolist() == list(range(6, 30))
    assert "1 exams left out: species or sex missing" in fit.summary()


def test_grades_off_the_scale_are_named_with_their_rows():
    exams = small(keel=[2.2, 2, 7, 3, np.nan, 4]).set_axis(list("uvwxyz"))
    message = (
        "'keel' must hold grades of 'keel 1 to 5': 1 to 5 in steps of 0.5. Found: 2 others: 2.2, 7 "
        "at rows u, w. Correct them, or name the scale that they belong to with scale=."
    )
    with pytest.raises(ScaleError, match=f"^{re.escape(message)}$"):
        fit_mass_by_keel(exams)


def test_another_scale(make_exams):
    exams = make_exams(60).rename(columns={"keel": "fat"})
    exams["fat"] -= 1
    scale = ScoreScale(name="fat 0 to 4", low=0, high=4, step=0.5)
    fit = fit_mass_by_keel(exams, score="fat", scale=scale)
    assert fit.coefficients["term"].tolist() == ["intercept", "fat"]
    assert "fat" in fit.expected.columns
    assert "on fat (fat 0 to 4) as a number" in fit.methods()


@pytest.mark.parametrize(
    ("options", "error", "text"),
    [
        ({"score": "fat"}, MissingColumnError, "Mass by keel score needs the column 'fat'"),
        ({"covariates": ("site", "hour")}, MissingColumnError, "needs the columns 'site', 'hour'"),
        ({"response": "mass_g"}, ArgumentError, "response= takes 'log_mass' or 'mass'"),
        ({"form": "cubic"}, ArgumentError, "form= takes 'linear' or 'factor'"),
        ({"level": 0}, ArgumentError, "level= is a confidence level"),
        ({"pool": 1}, ArgumentError, "pool= takes the reason"),
        ({"score": "sex"}, ArgumentError, "Mass by keel score needs numbers. Found: 'sex' is str"),
    ],
)
def test_impossible_calls(options, error, text):
    with pytest.raises(error, match=re.escape(text)):
        fit_mass_by_keel(small(), **options)


def test_exams_are_left_alone_and_index_labels_do_not_count(make_exams):
    exams = make_exams().set_axis([3] * 40)
    before = exams.copy(deep=True)
    fit = fit_mass_by_keel(exams, form="factor", covariates=("tarsus_mm",))
    pd.testing.assert_frame_equal(exams, before)
    plain = fit_mass_by_keel(exams.reset_index(drop=True), form="factor", covariates=("tarsus_mm",))
    pd.testing.assert_frame_equal(fit.coefficients, plain.coefficients)
    assert fit.points["row"].tolist() == [3] * 40


def test_summary_rounds_and_the_tables_do_not():
    fit = fit_mass_by_keel(small())
    assert fit.summary().splitlines()[:2] == [
        "log_mass by keel, linear form",
        "Strix aluco, F: n = 6 birds, 6 exams, standard errors classical; "
        "15.4 % per grade (95 % interval 12.0 to 18.9)",
    ]
    assert fit.to_frame()["estimate"].iloc[1] != round(fit.to_frame()["estimate"].iloc[1], 6)
