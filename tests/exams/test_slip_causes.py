"""Candidate slips: found where they fit and another measure agrees, and never otherwise."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodycond.exams.slip_causes import (
    BACK_WITHIN_Z,
    LENGTH_FACTORS,
    MASS_FACTORS,
    Suspicion,
    find_candidates,
    word_cure,
)


def doubt_mass(
    value: float, *, usual: float = 1000.0, scale: float = 0.1, expected: float = 0.0
) -> Suspicion:
    deviation = math.log(value / usual)
    return Suspicion(
        column="mass_g", value=value, z=deviation / scale, scale=scale, low=500.0, high=1800.0,
        expected=expected, deviation=deviation, others=("wing_mm 380", "tail_mm 220"),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("recorded", "slip", "restored"),
    [
        (101.0, "tenfold too small", 1010.0),
        (9800.0, "tenfold too large", 980.0),
        (10.1, "a hundredfold too small", 1010.0),
        (1.02, "kilograms written for grams", 1020.0),
        (2.2, "pounds written for grams", 997.9),
        (35.0, "ounces written for grams", 992.2),
    ],
)
def test_each_slip_is_named_first(recorded: float, slip: str, restored: float) -> None:
    first = find_candidates(doubt_mass(recorded))[0]
    assert first.slip == slip
    assert first.value == pytest.approx(restored, abs=0.1)
    assert abs(first.z) < BACK_WITHIN_Z
    assert not first.weak


def test_pounds_for_kilograms_and_swapped_digits_are_weak_evidence() -> None:
    pounds = find_candidates(doubt_mass(2200.0))
    assert [(one.slip, one.weak) for one in pounds] == [("pounds taken for kilograms", True)]
    swapped = find_candidates(doubt_mass(190.0, usual=910.0))
    assert ("two digits swapped", 910.0) in [(one.slip, one.value) for one in swapped]
    assert "weak evidence" in word_cure(doubt_mass(2200.0), candidates=pounds)
    alone = replace(doubt_mass(2200.0), expected=math.nan, others=())
    assert find_candidates(alone) == []


def test_another_measure_that_disagrees_rules_a_factor_out() -> None:
    # mass 1290 of a bird whose other lengths fit: dividing by ten would suit nobody
    hawk = doubt_mass(129.0, usual=1290.0)
    assert find_candidates(hawk)[0].value == pytest.approx(1290.0)
    tiny_bird = replace(hawk, expected=math.log(129.0 / 1290.0))
    assert find_candidates(tiny_bird) == []
    assert word_cure(tiny_bird, candidates=[]) == (
        "no single slip explains mass 129 g, and the other measures fit the bird: look at the "
        "sheet, or leave this one out"
    )


def test_limits_decide_where_there_are_too_few_birds_for_z() -> None:
    unknown = replace(doubt_mass(95.0), z=math.nan, scale=math.nan)
    assert [one.value for one in find_candidates(unknown)] == [pytest.approx(950.0)]
    cure = word_cure(unknown, candidates=find_candidates(unknown))
    assert cure == "mass 95 g may be 950 g (tenfold too small: within the species' limits)"
    no_limits = replace(unknown, low=math.nan, high=math.nan)
    assert find_candidates(no_limits) == []


def test_impossible_values_have_no_candidates() -> None:
    assert find_candidates(replace(doubt_mass(95.0), value=0.0)) == []
    assert find_candidates(replace(doubt_mass(95.0), value=-95.0)) == []


@given(
    factor=st.sampled_from([f for _, f, weak in (*MASS_FACTORS, *LENGTH_FACTORS) if not weak]),
    deviation=st.floats(-0.2, 0.2),
)
def test_candidates_always_bring_the_value_back(factor: float, deviation: float) -> None:
    doubt = doubt_mass(1000.0 * math.exp(deviation) / factor)
    for candidate in find_candidates(doubt):
        assert abs(candidate.z) < BACK_WITHIN_Z
        assert candidate.z == pytest.approx(math.log(candidate.value / 1000.0) / 0.1, abs=1e-9)
