"""A recipe used again: on copies, and on new files with other headings."""

EXAM_COLUMNS = """
    Case no.: {field: bird_id}
    Sp.: {field: species}
    Sex: {field: sex}
    Wt (g): {field: mass_g, unit: g, also: [Weight (g)]}
    Keel (1-5): {field: keel, scale: "keel 1 to 5"}
"""
HEADINGS = ["Case no.", "Sp.", "Sex", "Wt (g)", "Keel (1-5)"]
ROWS = [[f"TR-{i}", "Buteo buteo", "F", 900 + i, 3] for i in range(1, 5)]
SHEETS = {
    "one_year": {
        "file": "exams_2019.csv", "rows": [HEADINGS, *ROWS, ["Mean", "", "", "902.5", "3"]],
        "columns": EXAM_COLUMNS,
    },
    "twice_in_two_files": {
        "files": {
            "exams.csv": {"rows": [HEADINGS, ["TR-1", "Buteo buteo", "F", "945", "3"]]},
            "copy/exams_final.csv": {
                "rows": [HEADINGS, ["TR-1", "Buteo buteo", "F", "945", "3"]]},
        },
        "columns": EXAM_COLUMNS,
    },
    "same_rows_in_another_kind_of_file": {
        "files": {
            "exams.csv": {"rows": [HEADINGS, *([*row[:3], str(row[3]),
                                                str(row[4])] for row in ROWS)]},
            "exams.xlsx": {"rows": [HEADINGS, *ROWS]},
        },
        "columns": EXAM_COLUMNS,
    },
}  # fmt: skip


def test_a_copied_file_is_said(read_mess):
    read = read_mess(SHEETS["twice_in_two_files"])
    assert len(read.exams) == 2
    assert read.exams["exam_id"].is_unique
    assert "files of the same content, each row of them counted 2 times" in read.notes


def test_the_same_table_in_another_kind_of_file_is_said(read_mess):
    read = read_mess(SHEETS["same_rows_in_another_kind_of_file"])
    assert read.exams["mass_g"].tolist() == [901.0, 902.0, 903.0, 904.0] * 2
    (said,) = [note for note in read.imported.notes if "the same table twice?" in note]
    assert "4 rows of exams.csv, sheet exams stand in exams.xlsx, sheet s too" in said


def test_the_recipe_serves_a_new_file_and_a_changed_heading_is_said(read_mess):
    rows = [["Case no.", "Sp.", "Sex", "Body weight", "Keel (1-5)"], *ROWS]
    read = read_mess({**SHEETS["one_year"], "file": "exams_2020.csv", "rows": rows})
    assert read.column("keel") == [3.0] * 4
    assert read.column("mass_g") == [None] * 4
    assert read.asked("D3")["reason"] == "the recipe does not name the column 'Body weight'"
    assert "headings changed: the recipe's 'Wt (g)' not found" in read.notes
    assert "headings that the recipe does not name: 'Body weight'" in read.notes


def test_a_known_other_heading_is_no_change(read_mess):
    rows = [["CASE NO.", " sp.", "Sex", "Weight  (g)", "Keel (1-5)"], *ROWS]
    read = read_mess({**SHEETS["one_year"], "file": "exams_2021.csv", "rows": rows})
    assert read.column("mass_g") == [901.0, 902.0, 903.0, 904.0]
    assert "headings changed" not in read.notes
    assert read.held.empty


def test_a_new_file_with_its_columns_in_another_order_is_read_alike(read_mess):
    rows = [row[::-1] for row in SHEETS["one_year"]["rows"][:-1]]
    turned = read_mess({**SHEETS["one_year"], "file": "turned.csv", "rows": rows})
    names = ["bird_id", "species", "sex", "mass_g", "keel"]
    assert turned.exams[names].equals(read_mess(SHEETS["one_year"]).exams[names])
    assert "headings changed" not in turned.notes
