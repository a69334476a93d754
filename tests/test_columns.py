"""One place for names, units and meanings."""

import re

import pandas as pd
import pytest

from bodycond.columns import (
    DTYPES,
    EXAM_COLUMNS,
    FEATHER_COLUMNS,
    RATING_COLUMNS,
    SIZE_COLUMNS,
    find_column,
    label_column,
    score_columns,
)

CONTRACT_EXAMS = """
    exam_id bird_id species sex age_class exam_date site mass_g wing_mm tarsus_mm culmen_mm
    hallux_mm tail_mm keel keel_low keel_high keel_text keel_scale keel_chart_version keel_blind
    mass_known_when_scored breast_wetted scorer crop_fill
"""
CONTRACT_RATINGS = """
    exam_id bird_id scorer round rated_on keel keel_low keel_high keel_text keel_blind
    mass_known_when_scored
"""


@pytest.mark.parametrize(
    ("columns", "names"), [(EXAM_COLUMNS, CONTRACT_EXAMS), (RATING_COLUMNS, CONTRACT_RATINGS)]
)
def test_contract_names(columns, names):
    present = [column.name for column in columns]
    assert len(set(present)) == len(present)
    assert [name for name in names.split() if name not in present] == []


@pytest.mark.parametrize("column", [*EXAM_COLUMNS, *RATING_COLUMNS], ids=lambda c: c.name)
def test_each_column_is_described(column):
    assert column.meaning
    assert column.kind in DTYPES
    assert bool(column.codes) == (column.kind == "code")
    assert (column.unit is not None) == bool(re.search(r"_(g|mm)$", column.name))
    if column.unit:
        assert column.name.endswith(f"_{column.unit}")
        assert column.label.endswith(f"({column.unit})")
    if column.low is not None and column.high is not None:
        assert column.low < column.high


@pytest.mark.parametrize("kind", DTYPES)
def test_every_dtype_holds_a_missing_value(kind):
    assert pd.Series([None], dtype=DTYPES[kind]).isna().all()


def test_another_score_follows_the_pattern():
    names = [column.name for column in score_columns("breast_muscle", what="breast")]
    assert names == [
        "breast_muscle",
        "breast_muscle_low",
        "breast_muscle_high",
        "breast_muscle_text",
        "breast_muscle_scale",
    ]
    assert score_columns("breast_muscle", what="breast")[0].label == "Breast muscle score"


def test_sizes_are_exam_columns_with_bone_before_feather():
    assert {find_column(name).unit for name in SIZE_COLUMNS} == {"mm"}
    assert SIZE_COLUMNS[-len(FEATHER_COLUMNS) :] == FEATHER_COLUMNS


def test_find_column():
    assert find_column("mass_g").dtype == "float64"
    assert find_column("round").dtype == "Int64"
    assert find_column("colour") is None


@pytest.mark.parametrize(
    ("name", "label"),
    [("mass_g", "Body mass (g)"), ("keel", "Keel score"), ("ring_number", "ring_number"),
     ("colour", "colour")],
)  # fmt: skip
def test_label_column(name, label):
    assert label_column(name) == label


def test_species_ranges_lie_inside_the_hard_limits():
    """An eagle of 6 kg and an owl of 80 g (the ends of the range met) are no mistakes."""
    mass = find_column("mass_g")
    assert mass.low < 80 < 6000 < mass.high
