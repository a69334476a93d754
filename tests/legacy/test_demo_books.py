"""The demo's old books imported by the demo's recipe, held against the demo's true tables."""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from bodycond.legacy import ImportRecipe, import_legacy

DEMO = Path(__file__).parents[2] / "demo_dataset"
EXACT = [
    "bird_id", "ring_number", "species", "sex", "age_class", "age_code", "exam_date", "site",
    "exam_reason", "wing_mm", "tarsus_mm", "keel", "keel_low", "keel_high", "scorer", "crop_fill",
    "gravid", "in_moult", "keel_blind", "mass_known_when_scored",
]  # fmt: skip


@pytest.fixture(scope="module")
def imported():
    recipe = ImportRecipe.load(DEMO / "recipe.yaml")
    return import_legacy(sorted((DEMO / "legacy").iterdir()), recipe)


@pytest.fixture(scope="module")
def planted():
    key = pd.read_csv(DEMO / "answer_key.csv", dtype="str")
    # The key names rows of the sheet; a text file has no sheet.
    return set(zip(key["file"], key["sheet"].fillna(""), key["row"].astype(int), strict=True))


@pytest.fixture(scope="module")
def pairs(imported, planted):
    """Imported exams beside the true ones, the rows with planted errors left out."""
    texts = {"ring_number": "str", "age_code": "str", "crop_fill": "str"}
    true = pd.read_csv(DEMO / "true_exams.csv", dtype=texts, parse_dates=["exam_date"])
    exams = imported.exams
    sheets = exams["source_sheet"].where(~exams["source_file"].str.endswith(".csv"), "")
    places = zip(exams["source_file"], sheets, exams["source_row"], strict=True)
    clean = exams[[place not in planted for place in places]]
    assert clean["exam_id"].is_unique
    return clean.set_index("exam_id"), true.set_index("exam_id").loc[clean["exam_id"]]


def test_every_row_is_accounted_for(imported):
    counts = imported.reconciliation
    outcomes = ["accepted", "converted", "quarantined", "set_aside"]
    assert (counts[outcomes].sum(axis=1) == counts["raw_cells"]).all()
    true_exams = pd.read_csv(DEMO / "true_exams.csv")
    key = pd.read_csv(DEMO / "answer_key.csv", dtype="str")
    copies = (key["kind"] == "duplicate").sum()
    assert len(imported.exams) == len(true_exams) + copies
    assert counts["rows_held"].sum() == 0
    assert imported.files["readable"].all()
    assert not [note for note in imported.notes if "headings changed" in note]


@pytest.mark.parametrize("column", EXACT)
def test_unplanted_cells_come_out_as_measured(pairs, column):
    exams, true = pairs
    left, right = exams[column], true[column]
    assert (left.isna() == right.isna()).all()
    both = left.notna()
    if pd.api.types.is_float_dtype(left):
        np.testing.assert_allclose(left[both], right[both], rtol=1e-12)
    else:
        assert left[both].tolist() == right[both].astype(left.dtype).tolist()


def test_masses_come_out_in_grams(imported, pairs):
    exams, true = pairs
    held = exams["mass_g"].isna() & true["mass_g"].notna()
    reasons = imported.quarantine.set_index("exam_id")["reason"]
    assert set(reasons[exams.index[held]]) <= {"two values in one cell"}
    both = exams["mass_g"].notna()
    # The true table rounds grams made of half ounces to a milligram.
    np.testing.assert_allclose(exams["mass_g"][both], true["mass_g"][both], atol=6e-4)


def test_dates_made_of_grades_are_held_with_both_readings(imported):
    held = imported.quarantine[imported.quarantine["reason"] == "a date and no grade"]
    key = pd.read_csv(DEMO / "answer_key.csv", dtype="str")
    expected = key[key["kind"] == "date_converted"]
    assert sorted(held["row"]) == sorted(expected["row"].astype(int))
    assert held["likely"].str.contains("turned into a date by a spreadsheet").all()
    assert held["exam_id"].notna().all()


def test_ratings_are_the_true_ones(imported):
    true = pd.read_csv(DEMO / "true_ratings.csv", parse_dates=["rated_on"])
    for column in ("bird_id", "scorer", "session", "round", "rated_on", "keel"):
        assert imported.ratings[column].tolist() == true[column].tolist()
