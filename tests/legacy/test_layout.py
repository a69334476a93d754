"""Headings, units, totals and repeated headings found on a sheet."""

import pytest

from bodycond.legacy.grids import build_grid
from bodycond.legacy.headings import match_heading, read_unit
from bodycond.legacy.layout import find_table, is_totals_text, name_headings, sort_rows
from bodycond.legacy.recipe_rules import SheetRule
from bodycond.legacy.sheets import Sheet


def make_sheet(rows):
    texts, kinds = build_grid(rows)
    return Sheet(file="a.xlsx", name="2019", texts=texts, kinds=kinds)


BOOK = [
    ["Exam book 2019"],
    [],
    ["Ring", "Wt", "Wing", "KS"],
    ["", "g", "mm", "1-5"],
    ["A1", "186", "240", "3"],
    ["A2", "190", "241", "3+"],
    ["Year 2020"],
    ["Ring", "Wt", "Wing", "KS"],
    ["A3", "201", "239", "4"],
    ["Total", "3", "", ""],
    ["n = 3", "192.3", "", ""],
]


def test_headings_and_units_are_found_below_a_title():
    layout = find_table(make_sheet(BOOK))
    assert (layout.heading_row, layout.units_row, layout.n_known) == (3, 4, 4)
    assert find_table(make_sheet([["a letter"], ["to", "nobody"]])) is None


def test_each_row_that_is_no_exam_has_its_reason():
    rule = SheetRule(file="a.xlsx", heading_rows=(3,), units_row=4)
    assert sort_rows(make_sheet(BOOK), rule).tolist() == [
        "above the headings: a title or note",
        "blank",
        "a heading",
        "a row of units",
        "",
        "",
        "a title above repeated headings",
        "the headings repeated",
        "",
        "a row of totals: it begins with 'Total'",
        "a row of totals: it begins with 'n = 3'",
    ]


def test_a_bird_called_max_is_a_bird():
    sheet = make_sheet([["Bird", "Sex", "Wt"], ["Max", "M", "186"], ["Max", "", "190"]])
    assert sort_rows(sheet, SheetRule(file="a.xlsx", heading_rows=(1,))).tolist() == [
        "a heading", "", "a row of totals: it begins with 'Max'",
    ]  # fmt: skip


def test_the_recipe_has_the_last_word_on_rows():
    rule = SheetRule(
        file="a.xlsx", heading_rows=(3,), first_row=6, last_row=10, totals_rows=(9,),
        data_rows=(10,),
    )  # fmt: skip
    reasons = sort_rows(make_sheet(BOOK), rule)
    assert reasons[4] == "between headings and data"
    assert reasons[8] == "a row that the recipe sets aside"
    assert reasons[9] == ""
    assert reasons[10] == "below the table"


@pytest.mark.parametrize("text", ["Total", "TOTALS:", "Mean", "Mittelwert", "Moyenne", "n=12"])
def test_words_for_totals(text):
    assert is_totals_text(text)


@pytest.mark.parametrize("text", ["Meanwood 3", "12", "SK-001", "Summer", "N"])
def test_words_that_are_no_totals(text):
    assert not is_totals_text(text)


def test_headings_are_told_apart():
    sheet = make_sheet([["Bird", "", ""], ["Mass", "Mass", ""], ["1", "2", "3"]])
    assert name_headings(sheet, (2,)) == ["Mass", "Mass.2", "(column C)"]
    assert name_headings(sheet, (1, 2)) == ["Bird Mass", "Mass", "(column C)"]


@pytest.mark.parametrize(
    ("heading", "field", "unit"),
    [
        ("Weight", "mass_g", None),
        ("Body_mass.g.", "mass_g", "g"),
        ("Body Mass (g)", "mass_g", "g"),
        ("BodyMass", "mass_g", None),
        ("Wt(gm)", "mass_g", "g"),
        ("Gewicht (g)", "mass_g", "g"),
        ("Poids", "mass_g", None),
        ("Peso", "mass_g", None),
        ("wingLength", "wing_mm", None),
        ("Flügellänge", "wing_mm", None),
        ("Aile", "wing_mm", None),
        ("Vleugel", "wing_mm", None),
        ("Wing chord [mm]", "wing_mm", "mm"),
        ("Tars (mm)", "tarsus_mm", "mm"),
        ("Brustbein (1-5)", "keel", None),
        ("Bréchet", "keel", None),
        ("Keel score", "keel", None),
        ("Band_Number", "ring_number", None),
        ("Ringnr.", "ring_number", None),
        ("Case no.", "bird_id", None),
        ("Fecha", "exam_date", None),
        ("Geschl.", "sex", None),
        ("M/F", "sex", None),
        ("Âge", "age_code", None),
        ("Espèce", "species", None),
        ("Kropf", "crop_fill", None),
    ],
)
def test_headings_of_five_languages_are_sure(heading, field, unit):
    match = match_heading(heading)
    assert (match.field, match.unit) == (field, unit)
    assert match.confidence >= 0.9


@pytest.mark.parametrize("heading", ["BCS", "Cond.", "By", "ID", "Bill", "Keel old chart", "W (g)"])
def test_headings_with_other_meanings_are_not_sure(heading):
    match = match_heading(heading)
    assert match.field
    assert match.confidence < 0.9


def test_fat_is_no_keel_score():
    assert match_heading("KeelFat").field == ""
    assert match_heading("Cage").evidence == "heading not known"


def test_scale_limits_are_read():
    assert match_heading("Keel (1-5)").scale_limits == (1, 5)
    assert match_heading("Crop (0-4)").scale_limits == (0, 4)
    assert match_heading("Keel").scale_limits is None


def test_a_unit_that_does_not_fit_makes_unsure():
    match = match_heading("Wing (g)")
    assert match.confidence == 0.5
    assert "does not fit" in match.evidence


def test_units():
    assert [read_unit(text) for text in ["g", "(mm)", "lb/oz", "inches", "1-5"]] == [
        "g", "mm", "lb.oz", "in", None,
    ]  # fmt: skip
