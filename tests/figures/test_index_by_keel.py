"""Scaled mass by keel score: points, medians and quartiles are those of the result."""

import numpy as np
import pytest

from bodycond.condition import fit_scaled_mass, tabulate_index_by_keel
from bodycond.errors import ArgumentError, ScaleError
from bodycond.figures import draw_index_by_keel
from bodycond.scales import ScoreScale

BUZZARD = {"species": "Buteo buteo"}


def rows_of(table, species, sex):
    return table.loc[(table["species"] == species) & (table["sex"] == sex)]


@pytest.mark.parametrize(("sex", "label"), [("F", "female"), ("M", "male")])
def test_points_medians_and_quartiles(index, artist, sex, label):
    ax = draw_index_by_keel(index, group=BUZZARD)
    points = rows_of(index.points, "Buteo buteo", sex)
    offsets = np.asarray(artist(ax, f"points {label}").get_offsets())
    assert offsets[:, 1].tolist() == points["scaled_mass_g"].tolist()
    assert np.abs(offsets[:, 0] - points["keel"].to_numpy()).max() < 0.25
    grades = rows_of(index.grades, "Buteo buteo", sex)
    assert artist(ax, f"medians {label}").get_ydata().tolist() == grades["median_g"].tolist()
    bars = [bar[:, 1].tolist() for bar in artist(ax, f"quartiles {label}").get_segments()]
    assert bars == grades[["quartile_low_g", "quartile_high_g"]].to_numpy().tolist()


def test_labels_limits_and_counts(index):
    ax = draw_index_by_keel(index, group={**BUZZARD, "sex": "F"})
    assert (ax.get_xlabel(), ax.get_ylabel()) == ("Keel score", "Scaled mass (g)")
    assert ax.get_xlim()[0] < 1 < 5 < ax.get_xlim()[1]
    written = {float(text.xy[0]): text.get_text() for text in ax.texts if text.get_gid() == "count"}
    grades = rows_of(index.grades, "Buteo buteo", "F")
    assert written == {row.keel: f"{row.n}" for row in grades.itertuples()}


def test_a_group_without_a_usable_index_is_said(exams, artist):
    few = exams.loc[(exams["species"] == "Accipiter nisus") & (exams["sex"] == "M")]
    result = tabulate_index_by_keel(fit_scaled_mass(few, size="wing_mm"), few)
    ax = draw_index_by_keel(result, group={"species": "Accipiter nisus"})
    assert artist(ax, "reason").get_text().replace("\n", " ") == (
        "No bird of Accipiter nisus has both a usable scaled mass and a point grade. "
        "In the whole table, 3 exams: the group has no usable index"
    )
    assert ax.get_xlim()[0] < 1 < 5 < ax.get_xlim()[1]


def test_grades_off_the_scale_are_refused(index):
    whole = ScoreScale(name="whole grades", low=1, high=5, step=1)
    with pytest.raises(ScaleError, match=r"grades of 'whole grades'.*others: 2\.5"):
        draw_index_by_keel(index, group=BUZZARD, scale=whole)


def test_a_column_that_forms_no_group_is_refused(index):
    with pytest.raises(ArgumentError, match=r"groups are formed by: species, sex\. Found: 'age'"):
        draw_index_by_keel(index, group={"age": "adult"})


def test_the_result_stays_as_it_was(index, unchanged):
    with unchanged(index):
        draw_index_by_keel(index, group=BUZZARD)
