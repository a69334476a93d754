"""Every pair of scorers on the birds that both graded."""

import re

import numpy as np
import pandas as pd
import pytest

from bodycond.agreement import compare_scorer_pairs, compare_two_scorers
from bodycond.errors import DegenerateDataError, MissingColumnError


@pytest.fixture
def ratings():
    """S01 graded birds 0 to 11, S02 birds 0 to 7, S03 birds 6 to 11, S04 a bird of its own."""
    generator = np.random.default_rng(3)
    truth = np.clip(np.round(3 + generator.normal(size=13)), 1.5, 4.5)
    parts = [
        pd.DataFrame({"scorer": name, "bird_id": [f"b{bird}" for bird in birds],
                      "keel": np.clip(truth[birds] + generator.choice([-0.5, 0, 0.5], len(birds)),
                                      1, 5)})
        for name, birds in (
            ("S01", range(12)), ("S02", range(8)), ("S03", range(6, 12)), ("S04", [12])
        )
    ]  # fmt: skip
    return pd.concat(parts, ignore_index=True)


def names(pairs):
    return [(pair.first_name, pair.second_name, pair.kappa.n) for pair in pairs.comparisons]


def test_pairs_with_most_birds_first(ratings):
    pairs = compare_scorer_pairs(ratings, resamples=100)
    assert names(pairs) == [("S01", "S02", 8), ("S01", "S03", 6), ("S02", "S03", 2)]
    assert pairs.not_compared[["first", "second"]].to_numpy().tolist() == [
        ["S01", "S04"], ["S02", "S04"], ["S03", "S04"],
    ]  # fmt: skip
    assert "S01 and S04: not compared: no bird was graded by both" in pairs.summary()
    assert len(pairs.to_frame()) == 3 * 7


def test_each_pair_is_what_two_scorers_give(ratings):
    pairs = compare_scorer_pairs(ratings, resamples=100)
    sides = ratings.pivot_table(index="bird_id", columns="scorer", values="keel").dropna(
        subset=["S01", "S03"]
    )
    alone = compare_two_scorers(sides["S01"], sides["S03"], resamples=100)
    assert pairs.comparisons[1].kappa.value == pytest.approx(alone.kappa.value)
    assert (pairs.comparisons[1].table == alone.table).all(axis=None)


def test_reference_comes_first(ratings):
    pairs = compare_scorer_pairs(ratings, reference="S03", resamples=100)
    assert names(pairs)[:2] == [("S03", "S01", 6), ("S03", "S02", 2)]


def test_what_cannot_be_used_is_counted(ratings):
    ratings.loc[0, "keel"] = np.nan
    ratings.loc[1, "bird_id"] = None
    ratings.loc[2, "scorer"] = None
    pairs = compare_scorer_pairs(ratings, resamples=100)
    assert (pairs.n_ratings, pairs.n_without_grade, pairs.n_unplaced) == (27, 1, 2)
    assert names(pairs)[0] == ("S01", "S03", 6)
    assert pairs.summary().splitlines()[-2:] == [
        "1 of 27 ratings hold no point grade",
        "2 ratings lack their bird, scorer or handling",
    ]


def test_a_bird_of_two_sessions_is_one_bird(ratings):
    twice = pd.concat([ratings.assign(session="a"), ratings.assign(session="b")])
    pairs = compare_scorer_pairs(twice, resamples=100)
    headline = pairs.comparisons[0].kappa
    assert (headline.n, headline.n_rows) == (8, 16)


def test_scorers_may_be_numbers(ratings):
    numbered = ratings.assign(scorer=ratings["scorer"].str[1:].astype(int))
    assert names(compare_scorer_pairs(numbered, resamples=100))[0] == ("1", "2", 8)


def test_words(ratings):
    pairs = compare_scorer_pairs(ratings, resamples=100)
    assert pairs.summary().startswith("S01 and S02: quadratic weighted kappa: ")
    assert pairs.methods().startswith(
        "Each pair of scorers was compared on the birds that both graded"
    )


@pytest.mark.parametrize(
    ("chosen", "found"),
    [
        (["S01"], "1 scorer, no bird in common"),
        (["S01", "S04"], "2 scorers, no bird in common"),
        ([], "0 scorers, no bird in common"),
    ],
)
def test_nobody_in_common(ratings, chosen, found):
    message = (
        f"Comparing scorers needs one bird that two scorers graded. Found: {found}. Give the "
        "ratings of a scoring session, one row a scorer and bird."
    )
    with pytest.raises(DegenerateDataError, match=f"^{re.escape(message)}$"):
        compare_scorer_pairs(ratings.loc[ratings["scorer"].isin(chosen)])


def test_no_grades(ratings):
    with pytest.raises(DegenerateDataError, match="4 scorers, no bird in common"):
        compare_scorer_pairs(ratings.assign(keel=np.nan))


def test_reference_without_a_partner(ratings):
    message = (
        "The reference scorer 'S04' must share a bird with another scorer. Found: scorers S04, "
        "S01, S02, S03. Name another reference scorer, or none."
    )
    with pytest.raises(DegenerateDataError, match=f"^{re.escape(message)}$"):
        compare_scorer_pairs(ratings, reference="S04", resamples=100)


def test_columns_are_needed(ratings):
    with pytest.raises(MissingColumnError, match="Comparing scorers needs the column 'keel'"):
        compare_scorer_pairs(ratings.drop(columns="keel"))


def test_ratings_are_left_alone(ratings):
    before = ratings.copy(deep=True)
    compare_scorer_pairs(ratings.set_axis([0] * 27), resamples=100)
    compare_scorer_pairs(ratings, resamples=100)
    pd.testing.assert_frame_equal(ratings, before)
