"""Open questions listed: what matters first, and many unknown columns in one."""

from bodycond.legacy.recipes.question_listing import list_questions
from bodycond.legacy.recipes.recipe_rules import ColumnRule, SheetRule


def unknown(number):
    return [ColumnRule(heading=f"c{at}", ask="What does it hold?") for at in range(number)]


WING = ColumnRule(heading="Wing", fields=("wing_mm",), ask="In which unit?")


def test_questions_about_fields_stand_before_unknown_columns():
    rules = [
        SheetRule(file="a.csv", columns=(*unknown(1), WING)),
        SheetRule(file="b.csv", ask="Is it a table?", area="A:C"),
    ]
    assert list_questions(rules) == (
        "b.csv, sheet * (A:C): Is it a table?",
        "a.csv, sheet *, column 'Wing': In which unit?",
        "a.csv, sheet *, column 'c0': What does it hold?",
    )


def test_many_unknown_columns_make_one_question():
    asked = list_questions([SheetRule(file="a.csv", columns=(WING, *unknown(40)))])
    assert len(asked) == 2
    assert asked[1].startswith("a.csv, sheet *: 40 columns have no field: 'c0', 'c1',")
    assert "and 28 more. May they be set aside?" in asked[1]


def test_labels_are_asked_about_too_and_answers_are_not():
    rule = SheetRule(
        file="a.csv", labels=(WING,), columns=(ColumnRule(heading="x", fields=("site",)),)
    )
    assert len(list_questions([rule])) == 1
