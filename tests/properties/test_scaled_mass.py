"""What must hold of the scaled mass index for any birds."""

import tempfile
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bodycond.condition import ScaledMassFit, fit_mass_by_keel, fit_scaled_mass

pytestmark = pytest.mark.filterwarnings("ignore::bodycond.errors.GateWarning")
ACCEPT = ("few_birds", "r_includes_zero")


@st.composite
def exams(draw, fewest=6, most=25):
    n = draw(st.integers(fewest, most))
    generator = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    log_size = 4 + 0.05 * generator.normal(size=n)
    slope, noise = draw(st.floats(1.5, 4)), draw(st.floats(0.01, 0.2))
    log_mass = 6 + slope * (log_size - 4) + noise * generator.normal(size=n)
    table = pd.DataFrame(
        {
            "species": draw(st.lists(st.sampled_from(["a", "b"]), min_size=n, max_size=n)),
            "sex": "F",
            "bird_id": generator.integers(0, n, n).astype(str),
            "tarsus_mm": np.exp(log_size),
            "mass_g": np.exp(log_mass),
            "keel": generator.integers(1, 6, n).astype(float),
        }
    )
    table.loc[generator.random(n) < 0.1, "mass_g"] = np.nan
    table.loc[generator.random(n) < 0.1, "tarsus_mm"] = np.nan
    return table


def fit(table):
    return fit_scaled_mass(table, size="tarsus_mm", accept=ACCEPT)


def index_of(table):
    """The index where it is defined: groups of fewer than three birds have none."""
    fitted = fit(table)
    rows = fitted.usable_rows(table)
    return (
        fitted.index(table.loc[rows]).reindex(table.index)
        if table.index.is_unique
        else (fitted.index(table.loc[rows]))
    )


@given(exams(), st.floats(1e-3, 1e3), st.floats(0.1, 25.4))
@settings(max_examples=25, deadline=None)
def test_index_has_the_unit_of_mass_and_none_of_size(table, in_mass, in_size):
    rescaled = table.assign(
        mass_g=in_mass * table["mass_g"], tarsus_mm=in_size * table["tarsus_mm"]
    )
    one, two = fit(table).groups, fit(rescaled).groups
    np.testing.assert_allclose(two["slope"], one["slope"], rtol=1e-7)
    np.testing.assert_allclose(two["size0_mm"], in_size * one["size0_mm"], rtol=1e-12)
    np.testing.assert_allclose(index_of(rescaled), in_mass * index_of(table), rtol=1e-7)


@given(exams(), st.randoms(use_true_random=False))
@settings(max_examples=25, deadline=None)
def test_order_of_rows_does_not_matter(table, random):
    table = table.assign(bird_id=[f"b{row}" for row in range(len(table))])
    order = list(range(len(table)))
    random.shuffle(order)
    shuffled = index_of(table.iloc[order])
    np.testing.assert_allclose(shuffled.loc[table.index], index_of(table), rtol=1e-9)


@given(exams(), st.lists(st.sampled_from(["x", "y", "z"]), min_size=25, max_size=25))
@settings(max_examples=25, deadline=None)
def test_labels_of_rows_do_not_matter(table, labels):
    labelled = table.set_axis(labels[: len(table)])
    fitted = fit(table)
    pd.testing.assert_frame_equal(fit(labelled).groups, fitted.groups)
    rows = fitted.usable_rows(table).to_numpy()
    assert fitted.usable_rows(labelled).to_numpy().tolist() == rows.tolist()
    plain, other = fitted.index(table.loc[rows]), fitted.index(labelled.loc[rows])
    assert plain.tolist() == pytest.approx(other.tolist(), nan_ok=True)
    assert other.index.equals(labelled.index[rows])


@given(exams(fewest=1, most=12))
@settings(max_examples=25, deadline=None)
def test_saving_and_loading_changes_nothing(table):
    fitted = fit(table)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "fit.json"
        fitted.save(path)
        again = ScaledMassFit.load(path)
    pd.testing.assert_frame_equal(fitted.groups, again.groups, check_exact=True)
    pd.testing.assert_frame_equal(fitted.excluded, again.excluded, check_exact=True)
    assert (fitted.accept, fitted.by, fitted.only) == (again.accept, again.by, again.only)


@given(exams())
@settings(max_examples=25, deadline=None)
def test_a_bird_of_standard_size_keeps_its_mass(table):
    fitted = fit(table)
    groups = fitted.groups.loc[fitted.groups["usable"]]
    standard = groups[["species", "sex"]].assign(tarsus_mm=groups["size0_mm"], mass_g=321.0)
    assert fitted.index(standard).tolist() == pytest.approx([321.0] * len(standard))


@given(exams(), st.floats(1e-3, 1e3))
@settings(max_examples=20, deadline=None)
def test_percent_per_grade_does_not_depend_on_the_unit_of_mass(table, factor):
    one, two = (
        fit_mass_by_keel(frame) for frame in (table, table.assign(mass_g=factor * table["mass_g"]))
    )
    for name in ("percent_per_grade", "percent_low", "percent_high"):
        np.testing.assert_allclose(
            two.groups[name].astype(float), one.groups[name].astype(float), rtol=1e-6, atol=1e-6
        )
    np.testing.assert_allclose(two.expected["mass_g"], factor * one.expected["mass_g"], rtol=1e-8)


@given(exams(), st.lists(st.sampled_from(["x", "y"]), min_size=25, max_size=25),
       st.sampled_from(["linear", "factor"]))  # fmt: skip
@settings(max_examples=20, deadline=None)
def test_mass_by_keel_does_not_depend_on_row_labels(table, labels, form):
    one = fit_mass_by_keel(table, form=form)
    two = fit_mass_by_keel(table.set_axis(labels[: len(table)]), form=form)
    pd.testing.assert_frame_equal(one.coefficients, two.coefficients)
    pd.testing.assert_frame_equal(one.expected, two.expected)


@given(exams())
@settings(max_examples=25, deadline=None)
def test_every_row_is_used_or_counted(table):
    fitted = fit_mass_by_keel(table)
    assert fitted.groups["n_rows"].sum() + fitted.excluded["n_rows"].sum() == len(table)
    lines = fit(table)
    assert lines.groups["n"].sum() + lines.excluded["n_rows"].sum() == len(table)
