"""Cells that hold several values."""

import pytest


def test_age_and_sex_of_one_heading_are_split(draft_rows):
    draft = draft_rows([["Ring", "Age/Sex"], ["a1", "ASY/M"], ["a2", "HY/F"]])
    rule = draft["Age/Sex"]
    assert (rule.split, rule.fields) == (("{age_code}/{sex}",), ("age_code", "sex"))
    assert (rule.system, rule.ask) == ("BBL", None)


@pytest.mark.parametrize(
    ("heading", "cells", "split", "fields"),
    [
        ("Date, mass", ["6/27, 3.9g", "6/28, 4.1g"], "{exam_date}, {mass_g}",
         ("exam_date", "mass_g")),
        ("Wing/Tail", ["240/160", "238/158"], "{wing_mm}/{tail_mm}", ("wing_mm", "tail_mm")),
        ("Sexe/\u00c2ge", ["M/ad", "F/juv"], "{sex}/{age_code}", ("sex", "age_code")),
        ("Sex & Age", ["M 3", "F 5"], "{sex} {age_code}", ("sex", "age_code")),
    ],
)  # fmt: skip
def test_a_heading_of_two_fields_is_proposed_and_asked(draft_rows, heading, cells, split, fields):
    rule = draft_rows([["Ring", heading], ["a1", cells[0]], ["a2", cells[1]]])[heading]
    assert (rule.split, rule.fields) == ((split,), fields)
    assert "Does each cell hold" in rule.ask


@pytest.mark.parametrize(
    ("heading", "cells", "split"),
    [
        ("Record of day", ["6/27, 186g", "6/28, 190g"], "{exam_date}, {mass_g}"),
        ("Age", ["AHY/F", "HY/M"], "{age_code}/{sex}"),
    ],
)
def test_cells_of_two_values_are_proposed_and_asked(draft_rows, heading, cells, split):
    rule = draft_rows([["Bird", heading], ["a1", cells[0]], ["a2", cells[1]]])[heading]
    assert rule.split == (split,)
    assert rule.ask.startswith("May each cell be split as")


@pytest.mark.parametrize("heading", ["M/F", "lb/oz", "Date in/out", "w/o bag"])
def test_a_slash_alone_splits_nothing(draft_rows, heading):
    assert draft_rows([["Ring", heading, "Sex"], ["a1", "M", "F"]])[heading].split == ()
