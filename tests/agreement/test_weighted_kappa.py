"""Kappa with its intervals, and the reason wherever something is undefined."""

import re

import numpy as np
import pandas as pd
import pytest

from bodycond.agreement import weighted_kappa
from bodycond.agreement.kappa_intervals import find_analytic_interval, find_bootstrap_interval
from bodycond.errors import ArgumentError, ScaleError
from bodycond.scales import KEEL_SCALE, ScoreScale
from bodycond.statistics.score_counts import PairCounts, agreement_weights, count_pairs

WHOLE = ScoreScale("1 to 5", 1, 5, 1)
FIRST = [1, 1, 2, 2, 2, 3, 3, 3, 3, 3, 4, 4, 4, 4, 5, 2, 3, 3, 4, 5]
SECOND = [1, 2, 2, 2, 3, 3, 3, 3, 4, 3, 4, 4, 3, 4, 4, 2, 2, 3, 4, 5]
ALL_INTERVALS = ["bootstrap", "bca", "analytic"]


def has_no_interval(kappa):
    return bool(np.isnan([kappa.low, kappa.high]).all())


def test_defaults():
    kappa = weighted_kappa(FIRST, SECOND)
    assert kappa.name == "quadratic weighted kappa"
    assert kappa.value == pytest.approx(0.86333, abs=5e-6)
    assert (kappa.n, kappa.n_rows, kappa.n_missing, kappa.level) == (20, 20, 0, 0.95)
    assert (kappa.n_grades, kappa.scale_name, kappa.weights) == (9, "keel 1 to 5", "quadratic")
    assert kappa.interval_method == "percentile bootstrap by bird, 2000 resamples, seed 20240501"
    assert (kappa.reason, kappa.notes) == ("", ())


def test_bootstrap_interval_is_wider_than_the_large_sample_one_with_few_birds():
    """The worked example: analytic 0.753 to 0.974, bootstrap 0.688 to 0.950 (other seed)."""
    bootstrap = weighted_kappa(FIRST, SECOND, scale=WHOLE)
    # A percentile of 2000 draws has a Monte Carlo error of about 0.005 here.
    assert bootstrap.low == pytest.approx(0.688, abs=0.02)
    assert bootstrap.high == pytest.approx(0.950, abs=0.01)
    analytic = weighted_kappa(FIRST, SECOND, scale=WHOLE, interval="analytic")
    assert (analytic.low, analytic.high) == (
        pytest.approx(0.753, abs=5e-4), pytest.approx(0.974, abs=5e-4),
    )  # fmt: skip
    assert analytic.notes == ("20 birds: below 50 the large-sample interval is too narrow",)
    assert bootstrap.high - bootstrap.low > analytic.high - analytic.low


def test_unused_grades_count():
    """Naive mistake 2: weights from the grades found give 0.762, from the scale 0.678."""
    first = [1, 1, 2, 2, 5, 5, 5, 2, 1, 5]
    second = [1, 2, 2, 2, 5, 5, 2, 5, 1, 5]
    assert weighted_kappa(first, second, scale=WHOLE).value == pytest.approx(0.678, abs=5e-4)
    by_order = np.searchsorted([1, 2, 5], [first, second]) + 1.0
    mistaken = weighted_kappa(*by_order, scale=ScoreScale("codes", 1, 3, 1))
    assert mistaken.value == pytest.approx(0.762, abs=5e-4)


def test_half_grades_count_by_value():
    """Naive mistake 3: halves as equally spaced categories give 0.9475, by value 0.9556."""
    first = np.array([1, 2, 2.5, 3, 3, 4, 2, 3.5, 4, 5])
    second = np.array([1, 2.5, 2.5, 3, 2.5, 4, 2, 3, 4, 4.5])
    assert weighted_kappa(first, second).value == pytest.approx(0.9556, abs=5e-5)
    found = np.unique(np.r_[first, second])
    codes = np.searchsorted(found, [first, second]) + 1.0
    mistaken = weighted_kappa(*codes, scale=ScoreScale("codes", 1, found.size, 1))
    assert mistaken.value == pytest.approx(0.9475, abs=5e-5)


def test_prevalence_paradox():
    """Naive mistake 5: 46 of 50 birds agree at 3, four are one step apart: kappa is 0.00."""
    first = [3.0] * 46 + [3, 3, 2, 4]
    second = [3.0] * 46 + [2, 4, 3, 3]
    one = weighted_kappa(first, second, weights="unweighted", scale=WHOLE)
    assert one.observed == pytest.approx(0.92)
    assert one.value == pytest.approx(-0.03, abs=0.005)
    assert weighted_kappa(first, second, weights="quadratic").value == pytest.approx(0, abs=0.005)
    assert weighted_kappa(first, second, weights="linear").value == pytest.approx(-0.02, abs=0.005)


def test_scale_from_the_grades_found_is_said():
    kappa = weighted_kappa([1, 2, 2.5], [1, 2, 2], scale=None, resamples=100)
    assert kappa.n_grades == 4
    assert kappa.notes[0] == "scale taken from the grades found: 1 to 2.5 in steps of 0.5"
    assert kappa.scale_name == "grades found"


def test_missing_grades_are_counted():
    kappa = weighted_kappa([1, np.nan, 3, 4, 5], [1, 2, None, 4, 4], interval="analytic")
    assert (kappa.n, kappa.n_missing) == (3, 2)
    assert "2 rows left out: a value was missing" in kappa.summary()


@pytest.mark.parametrize("interval", ALL_INTERVALS)
@pytest.mark.parametrize("scale", [KEEL_SCALE, None])
def test_nothing_to_compare(interval, scale):
    for rows, missing in (([], 0), ([np.nan] * 4, 4)):
        kappa = weighted_kappa(rows, rows, interval=interval, scale=scale)
        assert kappa.reason == f"no row holds both grades ({missing} rows left out)"
        assert np.isnan([kappa.value, kappa.se, kappa.se_null, kappa.low, kappa.high]).all()
        assert kappa.n == 0


@pytest.mark.parametrize("interval", ALL_INTERVALS)
@pytest.mark.parametrize("scale", [KEEL_SCALE, None])
@pytest.mark.parametrize("n", [1, 2, 12])
def test_one_grade_for_all(interval, scale, n):
    kappa = weighted_kappa([3] * n, [3] * n, interval=interval, scale=scale)
    assert np.isnan(kappa.value)
    assert has_no_interval(kappa)
    assert kappa.reason == (
        "both scorers gave 3 to every bird, so chance agreement is complete and kappa is "
        "undefined; score birds of other conditions too"
    )


@pytest.mark.parametrize("interval", ["bootstrap", "bca"])
@pytest.mark.parametrize("n", [1, 2])
def test_too_few_birds_for_a_bootstrap(interval, n):
    kappa = weighted_kappa([1, 5][:n], [2, 5][:n], interval=interval)
    assert np.isfinite(kappa.value)
    assert has_no_interval(kappa)
    assert kappa.reason == f"a bootstrap by bird needs 3 birds, found {n}"


@pytest.mark.parametrize("n", range(4, 16))
@pytest.mark.parametrize("weights", ["unweighted", "linear", "quadratic"])
def test_complete_agreement_has_no_interval(n, weights):
    grades = np.resize([1, 2, 3, 4.5], n)
    kappa = weighted_kappa(grades, grades, weights=weights, resamples=200)
    assert kappa.value == pytest.approx(1, abs=1e-12)
    assert kappa.value <= 1
    assert has_no_interval(kappa)
    assert kappa.reason == (
        "every resample gave the same kappa, so the bootstrap gives no interval; "
        f"{n} birds without one disagreement do not show that there is none"
    )
    analytic = weighted_kappa(grades, grades, weights=weights, interval="analytic")
    assert has_no_interval(analytic)
    assert analytic.reason == (
        f"the large-sample standard error is 0 with {n} birds, so it gives no interval"
    )


def test_a_scorer_of_one_grade_has_kappa_0_and_no_interval():
    kappa = weighted_kappa([3.0] * 7, [1, 2, 3, 4, 3, 2.5, 3])
    assert kappa.value == pytest.approx(0, abs=1e-12)
    assert has_no_interval(kappa)
    assert kappa.reason == (
        "every resample gave the same kappa, so the bootstrap gives no interval; a scorer who "
        "gives one grade to all 7 birds agrees by chance"
    )


@pytest.mark.parametrize("weights", ["unweighted", "linear", "quadratic"])
@pytest.mark.parametrize("n", range(4, 12))
def test_a_scorer_of_one_grade_has_no_large_sample_interval(weights, n):
    """The standard error comes out as 0 or as 1e-16; either way it is no precision."""
    kappa = weighted_kappa(
        [3.5] * n, np.resize([1, 2.5, 3, 4], n), weights=weights, interval="analytic"
    )
    assert kappa.value == pytest.approx(0, abs=1e-12)
    assert has_no_interval(kappa)
    assert kappa.reason == (
        f"the large-sample standard error is 0 with {n} birds, so it gives no interval"
    )


def test_weights_that_leave_no_room_beyond_chance():
    for interval in ALL_INTERVALS:
        kappa = weighted_kappa([1, 2, 3], [2, 2, 3], weights=np.ones((9, 9)), interval=interval)
        assert np.isnan(kappa.value)
        assert kappa.reason == (
            "chance agreement is complete under these weights, so kappa is undefined"
        )


def test_equal_draws_of_another_value_are_only_said_to_be_equal():
    """Each bird holds the same four pairs: kappa is 0.5 whichever birds are drawn."""
    clusters = np.repeat(np.arange(5), 4)
    first, second = np.tile([0, 0, 1, 1], 5), np.tile([0, 0, 1, 0], 5)
    counts = count_pairs(first, second, n_grades=2, clusters=clusters)
    found = find_bootstrap_interval(
        counts, np.eye(2), value=0.5, accelerated=False, resamples=100, seed=1, level=0.95
    )
    assert found.reason == "every resample gave the same kappa, so the bootstrap gives no interval"
    assert np.isnan(found.low)


def test_resamples_without_variation_are_counted():
    first, second = [3.0] * 9 + [1], [3.0] * 9 + [2]
    kappa = weighted_kappa(first, second, resamples=1000)
    # A resample lacks the one other bird with probability 0.9^10 = 0.349: 349, sd 15.
    assert abs(kappa.n_undefined_draws - 349) < 4 * 15
    assert kappa.notes == (
        f"{kappa.n_undefined_draws} of 1000 resamples held no variation; left out",
    )


def test_too_few_resamples_with_a_kappa():
    found = find_bootstrap_interval(
        PairCounts(by_cluster=np.zeros((4, 9)), n_grades=3), np.eye(3), value=1.0,
        accelerated=False, resamples=50, seed=1, level=0.95,
    )  # fmt: skip
    assert found.reason == "too few resamples gave a kappa for an interval"
    assert found.n_undefined == 50


def test_bca_needs_draws_on_both_sides():
    counts = count_pairs(
        np.array([0, 1, 2, 1]), np.array([0, 1, 2, 2]), n_grades=3, clusters=np.arange(4)
    )
    credits = agreement_weights([1, 2, 3], weights="linear")
    found = find_bootstrap_interval(
        counts, credits, value=1.5, accelerated=True, resamples=100, seed=1, level=0.95
    )
    assert found.reason == (
        'the resamples lie too one-sidedly about kappa for a bias-corrected interval; use '
        'interval="bootstrap"'
    )  # fmt: skip


def test_upper_limit_is_cut_at_1():
    found = find_analytic_interval(0.95, se=0.1, n_birds=60, birds_repeat=False, level=0.95)
    assert found.high == 1
    assert found.low == pytest.approx(0.95 - 0.196, abs=1e-4)
    assert found.notes == ("the upper limit was cut at 1, the largest kappa there is",)


def test_bird_labels_widen_the_interval():
    """Naive mistake 6: five copies of each bird's row are not five birds."""
    birds = np.repeat(np.arange(20), 5)
    first, second = np.repeat(FIRST, 5), np.repeat(SECOND, 5)
    by_bird = weighted_kappa(first, second, bird=birds)
    once = weighted_kappa(FIRST, SECOND)
    assert by_bird.value == pytest.approx(once.value)
    assert (by_bird.low, by_bird.high) == pytest.approx((once.low, once.high))
    assert (by_bird.n, by_bird.n_rows) == (20, 100)
    assert "20 birds, 100 rows" in by_bird.summary()
    by_row = weighted_kappa(first, second)
    assert by_row.high - by_row.low < 0.6 * (by_bird.high - by_bird.low)
    assert np.isnan(by_bird.se_null)
    assert by_bird.se == pytest.approx(np.std([by_bird.low, by_bird.high]) / 1.96, rel=0.25)


def test_large_sample_interval_refuses_repeated_birds():
    kappa = weighted_kappa(FIRST, SECOND, bird=[0, 0, *range(1, 19)], interval="analytic")
    assert has_no_interval(kappa)
    assert np.isnan(kappa.se)
    assert kappa.reason == (
        "birds repeat, and the large-sample interval takes rows for independent birds; use "
        'interval="bootstrap"'
    )


def test_unlabelled_rows_are_birds_of_their_own():
    plain = weighted_kappa(FIRST, SECOND)
    labelled = weighted_kappa(FIRST, SECOND, bird=[None] * 20)
    assert (labelled.n, labelled.low, labelled.high) == (20, plain.low, plain.high)


def test_seed_and_resamples():
    one = weighted_kappa(FIRST, SECOND, seed=1, resamples=300)
    assert one.low == weighted_kappa(FIRST, SECOND, seed=1, resamples=300).low
    assert one.low != weighted_kappa(FIRST, SECOND, seed=2, resamples=300).low
    assert one.interval_method == "percentile bootstrap by bird, 300 resamples, seed 1"


def test_bca_and_level():
    bca = weighted_kappa(FIRST, SECOND, interval="bca")
    assert bca.interval_method.startswith("bias-corrected and accelerated bootstrap by bird")
    assert "Efron" in bca.methods()
    assert bca.low < bca.value < bca.high
    narrow = weighted_kappa(FIRST, SECOND, level=0.5)
    wide = weighted_kappa(FIRST, SECOND, level=0.99)
    assert wide.low < narrow.low < narrow.high < wide.high


@pytest.mark.parametrize(
    ("options", "error", "message"),
    [
        (
            {"interval": "exact"}, ArgumentError,
            "interval= takes 'bootstrap' or 'bca' or 'analytic'. Found: interval='exact'. Choose "
            "one of them.",
        ),
        (
            {"weights": "cubic"}, ArgumentError,
            "weights= takes 'unweighted' or 'linear' or 'quadratic'. Found: weights='cubic'. "
            "Choose one of them.",
        ),
        (
            {"level": 95}, ArgumentError,
            "level= is a confidence level strictly between 0 and 1. Found: level=95. Use 0.95 for "
            "a 95 % interval.",
        ),
        (
            {"scale": ScoreScale("1 to 4", 1, 4, 1)}, ScaleError,
            "Scores must be grades of '1 to 4': 1 to 4 in steps of 1. Found: 2 others: 5. Correct "
            "them, or name the scale that they belong to with scale=.",
        ),
    ],
)  # fmt: skip
def test_impossible_options(options, error, message):
    with pytest.raises(error, match=f"^{re.escape(message)}$"):
        weighted_kappa(FIRST, SECOND, **options)


@pytest.mark.parametrize("options", [{"resamples": 0}, {"resamples": -5}, {"seed": -1}])
def test_impossible_bootstraps(options):
    with pytest.raises(ArgumentError, match=f"Found: {next(iter(options))}="):
        weighted_kappa(FIRST, SECOND, **options)


def test_arguments_are_left_alone():
    table = pd.DataFrame({"a": FIRST, "b": SECOND, "bird": range(20)}, index=[0] * 20)
    before = table.copy(deep=True)
    weighted_kappa(table["a"], table["b"], bird=table["bird"], resamples=100)
    pd.testing.assert_frame_equal(table, before)
