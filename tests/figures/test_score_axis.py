"""Jitter and lanes: without chance, and never into another grade."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from bodycond.figures.score_axis import choose_labelled_grades, divide_slot, spread_points
from bodycond.scales import KEEL_SCALE, ScoreScale

GRADES = st.lists(st.sampled_from(KEEL_SCALE.values.tolist()), min_size=1, max_size=60)


@given(grades=GRADES, n_groups=st.integers(1, 7))
def test_points_stay_in_their_lane_and_lanes_apart(grades, n_groups):
    grades = np.array(grades)
    centres, lane = divide_slot(grades, n_groups=n_groups, scale=KEEL_SCALE)
    gap = np.diff(np.unique(grades)).min() if np.unique(grades).size > 1 else KEEL_SCALE.step
    assert centres[-1] - centres[0] + lane < gap
    for centre in centres:
        x = spread_points(grades, centre=centre, width=0.8 * lane)
        assert np.all(np.abs(x - grades - centre) <= 0.4 * lane + 1e-12)


@given(grades=GRADES)
def test_the_same_points_get_the_same_places_and_no_two_the_same(grades):
    grades = np.array(grades)
    before = grades.copy()
    first = spread_points(grades, centre=0.0, width=0.3)
    assert first.tolist() == spread_points(grades, centre=0.0, width=0.3).tolist()
    assert np.unique(first).size == first.size
    assert grades.tolist() == before.tolist()


def test_labels_thin_out_on_long_scales():
    assert choose_labelled_grades(KEEL_SCALE).tolist() == [1.0, 2.0, 3.0, 4.0, 5.0]
    long = ScoreScale(name="0 to 100", low=0, high=100, step=1)
    assert choose_labelled_grades(long).size <= 11
    quarters = ScoreScale(name="quarters", low=0.25, high=0.75, step=0.25)
    assert choose_labelled_grades(quarters).tolist() == [0.25, 0.5, 0.75]
