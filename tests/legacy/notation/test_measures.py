"""Masses and lengths: the notations met in old sheets, one by one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodycond.errors import ArgumentError
from bodycond.legacy.notation import parse_length, parse_mass


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
        ("240 g in wrap", None, 240, "converted"),
        ("1'050", "g", 1050, "converted"),
        ("1.050.000", "g", 1050000, "converted"),
        ("'186", "g", 186, "converted"),
        ("\u00a0186 ", "g", 186, "accepted"),
        ("１８６", "g", 186, "converted"),
        ("٣٤٥", "g", 345, "converted"),
        ("29.1000003814697", "g", 29.1000003814697, "accepted"),
        ("1.2e3", "g", 1200, "converted"),
        ("37.2 g", None, 37.2, "converted"),
        ("541g", "g", 541, "converted"),
        ("=907-68", "g", 839, "converted"),
        ("=74.9-18", "g", 56.9, "converted"),
        ("= 0,907 - 0,068", "kg", 839, "converted"),
        ("2lb 5 1/2 oz", None, 1063.107, "converted"),
        ("1/2 lb", None, 226.796, "converted"),
        ("186 grains", None, 12.0526, "converted"),
        ("2.5*", "lb.oz", 1048.93, "converted"),
        ("999 g", None, 999, "converted"),
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
        ("240(?)", "marked as doubtful"),
        ("ca. 240", "approximate"),
    ],
)
def test_marks_beside_a_mass_are_kept(text, flag):
    reading = parse_mass(text, unit="g")
    assert reading.flags == (flag,)
    assert flag in reading.reason


def test_gr_is_flagged_since_it_can_be_grain():
    reading = parse_mass("186 gr")
    assert reading.flags == ("'gr' read as gram; it can stand for grain (0.0648 g)",)
    assert reading.reason == reading.flags[0]


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("=907-68", "gross 907 less tare 68"),
        ("=74.9-18", "gross 74.9 less tare 18"),
        ("=907-60-8", "gross 907 less tare 60 and 8"),
    ],
)
def test_gross_less_tare_as_text_is_worked_out_and_said(text, reason):
    assert parse_mass(text, unit="g").reason == reason


@pytest.mark.parametrize("text", ["<240", ">240", "≤240", "under 240", "more than 240"])
def test_a_limit_keeps_its_side_as_a_flag(text):
    reading = parse_mass(text, unit="g")
    side = "above" if text[0] in ">m" else "below"
    assert (reading.reason, reading.likely) == ("a limit and no mass", f"{side} 240")
    assert reading.flags == (f"{side} a limit",)


def test_an_interval_is_held_in_grams():
    reading = parse_mass("0.19-0.2 kg")
    assert (reading.low, reading.high, reading.value) == (190.0, 200.0, None)
    unknown = parse_mass("190-200")
    assert (unknown.low, unknown.reason) == (None, "an interval")


@pytest.mark.parametrize(
    ("text", "unit", "reason", "likely"),
    [
        ("0.186", "g", "0.186 g cannot be: the unit is unknown", "186 g if it was written in kg"),
        ("186", None, "a number without a unit, in a column without one", ""),
        ("250/248", "g", "two values in one cell", "two weighings: 250 and 248"),
        ("190-200", "g", "an interval", "between 190 and 200"),
        ("250/248/251", "g", "3 values in one cell", "3 weighings: 250, 248 and 251"),
        ("240 g/238 g", "g", "two values in one cell", "two weighings: 240 and 238"),
        (
            "907-68",
            "g",
            "two numbers with a dash",
            "907 gross less 68 tare, or between 68 and 907",
        ),
        ("=18-74", "g", "gross 18 less tare 74 leaves no mass of a bird", ""),
        ("=A1-B1", "g", "a formula as text: it is not worked out", ""),
        (
            "=1,050-18",
            "g",
            "'1,050' can be a decimal or thousands: the column's decimal mark is unknown",
            "",
        ),
        (
            "=907-68",
            None,
            "a number without a unit, in a column without one",
            "gross 907 less tare 68",
        ),
        ("2-5", "lb.oz", "two readings", "2 lb 5 oz, or two values: 2 and 5"),
        ("2.17", "lb.oz", "17 ounces are more than a pound", "another unit or a slip"),
        ("0 lb 0 oz", "g", "0 is no mass", "missing"),
        ("240±5", "g", "a number with its spread", "240"),
        ("(240)", "g", "a number with words or marks beside it", "240"),
        ("12²", "g", "a number with words or marks beside it", "12"),
        ("6/27, 3.9g", "g", "a date and a mass in one cell", "3.9g on 6/27"),
        ("#REF!", "g", "an error value of the spreadsheet", ""),
        ("*", "g", "a mark and no value", ""),
        ("9" * 400, "g", "a long text and no measure", ""),
        ("<200", "g", "a limit and no mass", "below 200"),
        ("2 lb 17 oz", "g", "17 ounces are more than a pound", "another unit or a slip"),
        ("43.J62", "g", "not a number", ""),
        ("heavy", "g", "not a number", ""),
        ("-5", "g", "a negative number is no mass", "5, or no value"),
        ("−186 g", "g", "a negative number is no mass", "186, or no value"),
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
    assert parse_mass("1.050", unit="g", decimal="point").value == 1.05
    assert parse_mass("1'050,5", unit="g", decimal="comma").value == 1050.5


@pytest.mark.parametrize(
    "text",
    [
        "0",
        "-",
        ".",
        "999",
        "9999",
        "NA",
        "N/W",
        "too weak",
        "",
        " ",
        "#N/A",
        "not weighed",
        "/",
        "x",
        "?",
        "no",
        "nicht gewogen",
        "-999",
        "0.0",
    ],
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
        ("1' 2\"", None, 355.6),
        ("1 ft 2 1/2 in", None, 368.3),
        ("0.372 m", "mm", 372),
        ("372mm", None, 372),
        ("~372", "mm", 372),
    ],
)
def test_length_notation_gives_millimetres(text, unit, millimetres):
    assert parse_length(text, unit=unit).value == pytest.approx(millimetres)


@pytest.mark.parametrize(
    ("text", "reason", "likely"),
    [
        ("5.2x8.0", "two values in one cell", "5.2 and 8.0"),
        ("5.2 × 8.0", "two values in one cell", "5.2 and 8.0"),
        ("368/370", "two values in one cell", "two measurements: 368 and 370"),
        ("40-38", "two numbers with a dash", "40 and 38"),
        ("43.J62", "not a number", ""),
        ("210w", "a number with words or marks beside it", "210"),
        ("-372", "a negative number is no length", "372, or no value"),
        ("=40-3", "a formula as text: it is not worked out", "37"),
        ("1' 13\"", "13 inches are a foot or more", "another unit or a slip"),
        (
            "0.372",
            "0.372 mm cannot be: the unit is unknown",
            "3.72 mm if it was written in cm or in",
        ),
    ],
)
def test_a_length_that_needs_a_person_is_held(text, reason, likely):
    reading = parse_length(text, unit="mm")
    assert (reading.outcome, reading.reason, reading.likely) == ("quarantined", reason, likely)


@pytest.mark.parametrize("text", ["no", "molt", "broken", "Mauser", "en mue", "-", "NA"])
def test_why_there_is_no_length_is_kept_as_the_reason(text):
    reading = parse_length(text, unit="mm")
    assert (reading.outcome, reading.value) == ("accepted", None)
    assert reading.reason == f"{text!r} stands for no value"


@given(st.floats(min_value=1, max_value=20000, allow_nan=False).map(lambda x: round(x, 1)))
def test_a_plain_mass_in_grams_comes_back_as_written(grams):
    if parse_mass(repr(grams), unit="g", decimal="point").value is None:
        assert grams in {999.0, 9999.0}
    else:
        assert parse_mass(repr(grams), unit="g", decimal="point").value == grams
