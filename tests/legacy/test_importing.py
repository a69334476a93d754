"""Imports: every cell accounted for, nothing applied in silence, whatever the sheet."""

import dataclasses

import openpyxl
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.comments import Comment
from openpyxl.styles import Font

from bodycond.columns import DTYPES, EXAM_COLUMNS, RATING_COLUMNS
from bodycond.errors import ArgumentError, BodycondError, UnreadableFileError
from bodycond.legacy import ColumnRule, ImportRecipe, Sheet, SheetRule, import_legacy
from bodycond.legacy.files.grids import build_grid
from bodycond.legacy.ledger import (
    LEDGER_COLUMNS,
    QUARANTINE_COLUMNS,
    build_ledger,
    build_reconciliation,
    open_account,
)
from bodycond.legacy.reading.sheet_reading import import_sheet
from bodycond.legacy.recipes.targets import find_kind

RECIPE = """\
version: 1
sheets:
- file: "book*"
  table: exams
  heading_row: 2
  constants: {site: Skelbeck Hospital}
  columns:
    Case: {field: bird_id}
    Sp.: {field: species, codes: {KES: Falco tinnunculus, BUZ: Buteo buteo}}
    Sex: {field: sex}
    Date: {field: exam_date, date_order: dmy}
    Wt: {field: mass_g, unit: g}
    KS: {field: keel, scale: keel 1 to 5}
    Cage: {set_aside: says nothing about the bird}
    Note: {field: remarks}
"""
HEADINGS = ["Case", "Sp.", "Sex", "Date", "Wt", "KS", "Cage", "Note"]
ROWS = [
    ["Exam book of 2019"],
    HEADINGS,
    ["SK-1", "KES", "F", "1/2/2019", "186", "3", "4", "calm"],
    ["SK-2", '"', "", '"', "240*", "3+", "5", ""],
    ["SK-3", "TWO", "?", "31/2/2019", "250/248", "2-Mar", "", ""],
    [],
    ["weighed on the new balance"],
    ["Mean", "", "", "", "225", "", "", ""],
]


def write_csv(path, rows):
    text = "\n".join(";".join('"' + c.replace('"', '""') + '"' for c in row) for row in rows)
    path.write_text(text + "\n", encoding="utf-8")
    return path


@pytest.fixture
def imported(tmp_path):
    path = write_csv(tmp_path / "book.csv", ROWS)
    return import_legacy(path, ImportRecipe.from_text(RECIPE))


def outcomes_at(imported):
    return imported.ledger.assign(place=imported.ledger["address"].str.split("!").str[1]).set_index(
        "place"
    )


def test_exams_have_every_column_with_its_dtype(imported):
    exams = imported.exams
    assert exams.columns.tolist() == [column.name for column in EXAM_COLUMNS]
    assert {name: str(dtype) for name, dtype in exams.dtypes.items()} == {
        column.name: DTYPES[column.kind] for column in EXAM_COLUMNS
    }
    assert imported.ratings.columns.tolist() == [column.name for column in RATING_COLUMNS]
    assert {name: str(dtype) for name, dtype in imported.ratings.dtypes.items()} == {
        column.name: DTYPES[column.kind] for column in RATING_COLUMNS
    }
    assert exams.index.equals(pd.RangeIndex(3))


def test_exam_values(imported):
    exams = imported.exams
    assert exams["exam_id"].tolist() == ["book:3", "book:4", "book:5"]
    assert exams["bird_id"].tolist() == ["SK-1", "SK-2", "SK-3"]
    assert exams["species"].tolist()[:2] == ["Falco tinnunculus"] * 2
    assert exams["species"].isna().tolist() == [False, False, True]
    assert exams["sex"].tolist() == ["F", "U", "U"]
    assert exams["exam_date"].dt.strftime("%d.%m.%Y").tolist()[:2] == ["01.02.2019"] * 2
    assert exams["mass_g"].tolist()[:2] == [186.0, 240.0]
    assert exams["mass_text"].tolist() == ["186", "240*", "250/248"]
    assert exams["keel"].isna().tolist() == [False, True, True]
    assert exams["keel_low"].tolist()[:2] == [3.0, 3.0]
    assert exams["keel_high"].tolist()[:2] == [3.0, 3.5]
    assert exams["keel_text"].tolist() == ["3", "3+", "2-Mar"]
    assert exams["keel_scale"].tolist()[:2] == ["keel 1 to 5"] * 2
    assert exams["site"].tolist() == ["Skelbeck Hospital"] * 3
    assert exams["remarks"].tolist()[:2] == ["calm", "Wt '240*': marked with a star"]
    assert exams["source_row"].tolist() == [3, 4, 5]
    assert "sex is 'U' in 1 exams whose sex was not given or is held" in imported.notes


def test_ledger_says_where_each_cell_went(imported):
    ledger = imported.ledger
    assert ledger.columns.tolist() == list(LEDGER_COLUMNS)
    assert len(ledger) == sum(cell != "" for row in ROWS for cell in row)
    at = outcomes_at(imported)
    assert at.loc["A1", ["outcome", "reason"]].tolist() == [
        "set_aside", "above the headings: a title or note",
    ]  # fmt: skip
    assert at.loc["B3", ["outcome", "target", "value"]].tolist() == [
        "converted", "exams.species", "Falco tinnunculus",
    ]  # fmt: skip
    assert at.loc["B4", "reason"] == ("a ditto mark: repeats B3 'KES'; the recipe's code for 'KES'")
    assert at.loc["E3", ["outcome", "value", "reason"]].tolist() == ["accepted", "186", ""]
    assert at.loc["F4", ["outcome", "value"]].tolist() == ["converted", "3 to 3.5"]
    assert at.loc["G3", "reason"] == "column set aside: says nothing about the bird"
    assert at.loc["A8", "reason"] == "a row of totals: it begins with 'Mean'"
    assert ledger["row"].iloc[0] == 1
    assert ledger["column"].iloc[-1] == 5


def test_quarantine_points_at_cell_and_exam(imported):
    held = imported.quarantine
    assert held.columns.tolist() == list(QUARANTINE_COLUMNS)
    assert held["address"].tolist() == ["book!B5", "book!D5", "book!E5", "book!F5", "book!A7"]
    assert held["exam_id"].fillna("none").tolist() == ["book:5"] * 4 + ["none"]
    assert held["likely"].tolist()[2:4] == [
        "two weighings: 250 and 248", "2-3 or 3-2, turned into a date by a spreadsheet",
    ]  # fmt: skip
    assert held["reason"].iloc[-1] == "a cell alone in its row: a note or an exam?"


def test_counts_reconcile(imported):
    (row,) = imported.to_frame().to_dict("records")
    assert row == {
        "file": "book.csv", "sheet": "book", "raw_cells": 32, "accepted": 7, "converted": 7,
        "quarantined": 5, "set_aside": 13, "rows_in": 7, "rows_spread": 0, "exams_out": 3,
        "ratings_out": 0, "rows_held": 1, "rows_not_exams": 3,
    }  # fmt: skip


def test_result_is_frozen_and_speaks(imported):
    with pytest.raises(dataclasses.FrozenInstanceError):
        imported.notes = ()
    assert "7 rows: 3 exams, 0 ratings, 1 held, 3 not exams." in imported.summary()
    assert "(5 cells)" in imported.methods()
    assert imported.to_frame() is not imported.reconciliation


def test_the_recipe_is_used_again_and_a_changed_heading_is_said(tmp_path):
    rows = [row[:] for row in ROWS]
    rows[1] = [name if name != "Wt" else "Weight" for name in HEADINGS]
    path = write_csv(tmp_path / "book2.csv", rows)
    imported = import_legacy(path, ImportRecipe.from_text(RECIPE))
    assert imported.exams["mass_g"].isna().all()
    at = outcomes_at(imported)
    assert at.loc["E3", ["outcome", "reason"]].tolist() == [
        "quarantined", "the recipe does not name the column 'Weight'",
    ]  # fmt: skip
    notes = "\n".join(imported.notes)
    assert "headings changed: the recipe's 'Wt' not found" in notes
    assert "headings that the recipe does not name: 'Weight'" in notes


def test_case_and_blanks_of_a_heading_do_not_matter(tmp_path):
    rows = [row[:] for row in ROWS]
    rows[1] = [f" {name.upper()} " for name in HEADINGS]
    path = write_csv(tmp_path / "book.csv", rows)
    assert import_legacy(path, ImportRecipe.from_text(RECIPE)).exams["mass_g"].notna().sum() == 2


def test_a_sheet_without_an_entry_is_held_whole(tmp_path):
    path = write_csv(tmp_path / "other.csv", ROWS)
    imported = import_legacy(path, ImportRecipe.from_text(RECIPE))
    assert set(imported.ledger["outcome"]) == {"quarantined"}
    assert imported.reconciliation.loc[0, "rows_held"] == 7
    assert any("matches no sheet" in note for note in imported.notes)
    assert len(imported.exams) == 0


def test_bad_files_are_reported_and_the_others_go_on(tmp_path):
    good = write_csv(tmp_path / "book.csv", ROWS)
    bad = tmp_path / "book.xlsx"
    bad.write_bytes(b"PK no workbook")
    gone = tmp_path / "gone.csv"
    seen = []
    recipe = ImportRecipe.from_text(RECIPE)
    imported = import_legacy([bad, good, gone], recipe, progress=seen.append)
    assert seen == ["book.xlsx", "book.csv", "gone.csv"]
    assert imported.files["readable"].tolist() == [False, True, False]
    assert imported.files["sha256"].str.len().tolist()[:2] == [64, 64]
    assert "damaged or truncated" in imported.files["problem"].iloc[0]
    assert len(imported.exams) == 3
    assert "Not read: gone.csv" in imported.summary()
    with pytest.raises(UnreadableFileError, match=r"2 that are not: .*book\.xlsx.*gone\.csv"):
        import_legacy([bad, gone], recipe)
    with pytest.raises(ArgumentError, match="An import needs at least one file"):
        import_legacy([], recipe)


def test_ratings_need_bird_and_scorer(tmp_path):
    recipe = ImportRecipe.from_text(
        "version: 1\n"
        "sheets:\n"
        "- file: session.csv\n"
        "  table: ratings\n"
        "  heading_row: 1\n"
        "  columns:\n"
        "    Bird: {field: bird_id}\n"
        "    Scorer: {field: scorer, fill_down: true}\n"
        "    Round: {field: round}\n"
        "    Keel: {field: keel, scale: keel 1 to 5}\n"
    )
    rows = [["Bird", "Scorer", "Round", "Keel"], ["T1", "", "1", "2"], ["T1", "S1", "1", "2½"],
            ["T2", "", "1.5", "x"], ["", "S2", "1", "3"]]  # fmt: skip
    imported = import_legacy(write_csv(tmp_path / "session.csv", rows), recipe)
    assert imported.ratings["bird_id"].tolist() == ["T1", "T2"]
    assert imported.ratings["scorer"].tolist() == ["S1", "S1"]
    assert imported.ratings["keel"].fillna(0).tolist() == [2.5, 0]
    at = outcomes_at(imported)
    assert at.loc["D2", ["outcome", "reason", "value"]].tolist() == [
        "quarantined", "row held: the row names no scorer", "",
    ]  # fmt: skip
    assert at.loc["B5", "reason"] == "row held: the row names no bird"
    assert at.loc["C4", "reason"] == "1.5 is no whole number"
    assert imported.reconciliation.loc[0, ["rows_in", "ratings_out", "rows_held"]].tolist() == [
        5, 2, 2,
    ]  # fmt: skip


def test_workbook_marks_reach_the_ledger(tmp_path):
    book = openpyxl.Workbook()
    sheet = book.active
    for row in ROWS[:3]:
        sheet.append(row)
    sheet["A3"].comment = Comment("ring lost", "clerk")
    sheet["H3"].font = Font(strike=True)
    sheet["E3"] = "=74.9-18"
    path = tmp_path / "book.xlsx"
    book.save(path)
    at = outcomes_at(import_legacy(path, ImportRecipe.from_text(RECIPE)))
    assert at.loc["A3", "reason"] == "comment: ring lost"
    assert at.loc["H3", ["outcome", "reason"]].tolist() == ["set_aside", "struck through"]
    assert (
        at.loc["E3", "reason"]
        == "a formula whose stored result is absent or empty; formula: =74.9-18"
    )


def test_own_fields_and_error_values(tmp_path):
    recipe = ImportRecipe.from_text(
        "version: 1\n"
        "scales: {fat: {low: 0, high: 8, step: 1}}\n"
        "sheets:\n"
        "- file: own.csv\n"
        "  heading_row: 1\n"
        "  columns:\n"
        "    Ring: {field: [ring_number, bird_id]}\n"
        "    Fat: {field: fat, scale: fat}\n"
        "    Crop: {field: crop_fraction, kind: number, low: 0, high: 1}\n"
        "    Seen: {field: seen_on, kind: date}\n"
        "    Egg: {field: gravid}\n"
        "    Wing: {field: wing_mm, unit: mm}\n"
        "    Why: {field: exam_reason}\n"
        "    Age: {field: age_code, system: EURING}\n"
    )
    rows = [["Ring", "Fat", "Crop", "Seen", "Egg", "Wing", "Why", "Age"],
            ["0012", "8", "0.5", "2020-01-02", "yes", "#REF!", "Recheck", "3"],
            ["8.77E+08", "9", "3", "soon", "x", "240", "lost", "6"]]  # fmt: skip
    imported = import_legacy(write_csv(tmp_path / "own.csv", rows), recipe)
    exams = imported.exams
    assert exams.columns.tolist()[len(EXAM_COLUMNS) :] == [
        "fat", "fat_low", "fat_high", "fat_text", "fat_scale", "crop_fraction", "seen_on",
    ]  # fmt: skip
    assert exams.loc[0, ["ring_number", "bird_id", "fat", "crop_fraction"]].tolist() == [
        "0012", "0012", 8.0, 0.5,
    ]  # fmt: skip
    assert str(exams["seen_on"].dtype) == "datetime64[us]"
    assert exams["exam_reason"].tolist()[0] == "recheck"
    assert exams["age_class"].fillna("open").tolist() == ["juvenile", "open"]
    assert exams["age_code"].tolist() == ["3", "6"]
    assert exams["age_code_system"].tolist() == ["EURING", "EURING"]
    reasons = outcomes_at(imported)["reason"]
    assert reasons["F2"] == "an error value of the spreadsheet"
    assert reasons["A3"] == "a number in scientific notation: a spreadsheet cut its digits"
    assert reasons["C3"] == "3 is outside the documented 0 to 1"
    assert (
        outcomes_at(imported).loc[["A3", "B3", "C3", "D3", "E3", "G3"], "outcome"].tolist()
        == ["quarantined"] * 6
    )


def test_a_ditto_mark_with_nothing_above_is_held(tmp_path):
    rows = [*ROWS[:2], ["SK-1", '"', "F", "1/2/2019", "186", "3", "4", "calm"]]
    imported = import_legacy(write_csv(tmp_path / "book.csv", rows), ImportRecipe.from_text(RECIPE))
    assert outcomes_at(imported).loc["B3", "reason"] == "a ditto mark with nothing above it"
    assert imported.exams["species"].isna().all()


def test_exam_numbers_given_twice_are_said(tmp_path):
    recipe = ImportRecipe.from_text(
        "version: 1\nsheets:\n- file: a.csv\n  heading_row: 1\n  columns:\n"
        "    No: {field: exam_id}\n    Wt: {field: mass_g, unit: g}\n"
    )
    rows = [["No", "Wt"], ["E1", "186"], ["E1", "187"], ["", "188"]]
    imported = import_legacy(write_csv(tmp_path / "a.csv", rows), recipe)
    assert imported.exams["exam_id"].tolist() == ["E1", "E1", "a:4"]
    assert "exam_id given to more than one row: E1" in imported.notes


def test_markers_for_no_mass_are_counted_and_can_be_overruled(tmp_path):
    path = write_csv(tmp_path / "a.csv", [["Wt", "No"], ["999", "1"], ["186", "2"]])
    text = (
        "version: 1\nsheets:\n- file: a.csv\n  heading_row: 1\n  columns:\n"
        "    No: {field: bird_id}\n    Wt: {field: mass_g, unit: g%s}\n"
    )
    imported = import_legacy(path, ImportRecipe.from_text(text % ""))
    assert imported.exams["mass_g"].fillna(-1).tolist() == [-1, 186]
    assert imported.notes[-1].startswith(
        "1 cells of 0, 999 or 9999 were read as no value (a.csv a!A2: 999)"
    )
    overruled = import_legacy(path, ImportRecipe.from_text(text % ", codes: {999: 999}"))
    assert overruled.exams["mass_g"].tolist() == [999, 186]


def test_an_account_with_a_lost_cell_is_a_fault():
    texts, kinds = build_grid([["a", "b"]])
    account = open_account(Sheet(file="f.csv", name="f", texts=texts, kinds=kinds))
    with pytest.raises(BodycondError, match=r"must have an outcome\. Found: 2 .*first f!A1"):
        build_ledger([account])
    with pytest.raises(BodycondError, match=r"must be accounted for\. Found: counts .* in f\.csv"):
        build_reconciliation([account])


CELLS = st.one_of(
    st.text(max_size=8),
    st.sampled_from(["", "", '"', "186", "3+", "F", "2019-01-02", "Total", "KES", "-", "#REF!"]),
    st.integers(0, 50000),
    st.floats(allow_nan=False, allow_infinity=False),
    st.booleans(),
    st.dates(),
)
GRIDS = st.lists(st.lists(CELLS, max_size=9), max_size=9)


def make_rule(table):
    names = [
        ("bird_id", {}), ("scorer", {"fill_down": True}), ("mass_g", {"unit": "g"}),
        ("keel", {"scale": "keel 1 to 5"}), ("exam_date", {}), ("sex", {}), ("remarks", {}),
    ]  # fmt: skip
    columns = [
        ColumnRule(heading=f"h{i}", fields=(name,), **more)
        for i, (name, more) in enumerate(names)
        if find_kind(name, table=table, own_kind=None, has_scale=False)
    ]
    columns.append(ColumnRule(heading="h7", ask="what?", fields=("wing_mm",)))
    return SheetRule(file="g", table=table, heading_rows=(2,), columns=tuple(columns))


@given(rows=GRIDS, table=st.sampled_from(["exams", "ratings"]), first=st.none() | st.integers(1, 5))
def test_any_grid_reconciles(rows, table, first):
    rows = [*(rows[:1] or [[]]), [f"h{i}" for i in range(9)], *rows[1:]]
    texts, kinds = build_grid(rows)
    sheet = Sheet(file="g", name="s", texts=texts, kinds=kinds)
    rule = dataclasses.replace(make_rule(table), first_row=first)
    part = import_sheet(sheet, ImportRecipe(sheets=(rule,)), stem="g")
    ledger = build_ledger([part.account])
    counts = build_reconciliation([part.account])
    assert len(ledger) == counts.loc[0, "raw_cells"] == (kinds != " ").sum()
    assert ledger["raw"].tolist() == texts[kinds != " "].tolist()
    out = counts.loc[0, ["exams_out", "ratings_out"]].sum()
    for made in part.tables:
        lengths = {len(array) for array in made.values.values()}
        assert {out, len(made.rows)} | lengths == {out}
    assert part.tables or not out
    explained = ledger["reason"] != ""
    assert (explained | ledger["outcome"].eq("accepted")).all()


PLAIN = st.fixed_dictionaries(
    {
        "Case": st.sampled_from(["SK-1", "SK-2", "SK-3"]),
        "Sp.": st.sampled_from(["KES", "BUZ", "odd"]),
        "Sex": st.sampled_from(["F", "M", "", "w"]),
        "Date": st.sampled_from(["1/2/2019", "soon"]),
        "Wt": st.sampled_from(["186", "240*", "250/248", ""]),
        "KS": st.sampled_from(["3", "3+", "thin", ""]),
        "Cage": st.just("1"),
        "Note": st.sampled_from(["", "calm"]),
    }
)


@given(rows=st.lists(PLAIN, min_size=1, max_size=6), data=st.data())
def test_permuting_rows_permutes_the_result(rows, data):
    order = data.draw(st.permutations(range(len(rows))))
    recipe = ImportRecipe.from_text(RECIPE)

    def read(chosen):
        grid = [[], HEADINGS, *([row[name] for name in HEADINGS] for row in chosen)]
        texts, kinds = build_grid(grid)
        sheet = Sheet(file="book", name="s", texts=texts, kinds=kinds)
        return import_sheet(sheet, recipe, stem="b")

    straight, permuted = read(rows), read([rows[place] for place in order])
    for name, values in straight.tables[0].values.items():
        if name != "exam_id":
            expected = [values[place] for place in order]
            assert permuted.tables[0].values[name].tolist() == expected
    outcomes = straight.account.outcomes[2:][list(order)]
    assert permuted.account.outcomes[2:].tolist() == outcomes.tolist()
