"""The data set is what the script makes, and holds what its README says."""

from __future__ import annotations

import json
from pathlib import Path

import pandas as pd
import pytest

from bodycond.codes import (
    AGE_CLASSES,
    AGE_CODE_SYSTEMS,
    CROP_CODES,
    EXAM_REASONS,
    SEX_CODES,
    is_owl,
)
from bodycond.columns import EXAM_COLUMNS, RATING_COLUMNS
from bodycond.scales import KEEL_SCALE

MADE = (
    "answer_key.csv",
    "true_exams.csv",
    "true_ratings.csv",
    "legacy/orrinfold_aviary.csv",
    "legacy/scoring_sessions.xlsx",
    "legacy/skelbeck_hospital_2019-2021.xlsx",
    "legacy/skelbeck_hospital_2022-2024.xlsx",
    "legacy/vessel_point_field_station.xlsx",
)
BIRDS = {
    "Falco tinnunculus": 114,
    "Buteo buteo": 95,
    "Accipiter nisus": 76,
    "Strix aluco": 57,
    "Tyto alba": 38,
}
TRUTH_COLUMNS = {"true_sex", "latent_condition"}


@pytest.mark.parametrize("name", MADE)
def test_made_anew_is_the_same_to_the_byte(name, demo, made_anew):
    assert (made_anew / name).read_bytes() == (demo / name).read_bytes()


def test_script_makes_these_files_and_no_others(made_anew):
    found = {path.relative_to(made_anew).as_posix() for path in made_anew.rglob("*.*")}
    assert found == set(MADE)


def test_folder_is_small(demo):
    kept = [path for path in demo.rglob("*") if path.is_file() and "cache" not in path.as_posix()]
    assert sum(path.stat().st_size for path in kept) < 3_000_000


def test_counts_of_birds_and_exams(true_exams):
    birds = true_exams.groupby("species")["bird_id"].nunique()
    assert birds.to_dict() == BIRDS
    assert len(true_exams) == 600
    assert true_exams["exam_id"].is_unique
    assert (true_exams["bird_id"].value_counts() > 1).sum() == 95  # a quarter of 380
    assert true_exams["exam_date"].dt.year.agg(["min", "max"]).tolist() == [2019, 2024]
    assert true_exams["scorer"].nunique() == 6


def test_half_of_each_species_is_female_and_each_bird_keeps_its_identity(true_exams):
    identity = ["species", "sex", "true_sex", "ring_number", "site"]
    birds = true_exams.groupby("bird_id")[identity].agg(["first", lambda one: one.nunique(False)])
    assert (birds.xs("<lambda_0>", axis=1, level=1) == 1).all(axis=None)
    first = birds.xs("first", axis=1, level=1)
    female = first.groupby("species")["true_sex"].agg(lambda sex: (sex == "F").sum())
    assert female.to_dict() == {name: (count + 1) // 2 for name, count in BIRDS.items()}
    known = first["sex"] != "U"
    assert (first.loc[known, "sex"] == first.loc[known, "true_sex"]).all()
    assert 0 < (~known).sum() < 40


def test_owls_have_no_crop_and_the_others_have(true_exams):
    crop = true_exams["crop_fill"]
    owls = true_exams["species"].map(is_owl)
    assert set(crop[owls].dropna()) == {"no_crop"}
    assert set(crop[~owls].dropna()) == {"0", "1", "2", "3", "4"}


def test_true_tables_use_the_columns_of_the_package(true_exams, true_ratings):
    assert set(true_exams) - TRUTH_COLUMNS <= {column.name for column in EXAM_COLUMNS}
    assert set(true_ratings) - {"latent_condition"} <= {column.name for column in RATING_COLUMNS}


@pytest.mark.parametrize(
    ("name", "codes"),
    [
        ("sex", SEX_CODES),
        ("age_class", AGE_CLASSES),
        ("age_code_system", AGE_CODE_SYSTEMS),
        ("crop_fill", CROP_CODES),
        ("exam_reason", EXAM_REASONS),
    ],
)
def test_true_codes_are_codes_of_the_package(name, codes, true_exams):
    assert set(true_exams[name].dropna()) <= set(codes)


def test_true_values_are_inside_the_hard_limits(true_exams):
    for column in EXAM_COLUMNS:
        if column.name in true_exams and column.low is not None and column.high is not None:
            values = true_exams[column.name].dropna()
            assert values.between(column.low, column.high).all(), column.name


def test_true_grades_are_on_the_scale_and_inside_their_interval(true_exams):
    graded = true_exams.dropna(subset="keel")
    assert KEEL_SCALE.contains(graded["keel"]).all()
    assert (graded["keel_low"] == graded["keel"]).all()
    assert (graded["keel_high"] == graded["keel"]).all()
    interval = true_exams[true_exams["keel"].isna()].dropna(subset="keel_low")
    assert KEEL_SCALE.contains(interval[["keel_low", "keel_high"]]).all()
    assert set(interval["keel_high"] - interval["keel_low"]) == {0.5, 1.0}
    assert set(true_exams["keel_scale"]) == {KEEL_SCALE.name}
    halves = graded[graded["keel"] % 1 != 0]
    assert set(halves["scorer"]) == {"S04"}


def test_gravid_and_moult_keep_to_their_season_and_sex(true_exams):
    gravid = true_exams[true_exams["gravid"].astype("boolean").fillna(False)]
    assert len(gravid) > 5
    assert set(gravid["true_sex"]) == {"F"}
    assert set(gravid["exam_date"].dt.month) <= {4, 5}
    moulting = true_exams[true_exams["in_moult"]]
    assert set(moulting["exam_date"].dt.month) == set(range(4, 11))


def test_tarsus_is_missing_more_often_at_grade_1(true_exams):
    missing = true_exams["tarsus_mm"].isna()
    assert 0.16 < missing.mean() < 0.25
    at_1 = true_exams["keel"] == 1.0
    assert missing[at_1].mean() > missing[~at_1].mean() + 0.1


def test_readme_tables_are_those_of_the_data(demo, script):
    readme = (demo / "README.md").read_text(encoding="utf-8")
    tables = script("readme_tables")
    made = tables.make_tables(
        truths=json.loads((demo / "truths.json").read_text(encoding="utf-8")),
        exams=pd.read_csv(demo / "true_exams.csv"),
        key=pd.read_csv(demo / "answer_key.csv"),
    )
    assert tables.fill_tables(readme, tables=made) == readme


def test_readme_names_every_file_the_licence_and_the_invention(demo):
    readme = (demo / "README.md").read_text(encoding="utf-8")
    for path in (demo / "legacy").iterdir():
        assert f"`{path.name}`" in readme
    for words in ("CC0 1.0 Universal", "Everything here is invented", "answer_key.csv"):
        assert words in readme


def test_no_words_of_diagnosis_anywhere(demo, grids):
    texts = [path.read_text(encoding="utf-8") for path in _list_texts(demo)]
    texts += [str(cell) for rows in grids.values() for row in rows for cell in row if cell]
    joined = "\n".join(texts).lower()
    for words in ("healthy", "release ready", "euthan"):
        assert words not in joined


def _list_texts(folder: Path) -> list[Path]:
    return [
        path for pattern in ("*.py", "*.md", "*.json", "*.csv") for path in folder.glob(pattern)
    ]
