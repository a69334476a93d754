"""Recipes: read, checked with line numbers, written and read back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodycond.errors import RecipeError
from bodycond.legacy import ColumnRule, ImportRecipe, SheetRule
from bodycond.legacy.recipes.recipe_writing import write_recipe_text
from bodycond.scales import KEEL_SCALE, ScoreScale

GOOD = """\
version: 1
scales:
  fat 0 to 4: {low: 0, high: 4, step: 0.5}
sheets:
- file: "book*.xlsx"
  sheet: "20??"
  table: exams
  heading_row: [2, 3]
  units_row: 4
  constants: {site: Skelbeck Hospital, keel_blind: false}
  columns:
    Ring: {field: [ring_number, bird_id]}
    Sp.: {field: species, codes: {KES: Falco tinnunculus, "007": null}}
    Keel: {field: keel, scale: keel 1 to 5, codes: {thin: [1, 2], good: 3}}
    Fat: {field: fat, scale: fat 0 to 4}
    Y: {field: exam_date, part: year}
    M: {field: exam_date, part: month}
    D: {field: exam_date, part: day}
    Bill: {ask: which measure is it?}
    Cage: {set_aside: no matter}
"""


def load_faults(text):
    with pytest.raises(RecipeError) as caught:
        ImportRecipe.from_text(text)
    return str(caught.value)


def test_recipe_is_read():
    recipe = ImportRecipe.from_text(GOOD)
    (rule,) = recipe.sheets
    assert (rule.heading_rows, rule.units_row, rule.line) == ((2, 3), 4, 5)
    columns = {column.heading: column for column in rule.columns}
    assert columns["Ring"].fields == ("ring_number", "bird_id")
    assert columns["Sp."].codes == {"KES": "Falco tinnunculus", "007": None}
    assert columns["Keel"].codes == {"thin": (1.0, 2.0), "good": "3"}
    assert columns["Cage"].line == 20
    assert recipe.find_scale("fat 0 to 4") == ScoreScale(name="fat 0 to 4", low=0, high=4, step=0.5)
    assert recipe.find_scale("keel 1 to 5") is KEEL_SCALE
    assert recipe.questions == ("book*.xlsx, sheet 20??, column 'Bill': which measure is it?",)


def test_fields_frame_has_the_columns_promised():
    fields = ImportRecipe.from_text(GOOD).fields
    assert fields.columns.tolist() == [
        "file", "sheet", "heading", "field", "unit", "scale", "confidence",
    ]  # fmt: skip
    by_heading = fields.drop_duplicates("heading").set_index("heading")
    assert by_heading.loc["Keel", "scale"] == "keel 1 to 5"
    assert by_heading["confidence"].to_dict()["Bill"] == 0.0
    assert by_heading["confidence"].to_dict()["Fat"] == 1.0


def test_the_first_rule_that_matches_counts():
    recipe = ImportRecipe.from_text(GOOD)
    assert recipe.find_rule(file="book_a.xlsx", sheet="2019") is recipe.sheets[0]
    assert recipe.find_rule(file="north/book_a.xlsx", sheet="2019") is recipe.sheets[0]
    assert recipe.find_rule(file="book_a.xlsx", sheet="Codes") is None


def test_every_fault_is_listed_with_its_line():
    faults = load_faults(
        """\
version: 2
scals: {}
sheets:
- file: a.csv
  table: exams
  columns:
    Wing: {feild: wing_mm}
    Mass: {field: mass_g, unit: stone}
    Tail: {field: tail_mn}
    Crop: {field: crop_fraction}
    Keel: {field: keel, scale: our chart}
    Date: {field: exam_date, date_order: dym}
    Sex: {field: sex, codes: {w: X}}
    Row: {field: source_row}
    Sp.: {field: species, codes: {KES: kestrel}}
"""
    )
    assert faults.startswith("the recipe must describe scales, sheets and columns")
    for part in (
        "line 1: 'version' must be 1",
        "line 2: unknown key 'scals' in the recipe; did you mean 'scales'",
        "line 4: a sheet needs 'heading_row', counted from 1",
        "line 7: unknown key 'feild' in the column 'Wing'; did you mean 'field'",
        "line 8: unknown unit 'stone' for a mass; known are g, kg, lb, oz, lb.oz",
        "line 9: unknown field 'tail_mn' in exams; did you mean 'tail_mm'",
        "line 10: unknown field 'crop_fraction' in exams",
        "line 11: the scale 'our chart' is not described",
        "line 12: 'date_order' is one of dmy, mdy, ymd, serial, serial_1904, day_of_year, not",
        "line 13: the code 'w' gives 'X'; sex takes F, M, U",
        "line 14: 'source_row' is filled by the import itself",
        "line 15: the code 'KES' gives 'kestrel', not a scientific name such as Buteo buteo",
    ):
        assert part in faults


COLUMN = """\
version: 1
scales:
  pec: {{low: 0, high: 3, step: 1}}
sheets:
- file: a.csv
  heading_row: 1
  columns:
    A: {column}
    B: {{field: mass_g, unit: g}}
"""


@pytest.mark.parametrize(
    ("column", "fault"),
    [
        ("{field: mass_g, unit: g}", "line 9: 'mass_g' is filled by 'A' and by 'B'"),
        ("{field: wing_mm, set_aside: no}", "'A' has both a field and 'set_aside'"),
        ("{unit: g}", "'A' needs 'field', 'set_aside' or 'ask'"),
        ("wing_mm", "'A' needs a mapping"),
        ("{field: sex, unit: mm}", "'unit' says nothing about a sex field"),
        ("{field: keel, scale: pec}", "'keel' is graded 1 to 5 and 'pec' is 0 to 3"),
        ("{field: keel, codes: {thin: 2}}", "the codes of 'A' give grades: name their scale"),
        (
            "{field: keel, scale: keel 1 to 5, codes: {thin: 2.2}}",
            "the code 'thin' gives '2.2', no grade of 'keel 1 to 5'",
        ),
        ("{field: keel, scale: keel 1 to 5, codes: {thin: [1]}}", "needs two numbers"),
        ("{field: wing_mm, codes: {x: big}}", "the code 'x' of 'A' needs a number"),
        ("{field: species, codes: {x: [1, 2]}}", "the code 'x' of 'A' needs one value"),
        ("{field: species, codes: {x: {y: z}}}", "the code 'x' needs one value"),
        ("{field: exam_date, codes: {x: soon}}", "gives 'soon', no year-month-day"),
        ("{field: gravid, codes: {x: perhaps}}", "a flag is true or false"),
        ("{field: n, kind: number, low: 2, high: 1}", "low 2 is above high 1"),
        ("{field: n, kind: number, low: two}", "'low' takes a number"),
        ("{field: 2n, kind: number}", "must be one word of letters"),
        ("{field: site, ditto: perhaps}", "'ditto' takes true or false"),
        ("{field: site, codes: [a]}", "'codes' is a mapping"),
        ("{field: site, unit: [a]}", "'unit' takes one word or text"),
    ],
)
def test_column_that_contradicts_itself(column, fault):
    faults = load_faults(COLUMN.format(column=column))
    assert "line 8" in faults or "line 9" in faults
    assert fault in faults


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("", "line 1: an empty recipe"),
        ("- a", "line 1: a recipe is a mapping"),
        ("version: 1\nsheets: 3", "line 2: 'sheets' is a list"),
        ("version: 1\nsheets:\n- word", "line 3: an entry of 'sheets' needs"),
        ("version: 1\nversion: 1\nsheets: []", "line 2: 'version' is given twice, first in line 1"),
        ("version: [1\nsheets: []", "not YAML"),
        ("version: 1\nsheets: []\n# \x07", "line 3: not YAML: the character '\\x07'"),
        ("version: 1\nscales: " + "[" * 3000, "line 2: brackets or indents nested too deep"),
        ("version: 1\nsheets:\n\t- file: a", "line 3: not YAML"),
        ("version: 1\nsheets: &a [*a]", "line 2: an alias"),
        ("version: 1\nsheets: []\nscales: {a: {low: 2, high: 1, step: 1}}", "line 3: A score"),
        ("version: 1\nsheets: []\nscales: {a: {low: 2}}", "line 3: the scale 'a' needs low, high"),
        ("version: 1\nsheets: []\nscales: {a: 3}", "line 3: the scale 'a' needs low, high"),
        ("version: 1\nsheets: []\nscales: 3", "line 3: 'scales' is a mapping"),
        (
            "version: 1\nsheets: []\nscales: {keel 1 to 5: {low: 0, high: 5, step: 1}}",
            "'keel 1 to 5' is 1 to 5 in steps of 0.5",
        ),
        (
            "version: 1\nsheets:\n- {file: a, table: bird}",
            "'table' is exams, ratings, labels or set_aside, not 'bird'",
        ),
        ("version: 1\nsheets:\n- {file: a, table: set_aside}", "needs 'why'"),
        ("version: 1\nsheets:\n- {table: set_aside, why: x}", "a sheet needs 'file'"),
        ("version: 1\nsheets:\n- {file: a, heading_row: 0}", "takes row numbers, counted from 1"),
        ("version: 1\nsheets:\n- {file: a, heading_row: 1}", "'columns' is a mapping of headings"),
        (
            "version: 1\nsheets:\n- {file: a, heading_row: 1, columns: {}, first_row: [1, 2]}",
            "'first_row' takes one row",
        ),
        (
            "version: 1\nsheets:\n- {file: a, heading_row: 1, columns: {}, constants: {sex: X}}",
            "'sex' cannot be 'X'; it takes F, M, U",
        ),
        (
            "version: 1\nsheets:\n- {file: a, heading_row: 1, columns: {}, constants: "
            "{species: RT}}",
            "'species' cannot be 'RT'; it takes a scientific name such as Buteo buteo",
        ),
        (
            "version: 1\nsheets:\n- {file: a, heading_row: 1, columns: {}, constants: {keel: 3}}",
            "'keel' is a grade, which needs a column with its scale",
        ),
        (
            "version: 1\nsheets:\n- {file: a, heading_row: 1, columns: {}, constants: {sx: F}}",
            "unknown field 'sx'; did you mean 'sex'",
        ),
        (
            "version: 1\nsheets:\n- {file: a, heading_row: 1, columns: {S: {field: sex}}, "
            "constants: {sex: F}}",
            "'sex' is filled by a constant and by the column 'S'",
        ),
    ],
)
def test_faults_of_the_whole_recipe(text, fault):
    assert fault in load_faults(text)


@pytest.mark.parametrize(
    "value", ["!!python/object/apply:os.system [ls]", "!mine x", "!!binary aGk="]
)
def test_nothing_in_a_recipe_is_constructed(value):
    faults = load_faults(f"version: 1\nsheets: []\nscales: {value}\n")
    assert "line 3: the tag" in faults
    assert "a recipe holds plain values alone" in faults


def test_aliases_are_refused():
    faults = load_faults("version: 1\nsheets: []\nscales: {a: &x {low: 1}, b: *x}\n")
    assert "line 3: an alias (*); write the value out" in faults


def test_file_that_cannot_be_read(tmp_path):
    with pytest.raises(RecipeError, match=r"The recipe .*gone\.yaml must be a readable UTF-8 file"):
        ImportRecipe.load(tmp_path / "gone.yaml")
    path = tmp_path / "latin.yaml"
    path.write_bytes("version: 1 # Flügel".encode("latin-1"))
    with pytest.raises(RecipeError, match="readable UTF-8 file"):
        ImportRecipe.load(path)


def test_recipe_survives_saving(tmp_path):
    recipe = ImportRecipe.from_text(GOOD)
    recipe.save(tmp_path / "r.yaml")
    again = ImportRecipe.load(tmp_path / "r.yaml")
    assert write_recipe_text(again.sheets, again.scales) == write_recipe_text(
        recipe.sheets, recipe.scales
    )
    assert again.fields.equals(recipe.fields)
    text = (tmp_path / "r.yaml").read_text(encoding="utf-8")
    assert "      # QUESTION: which measure is it?\n" in text


TEXTS = st.text(st.characters(exclude_categories=["Cs"]), min_size=1).filter(lambda s: s.strip())


@given(heading=TEXTS, raw=TEXTS, meaning=TEXTS, question=TEXTS)
def test_any_text_survives_saving(heading, raw, meaning, question):
    column = ColumnRule(
        heading=heading, fields=("site",), codes={raw: meaning}, ask=question, confidence=0.25
    )
    recipe = ImportRecipe(sheets=(SheetRule(file="a", heading_rows=(1,), columns=(column,)),))
    (rule,) = ImportRecipe.from_text(write_recipe_text(recipe.sheets, recipe.scales)).sheets
    (again,) = rule.columns
    assert (again.heading, again.codes, again.ask) == (heading, {raw: meaning}, question)
    assert again.confidence == 0.25


def test_the_example_of_two_weighings_in_the_opening_is_a_recipe():
    opening = write_recipe_text((), {})
    lines = [line[1:] for line in opening.splitlines() if line.startswith("#     ") and
             "with: {exam_reason" in line]  # fmt: skip
    assert len(lines) == 4
    text = "version: 1\nsheets:\n- file: '*'\n  heading_row: 1\n  columns:\n"
    recipe = ImportRecipe.from_text(text + "\n".join(lines))
    records = [column.record for column in recipe.sheets[0].columns]
    assert records[0] == records[1] != records[2] == records[3]
