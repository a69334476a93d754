"""Where the table stands on a sheet: titles, units, totals, several tables, years, repeats."""

import openpyxl

KEEL = '{field: keel, scale: "keel 1 to 5"}'
EXAM_COLUMNS = f"""
    Case no.: {{field: bird_id}}
    Sp.: {{field: species}}
    Sex: {{field: sex}}
    Wt (g): {{field: mass_g, unit: g}}
    Keel (1-5): {KEEL}
"""
ROWS = [[f"TR-{i}", "Buteo buteo", "F", 900 + i, 3] for i in range(1, 5)]
HEADINGS = ["Case no.", "Sp.", "Sex", "Wt (g)", "Keel (1-5)"]


def merge_headings(book):
    page = book["s"]
    page.merge_cells("C1:D1")
    page.merge_cells("E1:F1")
    page.merge_cells("A3:A4")


def merge_species(book):
    book["s"].merge_cells("A2:A4")


SHEETS = {
    "titles_units_and_totals": {
        "file": "tarnmere_2019.csv",
        "rows": [
            ["Tarnmere Raptor Network", "", "", "", ""],
            ["exams of 2019, typed by S1", "", "", "", ""],
            ["", "", "", "", ""],
            [*HEADINGS[:3], "Wt", "Keel (1-5)"],
            ["", "", "", "g", ""],
            ["TR-1", "Buteo buteo", "F", "945", "3"],
            ["", "", "", "", ""],
            ["TR-2", "Buteo buteo", "M", "780", "2.5"],
            ["", "", "", "", ""],
            ["Total", "", "", "1725", ""],
            ["Average:", "", "", "862.5", "2.75"],
            ["n = 2", "", "", "", ""],
        ],
        "recipe": f"""
sheets:
- file: "*"
  heading_row: 4
  units_row: 5
  columns:{EXAM_COLUMNS.replace("Wt (g)", "Wt")}
""",
    },
    "two_row_headings": {
        "file": "two_rows.xlsx",
        "rows": [["Case no.", "Sex", "Mass (g)", None, "Wing (mm)", None],
                 [None, None, "gross", "tare", "left", "right"],
                 ["TR-1", "F", 960, 15, 391, 392], [None, "M", 800, 20, 377, 378]],
        "mark": merge_headings,
        "recipe": """
sheets:
- file: "*"
  heading_row: [1, 2]
  columns:
    Case no.: {field: bird_id}
    Sex: {field: sex}
    Mass (g) gross: {field: mass_g, part: gross, unit: g}
    Mass (g) tare: {field: mass_g, part: tare, unit: g}
    Wing (mm) left: {field: wing_mm, unit: mm}
    Wing (mm) right: {field: wing_right_mm, kind: number}
""",
    },
    "repeated_headings": {
        "file": "pages.csv",
        "rows": [HEADINGS, ["TR-1", "Buteo buteo", "F", "945", "3"], HEADINGS,
                 ["TR-2", "Buteo buteo", "M", "780", "2.5"], ["", "", "", "", ""], HEADINGS,
                 ["TR-3", "Strix aluco", "U", "420", "3"]],
        "columns": EXAM_COLUMNS,
    },
    "side_by_side": {
        "file": "pair.csv",
        "rows": [["Males", "", "", "", "Females", "", ""],
                 ["Case no.", "Wt (g)", "Wing (mm)", "", "Case no.", "Wt (g)", "Wing (mm)"],
                 ["TR-1", "780", "377", "", "TR-2", "945", "391"],
                 ["TR-3", "801", "380", "", "", "", ""]],
        "recipe": """
sheets:
- file: "*"
  area: A1:C9
  heading_row: 2
  constants: {sex: M}
  columns:
    Case no.: {field: bird_id}
    Wt (g): {field: mass_g, unit: g}
    Wing (mm): {field: wing_mm, unit: mm}
- file: "*"
  area: E1:G9
  heading_row: 2
  constants: {sex: F}
  columns:
    Case no.: {field: bird_id}
    Wt (g): {field: mass_g, unit: g}
    Wing (mm): {field: wing_mm, unit: mm}
""",
    },
    "stacked": {
        "file": "stacked.csv",
        "rows": [["Buzzards", "", "", ""], ["Case no.", "Wt (g)", "Wing (mm)", "Sex"],
                 ["TR-1", "780", "377", "M"], ["", "", "", ""], ["Kestrels", "", "", ""],
                 ["Case no.", "Sex", "Wt (g)", "Tail (mm)"], ["TR-2", "F", "220", "165"]],
        "recipe": """
sheets:
- file: "*"
  starts_at: Buzzards
  heading_row: 2
  constants: {species: Buteo buteo}
  columns:
    Case no.: {field: bird_id}
    Wt (g): {field: mass_g, unit: g}
    Wing (mm): {field: wing_mm, unit: mm}
    Sex: {field: sex}
- file: "*"
  starts_at: Kestrels
  heading_row: 2
  constants: {species: Falco tinnunculus}
  columns:
    Case no.: {field: bird_id}
    Sex: {field: sex}
    Wt (g): {field: mass_g, unit: g}
    Tail (mm): {field: tail_mm, unit: mm}
""",
    },
    "years_on_sheets": {
        "file": "tarnmere_all.xlsx",
        "sheets": {
            "2018": [["Case", "Date", "Wt (g)", "KS (1-5)"], ["TR-1", "3.5.", 945, 3]],
            "2019": [["Case no.", "Date", "Wing (mm)", "Weight (g)", "Keel (1-5)"],
                     ["TR-9", "14.6.", 391, 780, "2+"]],
            "Codes": [["KES", "kestrel"], ["BUZ", "buzzard"]],
        },
        "recipe": """
sheets:
- file: "*"
  sheet: "20*"
  heading_row: 1
  columns:
    Case: {field: bird_id, also: [Case no.]}
    Date: {field: exam_date, date_order: dmy, year: sheet}
    Wt (g): {field: mass_g, unit: g, also: [Weight (g)]}
    Wing (mm): {field: wing_mm, unit: mm}
    KS (1-5): {field: keel, scale: "keel 1 to 5", also: [Keel (1-5)]}
- {file: "*", sheet: Codes, table: set_aside, why: a list of codes}
""",
    },
    "dittos": {
        "file": "dittos.csv",
        "rows": [HEADINGS, ["TR-1", "Buteo buteo", "F", "945", "3"],
                 ["TR-2", '"', '"', "930", '"'], ["TR-3", "do.", "M", "780", "ditto"],
                 ["TR-4", "〃", "", "790", "-\"-"]],
        "columns": EXAM_COLUMNS,
    },
    "blocks_to_fill_down": {
        "file": "blocks.xlsx",
        "rows": [["Species", "Date", "Ring", "Wt (g)"], ["Buteo buteo", "2019-05-03", "EE01", 945],
                 [None, None, "EE02", 930], [None, "2019-05-04", "EE03", 780],
                 ["Strix aluco", None, "EE04", 420]],
        "mark": merge_species,
        "columns": """
            Species: {field: species, fill_down: true}
            Date: {field: exam_date, fill_down: true}
            Ring: {field: ring_number}
            Wt (g): {field: mass_g, unit: g}
        """,
        "also_right": {"Ring": [("bird_id",)]},
    },
    "no_rows": {"file": "empty.csv", "rows": [HEADINGS], "columns": EXAM_COLUMNS},
    "a_note_below": {
        "file": "note.csv",
        "rows": [HEADINGS, ["TR-1", "Buteo buteo", "F", "945", "3"],
                 ["weighed on the new balance", "", "", "", ""]],
        "columns": EXAM_COLUMNS,
    },
}  # fmt: skip


def test_titles_units_blanks_and_totals_are_no_exams(read_mess):
    read = read_mess(SHEETS["titles_units_and_totals"])
    assert read.column("mass_g") == [945.0, 780.0]
    assert read.exams["source_row"].tolist() == [6, 8]
    assert read.at("A1")["reason"] == "above the headings: a title or note"
    assert read.at("D4")["outcome"] == "set_aside"
    assert read.at("D5")["outcome"] == "set_aside"
    for place, word in (("A10", "Total"), ("D11", "Average:"), ("A12", "n = 2")):
        assert read.at(place)["outcome"] == "set_aside"
        assert word in read.at(place)["reason"]
    assert read.held.empty


def test_two_rows_of_merged_headings_name_each_column(read_mess):
    read = read_mess(SHEETS["two_row_headings"])
    assert read.column("mass_g") == [945.0, 780.0]
    assert read.column("wing_mm") == [391.0, 377.0]
    assert read.column("wing_right_mm") == [392.0, 378.0]
    assert "headings changed" not in read.notes


def test_headings_that_come_again_are_no_exams(read_mess):
    read = read_mess(SHEETS["repeated_headings"])
    assert read.column("bird_id") == ["TR-1", "TR-2", "TR-3"]
    assert {read.at(place)["outcome"] for place in ("A3", "E3", "A6")} == {"set_aside"}
    assert "heading" in read.at("A3")["reason"]


def test_two_tables_side_by_side(read_mess):
    read = read_mess(SHEETS["side_by_side"])
    got = read.exams.set_index("bird_id")
    assert got["sex"].to_dict() == {"TR-1": "M", "TR-3": "M", "TR-2": "F"}
    assert got["wing_mm"].to_dict() == {"TR-1": 377, "TR-3": 380, "TR-2": 391}
    assert read.exams["exam_id"].is_unique


def test_two_tables_one_below_the_other(read_mess):
    read = read_mess(SHEETS["stacked"])
    assert read.column("species") == ["Buteo buteo", "Falco tinnunculus"]
    assert read.column("wing_mm") == [377.0, None]
    assert read.column("tail_mm") == [None, 165.0]
    assert read.column("sex") == ["M", "F"]
    assert read.held.empty


def test_one_sheet_a_year_with_columns_that_drift(read_mess):
    read = read_mess(SHEETS["years_on_sheets"])
    assert read.days() == ["2018-05-03", "2019-06-14"]
    assert read.column("mass_g") == [945.0, 780.0]
    assert read.column("wing_mm") == [None, 391.0]
    assert read.column("keel_high") == [3.0, 2.5]
    assert read.exams["source_sheet"].tolist() == ["2018", "2019"]
    assert "the recipe's 'Wing (mm)' not found" in read.notes
    codes = read.ledger[read.ledger["sheet"].eq("Codes")]
    assert set(codes["outcome"]) == {"set_aside"}
    assert codes["reason"].str.contains("a list of codes").all()


def test_ditto_marks_repeat_the_cell_above_and_say_so(read_mess):
    read = read_mess(SHEETS["dittos"])
    assert read.column("species") == ["Buteo buteo"] * 4
    assert read.column("keel") == [3.0] * 4
    assert read.column("sex") == ["F", "F", "M", "U"]
    assert read.at("B3")["reason"].startswith("a ditto mark: repeats B2 'Buteo buteo'")
    assert read.at("E5")["raw"] == '-"-'


def test_blocks_are_filled_down_where_the_recipe_says_so(read_mess):
    read = read_mess(SHEETS["blocks_to_fill_down"])
    assert read.column("species") == ["Buteo buteo"] * 3 + ["Strix aluco"]
    assert read.days() == ["2019-05-03", "2019-05-03", "2019-05-04", "2019-05-04"]
    assert read.counts.loc[0, "raw_cells"] == len(read.ledger) == 20 - 4


def test_a_heading_without_rows_is_an_answer(read_mess):
    read = read_mess(SHEETS["no_rows"])
    assert len(read.exams) == 0
    assert read.counts.loc[0, ["rows_in", "rows_not_exams", "set_aside"]].tolist() == [1, 1, 5]


def test_a_note_below_the_table_is_held(read_mess):
    read = read_mess(SHEETS["a_note_below"])
    assert len(read.exams) == 1
    assert read.asked("A3")["reason"] == "a cell alone in its row: a note or an exam?"
    assert read.counts.loc[0, "rows_held"] == 1


def test_the_merged_fixture_is_merged(write_mess):
    book = openpyxl.load_workbook(write_mess(SHEETS["two_row_headings"])[0])
    assert len(book["s"].merged_cells.ranges) == 3
