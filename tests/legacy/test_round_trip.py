"""Tables that an import gave, written and read back.

Two ways lead back. `read_parquet`, `read_xlsx` and `read_csv` give the very table: they are for
what bodycond wrote and nobody changed. The import is for a table that left bodycond and comes
back as one more file among the others, changed perhaps; it gives every cell an account. There
'gives the table back' means:

- every column that says something of a bird is the same in every row, the texts as written
  (``keel_text``, ``mass_text``) and what was derived from them among them: nothing is read or
  derived a second time, so a grade held in the first import is not let in by the second;
- ``exam_id`` is the exam's own and stays;
- ``source_file``, ``source_sheet`` and ``source_row`` say where a row was read from, which is now
  the exported table. Where the row stood in the old book is in the ledger, set aside;
- each cell is accepted as it stands, but for a text that CSV guards with an apostrophe, which is
  converted back and said.
"""

import csv
from pathlib import Path

import pandas as pd
import pytest

from bodycond.legacy import ImportRecipe, draft_recipe, import_legacy
from bodycond.tables_on_disk import (
    read_csv,
    read_parquet,
    read_xlsx,
    write_csv,
    write_parquet,
    write_xlsx,
)

DEMO = Path(__file__).parents[2] / "demo_dataset"
ORIGIN = ["source_file", "source_sheet", "source_row"]
AWKWARD = [
    ["Case", "Ring", "Sp", "Sex", "Date", "Weight (g)", "Keel", "Notes", "Perch"],
    ["A1", "00123", "Buteo buteo", "F", "2021-03-04", "~980", "3+", "=1+1", "-low"],
    ["A2", "+4915", "Tyto alba", "M", "2021-03-05", "310", "9", 'a;=b, "c"', " =x"],
    ["A3", "A1E5", "Strix aluco", "", "Mar 2021", "420 g", "2-3", "'-", "'"],
]
RECIPE = """\
version: 1
sheets:
- file: "*"
  heading_row: 1
  columns:
    Case: {field: bird_id}
    Ring: {field: ring_number}
    Sp: {field: species}
    Sex: {field: sex}
    Date: {field: exam_date}
    Weight (g): {field: mass_g, unit: g}
    Keel: {field: keel, scale: "keel 1 to 5"}
    Notes: {field: remarks}
    Perch: {field: perch, kind: text}
"""


@pytest.fixture(scope="module")
def demo():
    recipe = ImportRecipe.load(DEMO / "recipe.yaml")
    return import_legacy(sorted((DEMO / "legacy").iterdir()), recipe)


@pytest.fixture
def awkward(tmp_path):
    path = tmp_path / "old_book.csv"
    with path.open("w", encoding="utf-8", newline="") as stream:
        csv.writer(stream).writerows(AWKWARD)
    return import_legacy(path, ImportRecipe.from_text(RECIPE))


def test_the_awkward_cells_came_in(awkward):
    assert awkward.exams["ring_number"].tolist() == ["00123", "+4915", "A1E5"]
    assert awkward.exams["keel_text"].tolist() == ["3+", "9", "2-3"]
    assert awkward.exams["keel_scale"].isna().tolist() == [False, True, False]


@pytest.mark.parametrize("table", ["exams", "ratings"])
def test_the_demos_tables_come_back_exactly(tmp_path, demo, table):
    frame = getattr(demo, table)
    assert len(frame) > 500
    write_parquet(frame, tmp_path / "t.parquet")
    write_xlsx(frame, tmp_path / "t.xlsx")
    write_csv(frame, tmp_path / "t.csv")
    for back in (
        read_parquet(tmp_path / "t.parquet"),
        read_xlsx(tmp_path / "t.xlsx"),
        read_csv(tmp_path / "t.csv"),
    ):
        pd.testing.assert_frame_equal(back, frame, check_exact=True)


@pytest.mark.parametrize(
    "table", ["exams", "ratings", "quarantine", "ledger", "reconciliation", "files"]
)
def test_every_table_of_an_import_comes_back_from_parquet_and_xlsx(tmp_path, awkward, table):
    frame = getattr(awkward, table)
    write_parquet(frame, tmp_path / "t.parquet")
    write_xlsx(frame, tmp_path / "t.xlsx")
    pd.testing.assert_frame_equal(read_parquet(tmp_path / "t.parquet"), frame, check_exact=True)
    pd.testing.assert_frame_equal(read_xlsx(tmp_path / "t.xlsx"), frame, check_exact=True)


def test_what_csv_neutralised_is_said_and_undone(tmp_path, awkward):
    written = write_csv(awkward.exams, tmp_path / "t.csv")
    assert {(1, "ring_number"), (0, "remarks"), (1, "remarks")} <= set(written.neutralised)
    pd.testing.assert_frame_equal(read_csv(tmp_path / "t.csv"), awkward.exams, check_exact=True)


def write_as(frame, path):
    """Write a table in the form that a path's ending names."""
    if path.suffix == ".csv":
        write_csv(frame, path)
    else:
        write_xlsx(frame, path, sheet="exams")
    return path


@pytest.mark.parametrize("ending", [".csv", ".xlsx"])
@pytest.mark.parametrize("table", ["exams", "ratings"])
def test_importing_an_exported_table_gives_it_back_without_a_question(
    tmp_path, demo, table, ending
):
    frame = getattr(demo, table)
    path = write_as(frame, tmp_path / f"exported{ending}")
    recipe = draft_recipe(path)
    assert recipe.questions == ()
    again = import_legacy(path, recipe)
    back = getattr(again, table)
    pd.testing.assert_frame_equal(
        back.drop(columns=ORIGIN), frame.drop(columns=ORIGIN), check_exact=True
    )
    assert (back["source_file"] == path.name).all()
    assert back["source_row"].tolist() == list(range(2, len(frame) + 2))
    assert len(again.quarantine) == 0
    # The recipe on paper says the same.
    recipe.save(tmp_path / "recipe.yaml")
    loaded = import_legacy(path, ImportRecipe.load(tmp_path / "recipe.yaml"))
    pd.testing.assert_frame_equal(getattr(loaded, table), back)


def test_the_old_origin_of_an_exported_row_stays_in_the_ledger(tmp_path, demo):
    path = write_as(demo.exams, tmp_path / "exported.csv")
    ledger = import_legacy(path, draft_recipe(path)).ledger
    column = list(demo.exams.columns).index("source_file") + 1
    old = ledger[(ledger["column"] == column) & (ledger["row"] > 1)]
    assert old["raw"].tolist() == demo.exams["source_file"].tolist()
    assert (old["outcome"] == "set_aside").all()
    assert old["reason"].str.contains("where the exported row came from").all()


@pytest.mark.parametrize("ending", [".csv", ".xlsx"])
def test_awkward_texts_come_back_and_a_column_of_ones_own_is_asked_about(tmp_path, awkward, ending):
    path = write_as(awkward.exams, tmp_path / f"exported{ending}")
    recipe = draft_recipe(path)
    assert len(recipe.questions) == 1
    assert "'perch'" in recipe.questions[0]
    again = import_legacy(path, recipe)
    dropped = [*ORIGIN, "perch"]
    pd.testing.assert_frame_equal(
        again.exams.drop(columns=ORIGIN), awkward.exams.drop(columns=dropped), check_exact=True
    )
    guarded = again.ledger[again.ledger["reason"].str.contains("apostrophe")]
    assert set(guarded["outcome"]) == ({"converted"} if ending == ".csv" else set())


def test_a_cell_changed_since_the_export_is_held_where_it_no_longer_fits(tmp_path, awkward):
    path = write_as(awkward.exams, tmp_path / "exported.csv")
    text = path.read_text(encoding="utf-8")
    assert text.count("420.0,") == 1
    path.write_text(text.replace("420.0,", "about 420,"), encoding="utf-8")
    again = import_legacy(path, draft_recipe(path))
    held = again.quarantine[again.quarantine["target"] == "exams.mass_g"]
    assert held["raw"].tolist() == ["about 420"]
    assert held["reason"].tolist() == ["not as bodycond writes a number"]
    assert again.exams["mass_g"].isna().tolist() == [False, False, True]
    assert again.exams["mass_text"].tolist() == awkward.exams["mass_text"].tolist()
