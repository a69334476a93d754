"""Complete pairs on one scale, from two columns or from a long table."""

import re

import numpy as np
import pandas as pd
import pytest

from bodycond.agreement import pair_scorers
from bodycond.agreement.score_pairs import collect_pairs, find_handling_columns
from bodycond.errors import ArgumentError, MissingColumnError, ScaleError
from bodycond.scales import KEEL_SCALE


def collect(first, second, *, scale=KEEL_SCALE, bird=None):
    return collect_pairs(first, second, scale=scale, bird=bird)


def test_positions_on_the_scale():
    pairs = collect([1, 2.5, np.nan], [1.5, 5, 3])
    assert pairs.first.tolist() == [0, 3]
    assert pairs.second.tolist() == [1, 8]
    assert (pairs.n_missing, pairs.n_birds, pairs.birds_repeat) == (1, 2, False)


def test_birds_of_incomplete_rows_do_not_count():
    pairs = collect([1, 2, 3, np.nan], [1, 2, 3, 4], bird=["x", "x", None, "z"])
    assert pairs.clusters.tolist() == [0, 0, 1]
    assert (pairs.n_birds, pairs.birds_repeat) == (2, True)


def test_nullable_and_object_columns():
    first = pd.Series([1, None, 3], dtype="Float64")
    pairs = collect(first, np.array([1, 2, "3"], dtype=object))
    assert pairs.first.tolist() == [0, 4]
    assert pairs.second.tolist() == [0, 4]


def test_grades_that_are_no_numbers():
    first = pd.Series(["3", "3+", "x", None], index=list("abcd"))
    message = (
        "Grades to compare must be numbers, with NaN where a scorer gave no point grade. Found: 2 "
        "others in first: '3+', 'x' at rows b, c. Read the notation first, or leave these grades "
        "out."
    )
    with pytest.raises(ScaleError, match=f"^{re.escape(message)}$"):
        collect(first, pd.Series([1, 2, 3, 4], index=list("abcd")))
    with pytest.raises(ScaleError, match="1 others in second: 'thin' at rows 0"):
        collect([1], ["thin"])


@pytest.mark.parametrize(
    ("first", "second", "bird", "found"),
    [
        ([1, 2], [1], None, "2 rows in first, 1 rows in second"),
        ([1], [1], ["a", "b"], "1 rows in first, 1 rows in second, 2 rows in bird"),
    ],
)
def test_lengths_must_match(first, second, bird, found):
    message = (
        f"Grades to compare must be of the same birds, row by row. Found: {found}. Pass columns of "
        "one table, with NaN where a scorer gave no grade."
    )
    with pytest.raises(ArgumentError, match=f"^{re.escape(message)}$"):
        collect(first, second, bird=bird)


@pytest.mark.parametrize("bird", [None, pd.Series(["a", "b"], index=[1, 0])])
def test_indexes_must_match(bird):
    first = pd.Series([1, 2], index=[0, 1])
    second = pd.Series([1, 2], index=[1, 0] if bird is None else [0, 1])
    message = (
        "Grades to compare must share one index. Found: Series with different index labels. Join "
        "them on the bird first, or pass .to_numpy() if the rows do match."
    )
    with pytest.raises(ArgumentError, match=f"^{re.escape(message)}$"):
        collect(first, second, bird=bird)


def test_a_grade_off_the_scale():
    with pytest.raises(ScaleError, match=r"Found: 1 others: 2\.2"):
        collect([2.2], [2])
    with pytest.raises(ScaleError, match="Found: 1 others: inf"):
        collect([np.inf], [2])


def test_scale_none():
    assert collect([1, 2], [1, 4], scale=None).scale.n_grades == 4
    assert collect([], [], scale=None).scale.name == "no grades found"
    one = collect([3, 3], [3, 3], scale=None)
    assert one.first.tolist() == [0, 0]
    with pytest.raises(ScaleError, match="needs grades on a grid"):
        collect([1, 1.33], [1, 2], scale=None)


@pytest.fixture
def ratings():
    return pd.DataFrame(
        {
            "bird_id": ["k1", "k1", "k2", "k2", "k3", "k1", "k1", "k1", None],
            "scorer": ["S01", "S02", "S01", "S02", "S01", "S01", "S02", "S01", "S01"],
            "session": ["a", "a", "a", "a", "a", "b", "b", "b", "a"],
            "round": [2, 1, 1, 1, 1, 1, 1, 2, 1],
            "keel": [3.0, 2.5, 4, np.nan, 1, 2, 2, 5, 3],
        }
    )


def test_pairs_of_one_handling(ratings):
    pairs = pair_scorers(ratings, first="S01", second="S02")
    assert list(pairs.columns) == ["bird_id", "session", "first", "second"]
    assert pairs.to_numpy(dtype=object)[:, :3].tolist() == [
        ["k2", "a", 4.0], ["k1", "b", 2.0], ["k1", "a", 3.0],
    ]  # fmt: skip
    assert pairs["second"].tolist()[1:] == [2, 2.5]


def test_the_first_round_counts_wherever_it_stands(ratings):
    turned = pair_scorers(ratings.iloc[::-1], first="S01", second="S02")
    grades = turned.set_index(["bird_id", "session"])["first"]
    assert grades["k1", "b"] == 2


def test_without_rounds_and_sessions(ratings):
    pairs = pair_scorers(ratings[["bird_id", "scorer", "keel"]], first="S02", second="S01")
    assert pairs.set_index("bird_id").loc["k1"].tolist() == [2.5, 3]


def test_a_missing_session_pairs_with_nothing(ratings):
    ratings.loc[[5, 6], "session"] = None
    pairs = pair_scorers(ratings, first="S01", second="S02")
    assert sorted(pairs["session"]) == ["a", "a"]
    empty = pair_scorers(ratings.assign(session=None), first="S01", second="S02")
    assert sorted(empty["bird_id"]) == ["k1", "k2"]
    assert find_handling_columns(ratings.assign(session=None), within=("session",)) == []


def test_scorers_may_be_numbers(ratings):
    numbered = ratings.assign(scorer=ratings["scorer"].map({"S01": 1, "S02": 2}))
    assert len(pair_scorers(numbered, first="1", second="2")) == 3


@pytest.mark.parametrize(("first", "second"), [("S01", "S09"), ("S01", "S01"), ("x", "y")])
def test_two_scorers_of_the_table(ratings, first, second):
    message = (
        f"first= and second= name two different scorers of the table. Found: {first!r} and "
        f"{second!r}; the table has S01, S02. Name two of them."
    )
    with pytest.raises(ArgumentError, match=f"^{re.escape(message)}$"):
        pair_scorers(ratings, first=first, second=second)


def test_columns_are_needed(ratings):
    with pytest.raises(MissingColumnError, match="Pairing scorers needs the column 'fat'"):
        pair_scorers(ratings, first="S01", second="S02", score="fat")


def test_ratings_are_left_alone(ratings):
    before = ratings.copy(deep=True)
    pair_scorers(ratings, first="S01", second="S02")
    pd.testing.assert_frame_equal(ratings, before)
