"""Masses and lengths: the notations met in old sheets, one by one, and any text at all."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodycond.errors import ArgumentError
from bodycond.legacy.notation import parse_length, parse_mass, parse_number


@pytest.mark.parametrize(
    ("text", "unit", "grams", "outcome"),
    [
        ("186", "g", 186, "accepted"),
        ("186.0", "g", 186, "accepted"),
        ("186g", None, 186, "converted"),
        ("186 gr", None, 186, "converted"),
        ("0.186 kg", None, 186, "converted"),
        (".186 kg", None, 186, "converted"),
        ("1.149 kg", None, 1149, "converted"),
        ("0.186", "kg", 186, "converted"),
        ("2 lb 5 oz", None, 1048.93, "converted"),
        ("2# 5", None, 1048.93, "converted"),
        ("2lbs5", None, 1048.93, "converted"),
        ("2 lb 5 oz", "g", 1048.93, "converted"),
        ("2.5", "lb.oz", 1048.93, "converted"),
        ("2.5", "lb", 1133.98, "converted"),
        ("7.2 oz", None, 204.12, "converted"),
        ("2 1/2 lb", None, 1133.98, "converted"),
        ("185,5", "g", 185.5, "converted"),
        ("1.050,0", "g", 1050, "converted"),
        ("240*", "g", 240, "converted"),
        ("240?", "g", 240, "converted"),
        ("~240", "g", 240, "converted"),
        ("ca. 240 g", "g", 240, "converted"),
        ("240w", "g", 240, "converted"),
        ("240 (in wrap)", "g", 240, "converted"),
    ],
)
def test_mass_notation_gives_grams(text, unit, grams, outcome):
    reading = parse_mass(text, unit=unit)
    assert reading.value == pytest.approx(grams, abs=0.01)
    assert reading.outcome == outcome
    assert reading.raw == text


@pytest.mark.parametrize(
    ("text", "flag"),
    [
        ("240*", "marked with a star"),
        ("240?", "marked as doubtful"),
        ("~240", "approximate"),
        ("240w", "weighed in its wrap; the wrap was not taken off"),
    ],
)
def test_marks_beside_a_mass_are_kept(text, flag):
    reading = parse_mass(text, unit="g")
    assert reading.flags == (flag,)
    assert flag in reading.reason


def test_gr_is_flagged_since_it_can_be_grain():
    assert "can stand for grain" in parse_mass("186 gr").reason


@pytest.mark.parametrize(
    ("text", "unit", "reason", "likely"),
    [
        ("0.186", "g", "0.186 g cannot be: the unit is unknown", "186 g if it was written in kg"),
        ("186", None, "a number without a unit, in a column without one", ""),
        ("250/248", "g", "two values in one cell", "two weighings: 250 and 248"),
        ("190-200", "g", "an interval", "between 190 and 200"),
        ("907-68", "g", "two numbers with a dash", "907 gross less 68 tare"),
        ("<200", "g", "a limit and no mass", "below 200"),
        ("2 lb 17 oz", "g", "17 ounces are more than a pound", "another unit or a slip"),
        ("43.J62", "g", "not a number", ""),
        ("heavy", "g", "not a number", ""),
        ("-5", "g", "not a number", ""),
        (
            "1,050",
            "g",
            "'1,050' can be a decimal or thousands: the column's decimal mark is unknown",
            "",
        ),
        (
            "1 050",
            "g",
            "'1 050' can be a decimal or thousands: the column's decimal mark is unknown",
            "",
        ),
    ],
)
def test_mass_that_needs_a_person_is_held(text, unit, reason, likely):
    reading = parse_mass(text, unit=unit)
    assert reading.outcome == "quarantined"
    assert reading.value is None
    assert (reading.reason, reading.likely) == (reason, likely)


def test_the_columns_decimal_mark_settles_thousands():
    assert parse_mass("1,050", unit="g", decimal="point").value == 1050
    assert parse_mass("1.050", unit="g", decimal="comma").value == 1050
    assert parse_mass("1 050", unit="g", decimal="comma").value == 1050
    assert parse_mass("185.5", unit="g", decimal="comma").outcome == "quarantined"


@pytest.mark.parametrize(
    "text",
    ["0", "-", ".", "999", "9999", "NA", "N/W", "too weak", "", " ", "#N/A", "not weighed"],
)
def test_no_mass_is_missing_with_a_reason(text):
    reading = parse_mass(text, unit="g")
    assert (reading.outcome, reading.value) == ("accepted", None)
    assert reading.reason


def test_unknown_unit_raises():
    with pytest.raises(ArgumentError, match=r"unit= takes 'g' or 'kg'.*Found: unit='stone'"):
        parse_mass("3", unit="stone")
    with pytest.raises(ArgumentError, match=r"unit= takes 'mm' or 'cm' or 'in'"):
        parse_length("3", unit="g")


@pytest.mark.parametrize(
    ("text", "unit", "millimetres"),
    [
        ("372", "mm", 372),
        ("37.2", "cm", 372),
        ("37.2 cm", "mm", 372),
        ("14 1/2 in", None, 368.3),
        ('14.5"', None, 368.3),
        ("38,3", "mm", 38.3),
        ("28.0*", "mm", 28),
    ],
)
def test_length_notation_gives_millimetres(text, unit, millimetres):
    assert parse_length(text, unit=unit).value == pytest.approx(millimetres)


def test_two_lengths_in_a_cell_are_held():
    assert parse_length("5.2x8.0", unit="mm").likely == "5.2 and 8.0"


def test_number_outside_documented_limits_is_held():
    reading = parse_number("3", low=0, high=1)
    assert reading.outcome == "quarantined"
    assert parse_number("-2.5").value == -2.5
    assert parse_number("5", low=6).reason == "5 is outside the documented 6 to no limit"


_PIECES = st.lists(
    st.sampled_from([*"0123456789", ".", ",", "/", "-", " ", "g", "kg", "lb", "oz", "~", "*", "#"])
).map("".join)


@given(
    st.one_of(st.text(), _PIECES),
    st.sampled_from([None, "g", "kg", "lb", "oz", "lb.oz"]),
    st.sampled_from([None, "point", "comma"]),
)
def test_mass_parser_is_total(text, unit, decimal):
    reading = parse_mass(text, unit=unit, decimal=decimal)
    assert reading.raw == text
    if reading.outcome == "quarantined":
        assert reading.value is None
        assert reading.reason
    elif reading.value is None:
        assert reading.reason
    else:
        assert math.isfinite(reading.value)
        assert reading.low == reading.value == reading.high


@given(st.one_of(st.text(), _PIECES), st.sampled_from([None, "mm", "cm", "in"]))
def test_length_and_number_parsers_are_total(text, unit):
    for reading in (parse_length(text, unit=unit), parse_number(text)):
        assert reading.raw == text
        assert reading.outcome in {"accepted", "converted", "quarantined"}


@given(st.floats(min_value=1, max_value=20000, allow_nan=False).map(lambda x: round(x, 1)))
def test_a_plain_mass_in_grams_comes_back_as_written(grams):
    if parse_mass(repr(grams), unit="g", decimal="point").value is None:
        assert grams in {999.0, 9999.0}
    else:
        assert parse_mass(repr(grams), unit="g", decimal="point").value == grams
