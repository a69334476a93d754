"""Values turned into grids of texts, and cells kept once each."""

import datetime as dt

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from bodycond.legacy.files.grids import build_grid, code_cells, write_cell_text

VALUES = st.one_of(
    st.none(), st.text(max_size=4), st.booleans(), st.sampled_from([0.0, 1.0, -0.0, 2.5, 1e300]),
    st.just(float("nan")), st.integers(-2, 2), st.dates(), st.datetimes(), st.times(),
)  # fmt: skip


@given(st.lists(st.lists(VALUES, max_size=5), max_size=8))
def test_every_cell_is_written_as_if_it_stood_alone(rows):
    texts, kinds = build_grid(rows)
    for number, row in enumerate(rows[: len(texts)]):
        for column in range(texts.shape[1]):
            value = row[column] if column < len(row) else None
            assert (texts[number, column], kinds[number, column]) == write_cell_text(value)


def test_true_and_one_in_a_column_stay_apart():
    texts, kinds = build_grid([[True], [1.0], [False], [0.0]])
    assert texts[:, 0].tolist() == ["TRUE", "1", "FALSE", "0"]
    assert "".join(kinds[:, 0]) == "bnbn"


def test_blanks_behind_the_last_value_cost_nothing():
    texts, _ = build_grid([["Ring", "Mass"], ["A1", "186", *[""] * 1_000_000]])
    assert texts.shape == (2, 2)


def test_equal_texts_of_a_column_are_one_object():
    texts, _ = build_grid([["".join(["Buteo", " buteo"])] for _ in range(3)])
    assert texts[0, 0] is texts[2, 0]


def test_day_and_midnight_stay_what_they_are():
    texts, kinds = build_grid([[dt.date(2019, 5, 1)], [dt.datetime(2019, 5, 1, 8)]])
    assert texts[:, 0].tolist() == ["2019-05-01", "2019-05-01 08:00:00"]
    assert "".join(kinds[:, 0]) == "dd"


@given(st.lists(st.tuples(st.sampled_from(["", "1", "x", "#N/A"]), st.sampled_from("tndhbef "))))
def test_coded_cells_give_the_cells_back(cells):
    texts = np.array([text for text, _ in cells], dtype=object)
    kinds = np.array([kind for _, kind in cells], dtype="<U1")
    coded = code_cells(texts, kinds)
    assert coded.texts[coded.codes].tolist() == texts.tolist()
    apart = [kind if kind in "nef " else "t" for kind in kinds]
    assert coded.kinds[coded.codes].tolist() == apart
    assert coded.count().sum() == len(cells)
    assert len(set(zip(coded.texts, coded.kinds, strict=True))) == len(coded.texts)


def test_texts_with_a_zero_byte_are_told_apart():
    # pandas before 3.1 compares texts only up to a zero byte, and an empty cell took such a text.
    rows = [["", "\x00b"], ["\x00c", ""], ["a", "\x00b"]]
    texts, kinds = build_grid(rows)
    assert texts.tolist() == rows
    assert kinds.tolist() == [[" ", "t"], ["t", " "], ["t", "t"]]
