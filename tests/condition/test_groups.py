"""What may be analysed together, and which row of a bird counts."""

import re

import numpy as np
import pandas as pd
import pytest

from bodycond.condition.groups import (
    find_mixed_columns,
    find_pooled_levels,
    iterate_groups,
    list_names,
    mark_first_rows,
    mark_measured,
    name_group,
    require_numbers,
)
from bodycond.errors import ArgumentError


def exams(**columns):
    return pd.DataFrame({"species": ["a", "a", "a"], "sex": ["F", "F", "F"]} | columns)


@pytest.mark.parametrize(
    ("table", "by", "mixed"),
    [
        (exams(), (), {}),
        (exams(sex=["F", "M", "F"]), ("species", "sex"), {}),
        (exams(sex=["F", "M", "F"]), ("species",), {"sex": "F, M"}),
        (exams(species=["a", "b", "a"]), ("sex",), {"species": "a, b"}),
        (exams(sex=["F", None, "F"]), ("species",), {"sex": "F, missing"}),
        (exams(sex=[None] * 3), ("species",), {"sex": "missing"}),
        (exams(species=[None] * 3), (), {"species": "missing"}),
        (exams(sex=["U"] * 3), (), {"sex": "U"}),
        (exams(species=["U"] * 3), (), {}),
        (exams().drop(columns="sex"), (), {"sex": "no such column, so nobody can tell"}),
        (exams().iloc[:0], (), {}),
        (
            exams(species=["b", "c", "a"], sex=["F", "U", "M"]), (),
            {"species": "a, b, c", "sex": "F, M, U"},
        ),
    ],
)  # fmt: skip
def test_mixed_columns(table, by, mixed):
    assert find_mixed_columns(table, by=by, pool=None) == mixed
    assert find_mixed_columns(table, by=by, pool="  ") == mixed
    assert find_mixed_columns(table, by=by, pool="a reason") == {}


@pytest.mark.parametrize("pool", [True, 1, ["sexes look alike"]])
def test_a_reason_is_words(pool):
    message = (
        "pool= takes the reason for pooling in words, which is printed with the result. Found: "
        f'pool={pool!r}. Write it out: pool="...".'
    )
    with pytest.raises(ArgumentError, match=f"^{re.escape(message)}$"):
        find_mixed_columns(exams(), by=(), pool=pool)


def test_pooled_levels():
    assert find_pooled_levels(exams(), by=("species",)) == {"sex": "F"}
    assert find_pooled_levels(exams(sex=["F", "M", "F"]), by=()) == {"species": "a"}
    assert find_pooled_levels(exams(), by=("species", "sex")) == {}
    assert find_pooled_levels(exams().drop(columns="sex"), by=()) == {"species": "a"}


def test_groups_come_in_order_and_missing_keys_form_none():
    table = exams(species=["b", "a", None], sex=["F", "M", "F"]).set_index(pd.Index([7, 7, 7]))
    groups = [(keys, rows["sex"].tolist()) for keys, rows in iterate_groups(table, by=["species"])]
    assert groups == [({"species": "a"}, ["M"]), ({"species": "b"}, ["F"])]


def test_groups_of_categories_and_numbers():
    table = pd.DataFrame(
        {"sex": pd.Categorical(["M", "F"], categories=["F", "M", "U"]), "year": [2020, 2021]}
    )
    keys = [keys for keys, _ in iterate_groups(table, by=("sex", "year"))]
    assert keys == [{"sex": "F", "year": "2021"}, {"sex": "M", "year": "2020"}]


def test_no_grouping_is_one_group():
    ((keys, rows),) = iterate_groups(exams(), by=())
    assert keys == {}
    assert len(rows) == 3


def test_first_row_in_table_order():
    table = exams(bird_id=["x", "y", "x"])
    assert mark_first_rows(table, bird="bird_id").tolist() == [True, True, False]
    assert mark_first_rows(table, bird="no such column").all()


def test_birds_without_a_label_are_birds_of_their_own():
    table = exams(bird_id=[None, np.nan, None])
    assert mark_first_rows(table, bird="bird_id").all()


@pytest.mark.parametrize("as_text", [False, True])
def test_first_row_by_date_with_undated_last(as_text):
    dates = ["2021-05-02", "2021-05-01", None, "2021-05-01", None]
    table = pd.DataFrame(
        {
            "bird_id": ["x", "x", "x", "x", "y"],
            "exam_date": dates if as_text else pd.to_datetime(dates),
        },
        index=[3, 3, 3, 1, 1],
    )
    first = mark_first_rows(table, bird="bird_id")
    assert first.tolist() == [False, True, False, False, True]
    assert first.index.equals(table.index)


def test_first_row_of_nothing():
    empty = exams(bird_id=["x"] * 3).iloc[:0]
    assert mark_first_rows(empty, bird="bird_id").tolist() == []


def test_measured_means_finite_and_above_0():
    table = pd.DataFrame(
        {
            "mass_g": pd.Series([300, None, 300, 0, -5, 300], dtype="Float64"),
            "tarsus_mm": [50, 50, np.nan, 50, 50, np.inf],
        }
    ).set_axis([1, 1, 2, 2, 3, 3])
    measured = mark_measured(table, ("mass_g", "tarsus_mm"))
    assert measured.tolist() == [True] + [False] * 5
    assert measured.index.equals(table.index)


def test_text_where_numbers_are_needed():
    table = pd.DataFrame(
        {"mass_g": ["300", "2 lb 5 oz", None], "keel": ["3", "4", "2"], "wing_mm": [1, 2, 3]}
    )
    message = (
        "The index needs numbers. Found: 'mass_g' is str, with 1 cells that are no numbers: "
        "'2 lb 5 oz' at rows 1; 'keel' is str, with numbers stored as text. Read the cells' "
        "notation first, or convert the column with pandas.to_numeric."
    )
    with pytest.raises(ArgumentError, match=f"^{re.escape(message)}$"):
        require_numbers(table, ("mass_g", "keel", "wing_mm"), purpose="The index")


def test_an_empty_column_is_missing_and_not_text():
    require_numbers(pd.DataFrame({"mass_g": [None, None]}), ("mass_g",), purpose="The index")


def test_a_lone_name_is_not_its_letters():
    assert list_names("species") == ("species",)
    assert list_names(["species", "sex"]) == ("species", "sex")


def test_name_group():
    assert name_group({"species": "Buteo buteo", "sex": "F"}) == "Buteo buteo, F"
    assert name_group({}) == "all exams"
