"""Masses and lengths as old sheets write them: units, marks, limits and markers for no value."""

import pytest

POUND, OUNCE = 453.59237, 453.59237 / 16  # g, by the agreement of 1959
READ = [
    ("186", 186, ""),
    ("186g", 186, "unit 'g' taken off"),
    ("186 gr", 186, "it can stand for grain"),
    ("0.186 kg", 186, "0.186 kg in g"),
    (".186 kg", 186, "0.186 kg in g"),
    ("2 lb 5 oz", 2 * POUND + 5 * OUNCE, "2 lb 5 oz in g"),
    ("2# 5", 2 * POUND + 5 * OUNCE, "2 lb 5 oz in g"),
    ("2lbs5", 2 * POUND + 5 * OUNCE, "2 lb 5 oz in g"),
    ("7.2 oz", 7.2 * OUNCE, "7.2 oz in g"),
    ("2.5 lb", 2.5 * POUND, "2.5 lb in g"),
    ("240*", 240, "marked with a star"),
    ("240?", 240, "marked as doubtful"),
    ("~240", 240, "approximate"),
    ("ca. 240", 240, "approximate"),
    ("240w", 240, "weighed in its wrap"),
]
HELD = [
    ("0.186", "the unit is unknown", "186 g if it was written in kg"),
    ("1,050", "can be a decimal or thousands", ""),
    ("1.050", "can be a decimal or thousands", ""),
    ("1 050", "can be a decimal or thousands", ""),
    ("250/248", "", "two weighings: 250 and 248"),
    ("190-200", "", "between 190 and 200"),
    ("<200", "a limit and no mass", "below 200"),
    (">1 kg", "a limit and no mass", "above 1 kg"),
]
MISSING = ["0", "-", ".", "999", "NA", "N/W", "too weak"]
TEXTS = [text for text, *_ in (*READ, *HELD)] + MISSING
SHEETS = {
    "masses": {
        "file": "tarnmere_masses.csv",
        "rows": [["Case no.", "Wt (g)"], *([f"TR-{i}", t] for i, t in enumerate(TEXTS))],
        "columns": """
            Case no.: {field: bird_id}
            Wt (g): {field: mass_g, unit: g}
        """,
    },
    "pounds_and_ounces": {
        "file": "lboz.csv",
        "rows": [["Case no.", "Sp.", "lb.oz"], ["TR-1", "Buteo buteo", "2.5"],
                 ["TR-2", "Buteo buteo", "2"], ["TR-3", "Buteo buteo", "1.13"],
                 ["TR-4", "Buteo buteo", "2-5"], ["TR-5", "Buteo buteo", "1.18"],
                 ["TR-6", "Buteo buteo", "2lb"]],
        "columns": """
            Case no.: {field: bird_id}
            Sp.: {field: species}
            lb.oz: {field: mass_g, unit: lb.oz}
        """,
    },
    "decimal_pounds": {
        "file": "lb.csv",
        "rows": [["Case no.", "Weight (lb)"], ["TR-1", "2.5"], ["TR-2", "1.75"],
                 ["TR-3", "2 1/2"], ["TR-4", "980 g"]],
        "columns": """
            Case no.: {field: bird_id}
            Weight (lb): {field: mass_g, unit: lb}
        """,
    },
    "pounds_beside_ounces": {
        "file": "parts.csv",
        "rows": [["Case no.", "lb", "oz"], ["TR-1", "2", "5"], ["TR-2", "", "7.5"],
                 ["TR-3", "1", "16"]],
        "columns": """
            Case no.: {field: bird_id}
            lb: {field: mass_g, part: pounds}
            oz: {field: mass_g, part: ounces}
        """,
    },
    "gross_and_tare": {
        "file": "tare.csv",
        "rows": [["Ring", "Bird + bag (g)", "Bag (g)"], ["EE01", "907", "68"], ["EE02", "820", ""],
                 ["EE03", "60", "68"]],
        "columns": """
            Ring: {field: ring_number}
            Bird + bag (g): {field: mass_g, part: gross, unit: g}
            Bag (g): {field: mass_g, part: tare, unit: g}
        """,
        "also_right": {"Ring": [("bird_id",)]},
    },
    "written_formulas": {
        "file": "formulas.csv",
        "rows": [["Ring", "Mass (g)"], ["EE01", "=907-68"], ["EE02", "=A1"], ["EE03", "839"]],
        "columns": """
            Ring: {field: ring_number}
            Mass (g): {field: mass_g, unit: g}
        """,
        "also_right": {"Ring": [("bird_id",)]},
    },
    "compound_cells": {
        "file": "compound.csv",
        "rows": [["Ring", "Date, mass", "Bill LxW", "Age/Sex"],
                 ["EE01", "6/27, 239g", "25.2x18.0", "ASY/F"],
                 ["EE02", "7/14, 1020 g", "31.5 x 20", "HY/M"],
                 ["EE03", "gone", "30", "AHY/?"]],
        "columns": """
            Ring: {field: ring_number}
            Date, mass: {split: "{exam_date}, {mass_g}", date_order: mdy, year: 2019, unit: g}
            Bill LxW: {split: "{culmen_mm} x {}", unit: mm}
            Age/Sex: {split: "{age_code}/{sex}", system: BBL}
        """,
        "also_right": {"Ring": [("bird_id",)]},
    },
}  # fmt: skip


@pytest.mark.parametrize(("text", "grams", "reason"), READ)
def test_a_mass_is_read_in_grams_and_marks_stay_beside_it(read_mess, text, grams, reason):
    read = read_mess(SHEETS["masses"])
    place = TEXTS.index(text)
    row = read.exams.loc[place]
    assert row["mass_g"] == pytest.approx(grams, abs=1e-6)
    assert row["mass_text"] == text
    cell = read.at(f"B{place + 2}")
    assert cell["outcome"] == ("converted" if reason else "accepted")
    assert reason in cell["reason"]


@pytest.mark.parametrize("text", ["240*", "240?", "~240", "ca. 240", "240w", "186 gr"])
def test_a_mark_beside_a_mass_goes_with_the_exam(read_mess, text):
    read = read_mess(SHEETS["masses"])
    remark = read.exams.loc[TEXTS.index(text), "remarks"]
    assert remark.startswith(f"Wt (g) '{text}': ")
    reason = next(reason for known, _, reason in READ if known == text)
    assert reason in remark


@pytest.mark.parametrize(("text", "reason", "likely"), HELD)
def test_a_mass_of_more_than_one_reading_is_held(read_mess, text, reason, likely):
    read = read_mess(SHEETS["masses"])
    place = TEXTS.index(text)
    cell = read.asked(f"B{place + 2}")
    assert reason in cell["reason"]
    assert likely in cell["likely"]
    assert bool(likely) == bool(cell["likely"])
    assert read.exams["mass_g"].isna()[place]
    assert read.exams.loc[place, "mass_text"] == text


@pytest.mark.parametrize("text", MISSING)
def test_a_marker_for_no_mass_is_no_value_and_its_reason_stays(read_mess, text):
    read = read_mess(SHEETS["masses"])
    place = TEXTS.index(text)
    cell = read.at(f"B{place + 2}")
    assert (cell["outcome"], cell["value"]) == ("accepted", "")
    assert cell["reason"].endswith(("no value", "was read as a marker for no value"))
    assert read.exams["mass_g"].isna()[place]


def test_markers_of_digits_are_counted_in_a_note(read_mess):
    notes = read_mess(SHEETS["masses"]).notes
    assert "2 cells of 0, 999 or 9999 were read as no value" in notes


def test_in_a_column_of_pounds_and_ounces_a_point_parts_the_two(read_mess):
    read = read_mess(SHEETS["pounds_and_ounces"])
    grams = [2 * POUND + 5 * OUNCE, 2 * POUND, POUND + 13 * OUNCE, None, None, 2 * POUND]
    assert read.column("mass_g") == pytest.approx(grams)
    assert "2 lb 5 oz, or two values" in read.asked("C5")["likely"]
    assert read.asked("C6")["reason"] == "18 ounces are more than a pound"


def test_in_a_column_of_pounds_a_point_is_a_decimal_point(read_mess):
    read = read_mess(SHEETS["decimal_pounds"])
    assert read.column("mass_g") == pytest.approx([2.5 * POUND, 1.75 * POUND, 2.5 * POUND, 980])


def test_pounds_and_ounces_in_two_columns_are_one_mass(read_mess):
    read = read_mess(SHEETS["pounds_beside_ounces"])
    assert read.column("mass_g") == pytest.approx([2 * POUND + 5 * OUNCE, 7.5 * OUNCE, None])
    assert read.asked("C4")["reason"] == "16 oz is a pound or more"


def test_gross_less_tare(read_mess):
    read = read_mess(SHEETS["gross_and_tare"])
    assert read.column("mass_g") == [839.0, None, None]
    assert read.at("C2")["reason"] == "part of mass_g: gross 907 g less tare 68 g"
    assert read.asked("B3")["reason"] == "gross mass without a tare"
    assert read.asked("B4")["reason"] == "gross 60 g less tare 68 g is not a mass"


def test_a_difference_written_as_a_formula_is_gross_less_tare(read_mess):
    read = read_mess(SHEETS["written_formulas"])
    assert read.column("mass_g") == [839.0, None, 839.0]
    assert read.at("B2")["outcome"] == "converted"
    assert "907" in read.at("B2")["reason"]
    assert read.exams.loc[0, "mass_text"] == "=907-68"
    assert read.asked("B3")["raw"] == "=A1"


def test_compound_cells_are_taken_apart(read_mess):
    read = read_mess(SHEETS["compound_cells"])
    assert read.days() == ["2019-06-27", "2019-07-14", "-"]
    assert read.column("mass_g") == [239.0, 1020.0, None]
    assert read.column("culmen_mm") == [25.2, 31.5, None]
    assert read.column("age_code") == ["ASY", "HY", "AHY"]
    assert read.column("sex") == ["F", "M", "U"]
    assert read.at("C2")["reason"] == "culmen_mm is '25.2'; '18.0' not used"
    assert read.asked("B4")["reason"] == "the cell does not fit '{exam_date}, {mass_g}'"
