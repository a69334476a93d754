"""The one place where numbers are rounded."""

import pytest

from bodycond.rounding import round_to_interval, word_interval, word_p_value

NAN = float("nan")


@pytest.mark.parametrize(
    ("numbers", "texts"),
    [
        ((2.52036, 1.7684, 3.5921), ("2.52", "1.77", "3.59")),
        ((1234.567, 1100.1, 1400.9), ("1235", "1100", "1401")),
        ((0.123456, 0.1231, 0.1239), ("0.12346", "0.12310", "0.12390")),
        ((1234.567, NAN, NAN), ("1235", "not defined", "not defined")),
        ((0.0123456, NAN, NAN), ("0.0123", "not defined", "not defined")),
        ((0.0, NAN, NAN), ("0.00", "not defined", "not defined")),
        ((NAN, NAN, NAN), ("not defined",) * 3),
        ((2.0, 2.0, 2.0), ("2.00", "2.00", "2.00")),
        ((1.0, 0.0, float("inf")), ("1.00", "0.00", "not defined")),
    ],
)
def test_round_to_interval(numbers, texts):
    assert round_to_interval(*numbers) == texts


def test_a_small_negative_number_is_not_minus_zero():
    assert round_to_interval(-0.0004, -0.3, 0.3) == ("0.00", "-0.30", "0.30")


def test_decimals_stay_within_reason():
    assert round_to_interval(1.0, 1.0 - 1e-12, 1.0 + 1e-12)[0] == "1.000000"


@pytest.mark.parametrize(
    ("numbers", "unit", "level", "text"),
    [
        ((2.5204, 1.7684, 3.5921), "", 0.95, "2.52 (95 % interval 1.77 to 3.59)"),
        ((506.2, 480.1, 533.7), "g", 0.9, "506 g (90 % interval 480 to 534)"),
        ((2.5204, NAN, NAN), "", 0.95, "2.52 (no interval)"),
        ((2.5204, 1.7, NAN), "g", 0.95, "2.52 g (no interval)"),
        ((NAN, 1.0, 2.0), "g", 0.95, "not defined"),
        ((1.0, 0.0, 2.0), "", 0.999, "1.0 (99.9 % interval 0.0 to 2.0)"),
    ],
)
def test_word_interval(numbers, unit, level, text):
    assert word_interval(*numbers, unit=unit, level=level) == text


@pytest.mark.parametrize(
    ("p", "text"),
    [(0.03149, "p = 0.031"), (0.0009, "p < 0.001"), (0.0, "p < 0.001"), (1.0, "p = 1.000"),
     (NAN, "p not defined")],
)  # fmt: skip
def test_word_p_value(p, text):
    assert word_p_value(p) == text
