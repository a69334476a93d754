"""The recipe's keys for records, parts and blocks: each fault is said with its line."""

import pytest

from bodycond.errors import RecipeError
from bodycond.legacy.recipes.recipe import ImportRecipe


def load(entry):
    return ImportRecipe.from_text(f"version: 1\nsheets:\n- {{file: a, {entry}}}\n")


def load_faults(entry):
    with pytest.raises(RecipeError) as caught:
        load(entry)
    return str(caught.value)


def in_column(rule):
    return f"heading_row: 1, columns: {{X: {{{rule}}}}}"


@pytest.mark.parametrize(
    ("entry", "fault"),
    [
        (in_column("field: mass_g, part: year"), "the part 'year' says nothing about a mass field"),
        (in_column("field: site, part: genus"), "the part 'genus' says nothing about a text field"),
        (in_column("field: species, part: epithet, codes: {bb: Buteo buteo}"),
         "'codes' say nothing about the part 'epithet': they are whole names"),
        (in_column("field: mass_g, part: half"), "'part' is one of year, month, day, pounds"),
        (in_column("field: exam_date, year: 99"), "'year' is four digits, file or sheet, not '99'"),
        (in_column("field: ring_number, digits: 1"), "'digits' is a count from 2 to 20, not 1"),
        (in_column("field: ring_number, digits: many"), "'digits' takes row numbers"),
        (
            in_column("field: mass_g, unit: g, unit_from: X"),
            "'X' has both 'unit' and 'unit_from'",
        ),
        (in_column("field: mass_g, unit_from: Y"), "'unit_from' names 'Y', no column"),
        (
            in_column("field: keel, into: exams"),
            "'into: exams' needs 'with': what tells its record from the row's",
        ),
        (in_column("split: '{sex}{age_code}'"), "nothing stands between {sex} and {age_code}"),
        (in_column("split: '{sexe}/{age_code}'"), "unknown field 'sexe' in exams; did you mean"),
        (
            in_column("field: sex, split: '{sex}/{age_code}'"),
            "'field' and 'split' name different fields; 'split' alone is enough",
        ),
        (in_column("split: '{exam_date}!', part: day"), "'X' has both 'split' and 'part'"),
        (in_column("field: sex, with: {sex: F}"), "'sex' is filled by the cell and by 'with'"),
        (in_column("field: sex, with: {keel: 3}"), "'keel' is a grade, which needs a column"),
        (in_column("field: sex, with: {species: kestrel}"), "'species' cannot be 'kestrel'"),
        (in_column("field: sex, with: F"), "'with' is a mapping of fields to values"),
        (in_column("field: sex, where: right"), "unknown key 'where' in the column 'X'"),
        (
            "area: A, heading_row: 1, columns: {X: {field: sex}}",
            "'area' is like A4:H20, A:H or 4:20, not 'A'",
        ),
        ("needs: keel, " + in_column("field: sex"), "'needs' names 'keel', which no column fills"),
        ("table: labels", "'table: labels' needs 'labels'"),
        ("labels: [a]", "'labels' is a mapping of labels to what stands beside them"),
        (
            "labels: {L: {field: sex}}, columns: {X: {field: site}}",
            "'columns' need a 'heading_row'",
        ),
        ("constants: {species: '{sheet}'}, " + in_column("field: sex"), "cannot be '{sheet}'"),
    ],
)  # fmt: skip
def test_faults_are_said(entry, fault):
    assert fault in load_faults(entry)


def test_one_field_of_two_records_is_no_fault():
    recipe = load(
        "heading_row: 1, columns: {A: {field: mass_g, unit: g, with: {exam_reason: intake}}, "
        "B: {field: mass_g, unit: g, with: {exam_reason: recheck}}}"
    )
    assert [column.values for column in recipe.sheets[0].columns] == [
        {"exam_reason": "intake"}, {"exam_reason": "recheck"},
    ]  # fmt: skip


def test_one_field_of_the_row_and_of_a_record_is_a_fault():
    fault = load_faults(
        "heading_row: 1, columns: {A: {field: mass_g, unit: g}, "
        "B: {field: mass_g, unit: g, with: {exam_reason: recheck}}}"
    )
    assert "'mass_g' is filled by 'A' and by 'B'" in fault


def test_what_is_written_reads_back():
    recipe = load(
        "table: exams, area: A1:C9, starts_at: [Hen*, Cock*], ends_before: Eggs, heading_row: 1, "
        "needs: [mass_g], constants: {site: '{sheet}'}, "
        "labels: {Place: {field: scorer, where: below, also: [Site]}}, "
        "columns: {A: {split: ['{exam_date}, {mass_g}', '{exam_date}'], unit: g, year: file}, "
        "B: {field: keel, scale: keel 1 to 5, into: ratings, with: {scorer: S1}}, "
        "C: {field: ring_number, digits: 5, evidence: 'five digits', confidence: 0.5}, "
        "D: {field: wing_mm, unit_from: E, also: ['x: y']}, E: {set_aside: unit}}"
    )
    again = ImportRecipe.from_text(write(recipe))
    assert write(again) == write(recipe)
    assert again.sheets[0].columns[0].split == ("{exam_date}, {mass_g}", "{exam_date}")
    assert again.sheets[0].labels[0].also == ("Site",)
    assert again.sheets[0].columns[1].values == {"scorer": "S1"}


def write(recipe):
    from bodycond.legacy.recipes.recipe_writing import write_recipe_text

    return write_recipe_text(recipe.sheets, recipe.scales)
