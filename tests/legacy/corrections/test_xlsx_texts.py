"""Texts for XLSX cells: each comes back as it was, and nothing in it runs."""

import re

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from bodycond.legacy.corrections.xlsx_texts import (
    LONGEST_CELL_TEXT,
    LONGEST_SHEET_NAME,
    escape_text,
    find_number,
    is_risky,
    name_sheets,
    read_back,
)
from bodycond.legacy.files.grids import write_cell_text


def undo(text):
    """Undo the format's escapes as its standard says, from left to right."""
    return re.sub("_x([0-9A-Fa-f]{4})_", lambda found: chr(int(found[1], 16)), text)


@given(st.text(st.one_of(st.characters(), st.sampled_from("_x0041\x00\r\t\n "))))
@example("_x0041_x0042_")
@example("_x0041\x01")
@example("__x005F_x0041_")
@example(" \t ")
def test_escaping_is_undone_by_the_rule_of_the_format_and_leaves_nothing_xml_cannot_hold(text):
    escaped = escape_text(text)
    assert undo(escaped) == text
    assert not re.search("[\x00-\x08\x0b-\x1f\ud800-\udfff\ufffe\uffff]", escaped)


@pytest.mark.parametrize("letter", ["x", "\x01", "\U0001f989", "_x0041_"])
def test_a_text_too_long_for_a_cell_is_cut_with_a_mark_and_stays_so_when_cut_again(letter):
    cut = read_back(letter * 40_000)
    assert cut.endswith(f" [cut: {40_000 * len(letter)} letters in all]")
    escaped = escape_text(cut)
    units = len(escaped.encode("utf-16-le")) // 2
    assert LONGEST_CELL_TEXT - 8 <= units <= LONGEST_CELL_TEXT
    assert read_back(cut) == cut


def test_a_text_that_just_fits_is_not_cut():
    assert read_back("x" * LONGEST_CELL_TEXT) == "x" * LONGEST_CELL_TEXT


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_is_written_as_one_only_where_it_comes_back_as_the_same_text(number):
    text = write_cell_text(number)[0]
    found = find_number(text)
    if found is not None:
        assert write_cell_text(float(f"{found:.16g}"))[0] == text


@pytest.mark.parametrize("text", ["0.30000000000000004", "186.50", "007", "1e5", "inf", "nan", "-"])
def test_a_text_that_is_no_number_to_the_last_sign_stays_text(text):
    assert find_number(text) is None


@pytest.mark.parametrize("text", ["=1+1", "+A1", "-5", "@x", "#REF!", "\t=1", "\n=1", "\r=1"])
def test_what_begins_as_a_formula_or_an_error_value_is_risky(text):
    assert is_risky(text)


@given(st.lists(st.text(max_size=40), max_size=8))
@example(["History", "history", "HISTORY"])
@example(["Straße", "STRASSE", "strasse"])
@example(["", " ", "'", "''", "a/b", "a:b", "\x00", "[x]*?\\"])
@example(["x" * 40, "x" * 50, "\U0001f989" * 20, "\U0001f989" * 21])
def test_sheets_get_names_that_every_program_takes(names):
    given_names = name_sheets(names, taken=["Held cells", "About"])
    folded = {name.casefold() for name in [*given_names, "Held cells", "About", "History"]}
    assert len(folded) == len(names) + 3
    for name in given_names:
        assert 1 <= len(name.encode("utf-16-le")) // 2 <= LONGEST_SHEET_NAME
        assert not re.search(r"[\[\]:*?/\\\x00-\x1f]", name)
        assert not name.startswith("'")
        assert not name.endswith("'")
        assert name == name.strip()


def test_a_name_that_needs_no_change_has_none():
    assert name_sheets(["intake 2019", "Mauser & Gefieder"]) == ["intake 2019", "Mauser & Gefieder"]
