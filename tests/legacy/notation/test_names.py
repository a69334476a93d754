"""Species, and the numbers and labels of birds and rings."""

import re

import pytest

from bodycond.errors import ArgumentError
from bodycond.legacy.notation import parse_identifier, parse_species


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Buteo buteo", "Buteo buteo"),
        ("Buteo_buteo", "Buteo buteo"),
        ("  Tyto  alba ", "Tyto alba"),
        ("Common Kestrel (Falco tinnunculus)", "Falco tinnunculus"),
        ("Buteo buteo (Linnaeus, 1758)", "Buteo buteo"),
        ("Strix aluco Linnaeus, 1758", "Strix aluco"),
        ("Accipiter nisus nisus", "Accipiter nisus nisus"),
    ],
)
def test_a_scientific_name_is_found(text, name):
    assert parse_species(text).value == name


@pytest.mark.parametrize(
    "text",
    ["Barn owl", "Common buzzard", "Red kite", "Buse variable", "Milan royal", "Chouette hulotte",
     "Busardo ratonero", "Gheppio comune", "Lesser Yellowlegs", "Adult female", "Unknown hawk"],
)  # fmt: skip
def test_a_local_name_that_looks_like_a_scientific_one_is_held(text):
    reading = parse_species(text)
    assert (reading.outcome, reading.value) == ("quarantined", None)
    assert reading.reason == "a local name: the recipe must say which species it is"


@pytest.mark.parametrize(
    ("text", "reason", "likely"),
    [
        ("RT", "not a scientific name: the recipe must say which species it is", ""),
        ("Mäusebussard", "not a scientific name: the recipe must say which species it is", ""),
        (
            "buteo buteo",
            "not a scientific name: the recipe must say which species it is",
            "Buteo buteo, if it is a scientific name",
        ),
        (
            "Wilsons Phalarope",
            "not a scientific name: the recipe must say which species it is",
            "",
        ),
        ("Buteo sp.", "a genus without its species", ""),
        ("Buteo buteo?", "a species with doubt beside it", "Buteo buteo, in doubt"),
    ],
)
def test_another_name_is_held_with_what_is_likely(text, reason, likely):
    reading = parse_species(text)
    assert (reading.outcome, reading.reason, reading.likely) == ("quarantined", reason, likely)


@pytest.mark.parametrize(
    ("text", "is_number", "label", "reason"),
    [
        ("00123", False, "00123", ""),
        ("12 - 34567", False, "12 - 34567", ""),
        ("C.12", False, "C.12", ""),
        ("CA123", False, "CA123", ""),
        (" 55 ", False, "55", "outer blanks taken off"),
        ("1234567.0", False, "1234567", "the '.0' of a number taken off"),
        ("'0123", False, "0123", "an apostrophe in front taken off"),
        ("４７ – 11", False, "47 – 11", "digits of another script"),
        ("Ä 12", False, "Ä 12", ""),
        ("4711", True, "4711", "stored as a number: zeros in front would be lost"),
        (
            "4711.0",
            True,
            "4711",
            "the '.0' of a number taken off; stored as a number: zeros in front would be lost",
        ),
        ("NA", False, None, "'NA' stands for no value"),
        ("?", False, None, "'?' stands for no value"),
    ],
)
def test_a_label_is_kept_as_written(text, is_number, label, reason):
    reading = parse_identifier(text, is_number=is_number)
    assert (reading.value, reading.reason) == (label, reason)
    assert reading.outcome == (
        "accepted" if label in {text, None} and not is_number else "converted"
    )


@pytest.mark.parametrize(
    ("text", "reason", "likely"),
    [
        (
            "9.87E+07",
            "a number in scientific notation: a spreadsheet cut its digits",
            "",
        ),
        (
            "0",
            "a zero in the place of a name or number",
            "none was given; then say so, as in codes: {0: null}",
        ),
        ("K123?", "a label with doubt beside it", "K123"),
        (
            "12345.5",
            "a number with a fraction in the place of a name or number",
            "",
        ),
        ("1234567890123456", "a spreadsheet keeps 15 digits of a number, not more", ""),
        ("#REF!", "an error value of the spreadsheet", ""),
    ],
)
def test_a_label_that_lost_something_is_held(text, reason, likely):
    reading = parse_identifier(text, is_number=True)
    assert (reading.outcome, reading.reason, reading.likely) == ("quarantined", reason, likely)


def test_the_sites_count_of_digits_shows_lost_zeros():
    short = parse_identifier("1234", is_number=True, digits=5)
    assert short.reason == "4 digits where this site's numbers have 5: zeros in front may be lost"
    assert (short.outcome, short.likely) == ("quarantined", "01234")
    long = parse_identifier("123456", is_number=False, digits=5)
    assert long.reason == "6 digits where this site's numbers have 5"
    assert parse_identifier("12345", is_number=True, digits=5).value == "12345"
    assert parse_identifier("AB-123", is_number=False, digits=5).value == "AB-123"


def test_a_site_has_digits_or_none_are_given():
    message = (
        "digits= is how many digits a number of the site has. Found: digits=0. Give 1 or more, or "
        "leave it out."
    )
    with pytest.raises(ArgumentError, match=f"^{re.escape(message)}$"):
        parse_identifier("1", is_number=True, digits=0)
