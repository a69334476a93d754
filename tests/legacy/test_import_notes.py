"""What an import says beside its tables: copies of a file, entries that are never used."""

import pandas as pd

from bodycond.legacy import ImportRecipe, import_legacy
from bodycond.legacy.import_notes import note_same_rows

ENTRY = '- file: "{file}"\n  heading_row: 1\n  columns:\n    Ring: {{field: ring_number}}\n'
TABLE = "Ring\nA1\nA2\n"


def make_recipe(*files):
    return ImportRecipe.from_text(
        "version: 1\nsheets:\n" + "".join(ENTRY.format(file=file) for file in files)
    )


def test_one_file_under_two_paths_is_read_once(tmp_path):
    path = tmp_path / "a.csv"
    path.write_text(TABLE, encoding="utf-8")
    other_way = tmp_path / ".." / tmp_path.name / "a.csv"
    imported = import_legacy([path, other_way], make_recipe("a.csv"))
    assert imported.exams["exam_id"].tolist() == ["a:2", "a:3"]


def test_two_files_of_the_same_content_are_both_read_and_said(tmp_path):
    paths = [tmp_path / "a.csv", tmp_path / "copy of a.csv"]
    for path in paths:
        path.write_text(TABLE, encoding="utf-8")
    imported = import_legacy(paths, make_recipe("*.csv"))
    assert len(imported.exams) == 4
    assert imported.notes[-1] == (
        "files of the same content, each row of them counted 2 times: a.csv, copy of a.csv"
    )


def test_entries_that_read_nothing_say_why(tmp_path):
    path = tmp_path / "a.csv"
    path.write_text(TABLE, encoding="utf-8")
    notes = import_legacy(path, make_recipe("*.csv", "a.csv", "b.csv")).notes
    said = [note.split("sheet ")[1] for note in notes if note.startswith("the recipe's entry")]
    assert said == [
        "* (line 7), is not used: an entry above it matches the same sheets",
        "* (line 11), matches no sheet",
    ]


def make_exams(sheets):
    rows = [
        (f"{name}:{i}", f"K{i}", "Buteo buteo", "F", pd.Timestamp("2019-05-01"), 900.0 + i, name,
         name, i)
        for name, numbers in sheets.items()
        for i in numbers
    ]  # fmt: skip
    names = ["exam_id", "bird_id", "species", "sex", "exam_date", "mass_g", "source_file",
             "source_sheet", "source_row"]  # fmt: skip
    return pd.DataFrame(rows, columns=names)


def test_a_table_that_stands_in_two_files_is_noted():
    notes = note_same_rows(make_exams({"a": range(10), "b": range(4, 9), "c": range(20, 30)}))
    assert notes == [
        "the same table twice? 5 rows of a, sheet a stand in b, sheet b too; they are counted in "
        "both, so set one of them aside if they are copies"
    ]


def test_few_rows_alike_and_rows_alike_on_one_sheet_are_no_copies():
    assert note_same_rows(make_exams({"a": range(10), "b": range(8, 20)})) == []
    assert note_same_rows(make_exams({"a": [1, 1, 1, 1, 1], "b": [2, 2, 2, 2]})) == []
    assert note_same_rows(make_exams({"a": range(3)})) == []


def test_of_very_many_copies_each_is_held_against_the_first():
    names = [f"{number:03}" for number in range(60)]
    notes = note_same_rows(make_exams({name: range(5) for name in names}))
    assert len(notes) == 59
    assert all("5 rows of 000, sheet 000 stand in" in note for note in notes)
