"""Year, month and day of the year where no column holds the day of the exam."""

import pytest

RINGS = ["HT40222", "HT40223", "HT40224", "HT40225"]
YEARS = ["2018", "2019", "2019", "2020"]


def table(**columns):
    return [list(columns), *[list(row) for row in zip(*columns.values(), strict=True)]]


@pytest.mark.parametrize("heading", ["yday", "DOY", "jday", "Julian", "DayOfYear", "Julian day"])
def test_a_day_of_the_year_beside_its_year(draft_rows, heading):
    draft = draft_rows(table(Ring=RINGS, Year=YEARS, **{heading: ["121", "133", "140", "128"]}))
    day, year = draft[heading], draft["Year"]
    assert day.fields == ()
    assert "Does it give the day of the exam together with 'Year'?" in day.ask
    assert "A recipe cannot make a date of a day of the year" in day.ask
    assert "set this one aside" in day.ask
    assert (year.fields, year.part) == (("exam_date",), "year")
    assert f"With {heading!r} it gives the day, but a recipe cannot" in year.ask


@pytest.mark.parametrize("months", [["5", "6", "6", "7"], ["May", "June", "June", "July"]])
def test_month_and_year_give_the_month_of_the_exam(draft_rows, read_sheet, months):
    rows = table(Ring=RINGS, Year=YEARS, Month=months)
    draft = draft_rows(rows)
    assert [draft[name].part for name in ("Year", "Month")] == ["year", "month"]
    assert "it gives the month of the exam and no day" in draft["Month"].ask
    answered = read_sheet(rows, """sheets:
- file: book.csv
  heading_row: 1
  columns:
    Ring: {field: ring_number}
    Year: {field: exam_date, part: year}
    Month: {field: exam_date, part: month}
""")  # fmt: skip
    assert [str(day)[:7] for day in answered.exams["exam_date"]] == [
        "2018-05", "2019-06", "2019-06", "2020-07",
    ]  # fmt: skip


def test_a_month_alone_needs_a_year(draft_rows, read_sheet):
    rows = table(Ring=RINGS, Month=["May", "June", "June", "July"])
    rule = draft_rows(rows)["Month"]
    assert (rule.fields, rule.part) == (("exam_date",), "month")
    assert "write it as year (four digits, file or sheet)" in rule.ask
    answered = read_sheet(rows, """sheets:
- file: book.csv
  heading_row: 1
  columns:
    Ring: {field: ring_number}
    Month: {field: exam_date, part: month, year: 2019}
""")  # fmt: skip
    assert [str(day)[:7] for day in answered.exams["exam_date"]] == [
        "2019-05", "2019-06", "2019-06", "2019-07",
    ]  # fmt: skip


def test_numbers_of_months_under_a_date_go_with_the_year(draft_rows):
    draft = draft_rows(table(Ring=RINGS, Year=YEARS, Date2=["8", "11", "3", "7"]))
    assert (draft["Date2"].part, draft["Year"].part) == ("month", "year")


def test_a_year_alone_is_proposed_as_the_years_of_the_exams(draft_rows):
    rule = draft_rows(table(Ring=RINGS, Year=YEARS))["Year"]
    assert (rule.fields, rule.part) == (("exam_date",), "year")
    assert "known to the year alone" in rule.ask


@pytest.mark.parametrize("heading", ["Date", "Seen at"])
def test_beside_dates_a_year_is_no_part_of_one(draft_rows, heading):
    days = ["2018-05-03", "2019-06-13", "2019-06-14", "2020-05-30"]
    draft = draft_rows(table(Ring=RINGS, Year=YEARS, yday=["123", "164", "165", "151"],
                             **{heading: days}))  # fmt: skip
    assert draft["Year"].part is None
    assert "May it be set aside?" in draft["Year"].ask
    assert "May it be set aside?" in draft["yday"].ask
