"""Labels that go with many records: given out, accounted for, and apart from the rows around."""

import pytest

TABLE = """
- file: "*"
  heading_row: {row}
{more}  columns:
    Bird: {{field: bird_id}}
    W: {{field: mass_g, unit: g}}
"""
OWN = TABLE.format(row=2, more="  labels:\n    Place: {field: site}\n")


def with_labels(labels, table, area=""):
    return f'sheets:\n- file: "*"\n  table: labels\n{area}  labels:\n    {labels}{table}'


def test_a_label_goes_to_ratings_under_their_own_name(read_sheet):
    table = """
- file: "*"
  table: ratings
  heading_row: 2
  columns:
    Bird: {field: bird_id}
    By: {field: scorer}
"""
    rows = [["Date", "2019-05-03"], ["Bird", "By"], ["A1", "S1"]]
    read = read_sheet(rows, with_labels("Date: {field: exam_date}", table))
    assert read.ratings["rated_on"].dt.strftime("%d.%m.%Y").tolist() == ["03.05.2019"]
    assert "exam_date" not in read.ratings
    assert read.at("B1")["target"] == "ratings.rated_on"


@pytest.mark.parametrize("table", ["constants: {site: Elm}", "P: {field: site}"])
def test_a_label_that_no_record_takes_is_not_accepted(read_sheet, table):
    constant = f"  {table}\n" if table.startswith("c") else ""
    entry = TABLE.format(row=2, more=constant) + ("" if constant else f"    {table}\n")
    rows = [["Place", "Millford", ""], ["Bird", "W", "P"], ["A1", "200", "Elm"]]
    read = read_sheet(rows, with_labels("Place: {field: site}", entry))
    assert read.exams["site"].tolist() == ["Elm"]
    assert read.at("B1")["outcome"] == "set_aside"
    assert read.at("B1")["reason"].endswith("site filled otherwise, or no record made")
    assert read.at("B1")["value"] == read.at("B1")["target"] == ""


def test_remarks_beside_a_label_are_joined_to_a_rows_own(read_sheet):
    entry = TABLE.format(row=2, more="") + "    Note: {field: remarks}\n"
    rows = [["Said", "cold day", ""], ["Bird", "W", "Note"], ["A1", "200", "wet"],
            ["A2", "~200", ""]]  # fmt: skip
    read = read_sheet(rows, with_labels("Said: {field: remarks}", entry))
    assert read.exams["remarks"][0] == "wet; cold day"
    assert read.exams["remarks"][1].endswith("cold day")
    assert read.at("B1")["outcome"] == "accepted"


def test_a_blocks_own_label_goes_before_one_of_the_sheet(read_sheet):
    rows = [["Site", "Elm", "Place", "Ash"], ["Bird", "W", "", ""], ["A1", "200", "", ""]]
    read = read_sheet(rows, with_labels("Site: {field: site}", OWN))
    assert read.exams["site"].tolist() == ["Ash"]
    assert [read.at(cell)["outcome"] for cell in ("B1", "D1")] == ["set_aside", "accepted"]


def test_what_becomes_of_a_row_does_not_become_of_a_label_in_it(read_sheet):
    entry = TABLE.format(row=1, more="  needs: mass_g\n  labels:\n    Place: {field: site}\n")
    rows = [["Bird", "W", "", ""], ["A1", "", "Place", "Elm"], ["A2", "200", "", ""],
            ["Place", "", "", ""]]  # fmt: skip
    read = read_sheet(rows[:3], "sheets:" + entry)
    assert read.exams["site"].tolist() == ["Elm"]
    assert read.at("D2")["outcome"] == "accepted"
    assert read.at("A2")["reason"] == "no exam: the row holds no mass_g"


def test_a_label_below_a_table_makes_no_exam(read_sheet):
    entry = TABLE.format(row=1, more="  labels:\n    Place: {field: site}\n")
    read = read_sheet([["Bird", "W"], ["A1", "200"], ["Place", "Elm"]], "sheets:" + entry)
    assert read.exams["bird_id"].tolist() == ["A1"]
    assert read.exams["site"].tolist() == ["Elm"]
    assert read.counts["rows_held"] == 0


def test_labels_in_an_area_that_the_sheet_does_not_reach(read_sheet):
    labels = "Place: {field: site}"
    recipe = with_labels(labels, TABLE.format(row=2, more=""), "  area: A10:B12\n")
    read = read_sheet([["", ""], ["Bird", "W"], ["A1", "200"]], recipe)
    assert read.exams["mass_g"].tolist() == [200.0]
    assert "the recipe's label 'Place' not found" in read.notes


def test_a_value_stands_behind_the_end_of_a_merged_label(read_sheet):
    rows = [["Place", *[""] * 5, "Elm"], ["Bird", "W", *[""] * 5], ["A1", "200", *[""] * 5]]
    read = read_sheet(rows, "sheets:" + OWN, merged=((0, 0, 0, 5),))
    assert read.exams["site"].tolist() == ["Elm"]


def test_another_label_is_no_value(read_sheet):
    rows = [["Place", "", "Observer:", "S1"], ["Bird", "W", "", ""], ["A1", "200", "", ""]]
    read = read_sheet(rows, "sheets:" + OWN)
    assert read.exams["site"].isna().all()
    assert "Observer:" not in read.exams.to_string()
