"""Robust distances from species and sex: what moves them and what does not."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bodycond.exams.exam_groups import convert_exams, group_exams
from bodycond.exams.robust_slips import (
    FLAG_Z,
    SCALE_FLOOR,
    Deviations,
    measure_deviations,
    take_row_medians,
)


def simulate_exams(
    *, n: int = 40, species: str = "Buteo buteo", sex: str = "F", seed: int = 5
) -> pd.DataFrame:
    rng = np.random.default_rng(seed)
    size = rng.normal(0.0, 0.03, n)
    return pd.DataFrame(
        {
            "species": species,
            "sex": sex,
            "mass_g": 969.0 * np.exp(3 * size + rng.normal(0, 0.06, n)),
            "wing_mm": 395.0 * np.exp(size + rng.normal(0, 0.007, n)),
            "tarsus_mm": 76.0 * np.exp(size + rng.normal(0, 0.01, n)),
            "tail_mm": 220.0 * np.exp(size + rng.normal(0, 0.01, n)),
        }
    )  # fmt: skip


def measure(exams: pd.DataFrame) -> Deviations:
    table = convert_exams(exams).table
    return measure_deviations(table, grouped=group_exams(table))


def test_z_is_the_log_distance_over_the_scaled_mad() -> None:
    exams = simulate_exams(n=41)
    found = measure(exams)
    logs = np.log(exams["mass_g"].to_numpy())
    mad = np.median(np.abs(logs - np.median(logs)))
    expected = (logs - np.median(logs)) / (1.4826 * mad)
    assert 1.4826 * mad > SCALE_FLOOR
    np.testing.assert_allclose(found.z[:, found.measures.index("mass_g")], expected)


def test_spread_has_a_floor() -> None:
    exams = pd.DataFrame({"species": "Buteo buteo", "sex": "F", "wing_mm": [390.0] * 9 + [400.0]})
    found = measure(exams)
    assert found.z[9, 0] == pytest.approx(np.log(400 / 390) / SCALE_FLOOR)


def test_seven_birds_are_too_few() -> None:
    assert np.isnan(measure(simulate_exams(n=7)).z).all()
    assert np.isfinite(measure(simulate_exams(n=8)).z).all()


def test_one_slip_hardly_moves_the_others() -> None:
    exams = simulate_exams()
    before = measure(exams)
    slipped = exams.assign(mass_g=exams["mass_g"].mask(exams.index == 3, exams["mass_g"] * 10))
    after = measure(slipped)
    mass = after.measures.index("mass_g")
    assert after.z[3, mass] > 10
    others = np.delete(np.arange(40), 3)
    assert np.max(np.abs(after.z[others, mass] - before.z[others, mass])) < 0.5


def test_sexes_are_never_merged_and_unknown_sex_takes_the_nearer() -> None:
    females = simulate_exams(species="Accipiter nisus")
    males = simulate_exams(species="Accipiter nisus", sex="M", seed=6).assign(
        mass_g=lambda table: table["mass_g"] * 150 / 260
    )
    strangers = pd.concat([females.head(2), males.head(2)]).assign(sex="U")
    exams = pd.concat([females, males, strangers], ignore_index=True)
    found = measure(exams)
    np.testing.assert_array_equal(
        found.reference[-4:], found.reference[[0, 1, 40, 41]], err_msg="nearer sex"
    )
    np.testing.assert_allclose(found.z[-4:], found.z[[0, 1, 40, 41]])
    together = exams.assign(sex="U")
    assert len(np.unique(measure(together).reference)) == 1


def test_unknown_sex_is_a_level_of_its_own_where_no_sex_is_known() -> None:
    exams = simulate_exams(sex="U").drop(columns="sex")
    np.testing.assert_allclose(measure(exams).z, measure(simulate_exams()).z)


def test_mass_for_size_sees_what_single_measures_do_not() -> None:
    exams = simulate_exams()
    exams.loc[0, ["mass_g", "wing_mm", "tarsus_mm", "tail_mm"]] = [
        969 * 0.8, 395 * 1.06, 76 * 1.06, 220 * 1.06,
    ]  # fmt: skip
    found = measure(exams)
    assert np.abs(found.z[0]).max() < FLAG_Z
    assert found.size_z[0] < -FLAG_Z
    assert np.abs(found.size_z[1:]).max() < FLAG_Z


@settings(max_examples=25)
@given(factor=st.floats(0.01, 100.0))
def test_z_does_not_depend_on_the_unit(factor: float) -> None:
    exams = simulate_exams(n=12)
    scaled = exams.assign(mass_g=exams["mass_g"] * factor)
    np.testing.assert_allclose(measure(scaled).z, measure(exams).z, atol=1e-6)
    np.testing.assert_allclose(measure(scaled).size_z, measure(exams).size_z, atol=1e-6)


@settings(max_examples=25)
@given(seed=st.integers(0, 1000))
def test_z_does_not_depend_on_the_order_of_rows(seed: int) -> None:
    exams = simulate_exams(n=15)
    order = np.random.default_rng(seed).permutation(15)
    np.testing.assert_allclose(measure(exams.iloc[order]).z, measure(exams).z[order])


@given(
    st.lists(
        st.lists(st.one_of(st.just(np.nan), st.floats(-10, 10)), min_size=4, max_size=4),
        min_size=1, max_size=5,
    )
)  # fmt: skip
def test_row_medians_leave_missing_values_out(rows: list[list[float]]) -> None:
    values = np.array(rows)
    expected = [
        np.median(row[~np.isnan(row)]) if (~np.isnan(row)).any() else np.nan for row in values
    ]
    np.testing.assert_allclose(take_row_medians(values), expected)
