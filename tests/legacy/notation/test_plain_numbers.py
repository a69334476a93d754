"""Numbers of any kind: counts, per cents, limits, intervals and units of the user's own."""

import pytest

from bodycond.legacy.notation import parse_number


@pytest.mark.parametrize(
    ("text", "value", "outcome", "reason"),
    [
        ("3", 3, "accepted", ""),
        ("-2.5", -2.5, "accepted", ""),
        ("−3", -3, "accepted", ""),
        ("- 3", -3, "accepted", ""),
        ("+4", 4, "accepted", ""),
        ("1,5", 1.5, "converted", "decimal comma"),
        ("90%", 90, "converted", "per cent sign taken off"),
        ("90 %", 90, "converted", "per cent sign taken off"),
        ("'7", 7, "converted", "an apostrophe in front taken off"),
        ("1e5", 100000, "converted", "scientific notation written out"),
        ("５", 5, "converted", "digits of another script"),
        ("x", None, "accepted", "'x' stands for no value"),
    ],
)
def test_a_number_is_read_with_its_sign(text, value, outcome, reason):
    reading = parse_number(text)
    assert (reading.value, reading.outcome, reading.reason) == (value, outcome, reason)
    assert reading.low == reading.value == reading.high


@pytest.mark.parametrize(
    ("text", "flag"),
    [("5?", "marked as doubtful"), ("~5", "approximate"), ("5*", "marked with a star")],
)
def test_marks_beside_a_number_are_kept(text, flag):
    reading = parse_number(text)
    assert (reading.value, reading.flags, reading.reason) == (5, (flag,), flag)


@pytest.mark.parametrize(
    ("text", "reason", "likely", "flags"),
    [
        ("90+%", "a limit and no number", "90 or more", ("above a limit",)),
        ("90+", "a limit and no number", "90 or more", ("above a limit",)),
        ("<5", "a limit and no number", "below 5", ("below a limit",)),
        (">5", "a limit and no number", "above 5", ("above a limit",)),
        ("3 days", "a number with words or marks beside it", "3", ()),
        ("--5", "not a number", "", ()),
        ("~", "a mark and no value", "", ("approximate",)),
        ("2/3", "not a number", "", ()),
        ("1.2.3", "not a number", "", ()),
        ("#NUM!", "an error value of the spreadsheet", "", ()),
        ("9" * 5000, "a long text and no number", "", ()),
    ],
)
def test_what_is_no_number_is_held(text, reason, likely, flags):
    reading = parse_number(text)
    assert (reading.outcome, reading.value) == ("quarantined", None)
    assert (reading.reason, reading.likely, reading.flags) == (reason, likely, flags)


@pytest.mark.parametrize("text", ["10-15%", "10 - 15", "10% to 15%", "10 bis 15"])
def test_an_interval_keeps_its_ends(text):
    reading = parse_number(text)
    assert (reading.low, reading.high, reading.value) == (10, 15, None)
    assert (reading.reason, reading.likely) == ("an interval and no number", "between 10 and 15")


def test_the_columns_unit_is_taken_off():
    assert parse_number("3.2 ml", unit="ml").reason == "unit 'ml' taken off"
    assert parse_number("3,2ML", unit="ml").value == 3.2
    assert parse_number("3.2 cl", unit="ml").outcome == "quarantined"


def test_number_outside_documented_limits_is_held():
    reading = parse_number("3?", low=0, high=1)
    assert (reading.outcome, reading.flags) == ("quarantined", ("marked as doubtful",))
    assert reading.reason == "3 is outside the documented 0 to 1"
    assert parse_number("5", low=6).reason == "5 is outside the documented 6 to no limit"
    assert parse_number("-5", high=-6).reason == "-5 is outside the documented no limit to -6"
