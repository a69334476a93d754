"""Codes: sex, age, crop, flags, species, and any text at all."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodycond.codes import CROP_CODES, EXAM_REASONS, SEX_CODES
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
     ("unbek.", "U"), ("NA", None), ("", None), (".", None), ("x", None)],
)  # fmt: skip
def test_sex_is_unknown_only_where_the_cell_says_so(text, sex):
    reading = parse_sex(text)
    assert reading.value == sex
    assert reading.outcome != "quarantined"


@pytest.mark.parametrize(("text", "likely"), [("w", "F (weiblich)"), ("V", "F (vrouw)"), ("1", "")])
def test_a_letter_of_another_language_is_held(text, likely):
    reading = parse_sex(text)
    assert (reading.outcome, reading.likely) == ("quarantined", likely)
    assert reading.reason == "a code for sex that the recipe must explain"


@pytest.mark.parametrize(
    ("text", "system", "age"),
    [("adult", None, "adult"), ("ad.", None, "adult"), ("Juvenile", None, "juvenile"),
     ("HY", None, "juvenile"), ("SY", None, "immature"), ("4", "BBL", "pullus"),
     ("2", "BBL", "juvenile"), ("1", "EURING", "pullus"), ("3", "EURING", "juvenile"),
     ("5", "EURING", "immature"), ("L", "BBL", "pullus")],
)  # fmt: skip
def test_age_code_gives_the_class_that_it_leaves_no_doubt_about(text, system, age):
    assert parse_age(text, system=system).value == age


@pytest.mark.parametrize(("text", "system"), [("AHY", None), ("4", "EURING"), ("6", "EURING")])
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
    assert parse_crop("0.5").outcome == "quarantined"
    # An owl's empty cell stays empty: that it has no crop is for the sheet to say.
    assert parse_crop("n/a").value is None


def test_flags():
    assert [parse_flag(text).value for text in ["y", "No", "ja", "FALSE", ""]] == [
        True, False, True, False, None,
    ]  # fmt: skip
    assert parse_flag("x").likely == "yes"
    assert parse_flag("some").reason == "neither yes nor no"


def test_fixed_codes_forgive_case_and_marks():
    assert parse_code("Pre-release", codes=EXAM_REASONS).value == "pre_release"
    assert parse_code("walked in", codes=EXAM_REASONS).reason.startswith("not one of the codes")


def test_species_needs_a_scientific_name():
    assert parse_species("Adelie Penguin (Pygoscelis adeliae)").value == "Pygoscelis adeliae"
    assert parse_species("Buteo_buteo").value == "Buteo buteo"
    assert parse_species("Common Kestrel").outcome == "quarantined"


@given(st.text())
def test_parsers_are_total(text):
    readings = [
        parse_sex(text), parse_age(text), parse_crop(text), parse_flag(text),
        parse_code(text, codes=EXAM_REASONS), parse_species(text), parse_text(text),
        parse_age(text, system="BBL"), parse_age(text, system="EURING"),
    ]  # fmt: skip
    for reading in readings:
        assert reading.raw == text
        assert reading.value is not None or reading.reason
        assert reading.outcome != "quarantined" or reading.value is None
    assert readings[0].value in {None, *SEX_CODES}
    assert readings[2].value in {None, *CROP_CODES}
