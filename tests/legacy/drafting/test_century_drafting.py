"""Two-digit years that would lie ahead, or far from whole years beside them, are asked about."""

import datetime as dt

import pytest

from bodycond.legacy import import_legacy

NEXT = (dt.datetime.now(tz=dt.UTC).year + 1) % 100


def draft_days(draft_rows, days):
    rows = [[f"DA{number}", day, "240"] for number, day in enumerate(days)]
    return draft_rows([["Ring no.", "Date", "Wing (mm)"], *rows])


@pytest.mark.parametrize(
    ("days", "order", "last"),
    [
        (["12/24/28", "6/19/05", "8/30/1898", "summer 1949"], "mdy", 1949),
        (["24.12.98", "19.06.1905", "28.03.1911"], "dmy", 1911),
        (["24-Dec-98", "19-Jun-1905", "28-Mar-1911"], None, 1911),
    ],
)
def test_far_from_the_whole_years(draft_rows, days, order, last):
    rule = draft_days(draft_rows, days)["Date"]
    assert rule.ask.startswith("Of which century are two-digit years?")
    assert (rule.date_order, rule.short_years_to) == (order, last)


def test_still_to_come(draft_rows):
    rule = draft_days(draft_rows, [f"24/12/{NEXT:02d}", "19/06/65"])["Date"]
    assert "which is still to come" in rule.ask
    assert rule.short_years_to == dt.datetime.now(tz=dt.UTC).year


@pytest.mark.parametrize(
    "days",
    [
        ["24/12/18", "19/06/65"],
        ["24/12/18", "19/06/2005", "31/01/1999"],
        ["24/12/2018", "19/06/1901"],
        ["Dec 18", "2018-12-24"],
    ],
)
def test_years_that_are_near_are_not_asked_about(draft_rows, days):
    rule = draft_days(draft_rows, days)["Date"]
    assert "century" not in (rule.ask or "")
    assert rule.short_years_to is None


def test_a_column_of_years_is_looked_at_too(draft_rows):
    rows = [["DA1", "24", "12", f"{NEXT:02d}", "240"], ["DA2", "19", "6", "05", "241"]]
    draft = draft_rows([["Ring no.", "Day", "Month", "Year", "Wing (mm)"], *rows])
    assert draft["Year"].ask.startswith("Of which century are two-digit years?")
    assert draft["Day"].ask == ("Of which century is 'Year'? Delete this line with that question.")


def test_the_answer_is_carried_out(draft_rows, tmp_path):
    from bodycond.legacy import ImportRecipe

    path = tmp_path / "old.csv"
    path.write_text("Ring,Date,D,M,Y\nDA1,24/12/28,24,12,28\nDA2,19/06/05,19,6,05\n")
    text = """
version: 1
sheets:
- file: old.csv
  heading_row: 1
  columns:
    Ring: {field: ring_number}
    Date: {field: exam_date, date_order: dmy, short_years_to: 1949}
    D: {field: caught, kind: date, part: day}
    M: {field: caught, kind: date, part: month}
    Y: {field: caught, kind: date, part: year, short_years_to: 1930}
"""
    imported = import_legacy(path, ImportRecipe.from_text(text))
    for column in ("exam_date", "caught"):
        assert imported.exams[column].dt.year.tolist() == [1928, 1905]
    reasons = imported.ledger["reason"]
    assert reasons.str.contains("read as 1928 (two digits are 1850 to 1949)", regex=False).any()
    assert not any("still to come" in note for note in imported.notes)
    late = text.replace(", short_years_to: 1949", "")
    notes = import_legacy(path, ImportRecipe.from_text(late)).notes
    (ahead,) = [note for note in notes if "still to come" in note]
    assert ahead.startswith("1 exam dates are still to come (old.csv old row 2: 2028-12-24)")
