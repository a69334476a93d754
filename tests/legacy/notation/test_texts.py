"""Texts made comparable, markers for no value, error values, marks beside a value."""

import pytest

from bodycond.codes import ERROR_TEXTS, MISSING_TEXTS
from bodycond.legacy.notation import explain_special, fold_text, plain_text, says_missing
from bodycond.legacy.notation.marks import find_limit, strip_marks


@pytest.mark.parametrize(
    ("text", "plain"),
    [(" 2\u00a0\u2013 3 ", "2 - 3"), ("\uff11\uff18\uff16\uff0e\uff15\uff47", "186.5g"),
     ("\u0663\u0664\u066b\u0665", "34.5"), ("2\u00bd", "2 1/2"), ("5\u00d78", "5x8"),
     ("\u2264 3", "<= 3"), ("3\u00b2", "3\u00b2"), ("\u2460", "\u2460"), ("\ufeffKeel", "Keel"),
     ("\u2640\ufe0f", "\u2640")],
)  # fmt: skip
def test_a_text_is_made_comparable(text, plain):
    assert plain_text(text) == plain


def test_case_and_accents_are_folded():
    assert fold_text("Fl\u00fcgell\u00c4nge") == "flugellange"


@pytest.mark.parametrize("text", sorted(MISSING_TEXTS))
def test_every_marker_is_found_in_any_case(text):
    assert says_missing(f" {text.upper()}\u00a0")
    assert explain_special(text)[0] == "accepted"


@pytest.mark.parametrize("text", [*sorted(ERROR_TEXTS), "####"])
def test_every_error_value_is_held(text):
    assert explain_special(text.upper()) == ("quarantined", "an error value of the spreadsheet")


@pytest.mark.parametrize("text", ["0", "999", "#", "#12", "no", "thin", "N/W"])
def test_other_texts_are_left_to_the_parsers(text):
    assert explain_special(text) is None


@pytest.mark.parametrize(
    ("text", "rest", "flags"),
    [
        ("~240?", "240", ("approximate", "marked as doubtful")),
        ("240 * ?", "240", ("marked with a star", "marked as doubtful")),
        ("**3", "3", ("marked with a star",)),
        ("240 (?)", "240", ("marked as doubtful",)),
        ("240 (est.)", "240", ("approximate",)),
        ("ca. 240", "240", ("approximate",)),
        ("ungef. 240", "240", ("approximate",)),
        ("240", "240", ()),
        ("???", "", ("marked as doubtful",)),
    ],
)
def test_marks_are_taken_off_and_kept(text, rest, flags):
    assert strip_marks(text) == (rest, flags)


@pytest.mark.parametrize(
    ("text", "flag", "rest"),
    [("<200", "below a limit", "200"), ("> = 5", "above a limit", "5"),
     ("vor 2013", "below a limit", "2013"), ("apr\u00e8s 2013", "above a limit", "2013"),
     ("200", "", "200"), ("vorn", "", "vorn")],
)  # fmt: skip
def test_a_limit_names_its_side(text, flag, rest):
    assert find_limit(text) == (flag, rest)
