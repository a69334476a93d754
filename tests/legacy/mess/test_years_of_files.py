"""One file a year: headings that drift, dates without a year, other kinds of file."""

SHEETS = {
    "drifting_files": {
        "files": {
            "exams_2017.csv": {"rows": [["Case", "Date", "Wt", "KS (1-5)", "Cage"],
                                        ["TR-1", "3.5.", "945", "3", "4"], ["TR-2", "14.12.",
                                                                            "780", "2", "4"]]},
            "exams_2018.tsv": {"rows": [["Case no.", "Date", "Sex", "Weight", "Keel (1-5)"],
                                        ["TR-3", "22 Jun", "F", "930", "3+"]]},
            "exams_2019.xlsx": {"rows": [["Case no.", "Date", "Sex", "Weight", "Wing",
                                          "Keel (1-5)"],
                                         ["TR-4", "1.8.", "M", 790, 377, 2.5]]},
            "exams_2020.ods": {"rows": [["CASE NO.", "Date", "Sex", "Weight", "Wing", "Keel (1-5)"],
                                        ["TR-5", "29.2.", "M", 791, 378, 3]]},
        },
        "columns": """
            Case: {field: bird_id, also: [Case no.]}
            Date: {field: exam_date, date_order: dmy, year: file}
            Sex: {field: sex}
            Wt: {field: mass_g, unit: g, also: [Weight]}
            Wing: {field: wing_mm, unit: mm}
            KS (1-5): {field: keel, scale: "keel 1 to 5", also: [Keel (1-5)]}
            Cage: {set_aside: says nothing about the bird}
        """,
    },
    "no_such_day": {
        "files": {"exams_2019.csv": {"rows": [["Case no.", "Date", "Wt (g)"],
                                              ["TR-1", "29.2.", "945"], ["TR-2", "1.3.18",
                                                                         "780"]]}},
        "columns": """
            Case no.: {field: bird_id}
            Date: {field: exam_date, date_order: dmy, year: file}
            Wt (g): {field: mass_g, unit: g}
        """,
    },
    "a_year_given": {
        "files": {"ringing.csv": {"rows": [["Ring", "Day", "Wing (mm)"], ["EE01", "6/27", "391"],
                                           ["EE02", "7/4", "377"]]}},
        "columns": """
            Ring: {field: ring_number}
            Day: {field: exam_date, date_order: mdy, year: 2004}
            Wing (mm): {field: wing_mm, unit: mm}
        """,
        "also_right": {"Ring": [("bird_id",)]},
    },
    "day_month_year": {
        "file": "parts.csv",
        "rows": [["Ring", "Year", "Month", "Day", "Wing (mm)"], ["EE01", "2019", "Sept", "3",
                                                                 "391"],
                 ["EE02", "'19", "9", "14", "377"], ["EE03", "2019", "13", "1", "380"]],
        "columns": """
            Ring: {field: ring_number}
            Year: {field: exam_date, part: year}
            Month: {field: exam_date, part: month}
            Day: {field: exam_date, part: day}
            Wing (mm): {field: wing_mm, unit: mm}
        """,
        "also_right": {"Ring": [("bird_id",)]},
    },
    "ring_in_two_columns": {
        "file": "prefix.csv",
        "rows": [["Prefix", "Suffix", "Wing (mm)"], ["2100", "05561", "391"], ["2100", "5562",
                                                                               "377"]],
        "columns": """
            Prefix: {field: ring_number, part: prefix}
            Suffix: {field: ring_number, part: suffix, digits: 5}
            Wing (mm): {field: wing_mm, unit: mm}
        """,
    },
    "names_of_file_and_sheet": {
        "file": "elm_wood.xlsx",
        "sheets": {"2018": [["Ring", "Wt (g)"], ["EE01", 945]], "2019": [["Ring", "Wt (g)"],
                                                                         ["EE02", 780]]},
        "recipe": """
sheets:
- file: "*"
  heading_row: 1
  constants: {site: "{file}", remarks: "sheet {sheet}"}
  columns:
    Ring: {field: [ring_number, bird_id]}
    Wt (g): {field: mass_g, unit: g}
""",
        "also_right": {"Ring": [("bird_id",), ("ring_number",)]},
    },
}  # fmt: skip


def test_files_of_four_kinds_and_years_share_one_recipe(read_mess):
    read = read_mess(SHEETS["drifting_files"])
    assert read.column("bird_id") == ["TR-1", "TR-2", "TR-3", "TR-4", "TR-5"]
    assert read.days() == ["2017-05-03", "2017-12-14", "2018-06-22", "2019-08-01", "2020-02-29"]
    assert read.column("mass_g") == [945, 780, 930, 790, 791]
    assert read.column("wing_mm") == [None, None, None, 377, 378]
    assert read.column("sex") == ["U", "U", "F", "M", "M"]
    assert read.held.empty
    assert read.exams["source_file"].nunique() == 4
    assert "the year 2017 is not in the cell" in read.at("exams_2017.csv!B2")["reason"]


def test_headings_that_a_file_has_not_are_said(read_mess):
    notes = read_mess(SHEETS["drifting_files"]).imported.notes
    (said,) = [note for note in notes if "exams_2017.csv" in note and "not found" in note]
    assert "'Wing'" in said
    assert "'Sex'" in said
    assert "'Case'" not in said


def test_a_day_that_its_year_has_not_is_held(read_mess):
    read = read_mess(SHEETS["no_such_day"])
    assert read.days() == ["-", "2018-03-01"]
    assert read.asked("B2")["reason"] == "there is no day 29 in month 2 of 2019"


def test_the_recipe_gives_a_year_that_stands_nowhere(read_mess):
    assert read_mess(SHEETS["a_year_given"]).days() == ["2004-06-27", "2004-07-04"]


def test_a_date_of_three_columns(read_mess):
    read = read_mess(SHEETS["day_month_year"])
    assert read.days() == ["2019-09-03", "2019-09-14", "-"]
    assert {read.at(f"{letter}4")["outcome"] for letter in "BCD"} == {"quarantined"}


def test_a_ring_of_two_columns(read_mess):
    read = read_mess(SHEETS["ring_in_two_columns"])
    assert read.column("ring_number") == ["2100-05561", None]
    assert read.asked("B3")["likely"] == "suffix 05562, zeros in front lost"


def test_names_of_file_and_sheet_can_be_values(read_mess):
    read = read_mess(SHEETS["names_of_file_and_sheet"])
    assert read.column("site") == ["elm_wood"] * 2
    assert read.column("remarks") == ["sheet 2018", "sheet 2019"]
    assert read.column("ring_number") == read.column("bird_id") == ["EE01", "EE02"]
