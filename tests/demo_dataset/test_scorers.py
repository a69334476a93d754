"""The scoring sessions follow the block design, and the scorers have their traits."""

from __future__ import annotations

import itertools
from collections import Counter

import numpy as np
import pandas as pd
import pytest
from scipy.stats import norm

N_DRAWN = 200_000


def test_eight_sessions_of_thirty_birds_over_24_months(true_ratings):
    days = true_ratings[true_ratings["round"] == 1].groupby("session")["rated_on"].agg(set)
    assert len(days) == 8
    assert (days.map(len) == 1).all()
    first, last = min(map(min, days)), max(map(max, days))
    assert last - first in (pd.Timedelta(days=730), pd.Timedelta(days=731))
    birds = true_ratings.groupby("session")["bird_id"].nunique()
    assert (birds == 30).all()
    assert true_ratings["bird_id"].nunique() == 240


def test_every_block_is_balanced(true_ratings):
    first = true_ratings[true_ratings["round"] == 1]
    scorers = first.groupby("bird_id", sort=False)["scorer"].agg(lambda three: tuple(sorted(three)))
    assert (scorers.map(lambda three: len(set(three))) == 3).all()
    for start in range(0, len(scorers), 10):
        block = scorers.iloc[start : start + 10]
        met = Counter(itertools.chain.from_iterable(block))
        assert sorted(met.values()) == [5] * 6
        shared = Counter(pair for three in block for pair in itertools.combinations(three, 2))
        assert len(shared) == 15
        assert set(shared.values()) == {2}


def test_twenty_birds_are_graded_twice_by_the_same_three(true_ratings):
    second = true_ratings[true_ratings["round"] == 2]
    assert second["bird_id"].nunique() == 20
    assert set(second["scorer"].value_counts()) == {10}
    keys = ["bird_id", "scorer", "session"]
    both = second.merge(true_ratings[true_ratings["round"] == 1], on=keys)
    assert len(both) == len(second)
    assert set(both["rated_on_x"] - both["rated_on_y"]) == {pd.Timedelta(days=2)}
    assert second["latent_condition"].min() > -1.6  # no emaciated bird is handled again


def test_half_grades_are_one_scorers_habit(true_ratings):
    halves = true_ratings[true_ratings["keel"] % 1 != 0]
    assert set(halves["scorer"]) == {"S04"}
    share = len(halves) / (true_ratings["scorer"] == "S04").sum()
    assert 0.3 < share < 0.6


@pytest.mark.parametrize("position", range(6))
def test_shares_of_grades_follow_the_normal_distribution(position, script):
    """Halves apart, a grade's share is the mass of a normal between two cut-points."""
    scorers = script("scorers")
    scorer = scorers.SCORERS[position]
    rng = np.random.default_rng(11)
    day = np.full(N_DRAWN, scorers.FIRST_SESSION + 731)
    grades = scorers.grade_condition(
        rng,
        condition=rng.standard_normal(N_DRAWN),
        scorer=np.full(N_DRAWN, position),
        date=day,
    )
    severity = scorer.severity + (0.48 if scorer.code == "S06" else 0.0)
    spread = np.hypot(1.0, scorer.noise_sd)
    if scorer.halves:
        edges = np.ravel([[cut - 0.25, cut + 0.25] for cut in scorer.cutpoints])
        levels = np.arange(1.0, 5.01, 0.5)
    else:
        edges, levels = np.array(scorer.cutpoints), np.arange(1.0, 5.01)
    expected = np.diff(norm.cdf(np.r_[-np.inf, edges, np.inf], loc=-severity, scale=spread))
    found = np.array([(grades == level).mean() for level in levels])
    assert found.sum() == pytest.approx(1.0)
    error = np.sqrt(expected * (1 - expected) / N_DRAWN)
    assert (np.abs(found - expected) < 4.5 * error).all()


def test_drift_starts_at_the_first_session_and_stops_after_the_last(script):
    scorers = script("scorers")
    days = scorers.FIRST_SESSION + np.array([-900, 0, 365, 731, 2000])
    severity = scorers.find_severity(scorer=np.full(5, 5), date=days)
    assert severity == pytest.approx([0.0, 0.0, 0.02 * 365 / 30.4375, 0.48, 0.48])
