"""Drafts: what is certain is filled in, everything else is asked and stays quarantined."""

import openpyxl
import pytest

from bodycond.errors import ArgumentError, UnreadableFileError
from bodycond.legacy import ImportRecipe, draft_recipe, import_legacy


def draft(tmp_path, rows, *, name="book.csv"):
    path = tmp_path / name
    path.write_text("\n".join(";".join(row) for row in rows) + "\n", encoding="utf-8")
    recipe = draft_recipe(path)
    return path, recipe, {column.heading: column for column in recipe.sheets[0].columns}


ROWS = [
    ["Exam book", "", "", "", "", "", "", ""],
    ["Case no.", "Date", "Wt", "Wing", "KS", "Sex", "Sp.", "Cage"],
    ["", "", "g", "mm", "1-5", "", "", ""],
    ["SK-1", "22/02/2019", "186", "240", "3+", "F", "KES", "4"],
    ["SK-2", "01/03/2019", "190,5", "241", "2.5", "M", "KES", "5"],
]


def test_certain_columns_are_filled_in(tmp_path):
    _, recipe, columns = draft(tmp_path, ROWS)
    assert recipe.sheets[0].heading_rows == (2,)
    assert recipe.sheets[0].units_row == 3
    assert (columns["Wt"].fields, columns["Wt"].unit) == (("mass_g",), "g")
    assert columns["Wt"].decimal == "comma"
    assert columns["Wing"].unit == "mm"
    assert columns["KS"].scale == "keel 1 to 5"
    assert columns["Date"].date_order == "dmy"
    assert all(columns[name].ask is None for name in ("Case no.", "Date", "Wt", "Wing", "KS"))
    assert all(columns[name].confidence >= 0.9 for name in ("Date", "Wt", "Wing", "KS"))


def test_what_is_not_certain_is_asked_and_held(tmp_path):
    path, recipe, columns = draft(tmp_path, ROWS)
    assert columns["Sp."].ask.startswith("2 of 2 cells cannot be read: 'KES'")
    assert columns["Cage"].ask.startswith("What does it hold? It holds '4', '5'.")
    assert len(recipe.questions) == 2
    imported = import_legacy(path, recipe)
    assert imported.exams["species"].isna().all()
    held = imported.quarantine.set_index("address")["reason"]
    assert set(held.index) == {"book!G4", "book!H4", "book!G5", "book!H5"}
    assert set(held) == {"the recipe leaves the column undecided"}
    assert imported.exams["mass_g"].tolist() == [186.0, 190.5]


@pytest.mark.parametrize(
    ("heading", "cells", "question"),
    [
        ("Date", ["01/02/2019", "03/04/2019"], "all 2 dates can be read both ways"),
        ("Date", ["22/02/2019", "03/14/2019"], "1 cells can only be day first and 1 only month"),
        ("Wing", ["240", "238"], "In which unit are bare numbers (mm, cm, in)?"),
        ("Weight", ["240", "238"], "2 numbers from 238 to 240"),
        ("Wt (lb/oz)", ["2.5", "1.3"], "Is 2.5 here 2 lb 5 oz"),
        ("Keel", ["3", "2.5"], "Which score scale is this, and which chart?"),
        ("Keel (0-4)", ["3", "2.5"], "The heading says 0 to 4."),
        ("Keel (1-5)", ["3/5", "4/9"], "Some cells end in /5, 9."),
        ("Age", ["2", "4"], "Name the system (BBL, EURING)"),
        ("BCS", ["3", "2"], "Which score scale"),
        ("By", ["S01", "S02"], "Is this scorer?"),
    ],
)
def test_questions(tmp_path, heading, cells, question):
    rows = [["Case no.", "Sex", heading], *(["a", "F", cell] for cell in cells)]
    _, recipe, columns = draft(tmp_path, rows)
    assert question in columns[heading].ask
    assert columns[heading].confidence < 0.9
    assert any(question in asked for asked in recipe.questions)


def test_unmistakable_evidence_in_the_cells_is_enough(tmp_path):
    rows = [
        ["Case no.", "Keel", "Wt", "Age (EURING)", "Date"],
        ["a", "2.5/5", "186 g", "3", "2019-01-02"],
        ["b", "3/5", "2 lb 5 oz", "5", "2019-01-03"],
    ]
    path, recipe, columns = draft(tmp_path, rows)
    assert columns["Keel"].scale == "keel 1 to 5"
    assert recipe.questions == ()
    exams = import_legacy(path, recipe).exams
    assert exams["keel"].tolist() == [2.5, 3.0]
    assert exams["age_class"].tolist() == ["juvenile", "immature"]


def test_two_columns_for_one_field_are_asked_about(tmp_path):
    rows = [["Case no.", "Weight (g)", "Mass (g)"], ["a", "186", "187"]]
    _, _, columns = draft(tmp_path, rows)
    assert "More than one column looks like mass_g" in columns["Weight (g)"].ask
    assert "More than one column looks like mass_g" in columns["Mass (g)"].ask


def test_day_month_and_year_make_one_date(tmp_path):
    rows = [["Ring", "Month", "Day", "Year", "Wing (mm)"], ["a", "9", "19", "1992", "240"]]
    path, recipe, _ = draft(tmp_path, rows)
    assert import_legacy(path, recipe).exams["exam_date"].dt.strftime("%Y-%m-%d").tolist() == [
        "1992-09-19"
    ]


def test_scoring_sessions_are_told_from_exams(tmp_path):
    rows = [
        ["Session", "Bird", "Scorer", "Round", "Date", "Keel (1-5)"],
        ["1", "TR-1", "S01", "1", "2022-10-05", "3"],
    ]
    path, recipe, _ = draft(tmp_path, rows)
    assert recipe.sheets[0].table == "ratings"
    imported = import_legacy(path, recipe)
    assert len(imported.exams) == 0
    assert imported.ratings.loc[0, ["bird_id", "scorer", "keel"]].tolist() == ["TR-1", "S01", 3.0]


def test_sheets_without_a_table_are_asked_about(tmp_path):
    book = openpyxl.Workbook()
    book.active.append(["Code", "Meaning"])
    book.active.append(["KES", "kestrel"])
    book.create_sheet("Empty")
    path = tmp_path / "a.xlsx"
    book.save(path)
    recipe = draft_recipe(path)
    assert recipe.sheets[0].ask.startswith("No row of headings was recognised.")
    assert recipe.sheets[1].table == "set_aside"
    imported = import_legacy(path, recipe)
    assert imported.reconciliation["quarantined"].tolist() == [4, 0]


def test_draft_survives_saving_and_imports_alike(tmp_path):
    path, recipe, _ = draft(tmp_path, ROWS)
    recipe.save(tmp_path / "draft.yaml")
    again = ImportRecipe.load(tmp_path / "draft.yaml")
    assert again.questions == recipe.questions
    assert again.fields.equals(recipe.fields)
    assert import_legacy(path, again).ledger.equals(import_legacy(path, recipe).ledger)


def test_unreadable_files_are_asked_about_or_raised(tmp_path):
    path, _, _ = draft(tmp_path, ROWS)
    empty = tmp_path / "empty.csv"
    empty.write_bytes(b"")
    seen = []
    recipe = draft_recipe([path, empty], progress=seen.append)
    assert seen == ["book.csv", "empty.csv"]
    assert "The file could not be read (an empty file)" in recipe.questions[0]
    with pytest.raises(UnreadableFileError, match=r"At least one file must be readable.*1 that is"):
        draft_recipe(empty)
    with pytest.raises(ArgumentError, match="A draft needs at least one file"):
        draft_recipe([])


def test_a_second_table_with_other_headings_is_asked_about_and_held(tmp_path):
    rows = [
        ["Case no.", "Wt (g)", "Wing (mm)"],
        ["a", "186", "240"],
        ["Case no.", "Wing (mm)", "Wt (g)"],
        ["b", "241", "190"],
    ]
    path, recipe, _ = draft(tmp_path, rows)
    assert recipe.sheets[1].ask.startswith(
        "Another table seems to stand here: headings in row 3 with no empty row above them."
    )
    assert len(import_legacy(path, recipe).exams) == 0
    _, repeated, _ = draft(tmp_path, [*rows[:2], rows[0], ["b", "190", "241"]])
    assert repeated.sheets[0].ask is None


@pytest.mark.parametrize("part", ["band prefix", "Préfixe"])
def test_a_ring_number_in_two_columns_is_put_together(tmp_path, part):
    rows = [[part, "band #", "Wing (mm)", "Date"], ["0941", "17121", "240", "2020-01-02"]]
    path, recipe, columns = draft(tmp_path, rows)
    assert columns["band #"].ask is None
    assert import_legacy(path, recipe).exams["ring_number"].tolist() == ["0941-17121"]
    rows[1][0] = "X"
    _, _, columns = draft(tmp_path, rows)
    assert "A part alone names no bird" in columns["band #"].ask
    _, _, whole = draft(tmp_path, [["band #", "Sex"], ["0941-17121", "F"]])
    assert whole["band #"].ask is None


def test_a_column_of_zeros_for_rings_is_asked_about(tmp_path):
    rows = [["Band Number", "Sex"], ["4859", "F"], ["0", "F"], ["0", "M"]]
    _, _, columns = draft(tmp_path, rows)
    assert columns["Band Number"].ask.startswith("2 of 3 cells cannot be read: '0'")


def test_fields_of_a_draft_name_the_files_that_its_patterns_stand_for(tmp_path):
    for year in (2003, 2004):
        path = tmp_path / f"hawks_{year}.csv"
        path.write_text(f"Case,Sex,Wing (mm)\nK{year},F,230\nL{year},M,210\n", encoding="utf-8")
    draft = draft_recipe(sorted(tmp_path.iterdir()))
    assert [rule.file for rule in draft.sheets] == ["hawks_200?.csv"]
    wings = draft.fields.query("field == 'wing_mm'")
    assert wings["file"].tolist() == ["hawks_2003.csv", "hawks_2004.csv"]
    assert wings["sheet"].tolist() == ["hawks_2003", "hawks_2004"]
    draft.save(tmp_path / "recipe.yaml")
    again = ImportRecipe.load(tmp_path / "recipe.yaml")
    assert set(again.fields["file"]) == {"hawks_200?.csv"}
