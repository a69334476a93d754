"""Codes: sex, age, crop, flags and a column's own."""

import pytest

from bodycond.codes import EXAM_REASONS
from bodycond.errors import ArgumentError
from bodycond.legacy.notation import (
    parse_age,
    parse_code,
    parse_crop,
    parse_flag,
    parse_sex,
    parse_species,
    parse_text,
)


@pytest.mark.parametrize(
    ("text", "sex"),
    [("F", "F"), ("m", "M"), ("MALE", "M"), ("Female", "F"), ("weiblich", "F"), ("mâle", "M"),
     ("hembra", "F"), ("♀", "F"), ("U", "U"), ("?", "U"), ("Undetermined", "U"),
     ("unbek.", "U"), ("NA", None), ("", None), (".", None), ("Männchen", "M"), ("♀️", "F"),
     ("♂♂", "M"), ("fêmea", "F"), ("not sexed", "U")],
)  # fmt: skip
def test_sex_is_unknown_only_where_the_cell_says_so(text, sex):
    reading = parse_sex(text)
    assert reading.value == sex
    assert reading.outcome != "quarantined"


@pytest.mark.parametrize(
    ("text", "likely"),
    [("w", "F (weiblich)"), ("V", "F (vrouw)"), ("1", ""), ("2", ""),
     ("1,0", "M (1.0: one male, no female)"), ("0.1", "F (0.1: no male, one female)"),
     ("mm", "M, its key struck twice")],
)  # fmt: skip
def test_a_letter_of_another_language_is_held(text, likely):
    reading = parse_sex(text)
    assert (reading.outcome, reading.likely) == ("quarantined", likely)
    assert reading.reason == "a code for sex that the recipe must explain"


@pytest.mark.parametrize(
    ("text", "likely", "flags"),
    [("M?", "M, in doubt when written", ("marked as doubtful",)),
     ("F ?", "F, in doubt when written", ("marked as doubtful",)),
     ("~M", "M, in doubt when written", ("approximate",)),
     ("probably male", "M, in doubt when written", ()),
     ("(F)", "F, in doubt when written", ())],
)  # fmt: skip
def test_a_sex_in_doubt_is_held_and_keeps_its_mark(text, likely, flags):
    reading = parse_sex(text)
    assert (reading.outcome, reading.value) == ("quarantined", None)
    assert (reading.reason, reading.likely) == ("a sex with doubt beside it", likely)
    assert reading.flags == flags


def test_age_and_sex_in_one_cell_are_held_by_both_parsers():
    for reading in (parse_age("ASY/M"), parse_sex("ASY/M")):
        assert (reading.reason, reading.likely) == (
            "an age and a sex in one cell", "age ASY and sex M",
        )  # fmt: skip


@pytest.mark.parametrize(
    "parse",
    [parse_sex, parse_age, parse_crop, parse_species, parse_text,
     lambda text: parse_code(text, codes=EXAM_REASONS)],
)  # fmt: skip
@pytest.mark.parametrize("text", ["x", "X"])
def test_a_cross_among_codes_and_names_waits_for_the_recipe(parse, text):
    reading = parse(text)
    assert reading.outcome == "quarantined"
    assert reading.reason == "a cross can mean no value, yes or a code"
    assert reading.likely == "no value; then say so, as in codes: {x: null}"


@pytest.mark.parametrize(
    ("text", "reason", "likely"),
    [("A/HY", "an age that the recipe must explain", "AHY, or two ages: A and HY"),
     ("A", "an age that the recipe must explain", "adult"),
     ("I", "an age that the recipe must explain", "immature"),
     ("Adult, 1 Egg Stage", "an age with words beside it", "adult"),
     ("14 days", "an age in days or years and no class", ""),
     ("3yo", "an age in days or years and no class", ""),
     ("adult?", "an age with doubt beside it", "adult, in doubt"),
     ("AHY?", "an age with doubt beside it", "AHY, in doubt"),
     ("4.0", "an age digit without its code system", "BBL or EURING; say which")],
)  # fmt: skip
def test_an_age_that_needs_a_person_is_held(text, reason, likely):
    reading = parse_age(text)
    assert (reading.outcome, reading.reason, reading.likely) == ("quarantined", reason, likely)


@pytest.mark.parametrize(
    ("text", "system", "age"),
    [("adult", None, "adult"), ("ad.", None, "adult"), ("Juvenile", None, "juvenile"),
     ("HY", None, "juvenile"), ("SY", None, "immature"), ("4", "BBL", "pullus"),
     ("2", "BBL", "juvenile"), ("1", "EURING", "pullus"), ("3", "EURING", "juvenile"),
     ("5", "EURING", "immature"), ("L", "BBL", "pullus"), ("  hy ", None, "juvenile"),
     ("Inmature", None, "immature"), ("4.0", "BBL", "pullus"), ("3J", "EURING", "juvenile"),
     ("2cy", None, "immature"), ("1. KJ", None, "juvenile"), ("sy", "EURING", "immature"),
     ("U", None, "unknown"), ("u", "EURING", "unknown")],
)  # fmt: skip
def test_age_code_gives_the_class_that_it_leaves_no_doubt_about(text, system, age):
    assert parse_age(text, system=system).value == age


@pytest.mark.parametrize(
    ("text", "system"),
    [("AHY", None), ("4", "EURING"), ("6", "EURING"), ("asy", None), ("3cy", None)],
)
def test_age_code_that_leaves_the_class_open_gives_none(text, system):
    reading = parse_age(text, system=system)
    assert (reading.outcome, reading.value) == ("accepted", None)
    assert reading.reason == f"{text!r} leaves open whether the bird was immature or adult"


@pytest.mark.parametrize("digit", list("0123456789"))
def test_a_bare_digit_without_a_system_is_refused(digit):
    reading = parse_age(digit)
    assert reading.outcome == "quarantined"
    assert reading.reason == "an age digit without its code system"


def test_unknown_age_system_raises():
    with pytest.raises(ArgumentError, match=r"system= takes 'BBL' or 'EURING' or 'SITE'"):
        parse_age("4", system="OTHER")


def test_crop_words_and_codes():
    read = {text: parse_crop(text).value for text in ["0", "4", "2.0", "empty", "half", "no crop"]}
    assert list(read.values()) == ["0", "4", "2", "0", "2", "no_crop"]
    # An owl's empty cell stays empty: that it has no crop is for the sheet to say.
    assert parse_crop("n/a").value is None


@pytest.mark.parametrize(
    ("text", "value"),
    [("1/4 full", "1"), ("¼", "1"), ("1/2", "2"), ("½ full", "2"), ("3/4 full", "3"), ("Full", "4"),
     ("Empty", "0"), ("50%", "2"), ("leer", "0"), ("4.0", "4")],
)  # fmt: skip
def test_a_quarter_of_a_crop_in_words_is_its_code(text, value):
    assert parse_crop(text).value == value


@pytest.mark.parametrize(
    ("text", "likely"),
    [("1/8 full", "0 or 1: 1/8 full lies halfway"), ("1/3 full", "1, the nearest quarter"),
     ("2/3", "3, the nearest quarter"), ("60%", "2, the nearest quarter"),
     ("0.5", "2, the nearest quarter"), ("1/0", ""), ("9/4", ""), ("+", ""), ("200%", "")],
)  # fmt: skip
def test_another_share_of_a_crop_is_held_with_the_nearest(text, likely):
    reading = parse_crop(text)
    assert (reading.outcome, reading.likely) == ("quarantined", likely)
    assert reading.reason == "a crop entry that the recipe must explain"


def test_a_crop_in_doubt_is_held():
    reading = parse_crop("3?")
    assert (reading.reason, reading.likely) == ("a crop entry with doubt beside it", "3, in doubt")
    assert reading.flags == ("marked as doubtful",)


def test_flags():
    assert [parse_flag(text).value for text in ["y", "No", "ja", "FALSE", ""]] == [
        True, False, True, False, None,
    ]  # fmt: skip
    assert parse_flag("x").likely == "yes"
    assert parse_flag("✓").value is True
    assert (parse_flag("1.0").value, parse_flag("0.0").value) == (True, False)
    assert (parse_flag("Y?").outcome, parse_flag("Y?").likely) == ("quarantined", "yes, in doubt")
    assert parse_flag("T").likely == "yes (true)"
    assert parse_flag("some").reason == "neither yes nor no"


def test_fixed_codes_forgive_case_and_marks():
    assert parse_code("Pre-release", codes=EXAM_REASONS).value == "pre_release"
    assert parse_code("walked in", codes=EXAM_REASONS).reason.startswith("not one of the codes")
