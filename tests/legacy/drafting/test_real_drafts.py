"""Real tables of open research drafted: every listed concept right or asked, none silently wrong.

The tables are not part of the project. They are looked for in a folder beside it and the tests are
skipped where that is absent. What each heading means stands in the list that lies beside them.
"""

from functools import cache
from pathlib import Path

import pytest

from bodycond.legacy import draft_recipe
from bodycond.study.drafting_words import describe_sheets

TABLES = Path(__file__).parents[3].parent / "shared" / "legacy"

pytestmark = pytest.mark.skipif(not TABLES.is_dir(), reason=f"no folder of real tables at {TABLES}")

HUMMINGBIRDS = tuple(f"hummingbird_banded_{year}.csv" for year in range(2003, 2007))
CONCEPTS = {
    ("falcon_forms_2013.xlsx",): {
        "Trap wt (g)": "mass_g", "Keel (1-5)": "keel", "Wing (mm)": "wing_mm",
        "Tail (mm)": "tail_mm", "Tarsus (mm) L W": "tarsus_mm", "Culmen (mm) L W": "culmen_mm",
        "Halux (mm)": "hallux_mm", "Male Age/Sex": "age_code sex", "Banded by": "scorer",
        "USFW #": "ring_number", "Date": "exam_date", "Crop": "crop_fill", "Site": "site",
    },
    ("finch_banding_fr.xlsx",): {
        "Masse": "mass_g", "Aile": "wing_mm", "Queue": "tail_mm", "Gras": "fat",
        "\u00c2ge": "age_code", "Sexe": "sex", "Date": "exam_date", "Esp\u00e8ce": "species",
        "Pr\u00e9fixe": "ring_number", "Suffixe": "ring_number",
    },
    ("sparrow_banding.csv",): {
        "BirdMass": "mass_g", "Wing": "wing_mm", "Tail": "tail_mm", "Tarsus": "tarsus_mm",
        "Fat_Score": "fat", "BirdAge": "age_code", "PCRsex": "sex", "Date": "exam_date",
        "Band_Number": "ring_number", "BanderID": "scorer",
    },
    ("shorebird_captures.csv",): {
        "Mass": "mass_g", "Wing": "wing_mm", "Culmen": "culmen_mm", "Head": "head_mm",
        "DiagTarsus": "diagonal_tarsus_mm", "Fat": "fat", "PecScore": "pectoral_muscle",
        "PecSizeBest": "pectoral_size", "Julian": "", "Event": "",
    },
    ("island_songbirds.csv",): {
        "mass": "mass_g", "wing": "wing_mm", "tail": "tail_mm", "bill length": "culmen_mm",
        "bill depth": "bill_depth_mm", "tarsus": "tarsus_mm", "band prefix": "ring_number",
        "band #": "ring_number", "Date": "exam_date",
    },
    ("swallow_nestlings.csv",): {
        "mass_pre_obs": "mass_g", "mass_post_obs": "mass_g", "rt_wing_length": "wing_mm",
        "nestling_age": "chick_age_days", "sample_date": "exam_date", "hatch_date": "hatch_date",
    },
    HUMMINGBIRDS: {
        "Mass": "mass_g", "Wing Chord": "wing_mm", "Culmen": "culmen_mm", "Sex": "sex",
        "Age": "age_code", "Bander": "scorer", "Band Number": "ring_number", "Date": "exam_date",
        "r1 Length": "",
    },
    ("penguin_fledging_1992_2020.csv", "penguin_fledging_2022.csv", "penguin_fledging_2023.xlsx"): {
        "Weight": "mass_g", "Band Number": "ring_number", "Date": "exam_date",
        "DATE": "exam_date", "Island": "site",
    },
    ("tits_leuco_adults.csv",): {"sex": "sex", "obs": "scorer", "station": "site"},
    ("tits_nestlings.csv",): {"species": "species", "pouss obs": "scorer"},
}  # fmt: skip


@cache
def draft(files):
    recipe = draft_recipe([TABLES / file for file in files])
    return recipe, [c for rule in recipe.sheets for c in (*rule.labels, *rule.columns)]


@pytest.mark.parametrize("files", CONCEPTS, ids=lambda files: files[0])
def test_each_concept_is_right_or_asked_with_the_field_named(files):
    _, columns = draft(files)
    for heading, field in CONCEPTS[files].items():
        found = {" ".join(column.fields) for column in columns if column.heading == heading}
        assert found == {field}, heading


@pytest.mark.parametrize("files", CONCEPTS, ids=lambda files: files[0])
def test_no_unit_is_assumed_without_a_heading_or_evidence_that_is_shown(files):
    recipe, columns = draft(files)
    shown = "\n".join(describe_sheets(recipe, path=Path("recipe.yaml")))
    for column in columns:
        if column.unit is None or column.ask or f"({column.unit})" in column.heading:
            continue
        said = f"no unit is stated; only {column.unit} makes numbers about"
        assert said in column.evidence, column.heading
        lines = [line for line in shown.splitlines() if f"'{column.heading}'" in line]
        assert any(said in line for line in lines), column.heading


# Where marks such as 'x' or '.' stand among the numbers, what they mean is still asked.
SETTLED = {
    "island_songbirds.csv": {"mass", "wing", "tail", "tarsus"},
    "shorebird_captures.csv": {"Mass", "Wing", "Culmen"},
    "finch_banding_fr.xlsx": {"Queue"}, "swallow_nestlings.csv": set(),
    "sparrow_banding.csv": {"BirdMass", "Tarsus"},
}  # fmt: skip


@pytest.mark.parametrize("file", SETTLED)
def test_units_are_inferred_where_no_other_is_possible_for_a_bird(file):
    _, columns = draft((file,))
    found = {c.heading for c in columns if not c.ask and "no unit is stated" in (c.evidence or "")}
    assert found == SETTLED[file]


def test_a_file_a_year_shares_an_entry_and_their_oddities_are_named():
    recipe, columns = draft(HUMMINGBIRDS)
    assert [rule.file for rule in recipe.sheets] == ["hummingbird_banded_200?.csv"]
    asked = {column.heading: column.ask for column in columns if column.ask}
    assert "hummingbird_banded_2004.csv: far from the rest:" in asked["Wing Chord"]
    assert "hummingbird_banded_2005.csv: far from the rest:" in asked["Culmen"]


def test_forms_of_120_sheets_are_asked_about_once():
    recipe, columns = draft(("falcon_forms_2013.xlsx",))
    assert [(rule.sheet, rule.table) for rule in recipe.sheets] == [
        ("*", "labels"), ("*", "exams"), ("*", "set_aside"),
    ]  # fmt: skip
    assert recipe.sheets[1].starts_at == ("Male Age/Sex", "Female Age/Sex")
    assert recipe.sheets[1].ends_before == ("Egg Stage",)
    assert len([column for column in columns if column.ask]) < 30


def test_ring_numbers_that_lost_a_zero_are_counted():
    _, columns = draft(("finch_banding_fr.xlsx",))
    suffix = next(column for column in columns if column.heading == "Suffixe")
    assert (suffix.part, suffix.digits, suffix.ask) == ("suffix", 5, None)
    assert "1012 numbers have fewer and are held" in suffix.evidence


def test_letters_for_no_value_are_asked_about_with_their_counts():
    _, columns = draft(("sparrow_banding.csv",))
    asked = {column.heading: column.ask for column in columns}
    assert "'X' (24 cells)" in asked["PCRsex"]
    assert "'x' (11 cells), 'X' (8 cells)" in asked["Tail"]
