"""Rows that are no exams by decision, of one block or of all, and rows that are held no more."""

import pytest

from bodycond.legacy.corrections.correction_log import build_correction_log
from bodycond.legacy.corrections.correction_records import Correction, Corrections
from bodycond.legacy.files.grids import build_grid
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.ledger import build_ledger, build_reconciliation
from bodycond.legacy.reading.sheet_reading import import_sheet
from bodycond.legacy.reading.table_building import build_table
from bodycond.legacy.recipes.recipe import ImportRecipe

SIDES = """
sheets:
- file: "*"
  area: "A:B"
  heading_row: 1
  columns: {Bird: {field: bird_id}, Wt: {field: mass_g, unit: g}}
- file: "*"
  area: "D:E"
  heading_row: 1
  columns: {Bird: {field: bird_id}, Wt: {field: mass_g, unit: g}}
"""
SIDE_ROWS = [
    ["Bird", "Wt", "", "Bird", "Wt"],
    ["a1", 900, "", "b1", 1200],
    ["a2", 910, "see card", "b2", 1210],
    ["a3", 920, "", "", ""],
]
FORMS = """
sheets:
- file: "*"
  area: "A:B"
  labels: {Bird: {field: bird_id}, Wt: {field: mass_g, unit: g}}
- file: "*"
  area: "D:E"
  labels: {Bird: {field: bird_id}, Wt: {field: mass_g, unit: g}}
"""
FORM_ROWS = [["Bird", "a1", "", "Bird", "b1"], ["Wt", 900, "", "Wt", 1200], ["Wing", 310]]
TABLE = """
sheets:
- file: "*"
  heading_row: 1
  columns:
    Bird: {field: bird_id}
    Wt: {field: mass_g, unit: g}
    Note: {set_aside: "not wanted"}
"""


def decide(decision, cell, raw):
    return Correction(decision=decision, file="f.csv", sheet="s", cell=cell, raw=raw, who="S1",
                      why="card")  # fmt: skip


def read(rows, recipe, *decisions):
    texts, kinds = build_grid(rows)
    sheet = Sheet(file="f.csv", name="s", texts=texts, kinds=kinds)
    corrections = Corrections(rows=tuple(decide(*each) for each in decisions))
    made = ImportRecipe.from_text("version: 1" + recipe)
    part = import_sheet(sheet, made, stem="b", corrections=corrections)
    ledger = build_ledger([part.account]).set_index("address")
    log = build_correction_log(corrections, part.logged, sheets=[("f.csv", "s")])
    counts = build_reconciliation([part.account]).iloc[0]
    return build_table([part], table="exams"), ledger, log["outcome"].tolist(), counts


@pytest.mark.parametrize(
    ("cell", "raw", "left"),
    [
        ("A3", "a2", ["a1", "a3", "b1", "b2"]), ("B3", "910", ["a1", "a3", "b1", "b2"]),
        ("E3", "1210", ["a1", "a2", "a3", "b1"]),
    ],
)  # fmt: skip
def test_a_row_that_two_blocks_share_is_dropped_from_the_block_of_the_cell(cell, raw, left):
    exams, ledger, outcomes, counts = read(SIDE_ROWS, SIDES, ("not_exam", cell, raw))
    assert sorted(exams["bird_id"]) == left
    assert outcomes == ["applied; 1 record dropped"]
    own, other = ("AB", "DE") if cell[0] in "AB" else ("DE", "AB")
    assert {ledger.at[f"s!{column}3", "outcome"] for column in own} == {"set_aside"}
    assert "set_aside" not in {ledger.at[f"s!{column}3", "outcome"] for column in other}
    assert (counts["exams_out"], counts["rows_in"]) == (4, 8)


@pytest.mark.parametrize(("cell", "raw"), [("3:3", "a2"), ("C3", "see card")])
def test_a_decision_on_the_whole_row_drops_all_and_says_how_many(cell, raw):
    exams, ledger, outcomes, counts = read(SIDE_ROWS, SIDES, ("not_exam", cell, raw))
    assert sorted(exams["bird_id"]) == ["a1", "a3", "b1"]
    assert outcomes == ["applied; 2 records dropped"]
    assert {ledger.at[f"s!{column}3", "outcome"] for column in "ABCDE"} == {"set_aside"}
    assert counts["rows_held"] == 0


def test_a_record_that_two_decisions_drop_is_counted_once():
    given = [("not_exam", "A3", "a2"), ("not_exam", "3:3", "a2"), ("not_exam", "B3", "910")]
    exams, _, outcomes, _ = read(SIDE_ROWS, SIDES, *given)
    assert len(exams) == 3
    assert outcomes == [
        "applied; 1 record dropped", "applied; 1 record dropped", "applied; no record dropped",
    ]  # fmt: skip


def test_of_two_forms_side_by_side_the_one_of_the_cell_is_dropped():
    exams, ledger, outcomes, _ = read(FORM_ROWS, FORMS, ("not_exam", "A3", "Wing"))
    assert exams["bird_id"].tolist() == ["b1"]
    assert outcomes == ["applied; 1 record dropped"]
    assert ledger.at["s!B1", "outcome"] == "set_aside"
    assert ledger.at["s!E1", "outcome"] == "accepted"
    both, _, outcomes, _ = read(FORM_ROWS, FORMS, ("not_exam", "2:2", "Wt"))
    assert (len(both), outcomes) == (0, ["applied; 2 records dropped"])


def test_a_row_of_the_only_table_is_dropped_whole():
    rows = [["Bird", "Wt", "Note"], ["a1", 900, "x"], ["a2", 910, ""]]
    exams, ledger, outcomes, _ = read(rows, TABLE, ("not_exam", "C2", "x"))
    assert exams["bird_id"].tolist() == ["a2"]
    assert outcomes == ["applied; 1 record dropped"]
    assert ledger.at["s!A2", "outcome"] == "set_aside"


@pytest.mark.parametrize(
    ("row", "cell"), [(["", "18S", "x", ""], "B3"), (["see card", "", "", ""], "A3")]
)  # fmt: skip
def test_a_row_whose_last_held_cell_is_kept_as_written_is_not_held(row, cell):
    rows = [["Bird", "Wt", "Note", "Date", "Sex"], ["a1", 900, ""], row]
    recipe = TABLE + "    Date: {field: exam_date}\n    Sex: {field: sex}\n"
    _, _, _, held = read(rows, recipe)
    assert (held["quarantined"], held["rows_held"], held["rows_not_exams"]) == (1, 1, 1)
    raw = next(text for text in row if text)
    _, ledger, _, counts = read(rows, recipe, ("as_written", cell, raw))
    assert ledger.at[f"s!{cell}", "outcome"] == "set_aside"
    assert (counts["quarantined"], counts["rows_held"], counts["rows_not_exams"]) == (0, 0, 2)
    assert counts["rows_in"] == counts["exams_out"] + counts["rows_not_exams"]


def test_a_row_with_another_held_cell_stays_held():
    rows = [["Bird", "Wt", "Note"], ["a1", 900, ""], ["n/a", "18S", ""]]
    _, _, _, counts = read(rows, TABLE, ("as_written", "B3", "18S"))
    assert (counts["quarantined"], counts["rows_held"]) == (1, 1)


def test_a_form_is_held_in_all_its_rows_until_its_last_held_cell_is_decided():
    rows = [["Bird", "n/a"], ["Wt", "18S"]]
    _, _, _, counts = read(rows, FORMS, ("as_written", "B1", "n/a"))
    assert counts["rows_held"] == 2
    _, _, _, counts = read(rows, FORMS, ("as_written", "B1", "n/a"), ("as_written", "B2", "18S"))
    assert (counts["quarantined"], counts["rows_held"], counts["rows_not_exams"]) == (0, 0, 2)


def test_a_row_outside_the_blocks_is_held_no_more_either():
    _, _, _, before = read(SIDE_ROWS, SIDES)
    _, _, _, after = read(SIDE_ROWS, SIDES, ("as_written", "C3", "see card"))
    assert (before["rows_held"], after["rows_held"]) == (1, 0)
