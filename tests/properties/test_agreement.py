"""What must hold of weighted kappa for any grades."""

import numpy as np
import pandas as pd
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bodycond.agreement import compare_two_scorers, weighted_kappa
from bodycond.scales import KEEL_SCALE, ScoreScale

GRADES = st.sampled_from(KEEL_SCALE.values.tolist())
NAMED = ["unweighted", "linear", "quadratic"]


@st.composite
def ratings(draw, fewest=3, most=30):
    rows = draw(st.lists(st.tuples(GRADES, GRADES), min_size=fewest, max_size=most))
    first, second = np.array(rows).T
    assume(np.unique(np.r_[first, second]).size > 1)
    return first, second


@st.composite
def own_weights(draw):
    """Symmetric credits of a caller's own, at most 1 and 1 on the diagonal."""
    cells = draw(st.lists(st.floats(-1, 0.875, width=32), min_size=36, max_size=36))
    credits = np.zeros((9, 9))
    credits[np.triu_indices(9, 1)] = cells
    return credits + credits.T + np.eye(9)


def kappa_of(first, second, weights="quadratic", **options):
    return weighted_kappa(first, second, weights=weights, interval="analytic", **options)


@given(ratings(), st.one_of(st.sampled_from(NAMED), own_weights()))
@settings(max_examples=80, deadline=None)
def test_it_does_not_matter_who_comes_first(rows, weights):
    first, second = rows
    one, two = kappa_of(first, second, weights), kappa_of(second, first, weights)
    assert two.value == pytest.approx(one.value, abs=1e-9, nan_ok=True)
    assert two.se == pytest.approx(one.se, abs=1e-6, nan_ok=True)
    assert two.se_null == pytest.approx(one.se_null, abs=1e-6, nan_ok=True)


@given(ratings(), st.randoms(use_true_random=False), st.sampled_from(NAMED))
@settings(max_examples=60, deadline=None)
def test_the_order_of_rows_does_not_matter(rows, random, weights):
    first, second = rows
    order = list(range(first.size))
    random.shuffle(order)
    one, two = kappa_of(first, second, weights), kappa_of(first[order], second[order], weights)
    assert (one.value, one.low) == pytest.approx((two.value, two.low), abs=1e-12, nan_ok=True)


@given(ratings())
@settings(max_examples=80, deadline=None)
def test_quadratic_kappa_is_lins_concordance_with_population_moments(rows):
    """Fleiss and Cohen (1973): 2 s_ab / (s_a^2 + s_b^2 + (mean a - mean b)^2)."""
    first, second = rows
    covariance = np.cov(first, second, bias=True)
    concordance = (
        2 * covariance[0, 1] / (np.trace(covariance) + (first.mean() - second.mean()) ** 2)
    )
    assert kappa_of(first, second).value == pytest.approx(concordance, abs=1e-10)


@given(ratings())
@settings(max_examples=60, deadline=None)
def test_quadratic_kappa_by_mean_squares(rows):
    """1 - mean (a_i - b_i)^2 / mean over all i, j of (a_i - b_j)^2: no table, no scale."""
    first, second = rows
    chance = np.mean((first[:, np.newaxis] - second) ** 2)
    by_values = 1 - np.mean((first - second) ** 2) / chance
    assert kappa_of(first, second).value == pytest.approx(by_values, abs=1e-10)


@given(ratings(), st.integers(1, 4), st.integers(1, 4), st.sampled_from(NAMED))
@settings(max_examples=40, deadline=None)
def test_a_wider_scale_changes_no_named_kappa(rows, below, above, weights):
    """Distances are between values, and kappa is a ratio of mean distances."""
    wide = ScoreScale("wide", 1 - below, 5 + above, 0.5)
    one, two = kappa_of(*rows, weights), kappa_of(*rows, weights, scale=wide)
    assert two.value == pytest.approx(one.value, abs=1e-9)
    assert two.se == pytest.approx(one.se, abs=1e-6)


@given(ratings(), st.sampled_from(NAMED))
@settings(max_examples=60, deadline=None)
def test_kappa_is_at_most_1_and_1_only_for_agreement(rows, weights):
    first, second = rows
    kappa = kappa_of(first, second, weights)
    assert kappa.value <= 1
    assert (kappa.value > 1 - 1e-9) == bool((first == second).all())
    assert kappa_of(first, first, weights).value == pytest.approx(1, abs=1e-9) or np.isnan(
        kappa_of(first, first, weights).value
    )


@given(ratings(fewest=4, most=12), st.integers(2, 4))
@settings(max_examples=15, deadline=None)
def test_copies_of_each_bird_change_nothing_once_birds_are_named(rows, copies):
    first, second = rows
    birds = np.tile(np.arange(first.size), copies)
    once = weighted_kappa(first, second, resamples=60)
    more = weighted_kappa(np.tile(first, copies), np.tile(second, copies), bird=birds, resamples=60)
    for name in ("value", "low", "high"):
        assert getattr(more, name) == pytest.approx(getattr(once, name), abs=1e-9, nan_ok=True)


@given(ratings(fewest=3, most=12))
@settings(max_examples=15, deadline=None)
def test_labels_of_rows_do_not_matter(rows):
    first, second = rows
    table = pd.DataFrame({"a": first, "b": second}).set_axis([7] * first.size)
    plain = compare_two_scorers(first, second, resamples=60).to_frame()
    labelled = compare_two_scorers(table["a"], table["b"], resamples=60).to_frame()
    pd.testing.assert_frame_equal(plain, labelled)
