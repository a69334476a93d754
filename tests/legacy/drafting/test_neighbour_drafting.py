"""Units in a neighbouring column, and two columns for one field."""


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
