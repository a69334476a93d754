"""Each gate at its limit, with its numbers."""

import re

import pytest

from bodycond.condition.gates import GATES_THAT_STOP, find_gates, require_gate_names, word_gate
from bodycond.errors import ArgumentError

GOOD = {
    "n": 20, "r": 0.8, "r_low": 0.55, "r_high": 0.92, "slope": 3.0, "slope_low": 2.2,
    "slope_high": 4.2, "age_classes": "", "n_growing": 0,
}  # fmt: skip


def gates(*, sex="F", **changed):
    return find_gates(GOOD | changed, sex=sex)


def test_a_good_group_meets_none():
    assert gates() == []


@pytest.mark.parametrize(
    ("changed", "met", "words"),
    [
        (
            {"n": 4, "r_low": float("nan")}, ["few_birds"],
            "few_birds: 4 birds, at least 5 are needed",
        ),
        ({"n": 19}, ["small_n"], "small_n: 19 birds, fewer than 20"),
        (
            {"r": 0.31, "r_low": -0.001}, ["r_includes_zero"],
            "r_includes_zero: r = 0.31, interval -0.00 to 0.92",
        ),
        ({"r": 0.299, "r_low": 0.1}, ["weak_r"], "weak_r: r = 0.30, below 0.3"),
        ({"r": -0.299, "r_low": -0.5, "r_high": -0.1}, ["weak_r"], "weak_r: r = -0.30, below 0.3"),
        (
            {"slope_high": 4.21}, ["wide_slope"],
            "wide_slope: exponent 2.20 to 4.21, wider than 2",
        ),
        ({"slope": 1.49}, ["odd_slope"], "odd_slope: exponent 1.49, outside 1.5 to 5"),
        ({"slope": 5.01}, ["odd_slope"], "odd_slope: exponent 5.01, outside 1.5 to 5"),
        ({"slope": -3.0}, ["odd_slope"], "odd_slope: exponent -3.00, outside 1.5 to 5"),
        (
            {"age_classes": "adult 12, juvenile 8"}, ["mixed_ages"],
            "mixed_ages: adult 12, juvenile 8",
        ),
        (
            {"n_growing": 3}, ["growing_feathers"],
            "growing_feathers: 3 of 20 birds were measured in moult",
        ),
        ({"sex": "U"}, ["sex_unknown"], "sex_unknown: unsexed birds may be of both sexes"),
    ],
)  # fmt: skip
def test_one_gate_at_a_time(changed, met, words):
    assert gates(**changed) == met
    assert word_gate(met[0], GOOD | changed) == words


@pytest.mark.parametrize(
    "changed",
    [{"n": 20}, {"r": 0.3, "r_low": 0.01}, {"slope_low": 2.0, "slope_high": 4.0}, {"slope": 1.5},
     {"slope": 5.0}, {"r": -0.8, "r_low": -0.92, "r_high": -0.55}],
)  # fmt: skip
def test_the_limits_themselves_pass(changed):
    assert gates(**changed) == []


def test_few_birds_hide_the_gates_that_warn_but_not_the_other_that_stops():
    assert gates(n=4, r=0.1, r_low=-0.9) == ["few_birds", "r_includes_zero"]
    assert gates(n=4, slope=9.0) == ["few_birds"]


def test_without_a_slope_there_is_nothing_to_judge():
    nan = float("nan")
    group = {"n": 12, "slope": nan, "r": nan, "r_low": nan, "r_high": nan}
    assert find_gates(GOOD | group, sex="F") == []


def test_two_gates_stop():
    assert GATES_THAT_STOP == ("few_birds", "r_includes_zero")


def test_unknown_gate():
    require_gate_names(("weak_r", "mixed_ages"))
    message = (
        "accept= names gates: few_birds, r_includes_zero, small_n, weak_r, wide_slope, odd_slope, "
        "mixed_ages, growing_feathers, sex_unknown. Found: 'weakr', 'x'. Name one of them."
    )
    with pytest.raises(ArgumentError, match=f"^{re.escape(message)}$"):
        require_gate_names(("weakr", "weak_r", "x"))
