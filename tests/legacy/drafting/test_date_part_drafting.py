"""Day, month and year in columns of their own, and a date beside them."""

import pytest


@pytest.mark.parametrize(
    "heads",
    [("Day", "Month", "Year"), ("Tag", "Monat", "Jahr"), ("Jour", "Mois", "Ann\u00e9e"),
     ("D\u00eda", "Mes", "A\u00f1o"), ("Dag", "Maand", "Jaar")],
)  # fmt: skip
def test_three_columns_make_one_date(draft_rows, heads):
    draft = draft_rows([["Ring", *heads], ["a1", "4", "3", "2019"], ["a2", "28", "12", "2019"]])
    assert [draft[head].part for head in heads] == ["day", "month", "year"]
    assert all(draft.is_sure(head) for head in heads)


def test_numbers_that_are_no_days_or_months_are_no_parts(draft_rows):
    draft = draft_rows([["Ring", "Day", "Month", "Year"], ["a1", "196", "3", "2019"]])
    assert draft["Day"].part is None
    assert not draft.is_sure("Day")


def test_without_a_year_it_is_asked(draft_rows):
    draft = draft_rows([["Ring", "Day", "Month"], ["a1", "4", "3"], ["a2", "28", "12"]])
    assert draft["Day"].part == "day"
    assert draft["Day"].ask.startswith("Of which year are these days and months?")


def test_a_date_that_agrees_is_used_and_its_order_known(draft_rows):
    rows = [["a1", "4/3/2019", "4", "3", "2019"], ["a2", "5/3/2019", "5", "3", "2019"]]
    draft = draft_rows([["Ring", "Date", "Day", "Month", "Year"], *rows])
    assert draft["Date"].date_order == "dmy"
    assert draft.is_sure("Date")
    assert "Year, Month, Day agree in 2 of 2 rows" in draft["Date"].evidence
    assert draft["Day"].ask.startswith("May it be set aside? It is the day of 'Date'")
    assert draft["Day"].fields == ()


def test_a_date_that_does_not_agree_is_asked_about(draft_rows):
    rows = [["a1", "14/3/2019", "4", "4", "2019"], ["a2", "15/3/2019", "5", "6", "2018"]]
    draft = draft_rows([["Ring", "Date", "Day", "Month", "Year"], *rows])
    assert "agree in 0 of 2 rows" in draft["Date"].ask
    assert "agree in 0 of 2 rows" in draft["Day"].ask
