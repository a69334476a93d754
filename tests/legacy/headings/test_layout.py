"""Rows that are no exams, and the names of columns."""

import pytest

from bodycond.legacy.files.grids import build_grid
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.headings.layout import (
    find_lone_cells,
    is_totals_text,
    name_headings,
    sort_rows,
)
from bodycond.legacy.recipes.recipe_rules import SheetRule


def make_sheet(rows, merged=()):
    texts, kinds = build_grid(rows)
    return Sheet(file="a.xlsx", name="2019", texts=texts, kinds=kinds, merged=merged)


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


@pytest.mark.parametrize(
    "text",
    ["Total", "TOTALS:", "Mean", "Mittelwert", "Moyenne", "n=12", "Mean weight (g)", "Media",
     "Gemiddelde", "Durchschnitt:", "\u00c9cart-type", "Total 2019", "Std. Dev.", "Promedio",
     "Medelv\u00e4rde", "Somma", "Total birds", "Sous-total", "Stabw.", "SD"],
)  # fmt: skip
def test_words_for_totals(text):
    assert is_totals_text(text)


@pytest.mark.parametrize(
    "text",
    ["Meanwood 3", "12", "SK-001", "Summer", "N", "Maxine", "Average flier, thin", "Medianus"],
)
def test_words_that_are_no_totals(text):
    assert not is_totals_text(text)


def test_headings_are_told_apart():
    sheet = make_sheet([["Bird", "", ""], ["Mass", "Mass", ""], ["1", "2", "3"]])
    assert name_headings(sheet, (2,)) == ["Mass", "Mass.2", "(column C)"]
    assert name_headings(sheet, (1, 2)) == ["Bird Mass", "Mass", "(column C)"]


def test_a_merged_heading_names_each_of_its_columns():
    rows = [["", "Ring", "Culmen", "", "Notes"], ["", "", "L", "W", ""], ["", "a", "17", "9", "x"]]
    sheet = make_sheet(rows, merged=((0, 2, 0, 3), (0, 1, 1, 1)))
    assert name_headings(sheet, (1, 2)) == ["(column A)", "Ring", "Culmen L", "Culmen W", "Notes"]
    assert name_headings(sheet, (1,)) == ["(column A)", "Ring", "Culmen", "Culmen.2", "Notes"]


def test_a_merged_title_above_the_headings_names_nothing():
    sheet = make_sheet([["Exams", "", ""], ["Ring", "Wt", ""]], merged=((0, 0, 0, 2),))
    assert name_headings(sheet, (2,)) == ["Ring", "Wt"]


def test_a_heading_repeated_in_a_cell_of_data_is_no_total():
    sheet = make_sheet([["Sex", "Wt", "Wing"], ["Wing", "186", "240"], ["F", "190", "241"]])
    assert sort_rows(sheet, SheetRule(file="a.xlsx", heading_rows=(1,))).tolist() == [
        "a heading", "", "",
    ]  # fmt: skip


def test_a_cell_alone_in_a_wide_table_is_found():
    sheet = make_sheet([["Ring", "Sex", "Wt", "Wing"], ["a", "F", "1", "2"], ["see page 4"]])
    reasons = sort_rows(sheet, SheetRule(file="a.xlsx", heading_rows=(1,)))
    assert find_lone_cells(sheet, reasons, n_columns=4).tolist() == [False, False, True]
    assert not find_lone_cells(sheet, reasons, n_columns=3).any()


def test_units_repeated_below_repeated_headings_are_no_exam():
    rows = [["Ring", "Wt"], ["", "g"], ["a", "186"], ["Ring", "Wt"], ["", "g"], ["b", "190"]]
    rule = SheetRule(file="a.xlsx", heading_rows=(1,), units_row=2)
    assert sort_rows(make_sheet(rows), rule).tolist() == [
        "a heading", "a row of units", "", "the headings repeated", "the row of units repeated", "",
    ]  # fmt: skip
