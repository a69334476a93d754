"""A column for each scorer or for each date, proposed as records of their own."""

import pytest


@pytest.mark.parametrize(
    ("heads", "scorers"),
    [
        (["Keel AB", "Keel CD"], ["AB", "CD"]),
        (["Score S1", "Score S2"], ["S1", "S2"]),
        (["S1 keel", "K2 keel"], ["S1", "K2"]),
        (["Keel (AB)", "Keel (CD)"], ["AB", "CD"]),
        (["Keel_AB", "Keel_CD"], ["AB", "CD"]),
    ],
)
def test_a_column_for_each_scorer(draft_rows, heads, scorers):
    draft = draft_rows([["Bird", *heads], ["K-1", "3", "3.5"], ["K-2", "2", "2"]])
    assert [draft[head].values for head in heads] == [{"scorer": scorer} for scorer in scorers]
    assert {draft[head].into for head in heads} == {"ratings"}
    assert all(draft[head].fields == ("keel",) and draft[head].ask for head in heads)


def test_the_scale_in_such_a_heading_is_kept(draft_rows):
    heads = ["Keel (1-5) AB", "Keel (1-5) CD"]
    draft = draft_rows([["Bird", *heads], ["K-1", "3", "3.5"]])
    assert draft[heads[0]].scale == "keel 1 to 5"


def test_numbered_grades_are_asked_about(draft_rows):
    draft = draft_rows([["Bird", "Keel 1", "Keel 2"], ["K-1", "3", "3.5"]])
    assert "Is this grade number 1 of 2 of one bird" in draft["Keel 1"].ask


def test_sides_are_no_scorers(draft_rows):
    draft = draft_rows([["Bird", "Wing L (mm)", "Wing R (mm)"], ["K-1", "240", "241"]])
    assert not draft["Wing L (mm)"].values
    assert draft["Wing L (mm)"].ask


@pytest.mark.parametrize(
    ("heads", "dates"),
    [
        (["2019-03-04", "2019-03-11"], ["2019-03-04", "2019-03-11"]),
        (["14/03/19", "21/03/19"], ["2019-03-14", "2019-03-21"]),
        (["Wt 14.03.2019", "Wt 21.03.2019"], ["2019-03-14", "2019-03-21"]),
    ],
)
def test_a_column_for_each_date(draft_rows, heads, dates):
    draft = draft_rows([["Case no.", *heads], ["K-1", "186", "190"], ["K-2", "230", "231"]])
    assert [draft[head].values for head in heads] == [{"exam_date": date} for date in dates]
    assert all(draft[head].fields == ("mass_g",) and draft[head].ask for head in heads)
    assert {draft[head].into for head in heads} == {"exams"}


def test_dates_that_can_be_read_both_ways_give_no_day(draft_rows):
    draft = draft_rows([["Case no.", "Sex", "1/2/19", "3/4/19"], ["K-1", "F", "186", "190"]])
    assert draft["1/2/19"].values == {}
    assert "is 1/2/19 day or month first?" in draft["1/2/19"].ask


def test_grades_below_dates_are_taken_for_keel_scores(draft_rows):
    draft = draft_rows([["Case no.", "2019-03-04", "2019-03-11"], ["K-1", "3", "3.5"]])
    assert draft["2019-03-04"].fields == ("keel",)


def test_numbered_masses_are_rivals(draft_rows):
    draft = draft_rows([["Case no.", "Wt 1 (g)", "Wt 2 (g)"], ["K-1", "186", "187"]])
    assert "also 'Wt 2 (g)'" in draft["Wt 1 (g)"].ask
