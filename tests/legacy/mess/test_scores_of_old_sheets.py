"""Grades of the keel as old sheets write them, and scores on other scales."""

import datetime as dt

import pytest

DATE = "turned into a date by a spreadsheet"
# Text, lowest and highest grade, grade, and a piece of the reason or of the likely reading.
READ = [
    ("3", 3, 3, 3, ""),
    ("3.0", 3, 3, 3, ""),
    ("2.5", 2.5, 2.5, 2.5, ""),
    ("2 1/2", 2.5, 2.5, 2.5, "half written out"),
    ("2½", 2.5, 2.5, 2.5, "half written out"),
    ("2,5", 2.5, 2.5, 2.5, "decimal comma"),
    ("3+", 3, 3.5, None, "plus"),
    ("3-", 2.5, 3, None, "minus"),
    ("2-3", 2, 3, None, "a range from 2 to 3"),
    ("2/3", 2, 3, None, "a range from 2 to 3"),
    ("2 to 3", 2, 3, None, "a range from 2 to 3"),
    ("2~3", 2, 3, None, "a range from 2 to 3"),
    ("1-2", 1, 2, None, "a range from 1 to 2"),
    ("1/2", 1, 2, None, "a range from 1 to 2"),
    ("2.5/5", 2.5, 2.5, 2.5, "names the scale"),
    ("3 of 5", 3, 3, 3, "names the scale"),
    ("3/5", 3, 3, 3, "names the scale"),
    ("III", 3, 3, 3, "Roman numeral"),
    ("iii", 3, 3, 3, "Roman numeral"),
    ("IV", 4, 4, 4, "Roman numeral"),
]
HELD = [
    ("4/5", "two readings", "4 of 5, or a range from 4 to 5"),
    ("4/9", "another scale: 4 of 9 is not on 'keel 1 to 5'", "4 of 9"),
    ("3/3", "another scale", "3 of 3"),
    ("2/4", "another scale", "2 of 4"),
    ("IIII", "a Roman numeral that is not written so", "4"),
    ("BCS 3", "'BCS' names no scale", "3"),
    ("BC3", "'BC' names no scale", "3"),
    ("CS3", "'CS' names no scale", "3"),
    ("keel 3", "'keel' names no scale", "3"),
    ("K3", "'K' names no scale", "3"),
    *((word, "a word", "") for word in ("thin", "very thin", "emaciated", "good", "fat", "OK",
                                        "WNL",
                                        "v. thin/good muscle")),
    ("3(2)", "two ratings in one cell", "3 and 2"),
    ("2->3", "two ratings in one cell", "2 and 3"),
    ("2 (was 3)", "two ratings in one cell", "2 and 3"),
    ("2-Mar", "a date and no grade", f"2-3 or 3-2, {DATE}"),
    ("3-Feb", "a date and no grade", f"2-3 or 3-2, {DATE}"),
    ("46056", "a date and no grade", f"2-3 or 3-2, {DATE}"),
    ("02/05/26", "a date and no grade", f"2-5 or 5-2, or 2.5 with a point, {DATE}"),
    ("6", "6 is outside the scale", ""),
    ("0", "0 is outside the scale", ""),
    ("33", "33 is outside the scale", "3, its key struck twice"),
    ("25", "25 is outside the scale", "2.5, its point lost"),
    ("3?", "a grade that was doubted when written", "3"),
    ("~3", "a grade that was doubted when written", "3"),
    (">3", "a limit and no grade", "above 3"),
]  # fmt: skip
TEXTS = [text for text, *_ in (*READ, *HELD)]
SHEETS = {
    "notation": {
        "file": "tarnmere_keels.csv",
        "rows": [["Case no.", "Keel (1-5)"], *([f"TR-{i}", t] for i, t in enumerate(TEXTS))],
        "columns": """
            Case no.: {field: bird_id}
            Keel (1-5): {field: keel, scale: "keel 1 to 5"}
        """,
    },
    "dates_of_a_spreadsheet": {
        "file": "tarnmere_keels.xlsx",
        "rows": [["Case no.", "KS (1-5)"], ["TR-1", dt.date(2026, 2, 3)], ["TR-2", 46056],
                 ["TR-3", 2.5], ["TR-4", dt.date(2026, 5, 2)], ["TR-5", dt.date(2026, 9, 14)]],
        "columns": """
            Case no.: {field: bird_id}
            KS (1-5): {field: keel, scale: "keel 1 to 5"}
        """,
    },
    "prefixes_words_and_slashes": {
        "file": "skelbeck.csv",
        "rows": [["Case no.", "Cond", "Keel"], ["SB-1", "BCS 3", "4/5"], ["SB-2", "thin", "5/5"],
                 ["SB-3", "bcs2.5", "3/5"], ["SB-4", "good", "2.5/5"]],
        "columns": """
            Case no.: {field: bird_id}
            Cond:
              field: keel_second
              scale: keel 1 to 5
              prefixes: [BCS]
              codes: {thin: [1, 2], good: 3.5}
            Keel: {field: keel, scale: "keel 1 to 5", slash: of_scale}
        """,
    },
    "other_scales": {
        "file": "old_centre.csv",
        "rows": [["Ring", "Fat", "Muscle (0-3)", "BCS"], ["EE01", "8", "3", "9"],
                 ["EE02", "0", "0", "5"], ["EE03", "9", "4", "1"]],
        "recipe": """
scales:
  fat 0 to 8: {low: 0, high: 8, step: 1}
  pectoral muscle 0 to 3: {low: 0, high: 3, step: 1}
  nine points: {low: 1, high: 9, step: 1}
sheets:
- file: "*"
  heading_row: 1
  columns:
    Ring: {field: ring_number}
    Fat: {field: fat, scale: fat 0 to 8}
    Muscle (0-3): {field: pectoral_muscle, scale: pectoral muscle 0 to 3}
    BCS: {field: condition_nine, scale: nine points}
""",
        "also_right": {"Ring": [("bird_id",)]},
    },
}  # fmt: skip


def find_row(read, text):
    return read.exams.loc[read.exams["keel_text"].eq(text)].iloc[0]


@pytest.mark.parametrize(("text", "low", "high", "point", "reason"), READ)
def test_a_grade_is_an_interval_and_a_point_only_where_there_is_one(
    read_mess, text, low, high, point, reason
):
    read = read_mess(SHEETS["notation"])
    row = find_row(read, text)
    assert (row["keel_low"], row["keel_high"], row["keel_scale"]) == (low, high, "keel 1 to 5")
    assert (None if row.isna()["keel"] else row["keel"]) == point
    cell = read.at(f"B{TEXTS.index(text) + 2}")
    assert cell["raw"] == text
    assert cell["outcome"] == ("converted" if reason else "accepted")
    assert reason in cell["reason"]


@pytest.mark.parametrize(("text", "reason", "likely"), HELD)
def test_a_doubtful_grade_is_held_with_what_it_may_mean(read_mess, text, reason, likely):
    read = read_mess(SHEETS["notation"])
    cell = read.asked(f"B{TEXTS.index(text) + 2}")
    assert cell["raw"] == text
    assert reason in cell["reason"]
    assert cell["likely"] == likely
    row = find_row(read, text)
    assert row[["keel", "keel_low", "keel_high", "keel_scale"]].isna().all()


def test_a_date_cell_in_a_column_of_grades_is_a_question_with_both_readings(read_mess):
    read = read_mess(SHEETS["dates_of_a_spreadsheet"])
    assert read.column("keel") == [None, None, 2.5, None, None]
    likely = [read.asked(f"B{row}")["likely"] for row in (2, 3, 5)]
    assert likely == [f"2-3 or 3-2, {DATE}"] * 2 + [f"2-5 or 5-2, or 2.5 with a point, {DATE}"]
    assert read.asked("B6")["reason"] == "a date and no grade"
    assert read.asked("B6")["likely"] == ""


def test_the_sites_prefixes_words_and_slashes_are_read_as_the_recipe_says(read_mess):
    read = read_mess(SHEETS["prefixes_words_and_slashes"])
    assert read.column("keel_second") == [3.0, None, 2.5, 3.5]
    assert read.column("keel_second_low") == [3.0, 1.0, 2.5, 3.5]
    assert read.column("keel_second_high") == [3.0, 2.0, 2.5, 3.5]
    assert read.column("keel") == [4.0, 5.0, 3.0, 2.5]
    assert read.at("B3")["reason"] == "the recipe's code for 'thin'"


def test_scores_on_other_scales_keep_their_scale_and_never_fill_the_keel(read_mess):
    read = read_mess(SHEETS["other_scales"])
    assert read.column("fat") == [8.0, 0.0, None]
    assert read.column("pectoral_muscle_scale") == ["pectoral muscle 0 to 3"] * 2 + [None]
    assert read.column("condition_nine") == [9.0, 5.0, 1.0]
    assert read.column("keel") == read.column("keel_scale") == [None] * 3
    assert read.asked("B4")["reason"] == "9 is outside the scale 'fat 0 to 8'"
    assert read.asked("C4")["reason"] == "4 is outside the scale 'pectoral muscle 0 to 3'"
