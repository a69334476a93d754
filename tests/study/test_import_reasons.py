"""Counts by reason, held to the ledger that they stand for."""

from pathlib import Path

import pytest

from bodycond.legacy import ImportRecipe, import_legacy
from bodycond.study.import_reasons import list_columns, tally_reasons
from bodycond.study.visible_texts import strip_cell_words

DEMO = Path(__file__).parents[2] / "demo_dataset"


@pytest.fixture(scope="module")
def imported():
    recipe = ImportRecipe.load(DEMO / "recipe.yaml")
    return import_legacy(sorted((DEMO / "legacy").iterdir()), recipe)


def test_the_tally_is_the_ledger_counted(imported):
    tally = tally_reasons(imported.accounts)
    ledger = imported.ledger.astype(str)
    told = ledger[ledger["outcome"] != "accepted"]
    told = told.assign(reason=told["reason"].map(strip_cell_words))
    keys = ["outcome", "target", "reason"]
    assert tally.set_index(keys)["cells"].to_dict() == told.groupby(keys).size().to_dict()
    first = told.drop_duplicates(keys).set_index(keys)
    for ours, theirs in (
        ("first_file", "file"), ("first_address", "address"), ("first_raw", "raw"),
        ("first_value", "value"),
    ):  # fmt: skip
        assert tally.set_index(keys)[ours].to_dict() == first[theirs].to_dict()


def test_the_most_cells_come_first_within_an_outcome(imported):
    tally = tally_reasons(imported.accounts)
    assert list(dict.fromkeys(tally["outcome"])) == ["quarantined", "converted", "set_aside"]
    for _, rows in tally.groupby("outcome"):
        assert rows["cells"].is_monotonic_decreasing


def test_nothing_read_is_an_empty_tally():
    tally = tally_reasons([])
    assert len(tally) == 0
    assert tally["cells"].dtype == "int64"


def test_each_column_of_the_recipe_is_listed_with_who_decided(imported):
    columns = list_columns(imported).set_index(["file", "heading"])
    cage = columns.loc[("skelbeck_hospital_2019-2021.xlsx", "Cage")]
    assert cage["sheets"] == 3
    assert cage["read_as"].startswith("set aside: number of the cage")
    wing = columns.loc[("orrinfold_aviary.csv", "Flügel")]
    assert (wing["field"], wing["unit"], wing["decided_by"]) == ("wing_mm", "mm", "the recipe")
