"""Texts from strangers: all of them can be seen, and none acts."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodycond.legacy.corrections.correction_records import Correction
from bodycond.legacy.corrections.corrections import word_correction
from bodycond.study.visible_texts import show_cell, show_text, strip_cell_words


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Flügel 2½", "Flügel 2½"),
        ("a\tb\r\nc", "a\\tb\\r\\nc"),
        ("\x1b[2J", "\\x1b[2J"),
        ("a\u202eb", "a\\u202eb"),
        ("\ud800", "\\ud800"),
        ("1\u00a0234\u202f5", "1 234 5"),
    ],
)
def test_letters_that_cannot_be_seen(text, shown):
    assert show_text(text) == shown


@given(st.text(alphabet=st.characters()), st.integers(1, 50))
def test_whatever_comes_can_be_printed_and_encoded(text, limit):
    for shown in (show_text(text), show_text(text, limit=limit), show_cell(text)):
        assert shown.isprintable()
        shown.encode("utf-8")


def test_blank_ends_are_seen():
    assert show_cell("3 ") == '"3 "'
    assert show_cell("   ") == '"   "'
    assert show_cell("") == ""


@pytest.mark.parametrize(
    ("reason", "shared"),
    [
        ("decimal comma", "decimal comma"),
        ("decimal comma; formula: =A1*2", "decimal comma"),
        ("comment: weighed twice\nby S1", "comment: weighed twice\nby S1"),
        ("corrected from '18 S' by S1 (card; two lines); day first", None),
    ],
)
def test_what_is_said_of_one_cell_alone_is_taken_off(reason, shared):
    assert strip_cell_words(reason) == (shared or "corrected: see corrections_log.csv")


@pytest.mark.parametrize(
    ("decision", "shared"),
    [
        ("corrected", "corrected"), ("no_value", "said to hold no value"),
        ("as_written", "kept as written"), ("not_exam", "row said to be no exam"),
    ],
)  # fmt: skip
def test_who_and_why_of_every_decision_are_taken_off(decision, shared):
    made = Correction(
        decision=decision, corrected="185", who="S1", why="a dash; a line", decided_on="2024-05-31"
    )
    reason = word_correction(made, raw="18S")
    assert "S1 on 2024-05-31" in reason
    assert strip_cell_words(reason) == f"{shared}: see corrections_log.csv"
