"""Scales hold their grades whatever the data hold."""

import re

import numpy as np
import pytest

from bodycond.errors import ScaleError
from bodycond.scales import KEEL_SCALE, ScoreScale, scale_from_scores


def test_keel_scale_has_nine_grades():
    assert KEEL_SCALE.n_grades == 9
    assert KEEL_SCALE.values.tolist() == [1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5]
    assert KEEL_SCALE.whole_grades.tolist() == [1, 2, 3, 4, 5]


def test_scale_takes_its_parts_by_place_or_by_name():
    by_place = ScoreScale("fat", 0, 4, 0.5)
    assert by_place == ScoreScale(name="fat", low=0, high=4, step=0.5)
    assert by_place.grades == {}
    assert hash(by_place) == hash(ScoreScale("fat", 0, 4, 0.5, {0: "none"}))
    assert by_place != ScoreScale("fat", 0, 4, 0.5, {0: "none"})


def test_scale_cannot_be_changed():
    with pytest.raises(AttributeError):
        KEEL_SCALE.low = 0


@pytest.mark.parametrize(
    ("low", "high"), [(5, 1), (3, 3), (float("nan"), 5), (1, float("inf")), (-float("inf"), 5)]
)
def test_limits_must_ascend(low, high):
    message = (
        f"A score scale needs a finite low below a finite high. Found: low={low}, high={high}, "
        "step=1 in 'odd'. Give the lowest and the highest grade of the chart."
    )
    with pytest.raises(ScaleError, match=f"^{re.escape(message)}$"):
        ScoreScale(name="odd", low=low, high=high, step=1)


@pytest.mark.parametrize("step", [0, -1, 3, 0.3])
def test_step_must_divide(step):
    message = (
        f"A score scale needs a positive step that divides high - low. Found: step={step} from 1 "
        "to 5 in 'odd'. Use 1 for whole grades, 0.5 where half grades are allowed."
    )
    with pytest.raises(ScaleError, match=f"^{re.escape(message)}$"):
        ScoreScale(name="odd", low=1, high=5, step=step)


def test_words_belong_to_grades():
    message = (
        "Words can be given to grades of 'odd' alone. Found: words for 6, 1.2. Use grades from 1 "
        "to 5 in steps of 1."
    )
    with pytest.raises(ScaleError, match=f"^{re.escape(message)}$"):
        ScoreScale(name="odd", low=1, high=5, step=1, grades={6: "x", 1.2: "y", 2: "thin"})


def test_contains_only_grades():
    scores = [1, 1.25, 5, 5.5, 0.5, np.nan, np.inf, -np.inf]
    assert KEEL_SCALE.contains(scores).tolist() == [True, False, True] + [False] * 5


def test_contains_allows_for_rounding_of_computed_grades():
    tenths = ScoreScale(name="tenths", low=0, high=1, step=0.1)
    assert tenths.contains([0.1 + 0.2, 0.7, 1 - 0.9]).all()
    assert tenths.positions([0.1 + 0.2]).tolist() == [3]


def test_positions_keep_the_shape():
    assert KEEL_SCALE.positions([[1, 5], [3.5, 2]]).tolist() == [[0, 8], [5, 2]]
    assert KEEL_SCALE.positions([]).size == 0


def test_positions_refuse_strangers():
    message = (
        "Scores must be grades of 'keel 1 to 5': 1 to 5 in steps of 0.5. Found: 3 others: 0, 2.2, "
        "nan. Correct them, or name the scale that they belong to with scale=."
    )
    with pytest.raises(ScaleError, match=f"^{re.escape(message)}$"):
        KEEL_SCALE.positions([2.2, 3, 0, np.nan])


def test_whole_grades_of_a_scale_without_any():
    assert ScoreScale(name="odd", low=0.5, high=3.5, step=1).whole_grades.size == 0


@pytest.mark.parametrize(
    ("scores", "low", "high", "step"),
    [
        ([1, 2, 5, np.nan], 1, 5, 1),
        ([2, 2.5], 2, 2.5, 0.5),
        ([1, 1.75], 1, 1.75, 0.25),
        ([1.1, 1.4], 1.1, 1.4, 0.1),
        ([3, 9], 3, 9, 1),
    ],
)
def test_scale_from_scores(scores, low, high, step):
    scale = scale_from_scores(scores)
    assert (scale.low, scale.high, scale.step) == (low, high, step)
    assert scale.name == "grades found"


@pytest.mark.parametrize(
    ("scores", "count"), [([], "0 different grades"), ([3, 3], "1 different grade")]
)
def test_scale_from_scores_needs_two_grades(scores, count):
    message = (
        f"scale=None needs at least two different grades to make a scale from. Found: {count}. "
        "Name the scale with scale=."
    )
    with pytest.raises(ScaleError, match=f"^{re.escape(message)}$"):
        scale_from_scores(scores)


def test_scale_from_scores_needs_a_grid():
    message = (
        "scale=None needs grades on a grid of 1, 1/2, 1/4 or 1/10. Found: grades 1, 1.33, 2. Name "
        "the scale with scale=."
    )
    with pytest.raises(ScaleError, match=f"^{re.escape(message)}$"):
        scale_from_scores([1, 1.33, 2])


def test_halves_are_not_rounded_to_even():
    """Naive mistake 4: round() sends 1.5 2.5 3.5 4.5 to 2 2 4 4; grades stay as they are."""
    halves = [1.5, 2.5, 3.5, 4.5]
    assert [round(grade) for grade in halves] == [2, 2, 4, 4]
    assert KEEL_SCALE.values[KEEL_SCALE.positions(halves)].tolist() == halves
