"""Texts made harmless for spreadsheet programs, and given back."""

import re

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bodycond.tables_on_disk.formula_guard import find_risky, neutralise_text, restore_text

# Letters that the guard knows about, so that most texts have several places to guard.
TEXTS = st.text(
    st.sampled_from("=+-@'; \t\r\na\x00\xa0\ufeff\uff1d") | st.characters(codec="utf-8")
)


@pytest.mark.parametrize(
    ("text", "safe"),
    [
        ("=1+1", "'=1+1"),
        ("+1", "'+1"),
        ("-", "'-"),
        ("@x", "'@x"),
        ("\ttab", "'\ttab"),
        ("\rreturn", "'\rreturn"),
        ("\nline", "'\nline"),
        # An apostrophe that was there is not taken for ours.
        ("'=1", "''=1"),
        ("''-", "'''-"),
        # What a program trims before it looks.
        ("  =1", "'  =1"),
        ("\xa0=1", "'\xa0=1"),
        ("\ufeff=1", "'\ufeff=1"),
        ("\x00=1", "'\x00=1"),
        ("\uff1d1", "'\uff1d1"),
        # Where lists are split at semicolons, tabs or lines, the middle of a text begins a cell.
        ("a;=1", "a;'=1"),
        ("a\t=1", "a\t'=1"),
        ("a\n'-1", "a\n''-1"),
        ("\t=1;=2", "'\t'=1;'=2"),
        ("thin; - 2", "thin;' - 2"),
    ],
)  # fmt: skip
def test_what_could_run_gets_an_apostrophe(text, safe):
    assert neutralise_text(text) == safe
    assert restore_text(safe) == text


@pytest.mark.parametrize("text", ["", "a=b", "'tis", "' ", "3-4", "a ;b", "x' =1", "2.5+"])
def test_what_cannot_run_is_left(text):
    assert neutralise_text(text) == text
    assert restore_text(text) == text


@given(TEXTS)
@settings(max_examples=1500)
def test_every_text_comes_back_and_none_can_run(text):
    safe = neutralise_text(text)
    assert restore_text(safe) == text
    for part in re.split("[;\t\r\n]", safe):
        assert not part.lstrip("\x00\ufeff \xa0").startswith(("=", "+", "-", "@", "\uff1d"))
    assert not safe.startswith(("\t", "\r", "\n"))


@given(st.lists(TEXTS, max_size=20))
@settings(max_examples=300)
def test_whole_columns_are_searched_as_single_texts_are(texts):
    changed = [neutralise_text(text) != text for text in texts]
    assert find_risky(pd.Series(texts, dtype="str")).tolist() == changed
    assert find_risky(pd.Series(texts, dtype=object)).tolist() == changed


def test_cells_that_are_no_texts_are_never_risky():
    mixed = pd.Series([-1.5, None, "-", pd.NA], dtype=object)
    assert find_risky(mixed).tolist() == [False, False, True, False]
    assert find_risky(pd.Series(["-", None], dtype="str")).tolist() == [True, False]
    assert find_risky(pd.Series(pd.Categorical(["=a", "b", None]))).tolist() == [True, False, False]
