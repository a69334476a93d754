"""The sensitivity table: each choice of exams is the fit of exactly those exams."""

import numpy as np
import pandas as pd
import pytest

from bodycond.condition import fit_mass_by_keel, fit_scaled_mass
from bodycond.scales import KEEL_SCALE
from bodycond.study.sensitivity import CHOICES, vary_choices


@pytest.fixture(scope="module")
def exams():
    random = np.random.default_rng(3)
    n = 60
    keel = random.integers(1, 6, n).astype(float)
    wing = 390 * np.exp(random.normal(0, 0.04, n))
    return pd.DataFrame(
        {
            "bird_id": [f"B{bird}" for bird in range(n)],
            "species": "Buteo buteo",
            "sex": "F",
            "keel": keel,
            "wing_mm": wing,
            "mass_g": 900
            * (wing / 390) ** 3
            * np.exp(0.08 * (keel - 3) + random.normal(0, 0.03, n)),
            "age_class": "adult",
            "gravid": pd.array([False] * n, dtype="boolean"),
            "crop_fill": ["0", "4"] * (n // 2),
        }
    ).assign(mass_g=lambda table: table["mass_g"].where(table.index != 7, 10 * table["mass_g"]))


@pytest.fixture(scope="module")
def table(exams):
    faults = pd.DataFrame({"row": [7], "column": ["mass_g"], "rule": ["robust_z"]})
    found = vary_choices(
        exams, faults, score="keel", size="wing_mm", level=0.95,
        options={"score": "keel", "scale": KEEL_SCALE, "level": 0.95},
    )  # fmt: skip
    return found.set_index("exams")


def test_one_row_a_choice(table):
    assert list(table.index) == [name for name, _ in CHOICES]


@pytest.mark.parametrize(
    ("choice", "keep"),
    [
        ("as reported", lambda table: table.index != 7),
        ("flagged values kept", lambda table: table.index >= 0),
        (
            "without crops half full or more",
            lambda table: (table.index != 7) & (table["crop_fill"] == "0"),
        ),
    ],
)
def test_each_choice_is_the_fit_of_its_exams(table, exams, choice, keep):
    chosen = exams.loc[keep(exams)]
    fit = fit_mass_by_keel(chosen).groups.iloc[0]
    line = fit_scaled_mass(chosen, size="wing_mm").groups.iloc[0]
    row = table.loc[choice]
    assert row["n_birds"] == row["n_birds_in_line"] == len(chosen)
    for name in ("percent_per_grade", "percent_low", "percent_high"):
        assert row[name] == pytest.approx(fit[name], rel=1e-12)
    for name in ("slope", "slope_low", "slope_high"):
        assert row[name] == pytest.approx(line[name], rel=1e-12)


def test_without_a_size_there_is_no_exponent(exams):
    found = vary_choices(
        exams, pd.DataFrame(columns=["row", "column", "rule"]), score="keel", size=None, level=0.9,
        options={"score": "keel", "scale": KEEL_SCALE, "level": 0.9},
    )  # fmt: skip
    assert "slope" not in found.columns
