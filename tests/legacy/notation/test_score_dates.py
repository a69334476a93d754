"""Grades that a spreadsheet turned into dates."""

import pytest

from bodycond.legacy.notation import parse_score
from bodycond.scales import ScoreScale


@pytest.mark.parametrize(
    "text",
    ["2-Mar", "3-Feb", "Mar-02", "02-mars", "2. M\u00e4rz", "3-f\u00e9vr", "2-mrt.", "02/03/2026",
     "03/02/26", "2026-03-02", "2026-02-03 00:00:00", "46056", "46056.0"],
)  # fmt: skip
def test_a_date_in_a_score_column_proposes_both_readings(text):
    reading = parse_score(text)
    assert (reading.outcome, reading.value) == ("quarantined", None)
    assert reading.reason == "a date and no grade"
    assert reading.likely == "2-3 or 3-2, turned into a date by a spreadsheet"


def test_a_half_grade_with_a_point_is_proposed_too():
    likely = "1-5 or 5-1, or 1.5 with a point, turned into a date by a spreadsheet"
    assert parse_score("1-May").likely == likely


@pytest.mark.parametrize("text", ["12-Oct", "22/02/2019", "6-Feb"])
def test_grades_that_the_scale_has_not_are_not_proposed(text):
    reading = parse_score(text)
    assert (reading.reason, reading.likely) == ("a date and no grade", "")


def test_a_wider_scale_has_them():
    wide = ScoreScale(name="1 to 9", low=1, high=9, step=1)
    likely = "2-6 or 6-2, turned into a date by a spreadsheet"
    assert parse_score("6-Feb", scale=wide).likely == likely


@pytest.mark.parametrize("text", ["2-Max", "29999", "60001"])
def test_what_is_no_date_is_not_called_one(text):
    assert parse_score(text).reason != "a date and no grade"
