"""Dates: orders, names, parts, and any text at all."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodycond.errors import ArgumentError
from bodycond.legacy.notation import compose_date, parse_date, read_month


@pytest.mark.parametrize(
    ("text", "order", "day", "outcome"),
    [
        ("2021-01-02", None, "2021-01-02", "accepted"),
        ("2004-06-27 00:00:00", None, "2004-06-27", "converted"),
        ("22/02/2019", None, "2019-02-22", "converted"),
        ("02/22/2019", None, "2019-02-22", "converted"),
        ("05/05/2019", None, "2019-05-05", "converted"),
        ("01/02/2019", "dmy", "2019-02-01", "converted"),
        ("01/02/2019", "mdy", "2019-01-02", "converted"),
        ("18.01.2019", "dmy", "2019-01-18", "converted"),
        ("1.2.98", "dmy", "1998-02-01", "converted"),
        ("12-Oct-20", None, "2020-10-12", "converted"),
        ("3. März 2019", None, "2019-03-03", "converted"),
        ("3 août 2019", None, "2019-08-03", "converted"),
        ("3 de enero de 2019", None, "2019-01-03", "converted"),
        ("3 mrt 2019", None, "2019-03-03", "converted"),
        ("Oct 12, 2020", None, "2020-10-12", "converted"),
        ("20190302", None, "2019-03-02", "converted"),
        ("43831", "serial", "2020-01-01", "converted"),
    ],
)
def test_date_notation_gives_its_day(text, order, day, outcome):
    reading = parse_date(text, order=order)
    assert reading.value == dt.date.fromisoformat(day)
    assert (reading.outcome, reading.precision, reading.raw) == (outcome, "day", text)


@pytest.mark.parametrize(
    ("text", "order", "reason", "likely"),
    [
        (
            "01/02/2019",
            None,
            "the order of day and month is not known",
            "2019-02-01 (day first) or 2019-01-02 (month first)",
        ),
        ("31/02/2019", None, "no such day in either order", ""),
        ("22/02/2019", "mdy", "there is no day 2 in month 22 of 2019", ""),
        ("12-Oct", None, "a day without its year", ""),
        ("46056", None, "a number and no date", "2026-02-03, if it is a spreadsheet's day count"),
        ("some day", None, "not a date", ""),
        ("0019-01-02", None, "the year 19 cannot be the year of an exam", ""),
    ],
)
def test_date_that_needs_a_person_is_held(text, order, reason, likely):
    reading = parse_date(text, order=order)
    assert reading.outcome == "quarantined"
    assert reading.value is None
    assert (reading.reason, reading.likely) == (reason, likely)


def test_month_and_year_alone_keep_their_precision():
    month = parse_date("March 2019")
    assert (month.value, month.precision) == (dt.date(2019, 3, 1), "month")
    year = parse_date("2019")
    assert (year.value, year.precision) == (dt.date(2019, 1, 1), "year")


def test_three_cells_make_a_date_or_say_why_not():
    assert compose_date("1992", "9", "19").value == dt.date(1992, 9, 19)
    assert compose_date("92", "Sept", "19").value == dt.date(1992, 9, 19)
    assert compose_date("1992", "2", "30").reason == "there is no day 30 in month 2 of 1992"
    assert compose_date("1992", "", "3").reason == "the cells make no date"
    assert compose_date("", "", "").outcome == "accepted"


def test_months_are_read_in_five_languages():
    names = ["January", "Februar", "mars", "abril", "mei", "juin", "Juli", "août", "sept.", "okt"]
    assert [read_month(name) for name in names] == list(range(1, 11))
    assert read_month("Novembre") == 11
    assert read_month("13") is None


def test_unknown_order_raises():
    with pytest.raises(ArgumentError, match=r"order= takes 'dmy' or 'mdy' or 'ymd' or 'serial'"):
        parse_date("1/2/2019", order="dym")


@given(
    st.one_of(
        st.text(),
        st.lists(st.sampled_from([*"0123456789", "/", "-", ".", " ", "Mar", "de"])).map("".join),
    ),
    st.sampled_from([None, "dmy", "mdy", "ymd", "serial"]),
)
def test_date_parser_is_total(text, order):
    reading = parse_date(text, order=order)
    assert reading.raw == text
    assert (reading.value is None) == (reading.precision is None)
    if reading.outcome == "quarantined":
        assert reading.value is None
        assert reading.reason


@given(st.text(), st.text(), st.text())
def test_composing_is_total(year, month, day):
    reading = compose_date(year, month, day)
    assert reading.outcome in {"accepted", "quarantined"}


@given(st.dates(min_value=dt.date(1950, 1, 1), max_value=dt.date(2049, 12, 31)))
def test_every_day_comes_back_in_every_order(day):
    assert parse_date(day.isoformat()).value == day
    assert parse_date(f"{day.day}/{day.month}/{day.year}", order="dmy").value == day
    assert parse_date(f"{day.month}/{day.day}/{day.year % 100:02d}", order="mdy").value == day
