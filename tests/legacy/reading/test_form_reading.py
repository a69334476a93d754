"""Forms: one record of a whole block, held, numbered, struck and decided upon as one."""

from bodycond.legacy.corrections.correction_records import Correction, Corrections
from bodycond.legacy.files.grids import build_grid
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.ledger import build_ledger
from bodycond.legacy.reading.sheet_reading import import_sheet
from bodycond.legacy.recipes.recipe import ImportRecipe

FORM = """
sheets:
- file: "*"
  labels:
    Bird: {field: bird_id}
    Weight: {field: mass_g, unit: g}
    Wing: {field: wing_mm, unit: mm}
"""
RATING = """
sheets:
- file: "*"
  table: ratings
  labels:
    Scorer: {field: scorer}
    Keel: {field: keel, scale: "keel 1 to 5"}
    Bird: {field: bird_id}
"""
SAME = """
sheets:
- file: "*"
  labels:
    Weight: {field: mass_g, unit: g, where: same, also: [Gewicht]}
    Bird: {field: bird_id, where: same, also: [Größe, Vogel]}
"""
ROWS = [["Bird", "A1"], ["Weight", "heavy"], ["Wing", "200"]]


def test_a_held_cell_of_any_row_names_the_exam_of_its_form(read_sheet):
    read = read_sheet(ROWS, FORM)
    assert read.quarantine.loc["s!B2", "exam_id"] == read.exams["exam_id"][0] == "b:1"


def test_a_form_that_is_held_is_held_in_every_row(read_sheet):
    read = read_sheet([["Scorer", "S1"], ["Keel", "3"]], RATING)
    assert len(read.ratings) == 0
    assert read.quarantine["reason"].unique().tolist() == ["row held: the row names no bird"]
    assert read.at("B2")["outcome"] == "quarantined"
    assert read.quarantine.loc["s!B2", "likely"] == "3"


def test_a_value_that_is_struck_through_is_not_used(read_sheet):
    read = read_sheet(ROWS, FORM, struck=frozenset({(2, 1)}), partly_struck={(1, 1): "900 "})
    assert read.exams["wing_mm"].isna().all()
    assert read.at("B3")["reason"] == "struck through"
    assert read.quarantine.loc["s!B2", "likely"] == "900"


def test_a_value_whose_label_is_struck_through_is_held(read_sheet):
    read = read_sheet(ROWS, FORM, struck=frozenset({(2, 0)}))
    assert read.quarantine.loc["s!B3", "reason"] == "the label beside it is struck through"
    assert read.exams["wing_mm"].isna().all()


def test_a_label_without_a_value_in_its_cell_is_a_label(read_sheet):
    read = read_sheet([["Weight:"], ["Bird: A1"]], SAME)
    assert read.at("A1")["reason"] == "a label"
    assert read.exams["bird_id"].tolist() == ["A1"]


def test_another_form_of_a_label_is_taken_off_its_value(read_sheet):
    read = read_sheet([["Gewicht: 950 g"], ["GRÖSSE: A1"]], SAME)
    assert read.exams["mass_g"].tolist() == [950.0]
    assert read.exams["bird_id"].tolist() == ["A1"]


def decide(decision, cell, raw):
    row = Correction(decision=decision, file="f.csv", sheet="s", cell=cell, raw=raw, who="S1",
                     why="card")  # fmt: skip
    return Corrections(rows=(row,))


def read_decided(rows, recipe, decision, cell, raw):
    texts, kinds = build_grid(rows)
    sheet = Sheet(file="f.csv", name="s", texts=texts, kinds=kinds)
    made = ImportRecipe.from_text("version: 1" + recipe)
    part = import_sheet(sheet, made, stem="b", corrections=decide(decision, cell, raw))
    return part, build_ledger([part.account])


def test_a_form_that_is_said_to_be_no_exam_is_none_in_every_row():
    part, ledger = read_decided(ROWS, FORM, "not_exam", "B2", "heavy")
    assert part.tables == ()
    assert set(ledger["outcome"]) == {"set_aside"}
    assert ledger["reason"].str.contains("row said to be no exam by S1").all()


def test_a_value_that_was_emptied_is_not_replaced_by_the_next_cell():
    rows = [["Bird", "A1", ""], ["Weight", "999", "200"]]
    part, ledger = read_decided(rows, FORM, "no_value", "B2", "999")
    assert part.tables[0].values["bird_id"].tolist() == ["A1"]
    assert "mass_g" not in part.tables[0].values
    assert ledger.set_index("address").loc["s!C2", "outcome"] == "quarantined"
    assert ledger.set_index("address").loc["s!B2", "outcome"] == "converted"


def test_nothing_fills_a_cell_that_a_person_emptied():
    recipe = """
sheets:
- file: "*"
  heading_row: 1
  columns:
    No: {field: bird_id}
    Place: {field: site, fill_down: true}
"""
    rows = [["No", "Place"], ["1", "Elm"], ["2", "Ash"], ["3", ""]]
    part, _ = read_decided(rows, recipe, "no_value", "B3", "Ash")
    assert part.tables[0].values["site"].tolist() == ["Elm", None, None]


def test_a_row_that_is_said_to_be_no_exam_is_not_held_with_its_block():
    recipe = """
sheets:
- file: "*"
  heading_row: 1
  columns: {Other: {field: bird_id}}
"""
    part, _ = read_decided([["No"], ["1"], ["2"]], recipe, "not_exam", "A3", "2")
    counts = [(tally.rows_held, tally.rows_not_exams) for tally in part.account.tallies]
    assert counts[0] == (2, 1)
