"""Units stated or asked with a proposal; numbers that contradict their heading."""

import pytest

from bodycond.legacy.drafting.column_contents import ColumnContents
from bodycond.legacy.drafting.measure_drafting import find_decimal


def column(draft_rows, heading, cells, *others):
    headings = ["Case no.", heading, *[other[0] for other in others]]
    rows = [[f"K-{at}", cell, *[other[1][at] for other in others]] for at, cell in enumerate(cells)]
    return draft_rows([headings, *rows])


@pytest.mark.parametrize(
    ("heading", "cells", "unit", "others"),
    [
        ("Weight", ["186", "190"], "g", []),
        ("Weight", ["0.186", "0.95"], "kg", [("Wing (mm)", ["240", "390"])]),
        ("Weight", ["3.4", "3.3"], "g", [("Wing (mm)", ["49", "50"])]),
        ("Wing", ["240", "238"], "mm", []),
        ("Wing", ["24.0", "38.1"], "cm", [("Weight (g)", ["190", "800"])]),
        ("Wing", ["49.4", "50.1"], "mm", [("Weight (g)", ["20", "19"])]),
        ("Tarsus", ["2.1", "2.2"], "cm", []),
        ("Wing", ["29", "31", "25"], "mm", [("Weight (g)", ["14.1", "15.2", "12"])]),
        ("Culmen", ["17.2", "18"], "mm", []),
    ],
)
def test_a_unit_that_nobody_states_is_asked_with_the_likely_one(
    draft_rows, heading, cells, unit, others
):
    rule = column(draft_rows, heading, cells, *others)[heading]
    assert "In which unit are bare numbers" in rule.ask
    assert f"Likely {unit}" in rule.ask
    assert rule.unit == unit
    assert rule.confidence < 0.9


@pytest.mark.parametrize(
    ("heading", "cells"), [("Wing", ["7", "11", "9"]), ("Tarsus", ["4.1", "5.2"])]
)
def test_no_unit_is_proposed_where_chicks_fit_as_well_as_another_unit(draft_rows, heading, cells):
    rule = column(draft_rows, heading, cells)[heading]
    assert "In which unit are bare numbers" in rule.ask
    assert "Likely" not in rule.ask
    assert rule.unit is None


@pytest.mark.parametrize(
    ("heading", "cells", "seen"),
    [
        ("Wing (mm)", [str(3 + at % 7) for at in range(14)], "whole numbers up to 9"),
        ("Wing", ["12/03/2019", "13/03/2019"], "Its cells are dates"),
        ("Weight", ["06:14", "06:20"], "Its cells are times of day"),
        ("Weight (cm)", ["60", "75", "130"], "The unit 'cm' that is named does not fit"),
        ("Weight (g)", ["0.186", "0.19", "0.2"], "1.8 to 15000 g is possible"),
        ("Weight (kg)", ["186", "190", "200"], "1.8 to 15000 g is possible"),
        ("Wing (mm)", ["24.0", "24.1", "38"], "30 to 900 mm is possible"),
        ("Wing (1-5)", ["3", "4"], "grades from 1 to 5"),
        ("Wing", ["5.2x8.0", "5.1x8"], "hold two numbers each"),
        ("Tail (mm)", ["Y", "N"], "Its cells are yes and no"),
    ],
)
def test_numbers_that_contradict_the_heading_are_a_question(draft_rows, heading, cells, seen):
    rule = column(draft_rows, heading, cells)[heading]
    assert seen in rule.ask
    assert rule.confidence <= 0.5
    assert rule.fields


def test_a_mass_that_does_not_go_with_the_wing_is_a_question(draft_rows):
    draft = column(draft_rows, "Weight (g)", ["4.1", "5.2"], ("Wing (mm)", ["600", "620"]))
    assert "does not go with a wing of 600 mm" in draft["Weight (g)"].ask
    assert draft.is_sure("Wing (mm)")


def test_a_tarsus_that_does_not_go_with_the_wing_is_a_question(draft_rows):
    draft = column(draft_rows, "Tarsus (mm)", ["8.2", "8.4"], ("Wing (mm)", ["390", "400"]))
    assert "does not go with a wing" in draft["Tarsus (mm)"].ask


def test_a_unit_in_every_cell_is_enough_and_in_some_is_told(draft_rows):
    assert column(draft_rows, "Wt", ["186 g", "0.2 kg"]).is_sure("Wt")
    assert "1 cells name their own" in column(draft_rows, "Wt", ["186 g", "190"])["Wt"].ask


def test_numbers_far_from_the_rest_are_named(draft_rows):
    cells = [f"{48 + at % 6}" for at in range(30)]
    rule = column(draft_rows, "Wing", [*cells, "4.07"])["Wing"]
    assert "Far from the rest: 4.07." in rule.ask


def test_pounds_and_ounces_in_one_cell_are_asked_about(draft_rows):
    assert (
        "Is 2.5 here 2 lb 5 oz"
        in column(draft_rows, "Wt (lb/oz)", ["2.5", "1.3"])["Wt (lb/oz)"].ask
    )


@pytest.mark.parametrize("row", [["", "g", "mm"], ["", "(g)", "[mm]"]])
def test_a_row_of_units_states_them(draft_rows, row):
    draft = draft_rows([["Ring", "Wt", "Wing"], row, ["a1", "186", "240"]])
    assert (draft["Wt"].unit, draft["Wing"].unit) == ("g", "mm")
    assert draft.is_sure("Wt")
    assert "the row of units says" in draft["Wt"].evidence


def test_a_row_of_units_that_does_not_fit_is_a_question(draft_rows):
    draft = draft_rows([["Ring", "Wt", "Wing"], ["", "mm", "g"], ["a1", "186", "240"]])
    assert not draft.is_sure("Wt")
    assert not draft.is_sure("Wing")


@pytest.mark.parametrize(
    ("cells", "mark"),
    [(["190,5", "186"], "comma"), (["190.5"], "point"), (["1,050"], None), (["1.5", "1,5"], None)],
)
def test_the_decimal_mark_is_found(cells, mark):
    contents = ColumnContents(cells={(text, "t"): 1 for text in cells}, missing={}, n_rows=1)
    assert find_decimal(contents) == mark


def test_differences_are_named(draft_sheets, sheet_of):
    from dataclasses import replace

    sheet = sheet_of([["Ring", "Weight", "Wt (g)"], ["a1", 839, 839], ["a2", 190, 190]])
    formulas = {(1, 1): "=907-68", (1, 2): "=907-68", (2, 1): "=SUM(A1)"}
    draft = draft_sheets(replace(sheet, formulas=formulas))
    said = "1 cells are differences such as '=907-68'"
    assert f"{said}: was a bag taken off?" in draft["Weight"].ask
    assert said in draft["Wt (g)"].evidence


def test_a_comment_at_the_heading_states_the_unit(draft_sheets, sheet_of):
    from dataclasses import replace

    sheet = sheet_of([["Ring", "Wt", "Wing"], ["a1", "186", "240"]])
    comments = {(0, 1): "Weights in grams!", (0, 2): "mm or cm, see page 2"}
    draft = draft_sheets(replace(sheet, comments=comments))
    assert draft["Wt"].unit == "g"
    assert draft.is_sure("Wt")
    assert "a comment says 'Weights in grams!'" in draft["Wt"].evidence
    assert "In which unit" in draft["Wing"].ask


def test_a_unit_in_a_title_is_proposed(draft_rows):
    rows = [["Weights in kg, wings in cm"], ["Ring", "Wt", "Wing"], ["a1", "2", "40"]]
    draft = draft_rows(rows)
    assert (draft["Wt"].unit, draft["Wing"].unit) == ("kg", "cm")
    assert "Likely kg: a title says 'Weights in kg, wings in cm'." in draft["Wt"].ask
