"""Counts of pairs, credits for near misses, kappa and its standard errors."""

import re

import numpy as np
import pytest

from bodycond.errors import ArgumentError
from bodycond.statistics.score_counts import (
    agreement_weights,
    count_pairs,
    kappa_of_tables,
    kappa_standard_errors,
)


def count(first, second, clusters=None, n_grades=3):
    clusters = np.arange(len(first)) if clusters is None else np.asarray(clusters)
    return count_pairs(
        np.asarray(first, dtype=np.intp), np.asarray(second, dtype=np.intp),
        n_grades=n_grades, clusters=np.asarray(clusters, dtype=np.intp),
    )  # fmt: skip


def test_table_has_a_row_for_each_grade_of_the_first():
    counts = count([0, 0, 2, 2], [0, 1, 2, 2])
    assert counts.table.tolist() == [[1, 1, 0], [0, 0, 0], [0, 0, 2]]


def test_clusters_are_kept_apart():
    counts = count([0, 0, 1], [1, 1, 1], clusters=[0, 1, 0])
    assert counts.by_cluster.shape == (2, 9)
    assert counts.by_cluster[0].reshape(3, 3).tolist() == [[0, 1, 0], [0, 1, 0], [0, 0, 0]]


def test_nothing_to_count():
    counts = count([], [])
    assert counts.by_cluster.shape == (0, 9)
    assert counts.table.sum() == 0


def test_merging_adds_clusters():
    merged = count([0, 1], [0, 1]).merge(count([2], [1]))
    assert merged.by_cluster.shape == (3, 9)
    assert merged.table.tolist() == count([0, 1, 2], [0, 1, 1]).table.tolist()


def test_merging_needs_one_scale():
    message = (
        "Counts can be merged on one and the same scale. Found: 3 and 4 grades. Count both parts "
        "on one scale."
    )
    with pytest.raises(ArgumentError, match=f"^{re.escape(message)}$"):
        count([0], [0]).merge(count([0], [0], n_grades=4))


def test_weights_by_name():
    grades = [1, 2, 3]
    assert agreement_weights(grades, weights="unweighted").tolist() == np.eye(3).tolist()
    assert agreement_weights(grades, weights="linear").tolist() == [
        [1, 0.5, 0], [0.5, 1, 0.5], [0, 0.5, 1],
    ]  # fmt: skip
    assert agreement_weights(grades, weights="quadratic").tolist() == [
        [1, 0.75, 0], [0.75, 1, 0.75], [0, 0.75, 1],
    ]  # fmt: skip


def test_weights_follow_the_values_and_not_the_order():
    assert agreement_weights([1, 1.5, 3], weights="linear")[0].tolist() == [1, 0.75, 0]


def test_own_weights():
    own = [[1, 0.2], [-0.5, 1]]
    assert agreement_weights([0, 1], weights=own).tolist() == own


@pytest.mark.parametrize(
    ("own", "found"),
    [
        (np.eye(2), "a table of shape (2, 2)"),
        ([1, 2, 3], "a table of shape (3,)"),
        (np.full((3, 3), 2.0), "9 credits above 1; 3 credits on the diagonal other than 1"),
        (np.diag([1, 1, 0.5]), "1 credits on the diagonal other than 1"),
        (np.eye(3) + np.diag([np.nan, 0], 1), "1 credits not finite"),
    ],
)
def test_impossible_weights(own, found):
    message = (
        "weights= takes a 3 x 3 table of finite credits, at most 1, and 1 on the diagonal. Found: "
        f"{found}. Give one row and one column for each grade of the scale."
    )
    with pytest.raises(ArgumentError, match=f"^{re.escape(message)}$"):
        agreement_weights([1, 2, 3], weights=own)


def test_unknown_weights():
    message = (
        "weights= takes 'unweighted' or 'linear' or 'quadratic'. Found: weights='cubic'. Choose "
        "one of them."
    )
    with pytest.raises(ArgumentError, match=f"^{re.escape(message)}$"):
        agreement_weights([1, 2, 3], weights="cubic")


def test_kappa_by_hand():
    """Agreement 0.7, chance 0.5 * 0.6 + 0.5 * 0.4 = 0.5, so kappa is 0.4."""
    table = np.array([[20.0, 5], [10, 15]])
    kappa, observed, expected = kappa_of_tables(table, np.eye(2))
    assert (observed, expected) == (pytest.approx(0.7), pytest.approx(0.5))
    assert kappa == pytest.approx(0.4)


def test_kappa_of_many_tables_at_once():
    tables = np.array([[[20.0, 5], [10, 15]], [[0, 0], [0, 0]], [[7, 0], [0, 0]]])
    kappa = kappa_of_tables(tables, np.eye(2))[0]
    assert kappa[0] == pytest.approx(0.4)
    assert np.isnan(kappa[1:]).all()


@pytest.mark.parametrize("n", range(2, 30))
def test_complete_agreement_is_1_with_a_standard_error_of_0(n):
    """Sums of n-ths leave 1 by rounding; that must not pass for an error of 1e-8."""
    table = np.diag(np.bincount(np.arange(n) % 3, minlength=3)).astype(float)
    for weights in ("unweighted", "linear", "quadratic"):
        credits = agreement_weights([1, 2, 3], weights=weights)
        kappa = float(kappa_of_tables(table, credits)[0])
        assert kappa == pytest.approx(1, abs=1e-12)
        assert kappa <= 1
        assert kappa_standard_errors(table, credits)[0] == 0


def test_standard_errors_where_kappa_is_undefined():
    assert np.isnan(kappa_standard_errors(np.array([[5.0, 0], [0, 0]]), np.eye(2))).all()


def test_standard_error_is_that_of_the_delta_method():
    """The written-out variance against numerical derivatives of kappa by the cell shares."""
    generator = np.random.default_rng(3)
    table = generator.integers(1, 20, (4, 4)).astype(float)
    credits = agreement_weights([1, 2, 3, 4], weights="linear")
    total, step = table.sum(), 1e-6
    slopes = np.zeros(16)
    for cell in range(16):
        moved = np.zeros(16)
        moved[cell] = step * total
        up = kappa_of_tables(table + moved.reshape(4, 4), credits)[0]
        down = kappa_of_tables(table - moved.reshape(4, 4), credits)[0]
        slopes[cell] = (up - down) / (2 * step)
    shares = (table / total).ravel()
    variance = (shares @ slopes**2 - (shares @ slopes) ** 2) / total
    assert kappa_standard_errors(table, credits)[0] == pytest.approx(np.sqrt(variance), rel=1e-6)
