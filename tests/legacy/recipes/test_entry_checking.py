"""Faults of a recipe that lie between its entries, columns and rows."""

import pytest

from bodycond.errors import RecipeError
from bodycond.legacy import ImportRecipe, import_legacy
from bodycond.legacy.recipes.recipe_rules import fits_pattern
from bodycond.legacy.recipes.recipe_writing import write_recipe_text

HEAD = 'version: 1\nsheets:\n- file: "*"\n'


def entry(columns, keys="heading_row: 1"):
    lines = [f"  {line}" for line in keys.split("; ")] + ["  columns:"]
    return HEAD + "\n".join([*lines, *(f"    {column}" for column in columns)])


def labels(rules, keys=()):
    lines = ["  table: labels", *(f"  {key}" for key in keys), "  labels:"]
    return HEAD + "\n".join([*lines, *(f"    {rule}" for rule in rules)])


ONE = ["A: {field: site}"]
FAULTS = [
    (entry(["Y: {field: exam_date, part: year}", "D: {field: exam_date}"]),
     "line 7: 'exam_date' is filled by 'Y' and by 'D'"),
    (entry(["Y: {field: exam_date, part: year}", "Z: {field: exam_date, part: year}"]),
     "line 7: 'exam_date' is filled by 'Y' and by 'Z'"),
    (entry(["Y: {field: exam_date, part: year}"],
           "heading_row: 1; constants: {exam_date: 2019-01-01}"),
     "line 5: 'exam_date' is filled by a constant and by the column 'Y'"),
    (entry(["P: {field: ring_number, part: prefix}"]),
     "line 6: 'ring_number' has no column for its part suffix"),
    (entry(["P: {field: mass_g, part: pounds}", "T: {field: mass_g, part: tare}"]),
     "line 6: the parts pounds, tare make no 'mass_g' together"),
    (entry(["G: {field: species, part: genus}"]),
     "line 6: 'species' has no column for its part epithet"),
    (entry(["G: {field: species, part: genus}", "E: {field: species}"]),
     "line 7: 'species' is filled by 'G' and by 'E'"),
    (entry(["G: {field: species, part: genus}", "P: {field: species, part: prefix}"]),
     "line 7: the part 'prefix' says nothing about a species field"),
    (entry(["M: {field: exam_date, part: month}"]),
     "line 6: a date of parts needs a 'part: year', or 'year' for 'exam_date'"),
    (entry(["P: {field: [exam_date, fitted], part: year, kind: date}"]),
     "line 6: 'P' is a part of one field alone"),
    (entry(["A: {field: site, also: [B]}", "B: {field: bird_id}"]),
     "line 7: the heading 'B' is that of 'A' and of 'B': give it to one"),
    (entry(["A: {field: [site, site]}"]), "line 6: 'A' names a field twice"),
    (entry(["A: {field: wing_mm, exact: csv, unit: mm}"]), "line 6: 'A' is 'exact': one field"),
    (entry(["A: {field: site, low: 0}"]), "line 6: 'low' says nothing about a text field"),
    (entry(["D: {field: exam_date, short_years_to: 49}"]),
     "line 6: 'short_years_to' is a year from 1899 to 2099, not 49"),
    (entry(["D: {field: exam_date, short_years_to: early}"]), "line 6: 'short_years_to' takes"),
    (entry(["A: {field: site, short_years_to: 1999}"]),
     "line 6: 'short_years_to' says nothing about a text field"),
    (entry(["A: {field: own, kind: number, low: 1e999}"]), "line 6: 'low' takes a number"),
    (entry(["A: {field: own, kind: number, low: " + "9" * 400 + "}"]), "'low' takes a number"),
    (entry(["A: {field: site, also: [{a: b}]}"]),
     "line 6: 'also' takes words or texts, none of them empty"),
    (entry(["A: {field: site, codes: {x: ''}}"]),
     "line 6: the code 'x' needs one value; null stands for no value"),
    (entry(["A: {field: own, kind: count, codes: {x: 2.5}}"]),
     "line 6: the code 'x' of 'A' needs a whole number"),
    (entry(["A: {field: own, kind: time, codes: {dawn: early}}"]),
     "line 6: the code 'dawn' gives 'early', no time of day"),
    (entry(["A: {field: keel, scale: keel 1 to 5, codes: {x: [" + "9" * 400 + ", 2]}}"]),
     "line 6: the code 'x' needs two numbers, low and high"),
    (entry(["U: {set_aside: x}", "A: {split: '{wing_mm} x {mass_g}', unit_from: U}"]),
     "line 7: 'unit_from' gives the unit of a mass or of a length, and not of both"),
    (entry(ONE, "heading_row: 1; constants: {bird_id: ~}"), "line 5: 'bird_id' cannot be '~'"),
    (entry(ONE, "heading_row: 2; area: A2:B9; first_row: 12"),
     "line 6: 'first_row' 12 lies outside the area A2:B9; rows count from the top of the sheet"),
    (entry(ONE, "heading_row: 3; last_row: 2"),
     "line 5: 'last_row' 2 lies above the headings or the first row of data"),
    (entry(ONE, "heading_row: 9" + "9" * 20), "'heading_row' takes row numbers, counted from 1"),
    (entry(ONE, "heading_row: 1; needs: bird_id; labels: {B: {field: bird_id}}"),
     "line 5: 'needs' names 'bird_id', which a label gives to every row alike"),
    (labels(["B: {field: keel, into: ratings, with: {scorer: S1}, scale: keel 1 to 5}"]),
     "line 6: the label 'B' goes with every record: 'with' and 'into' are for columns"),
    (labels(ONE, ["constants: {bird_id: x}"]),
     "line 5: 'constants' says nothing in an entry of 'table: labels'"),
    (labels(["A: {field: site}", "B: {field: site}"]), "line 7: 'site' is filled by 'A' and by"),
    (HEAD + "  table: set_aside\n  why: x\n  heading_row: 1\n",
     "line 6: 'heading_row' says nothing in an entry of 'table: set_aside'"),
    (HEAD + "  table: set_aside\n  why: x\n  set_aside_rest: y\n",
     "line 6: 'set_aside_rest' says nothing in an entry of 'table: set_aside'"),
    (entry(ONE, "heading_row: 1; set_aside_rest: [a]"),
     "line 5: 'set_aside_rest' takes one word or text"),
    (entry(["A: {field: own, kind: text}"]) + "\n" + entry(["B: {field: own, kind: number}"])
     .split("sheets:\n")[1], "line 10: 'own' is a number here and a text in line 6; give it one"),
    ("version: true\nsheets: []", "line 1: 'version' must be 1"),
    ('version: 1\nsheets: "\\U00110000"', "line 2: not YAML: an escape that names no character"),
    ("&a version: 1\n*a : 2\nsheets: []", "line 1: an alias (*); write the value out"),
    ("!x version: 1\nsheets: []", "line 1: the tag '!x'; a recipe holds plain values alone"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "fault"), FAULTS)
def test_fault_is_named_with_its_line(text, fault):
    with pytest.raises(RecipeError) as caught:
        ImportRecipe.from_text(text)
    assert fault in caught.value.found


def test_the_rest_is_set_aside_where_the_entry_says_why():
    columns = ["A: {ask: which field?}", "B: {field: site, ask: is it?}", "C: {set_aside: mine}",
               "D: {split: '{wing_mm} x {mass_g}', ask: units?}"]  # fmt: skip
    text = entry(columns, "heading_row: 1; set_aside_rest: habitat; labels: {L: {ask: what?}}")
    (rule,) = ImportRecipe.from_text(text).sheets
    fates = {each.heading: (each.ask, each.set_aside) for each in (*rule.columns, *rule.labels)}
    assert fates == {
        "A": (None, "habitat"), "B": ("is it?", None), "C": (None, "mine"),
        "D": ("units?", None), "L": (None, "habitat"),
    }  # fmt: skip
    # Written out, each column says it for itself.
    again = ImportRecipe.from_text(write_recipe_text((rule,), {}))
    assert again.sheets[0].columns[0].set_aside == "habitat"


def test_a_heading_that_the_entry_does_not_name_is_not_part_of_the_rest(tmp_path):
    path = tmp_path / "a.csv"
    path.write_text("A,B,New\n1,x,2\n")
    recipe = entry(["A: {ask: what?}", "B: {field: site}"], "heading_row: 1; set_aside_rest: y")
    ledger = import_legacy([path], recipe=ImportRecipe.from_text(recipe)).ledger
    outcomes = ledger.set_index("raw")["outcome"]
    assert (outcomes["1"], outcomes["2"]) == ("set_aside", "quarantined")


def test_an_anchor_given_twice_is_no_fault_of_its_own():
    recipe = ImportRecipe.from_text("version: &x 1\nsheets: &x []")
    assert recipe.sheets == ()


def test_a_field_called_null_is_written_as_a_word():
    recipe = ImportRecipe.from_text(entry(['A: {field: "null", kind: text}']))
    again = ImportRecipe.from_text(write_recipe_text(recipe.sheets, recipe.scales))
    assert again.sheets[0].columns[0].fields == ("null",)


def test_a_bracket_in_a_pattern_is_a_bracket():
    assert fits_pattern("exams[1]_2019.csv", "exams[1]_*.csv")
    assert not fits_pattern("exams1_2019.csv", "exams[1]_*.csv")
    assert not fits_pattern("a1", "a[1]")
