"""Headings of several meanings, settled by cells and neighbours."""

import pytest

DAYS = ["13.03.2019", "14.03.2019", "02.04.2019"]
RINGS = ["JC40222", "JC40223", "JC40224"]


def table(**columns):
    return [list(columns), *[list(row) for row in zip(*columns.values(), strict=True)]]


@pytest.mark.parametrize("heading", ["Data", "Tag", "Date ringed", "Banding date", "Dia"])
def test_the_only_days_of_a_table_are_the_exams(draft_rows, heading):
    draft = draft_rows(table(**{"Ring number": RINGS, heading: DAYS}))
    assert draft.is_sure(heading)
    assert draft[heading].fields == ("exam_date",)
    assert draft[heading].date_order == "dmy"


@pytest.mark.parametrize("heading", ["Admission date", "Date in", "Collection date"])
def test_days_on_which_a_bird_may_not_have_been_weighed_are_asked_about(draft_rows, heading):
    draft = draft_rows(table(**{"Ring number": RINGS, heading: DAYS}))
    assert draft[heading].fields == ("exam_date",)
    assert "Is this exam_date?" in draft[heading].ask


def test_a_day_of_ringing_beside_the_exams_is_asked_about(draft_rows):
    draft = draft_rows(table(Ring=RINGS, Date=DAYS, **{"Date ringed": DAYS}))
    assert draft.is_sure("Date")
    assert draft["Date ringed"].ask


def test_data_that_are_no_days_are_no_date(draft_rows):
    draft = draft_rows(table(Ring=RINGS, Data=["yes", "no", "yes"]))
    assert not draft.is_sure("Data")


def test_obs_are_remarks_where_they_are_no_initials(draft_rows):
    words = draft_rows(table(Ring=RINGS, Obs=["thin bird", "", "moulting"]))
    assert words["Obs"].fields == ("remarks",)
    people = draft_rows(table(Ring=RINGS, Obs=["S1", "K2", "S1"]))
    assert people["Obs"].fields == ("scorer",)
    assert people["Obs"].ask
    assert words["Obs"].ask


def test_ages_beyond_a_digit_are_days(draft_rows):
    draft = draft_rows(table(Ring=RINGS, Age=["14", "21", "17"]))
    assert draft["Age"].fields == ("chick_age_days",)
    assert draft["Age"].ask
    codes = draft_rows(table(Ring=RINGS, Age=["4", "5", "4"]))
    assert codes["Age"].fields == ("age_code",)
