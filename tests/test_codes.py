"""Codes with their meaning, and who is an owl."""

import pytest

from bodycond import codes


@pytest.mark.parametrize(
    "listed",
    [
        codes.SEX_CODES,
        codes.AGE_CLASSES,
        codes.AGE_CODE_SYSTEMS,
        codes.CROP_CODES,
        codes.EXAM_REASONS,
        codes.WETTING_AGENTS,
        codes.DATE_PRECISIONS,
    ],
)
def test_every_code_has_a_meaning(listed):
    assert listed
    assert all(isinstance(code, str) and meaning.strip() for code, meaning in listed.items())


def test_sexes_of_the_contract():
    assert set(codes.SEX_CODES) == {"F", "M", "U"}


@pytest.mark.parametrize(
    ("species", "owl"),
    [
        ("Strix aluco", True),
        ("tyto alba", True),
        ("  ASIO otus ", True),
        ("Bubo", True),
        ("Falco tinnunculus", False),
        ("Accipiter nisus", False),
        ("", False),
    ],
)
def test_is_owl(species, owl):
    assert codes.is_owl(species) is owl


def test_missing_texts_are_compared_in_lower_case_without_blanks():
    assert all(text == text.lower().strip() for text in codes.MISSING_TEXTS)


def test_numbers_are_no_missing_texts():
    """0 and 999 stand for missing in a mass column alone; a grade of 0 is a grade."""
    assert not {"0", "999"} & codes.MISSING_TEXTS
