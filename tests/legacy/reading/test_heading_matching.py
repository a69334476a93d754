"""Headings against a recipe: drift from file to file is taken up, a change is said."""

from bodycond.legacy.reading.heading_matching import match_columns
from bodycond.legacy.recipes.recipe_rules import ColumnRule

RULES = [
    ColumnRule(heading="Wt", fields=("mass_g",), unit="g", also=("Weight g",)),
    ColumnRule(heading="r1 Length", set_aside="feather"),
    ColumnRule(heading="Wing", fields=("wing_mm",), unit="mm"),
]


def name(matched):
    return [rule.heading if rule is not None else None for rule in matched]


def test_case_and_blanks_do_not_matter_and_other_headings_count():
    matched, notes = match_columns(["weight  G", "r1 Length ", "WING"], RULES)
    assert name(matched) == ["Wt", "r1 Length", "Wing"]
    assert notes == []


def test_of_two_headings_of_one_column_the_first_counts():
    matched, notes = match_columns(["Wt", "Weight g"], RULES)
    assert name(matched) == ["Wt", None]
    assert "headings that the recipe does not name: 'Weight g'" in notes


def test_a_changed_heading_is_said_with_what_probably_took_its_place():
    matched, notes = match_columns(["Wt", "r1 Length", "Wing chord"], RULES)
    assert name(matched) == ["Wt", "r1 Length", None]
    assert notes == [
        "headings changed: the recipe's 'Wing' not found",
        "headings that the recipe does not name: 'Wing chord'",
        "'Wing chord' probably took the place of 'Wing'; if so, add 'also: [\"Wing chord\"]' to "
        "that column of the recipe",
    ]


def test_two_headings_alike_but_for_case_are_neither():
    matched, _ = match_columns(["WT", "wt", "Wing"], RULES)
    assert name(matched) == [None, None, "Wing"]
