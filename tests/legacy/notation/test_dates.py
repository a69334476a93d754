"""Dates: orders, names, parts, and any text at all."""

import datetime as dt
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodycond.errors import ArgumentError
from bodycond.legacy.notation import DATE_ORDERS, compose_date, parse_date, read_month


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
        ("43831.5", "serial", "2020-01-01", "converted"),
        ("43831", "serial_1904", "2024-01-02", "converted"),
        ("12. März 2009", None, "2009-03-12", "converted"),
        ("3 févr. 2011", None, "2011-02-03", "converted"),
        ("5-ene-04", None, "2004-01-05", "converted"),
        ("12 mrt 2010", None, "2010-03-12", "converted"),
        ("1er mai 2012", None, "2012-05-01", "converted"),
        ("1º de mayo de 2012", None, "2012-05-01", "converted"),
        ("3 gennaio 2010", None, "2010-01-03", "converted"),
        ("15 ott. 2011", None, "2011-10-15", "converted"),
        ("4 de março de 2013", None, "2013-03-04", "converted"),
        ("7/set/2011", None, "2011-09-07", "converted"),
        ("11 june 2013", None, "2013-06-11", "converted"),
        ("3 Sept. '07", None, "2007-09-03", "converted"),
        ("2011 May 3", None, "2011-05-03", "converted"),
        ("12.V.2009", None, "2009-05-12", "converted"),
        ("2011-5-3", None, "2011-05-03", "accepted"),
        ("27.6.04", None, "2004-06-27", "converted"),
        ("2021-286", None, "2021-10-13", "converted"),
        ("03052011", "dmy", "2011-05-03", "converted"),
        ("050311", "mdy", "2011-05-03", "converted"),
        ("110503", "ymd", "2011-05-03", "converted"),
        ("20110503", "dmy", "2011-05-03", "converted"),
        ("11-5-3", "ymd", "2011-05-03", "converted"),
        ("12-Oct-20", "ymd", "2012-10-20", "converted"),
        ("３/５/２０１０", "dmy", "2010-05-03", "converted"),
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
        (
            "46056",
            None,
            "a number and no date",
            "2026-02-03, if it is a spreadsheet's day count (2030-02-04 in a workbook that counts "
            "from 1904)",
        ),
        (
            "286",
            None,
            "a number and no date",
            "day 286 of a year, if the column counts days (day_of_year)",
        ),
        ("6/27", None, "a day without its year", ""),
        ("27.6.", "dmy", "a day without its year", ""),
        ("Oct-12", None, "a day without its year", "day 12 of month 10, or 2012-10"),
        ("June", None, "a month without its year", ""),
        ("Julian 286", None, "a day of the year without its year", ""),
        ("2021-366", None, "there is no day 366 in the year 2021", ""),
        ("030511", None, "digits run in one: the order of day, month and year is not known", ""),
        ("<2013", None, "a limit and no date", "before 2013"),
        ("after June 2013", None, "a limit and no date", "after june 2013"),
        ("31 April 2010", None, "there is no day 31 in month 4 of 2010", ""),
        ("1899-12-30", None, "the day that a spreadsheet counts from", "no value"),
        ("#VALUE!", None, "an error value of the spreadsheet", ""),
        ("2012²", None, "not a date", ""),
        ("9" * 300, None, "a long text and no date", ""),
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


@pytest.mark.parametrize(
    ("text", "day", "precision"),
    [("Oct 2012", "2012-10-01", "month"), ("10/2012", "2012-10-01", "month"),
     ("2012-10", "2012-10-01", "month"), ("Oct '12", "2012-10-01", "month"),
     ("Mar-95", "1995-03-01", "month"), ("juin 2013", "2013-06-01", "month"),
     ("2013.0", "2013-01-01", "year")],
)  # fmt: skip
def test_a_part_of_a_date_says_how_much_is_known(text, day, precision):
    reading = parse_date(text)
    assert (str(reading.value), reading.precision) == (day, precision)
    assert reading.reason.startswith(f"only the {precision} is known")


@pytest.mark.parametrize(
    ("text", "flags"),
    [("2013?", ("marked as doubtful",)), ("~June 2013", ("approximate",)),
     ("ca. 2013", ("approximate",)), ("*3 May 2010", ("marked with a star",))],
)  # fmt: skip
def test_marks_beside_a_date_are_kept(text, flags):
    reading = parse_date(text)
    assert reading.value is not None
    assert reading.flags == flags
    assert reading.reason.endswith(flags[0])


@pytest.mark.parametrize(
    ("text", "order", "year", "day"),
    [("6/27", None, 2003, "2003-06-27"), ("27.6.", None, 2003, "2003-06-27"),
     ("3/4", "dmy", 2003, "2003-04-03"), ("27 June", None, 2003, "2003-06-27"),
     ("Oct-12", None, 2003, "2003-10-12"), ("june", None, 2003, "2003-06-01"),
     ("Julian 286", None, 2003, "2003-10-13"), ("286", "day_of_year", 2004, "2004-10-12"),
     ("286.0", "day_of_year", 2003, "2003-10-13"), ("27/6/2005", None, 2003, "2005-06-27")],
)  # fmt: skip
def test_a_year_from_outside_the_cell_completes_its_date(text, order, year, day):
    assert str(parse_date(text, order=order, year=year).value) == day


def test_a_year_from_outside_leaves_the_order_open():
    reading = parse_date("3/4", year=2003)
    assert reading.reason == "the order of day and month is not known"
    assert reading.likely == "2003-04-03 (day first) or 2003-03-04 (month first)"
    assert parse_date("2/29", year=2003).reason == "no such day in either order"


@pytest.mark.parametrize(("last", "year"), [(2049, 2012), (2011, 1912), (2099, 2012), (1912, 1912)])
def test_the_century_of_a_short_year_is_said(last, year):
    reading = parse_date("3 May 12", short_years_to=last)
    assert reading.value == dt.date(year, 5, 3)
    said = f"two-digit year read as {year} (two digits are {last - 99} to {last})"
    assert reading.reason == f"month's name; {said}"
    assert compose_date("12", "5", "3", short_years_to=last).reason == said


def test_the_last_short_year_has_four_digits():
    message = (
        "short_years_to= is a year from 1899 to 2099. Found: short_years_to=49. Use 2049 to read "
        "two-digit years as 1950 to 2049, 1999 for 1900 to 1999."
    )
    for call in (
        lambda: parse_date("", short_years_to=49),
        lambda: compose_date("", "", "", short_years_to=49),
    ):
        with pytest.raises(ArgumentError, match=f"^{re.escape(message)}$"):
            call()


@pytest.mark.parametrize(
    ("text", "time"),
    [("2013-05-30 14:20", "14:20"), ("5/31/2003 659", "659"), ("5/31/2003 7:00 PM", "7:00 pm"),
     ("2013-05-30T14:20:00Z", "14:20:00z")],
)  # fmt: skip
def test_a_time_beside_a_date_is_not_lost(text, time):
    reading = parse_date(text)
    assert reading.precision == "day"
    assert reading.flags == (f"time {time}",)
    assert reading.reason.endswith("a time of day beside the date")


def test_midnight_beside_a_date_is_no_time():
    reading = parse_date("2004-06-27 00:00:00")
    assert (reading.flags, reading.reason) == ((), "the time of day is left out")


def test_a_fraction_of_a_day_count_is_its_time():
    assert parse_date("39999.25", order="serial_1904").flags == ("time 06:00:00",)


@pytest.mark.parametrize("text", ["0", "00/00/0000", "0000-00-00", "1900-01-00", "NA", "?", "/"])
def test_no_date_is_missing_with_a_reason(text):
    reading = parse_date(text)
    assert (reading.outcome, reading.value) == ("accepted", None)
    assert reading.reason == f"{text!r} stands for no value"


def test_three_cells_make_a_date_or_say_why_not():
    assert compose_date("1992", "9", "19").value == dt.date(1992, 9, 19)
    assert compose_date("92", "Sept", "19").value == dt.date(1992, 9, 19)
    assert compose_date("1992", "2", "30").reason == "there is no day 30 in month 2 of 1992"
    assert compose_date("1992", "", "3").reason == "the cells make no date"
    assert compose_date("", "", "").outcome == "accepted"


def test_months_are_read_in_seven_languages():
    names = ["January", "Februar", "mars", "abril", "mei", "juin", "Juli", "août", "sept.", "okt"]
    assert [read_month(name) for name in names] == list(range(1, 11))
    assert read_month("Novembre") == 11
    assert read_month("13") is None
    assert [read_month(name) for name in ["giugno", "março", "ott.", "dez"]] == [6, 3, 10, 12]
    # Digits that are no decimal digits are no numbers of a month.
    assert read_month("፩") is None


def test_unknown_order_raises():
    with pytest.raises(ArgumentError, match=r"order= takes 'dmy' or 'mdy' or 'ymd' or 'serial'"):
        parse_date("1/2/2019", order="dym")


@given(
    st.one_of(
        st.text(),
        st.lists(st.sampled_from([*"0123456789", "/", "-", ".", " ", "Mar", "de"])).map("".join),
    ),
    st.sampled_from([None, *DATE_ORDERS]),
    st.sampled_from([None, 2003]),
)
def test_date_parser_is_total(text, order, year):
    reading = parse_date(text, order=order, year=year)
    assert reading.raw == text
    assert (reading.value is None) == (reading.precision is None)
    if reading.outcome == "quarantined":
        assert reading.value is None
        assert reading.reason


@given(st.text(), st.text(), st.text())
def test_composing_is_total(year, month, day):
    reading = compose_date(year, month, day)
    assert reading.outcome in {"accepted", "converted", "quarantined"}
    assert (reading.value is None) == (reading.precision is None)


@given(st.dates(min_value=dt.date(1950, 1, 1), max_value=dt.date(2049, 12, 31)))
def test_every_day_comes_back_in_every_order(day):
    assert parse_date(day.isoformat()).value == day
    assert parse_date(f"{day.day}/{day.month}/{day.year}", order="dmy").value == day
    assert parse_date(f"{day.month}/{day.day}/{day.year % 100:02d}", order="mdy").value == day
