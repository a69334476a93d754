"""Times of day: clocks, digits run in one, parts of a day, and what is none of them."""

import datetime as dt
import re

import pytest

from bodycond.errors import ArgumentError
from bodycond.legacy.notation import parse_time


@pytest.mark.parametrize(
    ("text", "time", "outcome"),
    [
        ("13:30", "13:30", "accepted"),
        ("6:00", "06:00", "accepted"),
        ("13:30:05", "13:30:05", "accepted"),
        ("7h30", "07:30", "accepted"),
        ("830", "08:30", "converted"),
        ("1130", "11:30", "converted"),
        ("0030", "00:30", "converted"),
        ("7:00 pm", "19:00", "converted"),
        ("7 p.m.", "19:00", "converted"),
        ("12:00 am", "00:00", "converted"),
        ("12:15 PM", "12:15", "converted"),
        ("0.5", "12:00", "converted"),
        ("0.354166666666667", "08:30", "converted"),
        ("0,25", "06:00", "converted"),
        ("7.30 Uhr", "07:30", "converted"),
        ("8h", "08:00", "converted"),
        ("noon", "12:00", "converted"),
        ("~13:30", "13:30", "converted"),
        ("2013-05-30 14:20", "14:20", "converted"),
        ("5/31/2003 659", "06:59", "converted"),
        ("1899-12-30 13:30:00", "13:30", "converted"),
        ("１３:３０", "13:30", "converted"),
    ],
)
def test_a_time_is_read(text, time, outcome):
    reading = parse_time(text)
    assert reading.value == dt.time.fromisoformat(time)
    assert (reading.outcome, reading.raw) == (outcome, text)


@pytest.mark.parametrize(
    ("text", "reason", "likely"),
    [
        ("11544", "five digits make no time", "01:15:44, or 11:54 with a digit too many"),
        ("7.30", "minutes or parts of an hour behind the mark", "07:30 or 07:18"),
        ("7.80", "minutes or parts of an hour behind the mark", "07:48"),
        ("26:16:00", "no such time of day", "26 min 16 s, if it is a duration"),
        ("24:00", "no such time of day", "midnight"),
        ("12:60", "no such time of day", ""),
        ("1260", "no such time of day", ""),
        ("13:00 pm", "hour 13 with a half of the day beside it", ""),
        ("12", "a number and no time", "12:00"),
        ("0", "a number and no time", "00:00, or no value"),
        ("0.0", "a number and no time", "00:00, or no value"),
        ("6:00-7:00", "a span of time", "from 6:00 to 7:00"),
        ("midnight", "not a time of day", ""),
        ("#VALUE!", "an error value of the spreadsheet", ""),
        ("1:" * 100, "a long text and no time", ""),
    ],
)
def test_a_time_that_needs_a_person_is_held(text, reason, likely):
    reading = parse_time(text)
    assert (reading.outcome, reading.value) == ("quarantined", None)
    assert (reading.reason, reading.likely) == (reason, likely)


def test_a_clock_of_twelve_hours_needs_the_half_of_the_day():
    reading = parse_time("6:00", clock=12)
    assert reading.reason == "a time without its half of the day"
    assert reading.likely == "06:00 or 18:00"
    assert parse_time("12:10", clock=12).likely == "00:10 or 12:10"
    assert parse_time("13:30", clock=12).value == dt.time(13, 30)
    assert parse_time("6:00 am", clock=12).value == dt.time(6, 0)
    assert parse_time("6:00", clock=24).value == dt.time(6, 0)


def test_another_clock_raises():
    message = "clock= takes 12 or 24. Found: clock=10. Choose one of them."
    with pytest.raises(ArgumentError, match=f"^{re.escape(message)}$"):
        parse_time("6:00", clock=10)


def test_marks_and_markers():
    assert parse_time("13:30?").flags == ("marked as doubtful",)
    assert parse_time("NA").reason == "'NA' stands for no value"
