"""Ranges between two codes that the recipe explains."""

import pytest

from bodycond.legacy.notation import parse_coded_range
from bodycond.scales import ScoreScale

FAT_SCALE = ScoreScale(name="fat 0 to 3", low=0, high=3, step=0.5)
CODES = {"L": "1", "Lt": "0.5", "M": "2", "H": (2.5, 3.0), "t": None, "vh": "9", "n": "none"}


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [("L-M", 1, 2), ("l-m", 1, 2), ("Lt-M", 0.5, 2), ("L to M", 1, 2), ("L/M", 1, 2),
     ("L\u2013M", 1, 2), ("M-H", 2, 3), ("L-3", 1, 3), ("0,5-L", 0.5, 1)],
)  # fmt: skip
def test_two_codes_give_the_interval_between_their_grades(text, low, high):
    reading = parse_coded_range(text, codes=CODES, scale=FAT_SCALE)
    assert (reading.outcome, reading.low, reading.high, reading.value) == (
        "converted", low, high, None,
    )  # fmt: skip
    assert (reading.raw, reading.flags) == (text, ("range",))
    assert reading.reason.endswith(f": {low:g} to {high:g}")


def test_a_mark_beside_the_range_is_kept():
    reading = parse_coded_range("~L-M", codes=CODES, scale=FAT_SCALE)
    assert reading.flags == ("range", "approximate")


@pytest.mark.parametrize(
    ("text", "reason", "likely"),
    [
        ("M-L", "two grades that do not rise", "L to M, or a change from M to L"),
        ("L-L", "two grades that do not rise", "L to L, or a change from L to L"),
        ("L->M", "two ratings in one cell", "L and M"),
        ("L-t", "the recipe gives 't' no grade", ""),
        ("n-L", "the recipe gives 'n' no grade", ""),
        ("L-vh", "9 is no grade of 'fat 0 to 3'", ""),
    ],
)
def test_a_range_that_needs_a_person_is_held(text, reason, likely):
    reading = parse_coded_range(text, codes=CODES, scale=FAT_SCALE)
    assert (reading.outcome, reading.low) == ("quarantined", None)
    assert (reading.reason, reading.likely) == (reason, likely)


@pytest.mark.parametrize(
    ("text", "low", "flag"),
    [("Lt?", 0.5, "marked as doubtful"), ("*M", 2, "marked with a star"),
     ("~vh", None, "approximate"), ("t?", None, "marked as doubtful")],
)  # fmt: skip
def test_one_code_in_doubt_is_held(text, low, flag):
    reading = parse_coded_range(text, codes=CODES, scale=FAT_SCALE)
    assert (reading.outcome, reading.low, reading.flags) == ("quarantined", low, (flag,))
    assert reading.reason == "a grade that was doubted when written"
    assert reading.likely == f"the recipe's code {text.strip('?*~')!r}"


@pytest.mark.parametrize("text", ["L", "3?", "Q?", "1-2", "Q-M", "", "-", "L M", "L-" * 100])
def test_another_text_is_left_to_the_other_parsers(text):
    assert parse_coded_range(text, codes=CODES, scale=FAT_SCALE) is None
