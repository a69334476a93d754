"""Digits with decimal and thousands marks."""

import pytest

from bodycond.legacy.notation.numerals import read_plain_number


@pytest.mark.parametrize(
    ("number", "decimal", "value", "changed"),
    [
        ("186", None, 186, ""),
        ("29.1000003814697", None, 29.1000003814697, ""),
        (".5", None, 0.5, ""),
        ("185,5", None, 185.5, "decimal comma"),
        ("1,050", "comma", 1.05, "decimal comma"),
        ("1,050", "point", 1050, "thousands mark taken out"),
        ("1.050", "comma", 1050, "thousands mark taken out"),
        ("1 050", "point", 1050, "thousands mark taken out"),
        ("1'050", None, 1050, "thousands mark taken out"),
        ("1'050.5", None, 1050.5, "thousands mark taken out"),
        ("1,050.5", None, 1050.5, "thousands mark taken out"),
        ("1.050,5", None, 1050.5, "thousands mark taken out"),
        ("1,050,000", None, 1050000, "thousands mark taken out"),
        ("2 1/2", None, 2.5, "fraction written out"),
        ("1.2e3", None, 1200, "scientific notation written out"),
        ("1,2E+03", "comma", 1200, "scientific notation written out"),
    ],
)
def test_a_number_with_one_reading_is_read(number, decimal, value, changed):
    assert read_plain_number(number, decimal=decimal) == (value, changed, "")


@pytest.mark.parametrize(
    ("number", "decimal", "problem"),
    [
        (
            "1,050",
            None,
            "'1,050' can be a decimal or thousands: the column's decimal mark is unknown",
        ),
        (
            "1 050",
            None,
            "'1 050' can be a decimal or thousands: the column's decimal mark is unknown",
        ),
        ("185 186", "point", "'185 186' can be one number or two"),
        ("1.050.000", "point", "'1.050.000' has more than one decimal mark"),
        ("185.5", "comma", "'185.5' has a point in a column of decimal commas"),
        ("185,5", "point", "'185,5' has a comma in a column of decimal points"),
        ("1/2", None, "not a number"),
        ("2 3/2", None, "not a number"),
        ("1e999", None, "not a number"),
        ("", None, "empty"),
    ],
)
def test_a_number_with_two_readings_or_none_says_so(number, decimal, problem):
    assert read_plain_number(number, decimal=decimal) == (None, "", problem)
