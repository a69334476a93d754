"""Wide layouts turned long: a column for each scorer, each date or each visit."""

SHEETS = {
    "a_column_for_each_scorer": {
        "file": "scorers.csv",
        "rows": [["Case no.", "Date", "Wt (g)", "Keel S1 (1-5)", "Keel K2 (1-5)", "Keel S3 (1-5)"],
                 ["TR-1", "2019-05-03", "945", "3", "3+", "2.5"],
                 ["TR-2", "2019-05-04", "780", "2", "", "2-3"],
                 ["TR-3", "2019-05-05", "801", "", "", ""],
                 ["TR-4", "2019-05-06", "815", "2-Mar", "3", ""]],
        "columns": """
            Case no.: {field: bird_id}
            Date: {field: exam_date}
            Wt (g): {field: mass_g, unit: g}
            Keel S1 (1-5): {field: keel, scale: "keel 1 to 5", into: ratings, with: {scorer: S1}}
            Keel K2 (1-5): {field: keel, scale: "keel 1 to 5", into: ratings, with: {scorer: K2}}
            Keel S3 (1-5): {field: keel, scale: "keel 1 to 5", into: ratings, with: {scorer: S3}}
        """,
    },
    "a_column_for_each_date": {
        "file": "dates.csv",
        "rows": [["Case no.", "Sp.", "Wt (g) 2019-05-03", "Wt (g) 2019-05-10", "Wt (g) 2019-05-17"],
                 ["TR-1", "Buteo buteo", "945", "950", "961"],
                 ["TR-2", "Strix aluco", "410", "", "430*"],
                 ["TR-3", "Tyto alba", "", "", "330/328"]],
        "columns": """
            Case no.: {field: bird_id}
            Sp.: {field: species}
            Wt (g) 2019-05-03: {field: mass_g, unit: g, with: {exam_date: 2019-05-03}}
            Wt (g) 2019-05-10: {field: mass_g, unit: g, with: {exam_date: 2019-05-10}}
            Wt (g) 2019-05-17: {field: mass_g, unit: g, with: {exam_date: 2019-05-17}}
        """,
    },
    "visits": {
        "file": "visits.csv",
        "rows": [["Case no.", "Wt in (g)", "Keel in (1-5)", "Wt out (g)", "Keel out (1-5)"],
                 ["TR-1", "780", "2", "900", "3"], ["TR-2", "760", "1.5", "", ""],
                 ["TR-3", "", "", "880", "3+"]],
        "columns": """
            Case no.: {field: bird_id}
            Wt in (g): {field: mass_g, unit: g, with: {exam_reason: intake}}
            Keel in (1-5): {field: keel, scale: "keel 1 to 5", with: {exam_reason: intake}}
            Wt out (g): {field: mass_g, unit: g, with: {exam_reason: pre_release}}
            Keel out (1-5): {field: keel, scale: "keel 1 to 5", with: {exam_reason: pre_release}}
        """,
    },
    "scoring_session": {
        "file": "session.csv",
        "rows": [["Session", "Bird", "Scorer", "Round", "Date", "Keel (1-5)"],
                 ["1", "TR-1", "S1", "1", "2022-10-05", "3"], ["1", "TR-1", "K2", "1",
                                                               "2022-10-05", "3+"],
                 ["1", "TR-2", "S1", "1", "2022-10-05", "2"], ["2", "TR-2", "S1", "2",
                                                               "2022-10-12", "thin"],
                 ["2", "TR-2", "", "2", "2022-10-12", "2"]],
        "recipe": """
sheets:
- file: "*"
  table: ratings
  heading_row: 1
  columns:
    Session: {set_aside: the date tells it}
    Bird: {field: bird_id}
    Scorer: {field: scorer}
    Round: {field: round}
    Date: {field: rated_on}
    Keel (1-5): {field: keel, scale: "keel 1 to 5"}
""",
        "also_right": {"Session": [("session",)]},
    },
}  # fmt: skip


def test_a_column_for_each_scorer_becomes_ratings_of_the_exam(read_mess):
    read = read_mess(SHEETS["a_column_for_each_scorer"])
    assert read.column("mass_g") == [945.0, 780.0, 801.0, 815.0]
    got = read.ratings[["bird_id", "scorer", "keel_text"]].to_numpy().tolist()
    assert got == [
        ["TR-1", "S1", "3"], ["TR-1", "K2", "3+"], ["TR-1", "S3", "2.5"], ["TR-2", "S1", "2"],
        ["TR-2", "S3", "2-3"], ["TR-4", "S1", "2-Mar"], ["TR-4", "K2", "3"],
    ]  # fmt: skip
    assert set(read.ratings["exam_id"]) <= set(read.exams["exam_id"])
    assert read.column("keel_high", table="ratings") == [3, 3.5, 2.5, 2, 3, None, 3]
    assert read.asked("D5")["exam_id"] == read.exams.loc[3, "exam_id"]
    assert read.counts.loc[0, ["rows_in", "rows_spread", "ratings_out"]].tolist() == [5, 7, 7]


def test_a_column_for_each_date_becomes_an_exam_of_that_day(read_mess):
    read = read_mess(SHEETS["a_column_for_each_date"])
    assert read.days() == [
        "2019-05-03", "2019-05-10", "2019-05-17", "2019-05-03", "2019-05-17", "2019-05-17",
    ]  # fmt: skip
    assert read.column("mass_g") == [945, 950, 961, 410, 430, None]
    assert read.column("species")[3:5] == ["Strix aluco"] * 2
    assert read.asked("E4")["likely"] == "two weighings: 330 and 328"
    assert "marked with a star" in read.column("remarks")[4]


def test_columns_of_one_visit_make_one_exam(read_mess):
    read = read_mess(SHEETS["visits"])
    names = ["bird_id", "exam_reason", "mass_g", "keel_high"]
    got = list(read.exams[names].itertuples(index=False, name=None))
    assert got == [
        ("TR-1", "intake", 780, 2), ("TR-1", "pre_release", 900, 3), ("TR-2", "intake", 760, 1.5),
        ("TR-3", "pre_release", 880, 3.5),
    ]  # fmt: skip


def test_a_scoring_session(read_mess):
    read = read_mess(SHEETS["scoring_session"])
    assert len(read.exams) == 0
    assert read.column("scorer", table="ratings") == ["S1", "K2", "S1", "S1"]
    assert read.column("keel", table="ratings") == [3.0, None, 2.0, None]
    assert read.column("round", table="ratings") == [1, 1, 1, 2]
    assert read.at("B6")["reason"] == "row held: the row names no scorer"
    assert read.asked("F5")["raw"] == "thin"
