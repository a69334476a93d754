"""Kappa with the companions without which it misleads."""

import numpy as np
import pytest

from bodycond.agreement import compare_two_scorers
from bodycond.errors import ArgumentError
from bodycond.scales import ScoreScale

SIGNED = "mean signed difference in grades, second minus first"
FIRST = [1, 2, 3, 4, 5, 3, 2, 4]
SECOND = [1, 2.5, 3, 3, 5, 4, 2, 2]


def frame(compared):
    return compared.to_frame().set_index("statistic")


def test_estimates_in_order():
    compared = compare_two_scorers(FIRST, SECOND, names=("S01", "S02"))
    table = frame(compared)
    assert table.index.tolist() == [
        "quadratic weighted kappa", "linear weighted kappa", "unweighted kappa", "exact agreement",
        "agreement within half a grade", "agreement within one grade", SIGNED,
    ]  # fmt: skip
    assert table.loc["exact agreement", "value"] == 4 / 8
    assert table.loc["agreement within half a grade", "value"] == 5 / 8
    assert table.loc["agreement within one grade", "value"] == 7 / 8
    assert table.loc[SIGNED, "value"] == pytest.approx(-1.5 / 8)
    assert compared.kappa is compared.estimates[0]
    assert (compared.first_name, compared.second_name) == ("S01", "S02")
    assert (table["n_birds"] == 8).all()


def test_table_covers_the_whole_scale():
    table = compare_two_scorers(FIRST, SECOND).table
    assert table.shape == (9, 9)
    assert (table.index.name, table.columns.name) == ("first", "second")
    assert table.loc[4.0, 2.0] == 1
    assert table.to_numpy().sum() == 8


def test_the_difference_is_second_minus_first():
    harsh = compare_two_scorers([3, 3, 4, 4, 5], [2, 3, 3, 4, 4])
    assert frame(harsh).loc[SIGNED, "value"] == pytest.approx(-0.6)
    turned = compare_two_scorers([2, 3, 3, 4, 4], [3, 3, 4, 4, 5])
    assert frame(turned).loc[SIGNED, "value"] == pytest.approx(0.6)


def test_bias_and_noise_may_have_one_kappa():
    """Naive mistake 5: kappa cannot tell a harsh scorer from a noisy one; the difference can."""
    generator = np.random.default_rng(12)
    truth = np.clip(np.round(3 + 1.2 * generator.normal(size=4000)), 1, 5)
    harsh = np.clip(truth - (generator.random(4000) < 0.75), 1, 5)
    noisy = np.clip(truth + generator.choice([-1, 0, 1], size=4000, p=[0.4, 0.2, 0.4]), 1, 5)
    one = compare_two_scorers(truth, harsh, interval="analytic", resamples=100)
    two = compare_two_scorers(truth, noisy, interval="analytic", resamples=100)
    assert one.kappa.value == pytest.approx(two.kappa.value, abs=0.05)
    assert frame(one).loc[SIGNED, "high"] < -0.5
    assert abs(frame(two).loc[SIGNED, "value"]) < 0.1


def test_interval_of_the_difference_against_the_large_sample_one():
    generator = np.random.default_rng(7)
    first = generator.integers(2, 5, 300).astype(float)
    second = first + generator.choice([-0.5, 0, 0.5, 1], 300)
    row = frame(compare_two_scorers(first, second, interval="analytic")).loc[SIGNED]
    difference = second - first
    half = 1.96 * difference.std(ddof=1) / np.sqrt(300)
    assert row["se"] == pytest.approx(difference.std() / np.sqrt(300), rel=0.06)
    assert row["low"] == pytest.approx(difference.mean() - half, abs=0.1 * half)
    assert row["high"] == pytest.approx(difference.mean() + half, abs=0.1 * half)


def test_a_birds_rows_are_drawn_together():
    birds = np.repeat(np.arange(8), 6)
    by_bird = frame(compare_two_scorers(np.repeat(FIRST, 6), np.repeat(SECOND, 6), bird=birds))
    once = frame(compare_two_scorers(FIRST, SECOND))
    columns = ["value", "low", "high"]
    for name in by_bird.index:
        assert by_bird.loc[name, columns].tolist() == pytest.approx(
            once.loc[name, columns].tolist()
        ), name
    assert (by_bird["n_rows"] == 48).all()


def test_all_agree():
    table = frame(compare_two_scorers(FIRST, FIRST))
    assert table.loc["exact agreement", "value"] == 1
    assert table["low"].isna().all()
    assert table.loc[SIGNED, "reason"] == (
        "every resample gave the same value, so the bootstrap gives no interval"
    )


@pytest.mark.parametrize("n", [1, 2])
def test_too_few_birds(n):
    table = frame(compare_two_scorers([1, 5][:n], [2, 5][:n]))
    assert table.loc["exact agreement", "value"] == (n - 1) / n
    assert (table["reason"] == f"a bootstrap by bird needs 3 birds, found {n}").all()
    assert table[["low", "high"]].isna().all(axis=None)


def test_nothing_to_compare():
    compared = compare_two_scorers([np.nan, 1], [2, np.nan])
    table = frame(compared)
    assert table["value"].isna().all()
    assert (table["reason"] == "no row holds both grades (2 rows left out)").all()
    assert compared.table.to_numpy().sum() == 0
    assert "not defined" in compared.summary()


def test_words():
    compared = compare_two_scorers(
        FIRST, SECOND, names=("S01", "S02"), interval="bca", resamples=400, seed=2
    )
    assert compared.summary().splitlines()[0] == "S01 and S02 on keel 1 to 5"
    text = compared.methods()
    assert "(9 fixed grades)" in text
    assert "intervals for kappa: bias-corrected and accelerated bootstrap by bird, 400" in text
    assert "for the others: percentile bootstrap by bird, 400 resamples, seed 2" in text
    assert "Efron" in text


def test_scale_none_is_the_scale_of_the_table():
    compared = compare_two_scorers([1, 2, 2], [1, 2, 3], scale=None, resamples=100)
    assert compared.table.shape == (3, 3)
    assert "scale taken from the grades found" in compared.summary()


def test_another_scale():
    fat = ScoreScale("fat 0 to 4", 0, 4, 1)
    compared = compare_two_scorers([0, 1, 4], [0, 2, 4], scale=fat, resamples=100)
    assert compared.table.index.tolist() == [0, 1, 2, 3, 4]


def test_impossible_options():
    with pytest.raises(ArgumentError, match="interval= takes"):
        compare_two_scorers(FIRST, SECOND, interval="jackknife")
    with pytest.raises(ArgumentError, match="Found: resamples=1"):
        compare_two_scorers(FIRST, SECOND, resamples=1)
