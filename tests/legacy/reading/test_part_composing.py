"""Values whose parts stand in columns of their own."""

import pytest

DATES = """
sheets:
- file: "*"
  table: exams
  heading_row: 1
  columns:
    Case: {field: bird_id}
    Y: {field: exam_date, part: year}
    M: {field: exam_date, part: month}
    D: {field: exam_date, part: day}
"""
POUNDS = """
sheets:
- file: "*"
  table: exams
  heading_row: 1
  columns:
    Case: {field: bird_id}
    lb: {field: mass_g, part: pounds}
    oz: {field: mass_g, part: ounces}
"""
TARE = """
sheets:
- file: "*"
  table: exams
  heading_row: 1
  columns:
    Case: {field: bird_id}
    With bag: {field: mass_g, part: gross, unit: g}
    Bag: {field: mass_g, part: tare, unit: g}
"""
RINGS = """
sheets:
- file: "*"
  table: exams
  heading_row: 1
  columns:
    Series: {field: ring_number, part: prefix}
    No: {field: ring_number, part: suffix, digits: 5}
    Wing: {field: wing_mm, unit: mm}
"""
NAMES = """
sheets:
- file: "*"
  table: exams
  heading_row: 1
  columns:
    Case: {field: bird_id}
    Genus: {field: species, part: genus}
    Species: {field: species, part: epithet}
"""


def test_pounds_and_ounces_make_one_mass(read_sheet):
    # 1 lb = 453.59237 g and 1 oz = 28.349523125 g (international yard and pound agreement, 1959).
    rows = [["Case", "lb", "oz"], ["a", 2, 5], ["b", 2, ""], ["c", "", 7.5], ["d", 0, 0],
            ["e", 1, 16], ["f", "two", 3], ["g", "", ""]]  # fmt: skip
    read = read_sheet(rows, POUNDS)
    assert read.exams["mass_g"].tolist()[:3] == pytest.approx(
        [2 * 453.59237 + 5 * 28.349523125, 2 * 453.59237, 7.5 * 28.349523125]
    )
    assert read.exams["mass_g"].isna().tolist()[3:] == [True] * 4
    assert read.at("B2")["outcome"] == read.at("C2")["outcome"] == "converted"
    assert read.at("B2")["reason"] == "part of mass_g: 2 lb 5 oz"
    assert read.at("B5")["reason"] == "nothing was weighed: no value"
    assert read.quarantine.loc["s!C6", "reason"] == "16 oz is a pound or more"
    assert read.at("B7")["outcome"] == read.at("C7")["outcome"] == "quarantined"
    assert read.exams["mass_text"].tolist()[0] == "2 5"


def test_gross_less_tare_is_the_mass(read_sheet):
    rows = [["Case", "With bag", "Bag"], ["a", 907, 68], ["b", 907, ""], ["c", 60, 68],
            ["d", "", 68]]  # fmt: skip
    read = read_sheet(rows, TARE)
    assert read.exams["mass_g"].fillna(-1).tolist() == [839, -1, -1, -1]
    assert read.at("B2")["reason"] == "part of mass_g: gross 907 g less tare 68 g"
    assert read.quarantine.loc["s!B3", "reason"] == "gross mass without a tare"
    assert read.quarantine.loc["s!B3", "likely"] == "907 g in its wrap"
    assert read.quarantine.loc["s!B4", "reason"] == "gross 60 g less tare 68 g is not a mass"


def test_a_ring_in_two_columns_is_joined_and_a_lost_zero_is_held(read_sheet):
    rows = [["Series", "No", "Wing"], ["2100", "05561", 230], ["2100", "5562", 231],
            ["2100", "", 232], ["", "", 233]]  # fmt: skip
    read = read_sheet(rows, RINGS)
    assert read.exams["ring_number"].fillna("none").tolist() == ["2100-05561", *["none"] * 3]
    assert read.quarantine.loc["s!B3", "reason"] == "the suffix has 4 digits and not 5"
    assert read.quarantine.loc["s!B3", "likely"] == "suffix 05562, zeros in front lost"
    assert read.quarantine.loc["s!A4", "reason"] == "the suffix is empty"
    assert read.exams["wing_mm"].tolist() == [230, 231, 232, 233]


def test_a_ring_stored_as_a_number_says_so(read_sheet):
    read = read_sheet([["Series", "No", "Wing"], [2100, "05561", 230]], RINGS)
    assert "zeros in front would be lost" in read.at("A2")["reason"]


def test_a_date_of_three_columns(read_sheet):
    rows = [["Case", "Y", "M", "D"], ["a", 2019, 5, 3], ["b", 2019, 5, ""], ["c", 2019, 13, 1]]
    read = read_sheet(rows, DATES)
    assert [str(day)[:10] for day in read.exams["exam_date"]] == ["2019-05-03", "2019-05-01", "NaT"]
    assert read.exams["exam_date_precision"].fillna("").tolist() == ["day", "month", ""]
    assert {read.at(f"{letter}4")["outcome"] for letter in "BCD"} == {"quarantined"}
    assert read.counts["raw_cells"] == len(read.ledger) == 15


@pytest.mark.parametrize(
    ("recipe", "rows", "reason"),
    [
        (RINGS, [["Series", "Wing"], ["GX", 200]], "the column of the suffix is not on the sheet"),
        (POUNDS, [["Case", "lb"], ["a", 2]], "the column of the ounces is not on the sheet"),
        (TARE, [["Case", "Bag"], ["a", 2]], "the column of the gross is not on the sheet"),
        (NAMES, [["Case", "Species"], ["a", "Buteo buteo"]],
         "the column of the genus is not on the sheet"),
    ],
)  # fmt: skip
def test_a_part_alone_is_not_taken_for_the_whole(read_sheet, recipe, rows, reason):
    read = read_sheet(rows, recipe)
    assert reason in read.quarantine["reason"].tolist()
    whole = {RINGS: "ring_number", NAMES: "species"}.get(recipe, "mass_g")
    assert read.exams[whole].isna().all()


def test_the_year_of_a_file_goes_with_columns_of_month_and_day(read_sheet):
    recipe = DATES.replace("    Y: {field: exam_date, part: year}\n", "").replace(
        "part: month", "part: month, year: file"
    )
    rows = [["Case", "M", "D"], ["a", 5, 3], ["b", "", ""]]
    read = read_sheet(rows, recipe, file="book_2019.csv")
    assert [str(day)[:10] for day in read.exams["exam_date"]] == ["2019-05-03", "NaT"]
    assert read.at("B2")["reason"] == "part of a date; the recipe gives the year 2019"
    assert read_sheet(rows, recipe).exams["exam_date"].isna().all()


def test_genus_and_epithet_make_one_species(read_sheet):
    rows = [["Case", "Genus", "Species"], ["a", "Buteo", "buteo"],
            ["b", "Falco", "Falco peregrinus"], ["c", "", ""],
            ["d", "Buteo", "jamaicensis borealis"]]  # fmt: skip
    read = read_sheet(rows, NAMES)
    assert read.exams["species"].fillna("none").tolist() == [
        "Buteo buteo", "Falco peregrinus", "none", "Buteo jamaicensis borealis",
    ]  # fmt: skip
    for cell, raw in (("B2", "Buteo"), ("C2", "buteo")):
        told = read.at(cell)[["raw", "outcome", "target", "value", "reason"]].tolist()
        assert told == [raw, "converted", "exams.species", "Buteo buteo",
                        "part of species: genus and epithet joined"]  # fmt: skip
    said = "part of species: the epithet's cell holds the whole name, taken once"
    assert read.at("B3")["reason"] == read.at("C3")["reason"] == said
    assert read.counts["exams_out"] == 4


@pytest.mark.parametrize(
    ("genus", "epithet", "reason", "likely"),
    [
        ("Buteo", "", "the epithet is empty", ""), ("Buteo", "n/a", "the epithet is empty", ""),
        ("", "buteo", "the genus is empty", ""),
        ("", "Buteo buteo", "the genus is empty", "Buteo buteo"),
        ("Falco", "Buteo buteo", "the epithet's cell holds the name 'Buteo buteo' of another genus",
         ""),
        ("Falco", "falco tinnunculus", "the epithet's cell repeats the genus",
         "Falco tinnunculus"),
        ("Buteo buteo", "buteo", "the genus is more than one word: 'Buteo buteo'", ""),
        ("Buteo", "sp.", "a genus without its species", ""),
        ("Buteo", "buteo?", "a species with doubt beside it", "Buteo buteo, in doubt"),
        ("Barn", "owl", "a local name: the recipe must say which species it is", ""),
    ],
)  # fmt: skip
def test_a_name_of_which_a_part_is_missing_or_odd_is_held(
    read_sheet, genus, epithet, reason, likely
):
    read = read_sheet([["Case", "Genus", "Species"], ["a", genus, epithet]], NAMES)
    assert read.exams["species"].isna().all()
    filled = [cell for cell, text in (("B2", genus), ("C2", epithet)) if text]
    assert [read.quarantine.loc[f"s!{cell}", "reason"] for cell in filled] == [reason] * len(filled)
    assert {read.quarantine.loc[f"s!{cell}", "likely"] for cell in filled} == {likely}


def test_a_ditto_mark_below_a_genus_repeats_it(read_sheet):
    rows = [["Case", "Genus", "Species"], ["a", "Buteo", "buteo"], ["b", '"', "lagopus"]]
    assert read_sheet(rows, NAMES).exams["species"].tolist() == ["Buteo buteo", "Buteo lagopus"]
