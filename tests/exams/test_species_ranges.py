"""Limits to ask at: floors for patients, unions for unknown sex, synonyms, custom tables."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from bodycond.errors import ArgumentError
from bodycond.exams import check_exams, find_limits, load_species_ranges
from bodycond.exams.species_ranges import LENGTH_MARGIN, SPECIES_SYNONYMS, accept_names


@pytest.fixture(name="ranges")
def _ranges() -> pd.DataFrame:
    return load_species_ranges()


def test_packaged_table_carries_its_evidence(ranges: pd.DataFrame) -> None:
    assert len(ranges) == 59
    assert ranges["scientific_name"].nunique() == 30
    assert ranges[["mass_source", "wing_source", "tarsus_source"]].notna().all(axis=None)


def test_mass_limits_follow_the_rule_for_patients(ranges: pd.DataFrame) -> None:
    floor = np.minimum(0.5 * ranges["mass_typical_g"], 0.9 * ranges["mass_low_g"])
    assert (ranges["patient_floor_g"] - floor).abs().max() <= 1.0
    assert (ranges["ceiling_g"] - 1.25 * ranges["mass_high_g"]).abs().max() <= 1.0


def test_own_sex_union_and_fallback(ranges: pd.DataFrame) -> None:
    female = find_limits(ranges, species="Accipiter nisus", sex="F")
    male = find_limits(ranges, species="Accipiter nisus", sex="M")
    unknown = find_limits(ranges, species="Accipiter nisus")
    assert female.loc["mass_g", ["low", "high"]].tolist() == [130.0, 438.0]
    assert unknown.loc["mass_g", ["low", "high"]].tolist() == [75.0, 438.0]
    assert unknown.loc["wing_mm", "low"] == male.loc["wing_mm", "low"]
    assert unknown.loc["wing_mm", "high"] == female.loc["wing_mm", "high"]
    assert male.loc["wing_mm", "low"] == pytest.approx(190 * (1 - LENGTH_MARGIN))
    assert "sex F+M" in unknown.loc["tarsus_mm", "basis"]
    only_unsexed = find_limits(ranges, species="Buteo jamaicensis", sex="F")
    assert only_unsexed.loc["mass_g", ["low", "high"]].tolist() == [532.0, 1825.0]
    assert find_limits(ranges, species="Pygoscelis adeliae").empty


def test_union_is_open_where_one_sex_has_no_limit(ranges: pd.DataFrame) -> None:
    lacking = (ranges["scientific_name"] == "Accipiter nisus") & (ranges["sex"] == "F")
    open_table = ranges.assign(ceiling_g=ranges["ceiling_g"].mask(lacking))
    limits = find_limits(open_table, species="Accipiter nisus")
    assert "mass_g" not in limits.index


@pytest.mark.parametrize("synonym", sorted(SPECIES_SYNONYMS))
def test_synonyms_share_limits(synonym: str, ranges: pd.DataFrame) -> None:
    pd.testing.assert_frame_equal(
        find_limits(ranges, species=synonym, sex="F"),
        find_limits(ranges, species=SPECIES_SYNONYMS[synonym], sex="F"),
    )


def test_names_are_compared_in_one_spelling() -> None:
    names = pd.Series([" buteo  BUTEO ", "Falco peregrinus calidus", "Astur cooperii", None, ""])
    assert accept_names(names).tolist() == [
        "Buteo buteo", "Falco peregrinus", "Accipiter cooperii", np.nan, np.nan,
    ]  # fmt: skip


def test_a_custom_table_is_taken_at_its_word() -> None:
    custom = pd.DataFrame(
        {
            "scientific_name": ["Pygoscelis adeliae"], "sex": ["U"],
            "patient_floor_g": [2500.0], "ceiling_g": [5500.0],
            "wing_low_mm": [170.0], "wing_high_mm": [215.0],
        }
    )  # fmt: skip
    exams = pd.DataFrame(
        {
            "species": "Pygoscelis adeliae", "sex": ["F", "M", "U"],
            "mass_g": [2400.0, 4000.0, 5500.0], "wing_mm": [190.0, 215.5, 215.0],
        }
    )  # fmt: skip
    faults = check_exams(exams, species_ranges=custom).faults
    assert faults[["row", "column", "rule"]].to_numpy().tolist() == [
        [0, "mass_g", "species_limits"],
        [1, "wing_mm", "species_limits"],
    ]


def test_names_and_gaps_of_a_custom_table_are_taken_up() -> None:
    exams = pd.DataFrame(
        {"exam_id": ["a"], "species": "Buteo buteo", "sex": "M", "mass_g": 800.0, "wing_mm": 380.0}
    )
    table = pd.DataFrame(
        {"scientific_name": ["buteo  buteo"], "sex": ["U"], "patient_floor_g": [850.0],
         "ceiling_g": [1000.0]}
    )  # fmt: skip
    check = check_exams(exams, species_ranges=table)
    assert check.faults[["column", "rule"]].values.tolist() == [["mass_g", "species_limits"]]
    gaps = check.not_run[check.not_run["reason"].str.endswith("has no limits for it")]
    assert gaps["about"].tolist() == ["Buteo buteo, sex M: wing_mm"]
    one_sided = table.assign(patient_floor_g=np.nan)
    gaps = check_exams(exams, species_ranges=one_sided).not_run["about"]
    assert "Buteo buteo, sex M: mass_g, wing_mm" in set(gaps)


def test_an_impossible_table_is_refused_with_everything_wrong_in_it(ranges: pd.DataFrame) -> None:
    table = ranges.head(4).copy()
    table.loc[0, "sex"] = "female"
    table.loc[1, "patient_floor_g"] = 900.0
    table.loc[3, ["scientific_name", "sex"]] = table.loc[2, ["scientific_name", "sex"]]
    table["ceiling_g"] = table["ceiling_g"].astype("float64")
    with pytest.raises(ArgumentError) as caught:
        find_limits(table, species="Buteo buteo")
    assert str(caught.value) == (
        "species_ranges= needs a row per species and sex with lower and upper limits. Found: sex "
        "not F, M, U in rows 0; a species and sex more than once, in rows 2, 3; patient_floor_g "
        "not below ceiling_g in rows 1. Begin with bodycond.exams.load_species_ranges() and "
        "change its rows."
    )


@pytest.mark.parametrize(
    ("table", "text"),
    [
        (pd.DataFrame({"sex": ["F"]}), "no column 'scientific_name'; no pair of limits"),
        (
            pd.DataFrame(
                {"scientific_name": ["Buteo buteo"], "sex": ["F"],
                 "patient_floor_g": ["400"], "ceiling_g": [1700.0]}
            ),
            "column 'patient_floor_g' does not hold numbers",
        ),
        (
            pd.DataFrame(
                {"scientific_name": [None], "sex": ["F"], "wing_low_mm": [1.0],
                 "wing_high_mm": [2.0]}
            ),
            "no scientific_name in rows 0",
        ),
    ],
)  # fmt: skip
def test_what_a_custom_table_lacks_is_named(table: pd.DataFrame, text: str) -> None:
    with pytest.raises(ArgumentError, match=text):
        check_exams(pd.DataFrame({"mass_g": [1.0]}), species_ranges=table)


def test_unknown_sex_code_is_refused(ranges: pd.DataFrame) -> None:
    with pytest.raises(ArgumentError, match="sex= takes 'F' or 'M' or 'U'"):
        find_limits(ranges, species="Buteo buteo", sex="female")
