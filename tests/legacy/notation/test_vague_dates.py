"""Dates with weekdays, spans of days, parts of a month, seasons."""

import pytest

from bodycond.legacy.notation import parse_date


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("Mon 3 May 2010", "month's name; weekday 'mon' taken off"),
        ("Montag, 3. Mai 2010", "month's name; weekday 'montag' taken off"),
        ("lun. 3 mai 2010", "month's name; weekday 'lun' taken off"),
        ("maandag 3 mei 2010", "month's name; weekday 'maandag' taken off"),
        ("segunda-feira, 3 de maio de 2010", "month's name; weekday 'segunda' taken off"),
        ("Mon 3/5/2010", "day first; the only order that fits 'mon'"),
    ],
)
def test_a_weekday_in_front_is_checked_and_taken_off(text, reason):
    reading = parse_date(text)
    assert (str(reading.value), reading.reason) == ("2010-05-03", reason)


def test_a_weekday_that_names_two_days_fits_both():
    # 'ma' is a Monday in Dutch and a Tuesday in French.
    assert str(parse_date("ma 3 mei 2010").value) == "2010-05-03"
    assert str(parse_date("ma 4 mai 2010").value) == "2010-05-04"


def test_a_weekday_that_does_not_fit_holds_the_date():
    reading = parse_date("Tuesday, 3 May 2010")
    assert reading.reason == "2010-05-03 was a Monday, which 'tuesday' is not"
    # Neither order makes a Sunday of it: the order stays open.
    assert parse_date("Sun 4/6/2010").reason == "the order of day and month is not known"


@pytest.mark.parametrize(
    ("text", "likely"),
    [
        ("3-5 May 2010", "2010-05-03 to 2010-05-05"),
        ("3/4 May 2010", "2010-05-03 to 2010-05-04"),
        ("3 and 4 May 2010", "2010-05-03 to 2010-05-04"),
        ("3.-5.5.2010", "2010-05-03 to 2010-05-05"),
        ("May 3-5, 2010", "2010-05-03 to 2010-05-05"),
        ("30 Apr - 2 May 2010", "2010-04-30 to 2010-05-02"),
        ("01.02.2019 - 03.02.2019", ""),
    ],
)
def test_a_span_of_days_is_held(text, likely):
    reading = parse_date(text)
    assert (reading.outcome, reading.value) == ("quarantined", None)
    assert (reading.reason, reading.likely) == ("a span of days", likely)


@pytest.mark.parametrize("text", ["early June 2013", "mid-June 2013", "Ende Juni 2013"])
def test_a_part_of_a_month_gives_the_month_and_keeps_its_word(text):
    reading = parse_date(text)
    word = text.split("-" if "-" in text else " ")[0].lower()
    assert (str(reading.value), reading.precision) == ("2013-06-01", "month")
    assert reading.flags == (f"{word!r} stands before it",)


@pytest.mark.parametrize("text", ["Fall 2021", "Herbst 2021", "printemps 2021"])
def test_a_season_is_held(text):
    reading = parse_date(text)
    assert (reading.reason, reading.likely) == ("a season and no month", "2021, the year alone")


@pytest.mark.parametrize("text", ["1/1/1", "11-5-3", "Sunday", "some day", "\u136b"])
def test_what_is_no_date_is_said(text):
    assert parse_date(text).reason == "not a date"
