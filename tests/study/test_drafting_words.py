"""A draft in words: alike sheets told once, every question under one number."""

from pathlib import Path

import pytest

from bodycond.legacy import ColumnRule, ImportRecipe, SheetRule
from bodycond.study.drafting_words import describe_column, describe_sheets
from bodycond.study.open_questions import list_questions

MASS = ColumnRule(heading="Wt", fields=("mass_g",), unit="lb", confidence=0.95)
SITE = ColumnRule(heading="Cage", ask="What does it hold?")
KEEL = ColumnRule(heading="KS", fields=("keel",), ask="Which scale?")


def make_rule(sheet, *columns, file="forms.xlsx", **more):
    return SheetRule(file=file, sheet=sheet, heading_rows=(2,), columns=columns, **more)


@pytest.fixture
def forms():
    """Five sheets that are read alike, one that is not, and a file that could not be read."""
    alike = tuple(make_rule(f"Site {number}", MASS, SITE) for number in range(1, 6))
    other = make_rule("exams", MASS, KEEL, file="exams.csv", ask="Two tables?")
    torn = SheetRule(file="torn.xlsx", ask="The file could not be read (truncated). Look again.")
    return ImportRecipe(sheets=(*alike, other, torn))


def test_sheets_that_are_read_alike_are_told_once(forms):
    assert describe_sheets(forms, path=Path("recipe.yaml")) == [
        "",
        "forms.xlsx, sheets Site 1, Site 2, Site 3 and 2 more: exams, headings in row 2",
        "  'Wt'    mass_g, unit lb (confidence 0.95)",
        "  'Cage'  QUESTION 1",
        "",
        "exams.csv: exams, headings in row 2; QUESTION 2",
        "  'Wt'  mass_g, unit lb (confidence 0.95)",
        "  'KS'  keel? QUESTION 3",
    ]


def test_a_question_that_many_sheets_raise_is_asked_once_and_counted_in_full(forms):
    assert list_questions(forms, path=Path("recipe.yaml")) == [
        "Open questions: 7 (3 of them different). Until they are answered, these cells are held:",
        "  1. forms.xlsx, sheets Site 1, Site 2, Site 3 and 2 more, column 'Cage': "
        "What does it hold?",
        "  2. exams.csv: Two tables?",
        "  3. exams.csv, column 'KS': Which scale?",
    ]


def test_no_question():
    recipe = ImportRecipe(sheets=(make_rule("exams", MASS),))
    assert list_questions(recipe, path=Path("recipe.yaml")) == ["No question is open."]


def test_long_lists_are_cut_with_their_count():
    columns = [ColumnRule(heading=f"h{number}", ask=f"What is {number}?") for number in range(70)]
    recipe = ImportRecipe(sheets=tuple(make_rule(each.heading, each) for each in columns))
    assert list_questions(recipe, path=Path("r.yaml"))[-1] == "  and 10 more, in r.yaml"
    assert describe_sheets(recipe, path=Path("r.yaml"))[-1] == (
        "and 50 more kinds of sheet, in r.yaml"
    )


def test_many_columns_without_a_field_are_one_question_that_comes_last():
    others = [ColumnRule(heading=each, ask=f"Is it {each}?") for each in ("a", "b", "c", "d")]
    recipe = ImportRecipe(sheets=(make_rule("wide", others[0], KEEL, *others[1:]),))
    table = describe_sheets(recipe, path=Path("r.yaml"))
    assert table[2:5] == [
        "  'a'   QUESTION 2: Is it a?", "  'KS'  keel? QUESTION 1", "  'b'   QUESTION 2: Is it b?",
    ]  # fmt: skip
    assert list_questions(recipe, path=Path("r.yaml")) == [
        "Open questions: 2. Until they are answered, these cells are held:",
        "  1. forms.xlsx, wide, column 'KS': Which scale?",
        "  2. forms.xlsx, wide: 4 columns have no field: 'a', 'b', 'c', 'd'. Give a field to each "
        'that you want; to set the others aside together, write set_aside_rest: "why" beside '
        "'table:' in the recipe.",
    ]
    # Three are still asked about one by one, each under its own number.
    few = ImportRecipe(sheets=(make_rule("wide", KEEL, *others[1:]),))
    assert list_questions(few, path=Path("r.yaml"))[0].startswith("Open questions: 4.")


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        (MASS, "mass_g, unit lb"),
        (SITE, ""),
        (ColumnRule(heading="x", fields=("exam_date",), date_order="dmy", fill_down=True),
         "exam_date, dates dmy, filled down"),
        (ColumnRule(heading="x", fields=("sex",), codes={"w": "F", "m": "M"}), "sex, 2 codes"),
        (ColumnRule(heading="x", fields=("age_code",), system="EURING", codes={"3": "3"}),
         "age_code, codes of EURING, 1 code"),
        (ColumnRule(heading="x", split=("{exam_date}, {mass_g}",), unit="g"),
         "{exam_date}, {mass_g}, unit g"),
        (ColumnRule(heading="x", fields=("keel",), values={"scorer": "S1"}, scale="keel 1 to 5"),
         "keel, scale keel 1 to 5, scorer = S1"),
    ],
)  # fmt: skip
def test_a_column_in_words(rule, words):
    assert describe_column(rule) == words
