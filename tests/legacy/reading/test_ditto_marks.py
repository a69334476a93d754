"""What repeats the cell above, and what stands between."""

import pytest

HEAD = 'sheets:\n- file: "*"\n  heading_row: 1\n  columns:\n    W: {field: wing_mm, unit: mm}\n'


def test_nothing_is_filled_over_a_cell_that_is_struck_through(read_sheet):
    recipe = HEAD + "    S: {field: site, fill_down: true}\n"
    rows = [["W", "S"], [200, "Elm"], [201, "Ash"], [202, ""], [203, "Oak"], [204, '"']]
    read = read_sheet(rows, recipe, partly_struck={(2, 1): "A"}, struck=frozenset({(4, 1)}))
    assert read.exams["site"].fillna("").tolist() == ["Elm", "", "", "", ""]
    assert read.quarantine.loc["s!B6", "reason"] == "a ditto mark with nothing above it"


def test_the_parts_of_a_date_repeat_too(read_sheet):
    recipe = (
        HEAD
        + """\
    Y: {field: exam_date, part: year, fill_down: true}
    M: {field: exam_date, part: month}
    D: {field: exam_date, part: day}
"""
    )
    rows = [["W", "Y", "M", "D"], [200, 2020, 3, 4], [201, "", '"', 5]]
    read = read_sheet(rows, recipe)
    assert read.exams["exam_date"].dt.strftime("%Y-%m-%d").tolist() == [
        "2020-03-04", "2020-03-05",
    ]  # fmt: skip
    assert read.at("C3")["reason"] == "part of a date; a ditto mark: repeats C2 '3'"


def test_a_part_with_a_ditto_mark_and_nothing_above_is_held(read_sheet):
    recipe = HEAD + "    P: {field: ring_number, part: prefix}\n"
    recipe += "    S: {field: ring_number, part: suffix}\n"
    read = read_sheet([["W", "P", "S"], [200, '"', "12345"]], recipe)
    assert read.exams["ring_number"].isna().all()
    assert read.quarantine.loc["s!B2", "reason"] == "a ditto mark with nothing above it"


def test_a_mark_in_a_table_that_bodycond_wrote_is_what_was_written(read_sheet):
    recipe = 'sheets:\n- file: "*"\n  heading_row: 1\n  columns:\n'
    recipe += "    remarks: {field: remarks, exact: csv}\n    wing_mm: {field: wing_mm, exact: csv}"
    read = read_sheet([["remarks", "wing_mm"], ["wet", 200], ['"', 201]], recipe)
    assert read.exams["remarks"].tolist() == ["wet", '"']


@pytest.mark.parametrize(
    ("unit", "wings"), [('"', [200.0, 210.0]), ("stone", [200.0]), ("", [200.0])]
)
def test_a_unit_beside_is_repeated_by_its_ditto_mark_alone(read_sheet, unit, wings):
    recipe = HEAD.replace("unit: mm", "unit_from: U") + "    U: {set_aside: the unit}\n"
    read = read_sheet([["W", "U"], [20, "cm"], [21, unit]], recipe)
    assert read.exams["wing_mm"].tolist() == wings


def test_a_unit_that_is_struck_through_is_none(read_sheet):
    recipe = HEAD.replace("unit: mm", "unit_from: U") + "    U: {set_aside: the unit}\n"
    read = read_sheet([["W", "U"], [20, "cm"]], recipe, struck=frozenset({(1, 1)}))
    assert read.at("A2")["outcome"] == "quarantined"


def test_a_mass_in_a_split_cell_takes_the_unit_beside(read_sheet):
    recipe = (
        HEAD
        + """\
    Both: {split: ["{exam_date}, {mass_g}", "{mass_g}"], date_order: dmy, unit_from: U}
    U: {set_aside: the unit}
"""
    )
    rows = [["W", "Both", "U"], [200, "3/4/2020, 1.2", "kg"], ["", "900", "g"]]
    read = read_sheet(rows, recipe)
    assert read.exams["mass_g"].tolist() == [1200.0, 900.0]
    assert read.at("B3")["value"] == "900"


def test_a_ring_that_does_not_fit_its_split_is_held(read_sheet):
    recipe = HEAD + '    R: {split: "Ring {ring_number}"}\n'
    read = read_sheet([["W", "R"], [200, "AB123"], [201, "Ring AB124"]], recipe)
    assert read.exams["ring_number"].fillna("").tolist() == ["", "AB124"]
    assert read.at("B2")["outcome"] == "quarantined"
