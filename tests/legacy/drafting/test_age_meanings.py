"""Ages and days told apart by the numbers below and the columns beside them."""

import pytest

RINGS = ["HT40222", "HT40223", "HT40224", "HT40225"]


def table(**columns):
    return [list(columns), *[list(row) for row in zip(*columns.values(), strict=True)]]


@pytest.mark.parametrize("heading", ["Day", "Tag", "Jour", "D\u00eda", "Dag", "days"])
def test_a_day_in_a_sheet_of_chicks_is_their_age(draft_rows, heading):
    rows = table(Chick=RINGS, Nestlings=["1", "2", "1", "3"], **{heading: ["2", "7", "12", "4"]})
    rule = draft_rows(rows)[heading]
    assert (rule.fields, rule.kind) == (("chick_age_days",), "number")
    assert "Are they days? Weeks are field: chick_age_weeks" in rule.ask


def test_a_day_beyond_a_month_is_a_chicks_age(draft_rows):
    rule = draft_rows(table(Ring=RINGS, Day=["23", "32", "2", "50"]))["Day"]
    assert rule.fields == ("chick_age_days",)


def test_a_day_beyond_any_chick_is_one_of_the_year(draft_rows):
    rule = draft_rows(table(Ring=RINGS, Day=["123", "132", "98", "250"]))["Day"]
    assert rule.fields == ()
    assert "a day of the year" in rule.ask


def test_a_day_without_its_month_is_no_date_alone(draft_rows):
    rule = draft_rows(table(Ring=RINGS, Day=["2", "7", "12", "4"]))["Day"]
    assert rule.fields == ()
    assert "a day of a month, of a study or a chick's age in days (chick_age_days)" in rule.ask


def test_a_day_beside_its_month_is_a_part_of_the_date(draft_rows):
    rows = table(Chick=RINGS, Day=["2", "7", "12", "4"], Month=["5", "5", "6", "6"],
                 Year=["2019"] * 4)  # fmt: skip
    draft = draft_rows(rows)
    assert (draft["Day"].fields, draft["Day"].part) == (("exam_date",), "day")
    assert draft.is_sure("Day")


def test_a_day_that_holds_dates_stays_the_exams(draft_rows):
    days = ["13.03.2019", "14.03.2019", "02.04.2019", "30.04.2019"]
    draft = draft_rows(table(Ring=RINGS, Nestling=["A", "B", "A", "C"], Day=days))
    assert draft["Day"].fields == ("exam_date",)


@pytest.mark.parametrize(
    ("ages", "field"),
    [
        (["1", "13", "2", "15"], "age_years"), (["0.5", "1.5", "2", "3"], "age_years"),
        (["14", "21", "17", "3"], "chick_age_days"),
    ],
)  # fmt: skip
def test_ages_with_decimals_or_beyond_a_digit_are_no_codes(draft_rows, ages, field):
    rule = draft_rows(table(Ring=RINGS, Age=ages))["Age"]
    assert (rule.fields, rule.kind) == ((field,), "number")
    assert "without its code system" not in rule.ask
    assert "age_years" in rule.ask
    assert "chick_age_days" in rule.ask


def test_ages_of_chicks_with_decimals_are_days(draft_rows):
    rule = draft_rows(table(Ring=RINGS, Nestling=["A", "B", "A", "C"], Age=["4.5", "2", "6", "3"]))
    assert rule["Age"].fields == ("chick_age_days",)


@pytest.mark.parametrize("heading", ["Age (EURING)", "BBL age"])
def test_a_code_system_in_the_heading_is_believed(draft_rows, heading):
    rule = draft_rows(table(**{"Ring": RINGS, heading: ["3", "5", "10", "12"]}))[heading]
    assert rule.fields == ("age_code",)


def test_one_slip_among_many_digits_makes_no_age_in_years(draft_rows):
    rows = [["Ring", "Age"], *([f"HT{at:05d}", str(3 + at % 4)] for at in range(40)),
            ["HT90000", "33"]]  # fmt: skip
    assert draft_rows(rows)["Age"].fields == ("age_code",)


def test_an_age_at_ringing_in_codes_is_an_age_code(draft_rows):
    draft = draft_rows(table(Ring=RINGS, **{"Age at ringing": ["HY", "AHY", "SY", "HY"]}))
    assert draft["Age at ringing"].fields == ("age_code",)
    days = draft_rows(table(Ring=RINGS, **{"Age at ringing": ["21", "23", "19", "22"]}))
    assert days["Age at ringing"].fields == ("chick_age_days",)


def test_a_unit_of_weeks_is_never_taken_for_days(draft_rows):
    rule = draft_rows(table(Ring=RINGS, **{"Age (weeks)": ["6", "7", "5", "8"]}))["Age (weeks)"]
    assert rule.fields == ("chick_age_weeks",)
    assert "Are they weeks? Days are field: chick_age_days." in rule.ask


def test_a_date_of_unknown_words_over_numbers_is_a_day_of_the_year(draft_rows):
    rule = draft_rows(table(Ring=RINGS, pip_date=["138", "134", "136", "150"]))["pip_date"]
    assert rule.fields == ()
    assert "a day of the year" in rule.ask


def test_letters_of_chicks_are_proposed_as_birds(draft_rows):
    draft = draft_rows(table(Ring=RINGS, Nest=["4", "4", "5", "5"], Chick=["A", "B", "A", "B"]))
    assert draft["Chick"].fields == ("bird_id",)
    assert "the chicks of one nest apart" in draft["Chick"].ask
    counts = draft_rows(table(Ring=RINGS, Nest=["4", "4", "5", "5"], Chicks=["3", "2", "4", "1"]))
    assert counts["Chicks"].fields == ()
