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


def test_why_a_bird_was_not_weighed_belongs_to_measures_alone():
    """'N/W' can be a wind or a corner of an aviary in another column."""
    assert "n/w" in codes.NOT_WEIGHED_TEXTS
    assert not (codes.NOT_WEIGHED_TEXTS | codes.NOT_MEASURED_TEXTS) & codes.MISSING_TEXTS


@pytest.mark.parametrize(
    "listed",
    [
        codes.NOT_WEIGHED_TEXTS, codes.NOT_MEASURED_TEXTS, codes.TICK_TEXTS, codes.ERROR_TEXTS,
    ],
)  # fmt: skip
def test_listed_texts_are_compared_in_lower_case_without_blanks(listed):
    assert listed
    assert all(text == text.casefold().strip() for text in listed)


def test_error_values_are_no_missing_texts():
    assert not codes.ERROR_TEXTS & codes.MISSING_TEXTS
