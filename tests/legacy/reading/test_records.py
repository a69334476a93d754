"""Records of a row: one, or one for each scorer or date that headings name."""

import pandas as pd

WIDE = """
sheets:
- file: "*"
  table: exams
  heading_row: 1
  columns:
    Case: {field: bird_id}
    Date: {field: exam_date}
    Mass: {field: mass_g, unit: g}
    Keel S1: {field: keel, scale: "keel 1 to 5", into: ratings, with: {scorer: S1}}
    Keel S2: {field: keel, scale: "keel 1 to 5", into: ratings, with: {scorer: S2}}
"""
WIDE_ROWS = [
    ["Case", "Date", "Mass", "Keel S1", "Keel S2"],
    ["a", "2019-05-03", 950, 3, "3+"],
    ["b", "2019-05-04", 960, "", 2],
    ["c", "2019-05-05", 970, "", ""],
    ["", "2019-05-06", 980, 4, ""],
    ["e", "2019-05-07", 990, "3 4", 3],
]
BY_DATE = """
sheets:
- file: "*"
  table: exams
  heading_row: 1
  columns:
    Case: {field: bird_id}
    "2019-05-03": {field: mass_g, unit: g, with: {exam_date: 2019-05-03}}
    "2019-05-10": {field: mass_g, unit: g, with: {exam_date: 2019-05-10}}
    Remark: {field: remarks}
"""
VISITS = """
sheets:
- file: "*"
  table: exams
  heading_row: 1
  columns:
    Case: {field: bird_id}
    Wt 1: {field: mass_g, unit: g, with: {exam_reason: intake}}
    Keel 1: {field: keel, scale: "keel 1 to 5", with: {exam_reason: intake}}
    Wt 2: {field: mass_g, unit: g, with: {exam_reason: recheck}}
    Keel 2: {field: keel, scale: "keel 1 to 5", with: {exam_reason: recheck}}
"""


def test_a_column_for_each_scorer_becomes_ratings_of_the_exam(read_sheet):
    read = read_sheet(WIDE_ROWS, WIDE)
    assert read.exams["bird_id"].fillna("").tolist() == ["a", "b", "c", "", "e"]
    got = read.ratings[["exam_id", "bird_id", "scorer", "keel_text"]].fillna("")
    assert got.to_numpy().tolist() == [
        ["b:2", "a", "S1", "3"], ["b:2", "a", "S2", "3+"], ["b:3", "b", "S2", "2"],
        ["b:6", "e", "S1", "3 4"], ["b:6", "e", "S2", "3"],
    ]  # fmt: skip
    assert read.ratings["rated_on"].dt.strftime("%d").tolist() == ["03", "03", "04", "07", "07"]
    assert read.ratings["keel"].isna().tolist() == [False, True, False, True, False]
    counts = read.counts
    assert (counts["rows_in"], counts["rows_spread"]) == (6, 5)
    assert (counts["exams_out"], counts["ratings_out"], counts["rows_not_exams"]) == (5, 5, 1)


def test_a_rating_without_a_bird_is_held_and_its_exam_stays(read_sheet):
    read = read_sheet(WIDE_ROWS, WIDE)
    assert read.quarantine.loc["s!D5", "reason"] == "no bird is named for the rating"
    assert read.quarantine.loc["s!D5", "likely"] == "4"
    assert read.at("C5")["outcome"] == "accepted"
    assert read.exams.loc[3, "mass_g"] == 980


def test_a_held_grade_names_its_exam(read_sheet):
    assert read_sheet(WIDE_ROWS, WIDE).quarantine.loc["s!D6", "exam_id"] == "b:6"


def test_a_column_for_each_date_becomes_an_exam_of_that_day(read_sheet):
    rows = [["Case", "2019-05-03", "2019-05-10", "Remark"], ["a", 950, 960, "calm"],
            ["b", "", 970, ""], ["c", "", "", "escaped"]]  # fmt: skip
    read = read_sheet(rows, BY_DATE)
    got = read.exams[["exam_id", "bird_id", "mass_g", "remarks"]]
    got = got.astype(object).fillna("")
    assert got.to_numpy().tolist() == [
        ["b:2.1", "a", 950, "calm"], ["b:2.2", "a", 960, "calm"], ["b:3.2", "b", 970, ""],
    ]  # fmt: skip
    days = pd.to_datetime(["2019-05-03", "2019-05-10", "2019-05-10"])
    assert read.exams["exam_date"].tolist() == days.tolist()
    # A row without any mass is no exam, and what else it says is held, not lost.
    assert read.at("D4")["outcome"] == "quarantined"
    assert read.at("D4")["reason"] == (
        "row held: none of the columns that make a record holds anything"
    )
    assert read.counts["rows_held"] == 1


def test_columns_with_the_same_words_make_one_record(read_sheet):
    rows = [["Case", "Wt 1", "Keel 1", "Wt 2", "Keel 2"], ["a", 950, 3, 960, ""],
            ["b", "", 2, "", ""]]  # fmt: skip
    got = read_sheet(rows, VISITS).exams[["bird_id", "exam_reason", "mass_g", "keel"]]
    got = got.astype(object).fillna(-1)
    assert got.to_numpy().tolist() == [
        ["a", "intake", 950, 3], ["a", "recheck", 960, -1], ["b", "intake", -1, 2],
    ]  # fmt: skip


IN_AND_OUT = """
sheets:
- file: "*"
  heading_row: 1
  needs: mass_g
  columns:
    Exam: {field: exam_id}
    Case: {field: bird_id}
    Note: {field: remarks}
    Wt in: {field: mass_g, unit: g, with: {exam_reason: intake}}
    Date in: {field: exam_date, with: {exam_reason: intake}}
    Wing: {field: wing_mm, unit: mm, with: {exam_reason: intake}}
    Wt out: {field: mass_g, unit: g, with: {exam_reason: pre_release, remarks: repeat weighing}}
    Date out: {field: exam_date, with: {exam_reason: pre_release, remarks: repeat weighing}}
"""
IN_AND_OUT_ROWS = [
    ["Exam", "Case", "Note", "Wt in", "Date in", "Wing", "Wt out", "Date out"],
    ["E1", "a", "calm", 900, "2019-05-03", 380, 950, "2019-06-03"],
    ["", "b", "", 910, "2019-05-04", 381, "", "2019-06-04"],
    ["E3", "c", "", "", "", "", "96O", "2019-06-05"],
    ["E4", "d", "", "", "2019-05-06", "", "", ""],
]


def test_a_second_weighing_of_a_row_is_an_exam_of_its_own(read_sheet):
    read = read_sheet(IN_AND_OUT_ROWS, IN_AND_OUT)
    names = ["exam_id", "bird_id", "exam_reason", "mass_g", "wing_mm", "remarks"]
    got = read.exams[names].astype(object)
    assert got.where(got.notna(), "").to_numpy().tolist() == [
        ["E1", "a", "intake", 900, 380, "calm"],
        ["E1.2", "a", "pre_release", 950, "", "calm; repeat weighing"],
        ["b:3.1", "b", "intake", 910, 381, ""],
        ["E3.2", "c", "pre_release", "", "", "repeat weighing"],
    ]  # fmt: skip
    days = read.exams["exam_date"].dt.strftime("%m-%d").tolist()
    assert days == ["05-03", "06-03", "05-04", "06-05"]
    assert read.quarantine.loc["s!G4", "exam_id"] == "E3.2"
    counts = read.counts
    assert (counts["rows_in"], counts["rows_spread"], counts["exams_out"]) == (5, 1, 4)
    assert (counts["rows_held"], counts["rows_not_exams"]) == (0, 2)


def test_a_day_without_its_weighing_makes_no_exam_where_a_mass_is_needed(read_sheet):
    read = read_sheet(IN_AND_OUT_ROWS, IN_AND_OUT)
    said = read.at("H3")[["outcome", "value", "reason"]].tolist()
    assert said == ["set_aside", "", "no exam of its own: it holds no mass_g"]
    without = read_sheet(IN_AND_OUT_ROWS, IN_AND_OUT.replace("  needs: mass_g\n", ""))
    assert without.exams["exam_id"].tolist() == ["E1", "E1.2", "b:3.1", "b:3.2", "E3.2", "E4"]


def test_two_numbers_of_exams_in_a_row_are_kept_as_they_are(read_sheet):
    twice = (
        "Exam in: {field: exam_id, with: {exam_reason: intake}}\n    Exam out: "
        "{field: exam_id, with: {exam_reason: pre_release, remarks: repeat weighing}}"
    )
    recipe = IN_AND_OUT.replace("Exam: {field: exam_id}", twice)
    rows = [["Exam in", "Exam out", "Case", "Wt in", "Wt out"], ["E1", "E9", "a", 900, 950]]
    assert read_sheet(rows, recipe).exams["exam_id"].tolist() == ["E1", "E9"]


def test_a_unit_in_the_column_beside(read_sheet):
    recipe = """
sheets:
- file: "*"
  table: exams
  heading_row: 1
  columns:
    Case: {field: bird_id}
    Wt: {field: mass_g, unit_from: Unit}
    Unit: {set_aside: gives the unit of Wt}
"""
    rows = [["Case", "Wt", "Unit"], ["a", 950, "g"], ["b", 1.5, "kg"], ["c", 2, "lbs"],
            ["d", 900, ""], ["e", 12, "mm"]]  # fmt: skip
    read = read_sheet(rows, recipe)
    assert read.exams["mass_g"].fillna(0).tolist() == [950, 1500, 2 * 453.59237, 0, 0]
    assert read.at("B5")["outcome"] == read.at("B6")["outcome"] == "quarantined"


def test_cells_of_two_values(read_sheet):
    recipe = """
sheets:
- file: "*"
  table: exams
  heading_row: 1
  columns:
    Case: {field: bird_id}
    Age/Sex: {split: "{age_code}/{sex}", system: BBL}
    Wing x Tail: {split: "{wing_mm} x {tail_mm}", unit: mm}
"""
    rows = [["Case", "Age/Sex", "Wing x Tail"], ["a", "ASY/M", "322x143"], ["b", "SY", "367 x 177"],
            ["c", "ASY/Y", "322"]]  # fmt: skip
    read = read_sheet(rows, recipe)
    got = read.exams[["age_code", "sex", "wing_mm", "tail_mm"]]
    got = got.astype(object).fillna("")
    assert got.to_numpy().tolist() == [
        ["ASY", "M", 322.0, 143.0], ["", "", 367.0, 177.0], ["", "", "", ""],
    ]  # fmt: skip
    assert read.quarantine.loc["s!B3", "reason"] == "the cell does not fit '{age_code}/{sex}'"
    assert read.at("C2")["outcome"] == "converted"
    assert read.at("C2")["reason"] == "wing_mm is '322'; tail_mm is '143'"
    assert read.at("B4")["outcome"] == "quarantined"


def test_rows_without_a_needed_field_are_no_exams(read_sheet):
    recipe = """
sheets:
- file: "*"
  table: exams
  heading_row: 1
  needs: mass_g
  columns:
    Case: {field: bird_id}
    Wt: {field: mass_g, unit: g}
    Seen: {set_aside: no field for it}
"""
    rows = [["Case", "Wt", "Seen"], ["a", 950, "x"], ["b", "", "x"], ["c", "n/a", ""],
            ["d", "250/248", ""]]  # fmt: skip
    read = read_sheet(rows, recipe)
    assert read.exams["bird_id"].tolist() == ["a", "d"]
    assert read.at("A3")["outcome"] == read.at("A4")["outcome"] == "set_aside"
    assert read.at("A3")["reason"] == "no exam: the row holds no mass_g"
    assert read.counts["rows_not_exams"] == 3
    assert read.at("B5")["outcome"] == "quarantined"


def test_names_of_sheet_and_file_as_values(read_sheet):
    recipe = """
sheets:
- file: "*"
  table: exams
  heading_row: 1
  constants: {site: "{sheet}", remarks: "from {file}"}
  columns:
    Case: {field: bird_id}
    Note: {field: remarks}
"""
    read = read_sheet(
        [["Case", "Note"], ["a", "calm"]], recipe, file="x/exams.2019.csv", name="Elm"
    )
    assert read.exams.loc[0, ["site", "remarks"]].tolist() == ["Elm", "calm; from exams.2019"]


def test_a_held_cell_of_a_row_names_the_one_exam_that_the_row_made(read_sheet):
    recipe = WIDE + "    Query: {ask: what is it?}\n"
    rows = [[*WIDE_ROWS[0], "Query", "New"], [*WIDE_ROWS[1], "?", "x"]]
    read = read_sheet(rows, recipe)
    assert read.quarantine["exam_id"].tolist() == ["b:2", "b:2"]


def test_an_undecided_cell_counts_among_what_a_row_needs(read_sheet):
    recipe = """
sheets:
- file: "*"
  heading_row: 1
  needs: mass_g
  columns:
    Case: {field: bird_id}
    Wt: {field: mass_g, unit: g, ask: which balance?}
"""
    read = read_sheet([["Case", "Wt"], ["a", 900], ["b", ""]], recipe)
    assert read.exams["bird_id"].tolist() == ["a"]
    assert read.at("B2")["outcome"] == "quarantined"
    assert read.at("A3")["reason"] == "no exam: the row holds no mass_g"


def test_a_day_given_for_all_rows_has_its_precision(read_sheet):
    recipe = WIDE.replace("    Date: {field: exam_date}\n", "").replace(
        "heading_row: 1", "heading_row: 1\n  constants: {exam_date: 2019-05-03}"
    )
    read = read_sheet([["Case", "Mass"], ["a", 900]], recipe)
    assert read.exams["exam_date_precision"].tolist() == ["day"]


def test_an_area_that_the_sheet_does_not_reach_is_noted(read_sheet):
    recipe = """
sheets:
- file: "*"
  area: A9:B12
  heading_row: 9
  columns: {Case: {field: bird_id}}
"""
    read = read_sheet([["Case"], ["a"]], recipe)
    assert "the area A9:B12 of the recipe lies outside the sheet" in read.notes
    assert len(read.quarantine) == 2
