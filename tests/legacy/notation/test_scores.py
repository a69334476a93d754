"""Grades: the notations met in old sheets, one by one, and any text at all."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodycond.legacy.notation import parse_score
from bodycond.scales import KEEL_SCALE, ScoreScale

FAT_SCALE = ScoreScale(name="fat 0 to 4", low=0, high=4, step=0.5)


@pytest.mark.parametrize(
    ("text", "low", "high", "point", "outcome"),
    [
        ("3", 3, 3, 3, "accepted"),
        ("3.0", 3, 3, 3, "accepted"),
        (" 3 ", 3, 3, 3, "accepted"),
        ("2.5", 2.5, 2.5, 2.5, "accepted"),
        ("2 1/2", 2.5, 2.5, 2.5, "converted"),
        ("2½", 2.5, 2.5, 2.5, "converted"),
        ("2,5", 2.5, 2.5, 2.5, "converted"),
        ("3+", 3, 3.5, None, "converted"),
        ("3-", 2.5, 3, None, "converted"),
        ("3–", 2.5, 3, None, "converted"),
        ("5+", 5, 5, None, "converted"),
        ("1-", 1, 1, None, "converted"),
        ("2-3", 2, 3, None, "converted"),
        ("2–3", 2, 3, None, "converted"),
        ("2/3", 2, 3, None, "converted"),
        ("2 to 3", 2, 3, None, "converted"),
        ("2~3", 2, 3, None, "converted"),
        ("1/2", 1, 2, None, "converted"),
        ("1-2", 1, 2, None, "converted"),
        ("2.5/5", 2.5, 2.5, 2.5, "converted"),
        ("3 of 5", 3, 3, 3, "converted"),
        ("3/5", 3, 3, 3, "converted"),
        ("5/5", 5, 5, 5, "converted"),
        ("２", 2, 2, 2, "converted"),
        ("'3", 3, 3, 3, "converted"),
        ("2.0", 2, 2, 2, "accepted"),
        ("3½+", 3.5, 4, None, "converted"),
        ("2,5-3", 2.5, 3, None, "converted"),
        ("2.5000001", 2.5, 2.5, 2.5, "converted"),
        ("III", 3, 3, 3, "converted"),
        ("iii", 3, 3, 3, "converted"),
        ("IV", 4, 4, 4, "converted"),
        ("IIII", 4, 4, None, "quarantined"),
        ("BCS 3", 3, 3, None, "quarantined"),
        ("BC3", 3, 3, None, "quarantined"),
        ("CS3", 3, 3, None, "quarantined"),
        ("keel 3", 3, 3, None, "quarantined"),
        ("K3", 3, 3, None, "quarantined"),
    ],
)
def test_notation_gives_its_interval_and_no_more(text, low, high, point, outcome):
    reading = parse_score(text)
    assert (reading.low, reading.high, reading.value) == (low, high, point)
    assert reading.outcome == outcome
    assert reading.raw == text


@pytest.mark.parametrize(
    ("text", "reason", "likely"),
    [
        ("4/9", "another scale: 4 of 9 is not on 'keel 1 to 5'", "4 of 9"),
        ("3/3", "another scale: 3 of 3 is not on 'keel 1 to 5'", "3 of 3"),
        ("2/4", "another scale: 2 of 4 is not on 'keel 1 to 5'", "2 of 4"),
        ("3 of 9", "another scale: 3 of 9 is not on 'keel 1 to 5'", "3 of 9"),
        ("4/5", "two readings", "4 of 5, or a range from 4 to 5"),
        ("3/2", "two grades in falling order", "2 to 3, or a change from 3 to 2"),
        ("3-2", "two grades that do not rise", "2 to 3, or a change from 3 to 2"),
        ("3(2)", "two ratings in one cell", "3 and 2"),
        ("2->3", "two ratings in one cell", "2 and 3"),
        ("2 → 3", "two ratings in one cell", "2 and 3"),
        ("2 (was 3)", "two ratings in one cell", "2 and 3"),
        ("2-Mar", "a date and no grade", "2-3 or 3-2, turned into a date by a spreadsheet"),
        ("3-Feb", "a date and no grade", "2-3 or 3-2, turned into a date by a spreadsheet"),
        ("Feb-03", "a date and no grade", "2-3 or 3-2, turned into a date by a spreadsheet"),
        ("46056", "a date and no grade", "2-3 or 3-2, turned into a date by a spreadsheet"),
        (
            "02/05/26",
            "a date and no grade",
            "2-5 or 5-2, or 2.5 with a point, turned into a date by a spreadsheet",
        ),
        ("<3", "a limit and no grade", "below 3"),
        ("3 or 4", "a notation that is not known", ""),
        ("3²", "a notation that is not known", ""),
        ("#DIV/0!", "an error value of the spreadsheet", ""),
        ("2026-03-02", "a date and no grade", "2-3 or 3-2, turned into a date by a spreadsheet"),
        ("6", "6 is outside the scale 'keel 1 to 5'", ""),
        ("0", "0 is outside the scale 'keel 1 to 5'", ""),
        ("33", "33 is outside the scale 'keel 1 to 5'", "3, its key struck twice"),
        ("25", "25 is outside the scale 'keel 1 to 5'", "2.5, its point lost"),
        ("2.3", "2.3 is between the grades 'keel 1 to 5'", ""),
        ("3?", "a grade that was doubted when written", "3"),
        ("~3", "a grade that was doubted when written", "3"),
    ],
)
def test_other_notations_are_held_with_reason_and_likely_reading(text, reason, likely):
    reading = parse_score(text)
    assert reading.outcome == "quarantined"
    assert reading.value is None
    assert (reading.reason, reading.likely) == (reason, likely)


@pytest.mark.parametrize(
    ("text", "flag"),
    [("3?", "marked as doubtful"), ("*3", "marked with a star"), ("~3", "approximate"),
     ("<3", "below a limit"), (">4", "above a limit")],
)  # fmt: skip
def test_marks_beside_a_held_grade_are_kept(text, flag):
    assert parse_score(text).flags == (flag,)


@pytest.mark.parametrize("text", ["t", "T"])
def test_a_trace_waits_for_the_recipes_codes(text):
    reading = parse_score(text, scale=FAT_SCALE)
    assert (reading.outcome, reading.low) == ("quarantined", None)
    assert reading.likely == "a trace; which grade that is stands in no cell"


def test_a_held_grade_off_the_scale_has_no_interval():
    reading = parse_score("BCS 9")
    assert (reading.low, reading.high, reading.likely) == (None, None, "9")
    narrow = ScoreScale(name="0 to 3", low=0, high=3, step=1)
    assert parse_score("IIII", scale=narrow).low is None


@pytest.mark.parametrize(
    "text", ["thin", "very thin", "emaciated", "good", "fat", "OK", "WNL", "v. thin/good muscle"]
)
def test_words_wait_for_the_sites_codebook(text):
    reading = parse_score(text)
    assert reading.outcome == "quarantined"
    assert (reading.low, reading.high, reading.value) == (None, None, None)
    assert reading.reason == "a word and no grade: the site's codebook must say what it meant"


@pytest.mark.parametrize("text", ["", "  ", "-", "NA", "n/a", "?", "."])
def test_missing_markers_are_accepted_as_missing(text):
    reading = parse_score(text)
    assert (reading.outcome, reading.value, reading.low) == ("accepted", None, None)
    assert reading.reason


def test_a_column_without_a_scale_is_held():
    reading = parse_score("3", scale=None)
    assert reading.outcome == "quarantined"
    assert reading.reason == "the column has no score scale in the recipe"


def test_the_recipe_can_say_what_slashes_and_prefixes_mean():
    assert parse_score("4/5", slash="of_scale").value == 4
    assert parse_score("2/3", slash="of_scale").outcome == "quarantined"
    ranged = parse_score("4/5", slash="range")
    assert (ranged.low, ranged.high, ranged.value) == (4, 5, None)
    assert parse_score("BCS 3", prefixes=("BCS",)).value == 3


def test_a_half_on_another_scale_is_not_taken_for_a_range():
    reading = parse_score("1/2", scale=FAT_SCALE)
    assert reading.outcome == "quarantined"
    assert reading.likely == "0.5, or a range from 1 to 2"


_PIECES = st.lists(
    st.sampled_from([*"0123456789", ".", ",", "/", "-", "+", " ", "½", "to", "of", "BCS", "~", "("])
).map("".join)


@given(st.one_of(st.text(), _PIECES), st.sampled_from([KEEL_SCALE, FAT_SCALE, None]))
def test_parser_is_total_and_stays_on_the_scale(text, scale):
    reading = parse_score(text, scale=scale)
    assert reading.raw == text
    assert reading.outcome in {"accepted", "converted", "quarantined"}
    assert reading.reason or reading.value is not None
    if reading.outcome == "quarantined" or scale is None:
        assert reading.value is None
        return
    if reading.low is not None:
        assert scale.low <= reading.low <= reading.high <= scale.high
    if reading.value is not None:
        assert reading.low == reading.value == reading.high
        assert np.all(scale.contains([reading.value]))
