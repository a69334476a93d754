"""Units in a neighbouring column, and two columns for one field."""

import re

import pytest


def test_the_unit_of_each_cell_from_its_neighbour(draft_rows):
    draft = draft_rows([
        ["Ring", "Weight", "weightUnit", "wingLength", "wingLengthUnit"],
        ["a1", "186", "g", "240", "mm"], ["a2", "0.19", "kg", "24.1", "cm"],
    ])  # fmt: skip
    assert (draft["Weight"].unit_from, draft["wingLength"].unit_from) == (
        "weightUnit", "wingLengthUnit",
    )  # fmt: skip
    assert draft.is_sure("Weight")
    assert draft["weightUnit"].set_aside == "gives the unit of 'Weight'"


def test_a_column_named_unit_speaks_of_the_one_before(draft_rows):
    draft = draft_rows([["Ring", "Wt", "Unit"], ["a1", "186", "g"], ["a2", "0.19", "kg"]])
    assert draft["Wt"].unit_from == "Unit"


def test_a_column_of_units_that_holds_other_things_is_asked_about(draft_rows):
    draft = draft_rows([["Ring", "Wt", "Unit"], ["a1", "186", "ward 3"], ["a2", "190", "ward 4"]])
    assert draft["Wt"].unit_from is None
    assert draft["Unit"].ask


def test_two_columns_for_one_field_are_both_asked_about(draft_rows):
    draft = draft_rows([["Ring", "Weight (g)", "Mass (g)"], ["a1", "186", "187"]])
    assert "More than one column looks like mass_g: also 'Mass (g)'." in draft["Weight (g)"].ask
    assert "also 'Weight (g)'" in draft["Mass (g)"].ask


def test_a_repeated_heading_is_never_used_unasked(draft_rows):
    draft = draft_rows([["Ring", "Wing (mm)", "Tail (mm)", "Wing (mm)"], ["a1", "1", "2", "3"]])
    assert draft["Wing (mm)"].ask
    assert draft["Wing (mm).2"].ask


def test_a_sure_column_stays_beside_a_hardly_likely_one(draft_rows):
    draft = draft_rows([["Ring", "Site", "Island"], ["a1", "Millford", "North"]])
    assert draft.is_sure("Site")
    assert "also 'Site'" in draft["Island"].ask


def test_a_scientific_name_beside_a_local_one_is_used(draft_rows):
    draft = draft_rows([
        ["Ring", "Species", "Scientific name"], ["a1", "Barn Owl", "Tyto alba"],
    ])  # fmt: skip
    assert draft.is_sure("Scientific name")
    assert draft["Species"].ask


def test_remarks_can_stand_in_several_columns(draft_rows):
    draft = draft_rows([["Ring", "Notes", "Comments"], ["a1", "x y", "wing cut"]])
    assert draft.is_sure("Notes")
    assert draft.is_sure("Comments")


@pytest.mark.parametrize(
    ("first", "second", "reason"),
    [
        ("Mass 1 (g)", "Mass 2 (g)", "recheck"), ("Weight in (g)", "Weight out (g)", "pre_release"),
        ("Wt1", "Wt2", "recheck"), ("Intake weight (g)", "Release weight (g)", "pre_release"),
    ],
)  # fmt: skip
def test_the_question_about_two_weighings_says_what_to_write(draft_rows, first, second, reason):
    rows = [["Ring", "Wing (mm)", first, second]]
    draft = draft_rows([*rows, *([f"GX{10_000 + i}", 380, 900 + i, 950 + i] for i in range(9))])
    intake = "with: {exam_reason: intake}"
    repeat = f"with: {{exam_reason: {reason}, remarks: repeat weighing}}"
    assert f"write {intake} here, {repeat} at {second!r}, and" in draft[first].ask
    assert f"write {intake} at {first!r}, {repeat} here, and" in draft[second].ask


def test_what_the_question_says_is_a_recipe_that_keeps_both_weighings(draft_rows, read_sheet):
    rows = [["Ring", "Wt1", "Wt2"], *([f"GX{10_000 + i}", 900 + i, 950 + i] for i in range(9))]
    offered = re.findall(r"with: (\{.*?\})", draft_rows(rows)["Wt1"].ask)
    assert len(offered) == 2
    recipe = "sheets:\n- file: '*'\n  heading_row: 1\n  columns:\n    Ring: {field: ring_number}\n"
    recipe += "".join(
        f"    Wt{number}: {{field: mass_g, unit: g, with: {words}}}\n"
        for number, words in enumerate(offered, start=1)
    )
    read = read_sheet(rows, recipe)
    assert read.exams["mass_g"].tolist()[:4] == [900, 950, 901, 951]
    assert read.exams["exam_reason"].tolist()[:2] == ["intake", "recheck"]
    assert read.exams["exam_id"].is_unique
    assert (read.counts["rows_spread"], read.counts["exams_out"]) == (9, 18)


def test_a_mass_and_its_bag_are_not_offered_as_two_weighings(draft_rows):
    draft = draft_rows([["Ring", "Gross", "Bag", "Net"], ["a1", "236", "50", "186"]])
    for heading in ("Gross", "Bag", "Net"):
        assert "weighing of its own" not in draft[heading].ask
