"""Mass by keel score: what is plotted is what the fit holds."""

import numpy as np
import pytest
from matplotlib.colors import to_hex
from matplotlib.figure import Figure

from bodycond.condition import fit_mass_by_keel
from bodycond.errors import ArgumentError
from bodycond.figures import describe_mass_by_keel, draw_mass_by_keel, journal_style
from bodycond.figures.group_marks import SEX_MARKS
from bodycond.scales import KEEL_SCALE, ScoreScale

BUZZARD = {"species": "Buteo buteo"}


def rows_of(table, species, sex):
    return table.loc[(table["species"] == species) & (table["sex"] == sex)]


def texts_of(ax):
    return [text.get_text() for text in ax.get_legend().get_texts()]


@pytest.mark.parametrize(("sex", "label"), [("F", "female"), ("M", "male"), ("U", "sex unknown")])
def test_points_are_the_exams_used(linear, artist, sex, label):
    ax = draw_mass_by_keel(linear, group=BUZZARD)
    rows = rows_of(linear.points, "Buteo buteo", sex)
    offsets = np.asarray(artist(ax, f"points {label}").get_offsets())
    assert offsets[:, 1].tolist() == rows["mass_g"].tolist()
    # Every point stays nearer to its own grade than to a half grade beside it.
    assert np.abs(offsets[:, 0] - rows["keel"].to_numpy()).max() < 0.25
    colours = {to_hex(colour) for colour in artist(ax, f"points {label}").get_facecolors()}
    assert colours == {SEX_MARKS[sex].colour.lower()}


def test_line_and_bands_are_the_expected_masses(linear, artist):
    ax = draw_mass_by_keel(linear, group={**BUZZARD, "sex": "F"})
    rows = rows_of(linear.expected, "Buteo buteo", "F")
    for gid, column in (
        ("expected", "mass_g"), ("predict_low", "predict_low"), ("predict_high", "predict_high"),
    ):  # fmt: skip
        line = artist(ax, f"{gid} female")
        assert line.get_xdata().tolist() == rows["keel"].tolist()
        assert line.get_ydata().tolist() == rows[column].tolist()
    (path,) = artist(ax, "interval female").get_paths()
    corners = {tuple(corner) for corner in path.vertices.tolist()}
    for row in rows.itertuples():
        assert {(row.keel, row.low), (row.keel, row.high)} <= corners


def test_factor_levels_are_the_expected_masses(factor, artist):
    ax = draw_mass_by_keel(factor, group={**BUZZARD, "sex": "M"})
    rows = rows_of(factor.expected, "Buteo buteo", "M")
    levels = artist(ax, "expected male")
    assert levels.get_ydata().tolist() == rows["mass_g"].tolist()
    assert levels.get_linestyle() == "None"
    for gid, low, high in (("interval", "low", "high"), ("prediction", "predict_low",
                                                         "predict_high")):  # fmt: skip
        ends = [segment[:, 1].tolist() for segment in artist(ax, f"{gid} male").get_segments()]
        assert ends == rows[[low, high]].to_numpy().tolist()
    assert any("mean" in text for text in texts_of(ax))


def test_counts_below_the_axis_are_the_exams_at_each_grade(linear):
    ax = draw_mass_by_keel(linear, group={**BUZZARD, "sex": "F"})
    written = {
        float(text.xy[0]): int(text.get_text()) for text in ax.texts if text.get_gid() == "count"
    }
    rows = rows_of(linear.expected, "Buteo buteo", "F")
    assert written == dict(zip(rows["keel"], rows["n"], strict=True))


@pytest.mark.parametrize("group", [BUZZARD, {"species": "Accipiter nisus", "sex": "M"}])
def test_axes_have_units_and_the_whole_scale(linear, group):
    ax = draw_mass_by_keel(linear, group=group)
    assert ax.get_ylabel() == "Body mass (g)"
    assert ax.get_xlabel() == "Keel score"
    low, high = ax.get_xlim()
    assert low < KEEL_SCALE.low
    assert high > KEEL_SCALE.high
    assert ax.get_xlim() == draw_mass_by_keel(linear, group=BUZZARD).get_xlim()
    assert ax.get_xticks().tolist() == [1.0, 2.0, 3.0, 4.0, 5.0]


def test_the_axis_follows_another_scale(exams):
    fat = ScoreScale(name="fat 0 to 4", low=0, high=4, step=1)
    graded = exams.assign(fat=(exams["keel"] - 1).round())
    fit = fit_mass_by_keel(graded, score="fat", scale=fat)
    ax = draw_mass_by_keel(fit, group=BUZZARD)
    assert ax.get_xlim()[0] < 0 < 4 < ax.get_xlim()[1]
    assert ax.get_xticks().tolist() == [0.0, 1.0, 2.0, 3.0, 4.0]


def test_every_exam_is_inside_the_axes(linear):
    ax = draw_mass_by_keel(linear, group=BUZZARD)
    masses = linear.points.loc[linear.points["species"] == "Buteo buteo", "mass_g"]
    low, high = ax.get_ylim()
    assert low < masses.min() < masses.max() < high


def test_groups_without_a_fit_show_their_exams_and_say_why(linear, artist):
    ax = draw_mass_by_keel(linear, group={"species": "Accipiter nisus"})
    (reason,) = rows_of(linear.groups, "Accipiter nisus", "M")["reason"]
    assert reason
    (entry,) = [text for text in texts_of(ax) if text.startswith("male")]
    assert entry.replace("\n", " ").endswith(f"no fit: {reason}")
    assert len(artist(ax, "points male").get_offsets()) == 3


def test_nothing_to_draw_is_said(unmeasured, artist):
    ax = draw_mass_by_keel(fit_mass_by_keel(unmeasured), group=BUZZARD)
    said = artist(ax, "reason").get_text().replace("\n", " ")
    assert said == "No fit for female: no exam holds both a mass and a grade"
    assert not ax.collections


def test_an_empty_table_is_said(exams, artist):
    ax = draw_mass_by_keel(fit_mass_by_keel(exams.iloc[:0]), group=BUZZARD)
    assert "There is no group to fit" in artist(ax, "reason").get_text()


def test_a_group_that_does_not_exist_is_refused(linear):
    with pytest.raises(ArgumentError, match=r"must match a group of the result.*'Buteo butoe'.*"
                       r"Accipiter nisus, F"):  # fmt: skip
        draw_mass_by_keel(linear, group={"species": "Buteo butoe"})


def test_a_column_that_forms_no_group_is_refused(linear):
    with pytest.raises(ArgumentError, match=r"groups are formed by: species, sex\. Found: 'site'"):
        draw_mass_by_keel(linear, group={"site": "Orrinfold Aviary"})


def test_it_draws_on_the_axes_given_and_changes_nothing(linear, factor, unchanged):
    with journal_style(width="double"):
        left, right = Figure(layout="constrained").subplots(1, 2)
        with unchanged(linear), unchanged(factor):
            assert draw_mass_by_keel(linear, group=BUZZARD, ax=left) is left
            assert draw_mass_by_keel(factor, group=BUZZARD, ax=right) is right
    assert left.figure is right.figure


def test_a_grade_without_an_interval_has_its_level_and_no_bar(exams, artist):
    # One bird alone at grade 1.5: clustered by bird, its level has no interval.
    lone = exams.loc[exams["sex"] == "F"].copy()
    lone.loc[lone.index[5], "keel"] = 1.5
    fit = fit_mass_by_keel(lone, form="factor")
    rows = rows_of(fit.expected, "Buteo buteo", "F").set_index("keel")
    assert np.isnan(rows.loc[1.5, "low"])
    ax = draw_mass_by_keel(fit, group=BUZZARD)
    assert np.isfinite(ax.get_ylim()).all()
    assert artist(ax, "expected female").get_ydata().tolist() == rows["mass_g"].tolist()
    drawn = [
        bar
        for bar in artist(ax, "interval female").get_segments()
        if len(bar) and np.isfinite(bar).all()
    ]
    assert len(drawn) == rows["low"].notna().sum()
    caption = describe_mass_by_keel(fit, group=BUZZARD).caption
    reason = rows.loc[1.5, "reason"].replace("grade 1.5", "the grade")
    assert f"No interval, female, at 1.5: {reason}." in caption
