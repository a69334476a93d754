"""Cells of several values taken apart by templates."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodycond.legacy.recipes.cell_templates import find_template_fault, split_text


@pytest.mark.parametrize(
    ("text", "template", "parts"),
    [
        ("6/27, 3.9g", "{exam_date}, {mass_g}", {"exam_date": "6/27", "mass_g": "3.9g"}),
        ("6/27 ,3.9g", "{exam_date}, {mass_g}", {"exam_date": "6/27", "mass_g": "3.9g"}),
        ("ASY/M", "{age_code}/{sex}", {"age_code": "ASY", "sex": "M"}),
        ("5.2X8.0", "{a}x{b}", {"a": "5.2", "b": "8.0"}),
        ("W 372 T 222", "W {wing_mm} T {tail_mm}", {"wing_mm": "372", "tail_mm": "222"}),
        ("3 950", "{keel} {mass_g}", {"keel": "3", "mass_g": "950"}),
        ("950 g (crop 4)", "{mass_g} (crop {crop_fill})", {"mass_g": "950 g", "crop_fill": "4"}),
        ("a.b", "{x}.{y}", {"x": "a", "y": "b"}),
    ],
)
def test_a_text_is_taken_apart(text, template, parts):
    assert split_text(text, [template]).parts == parts


@pytest.mark.parametrize(
    ("text", "template"),
    [("6/27", "{exam_date}, {mass_g}"), ("3950", "{keel} {mass_g}"), ("axb", "{x}.{y}")],
)
def test_a_text_that_does_not_fit_is_none(text, template):
    assert split_text(text, [template]) is None


def test_the_first_template_that_fits_counts():
    split = split_text("6/27", ["{exam_date}, {mass_g}", "{exam_date}"])
    assert split.parts == {"exam_date": "6/27"}


def test_what_empty_braces_take_is_told():
    split = split_text("950 g by S1", ["{mass_g} by {}"])
    assert (split.parts, split.unused) == ({"mass_g": "950 g"}, ("S1",))


@pytest.mark.parametrize(
    ("template", "fault"),
    [
        ("plain", "it names no field in braces"),
        ("{} only", "it names no field in braces"),
        ("{sex}/{sex}", "it names a field twice"),
        ("{sex}{age_code}", "nothing stands between {sex} and {age_code}"),
        ("{sex} {age", "a brace is open"),
        ("{sex}, {age_code}", ""),
    ],
)
def test_faults_of_a_template_are_said(template, fault):
    assert find_template_fault(template) == fault


@given(st.text(max_size=40))
def test_any_text_is_taken_apart_or_not(text):
    split = split_text(text, ["{a}/{b}", "{a} x {}"])
    assert split is None or all(
        part in " ".join(text.split()) or part for part in split.parts.values()
    )
