"""The pandera models hold a table to its dtypes, limits, codes, grades and order."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pandas as pd
import pandera.pandas as pa
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodycond.columns import EXAM_COLUMNS, RATING_COLUMNS
from bodycond.exams import (
    build_exam_schema,
    build_rating_schema,
    coerce_exams,
    coerce_ratings,
)
from bodycond.exams.tables import find_disordered_intervals


def make_exams(**columns: object) -> pd.DataFrame:
    table = pd.DataFrame({"exam_id": ["T1", "T2"], **columns})
    return coerce_exams(table)


def list_breaches(table: pd.DataFrame) -> set[tuple[str, str]]:
    with pytest.raises(pa.errors.SchemaErrors) as caught:
        build_exam_schema().validate(table, lazy=True)
    cases = caught.value.failure_cases
    return {(str(row.column), str(row.check).split(":")[0]) for row in cases.itertuples()}


def test_valid_table_with_own_columns_passes_unchanged() -> None:
    table = make_exams(mass_g=[212.0, np.nan], keel_fat=[2.0, 0.5], crop_fraction=[0.25, 1.0])
    pd.testing.assert_frame_equal(build_exam_schema().validate(table, lazy=True), table)


def test_every_breach_is_reported_at_once() -> None:
    table = make_exams(
        mass_g=[12.0, 20000.0],
        sex=["F", "female"],
        keel=[2.75, 6.0],
        crop_fill=["9", "no_crop"],
        source_row=[0, 1],
    )
    table["exam_id"] = ["T1", "T1"]
    assert list_breaches(table) == {
        ("exam_id", "field_uniqueness"),
        ("mass_g", "outside_hard_range"),
        ("sex", "unknown_code"),
        ("keel", "off_scale"),
        ("crop_fill", "unknown_code"),
        ("source_row", "outside_hard_range"),
    }


@pytest.mark.parametrize(
    ("column", "low", "high", "step"),
    [
        (c.name, c.low, c.high, 1e-6)
        for c in EXAM_COLUMNS
        if c.low is not None and c.high is not None
    ],
)
def test_hard_limits_themselves_are_allowed_and_nothing_beyond(
    column: str, low: float, high: float, step: float
) -> None:
    assert len(build_exam_schema().validate(make_exams(**{column: [low, high]}), lazy=True)) == 2
    for value in (low - step, high + step):
        table = make_exams(**{column: [value, np.nan]})
        assert list_breaches(table) == {(column, "outside_hard_range")}


def test_required_cells_may_be_neither_missing_nor_empty() -> None:
    table = make_exams()
    table["exam_id"] = pd.Series([None, ""], dtype="str")
    assert list_breaches(table) >= {("exam_id", "not_nullable"), ("exam_id", "missing_required")}


def test_wrong_dtype_and_absent_column_are_refused() -> None:
    table = make_exams().astype({"mass_g": "str"}).drop(columns="wing_mm")
    breaches = list_breaches(table)
    assert ("mass_g", "dtype('float64')") in breaches
    assert any(check == "column_in_dataframe" for _, check in breaches)


def test_interval_order_counts_for_any_score_in_the_pattern() -> None:
    table = make_exams(
        keel=[2.0, 3.0], keel_low=[2.5, 3.0], keel_high=[3.0, 3.0],
        fat=[1.0, 1.0], fat_low=[0.0, 2.0], fat_high=[2.0, 1.0],
    )  # fmt: skip
    assert find_disordered_intervals(table).tolist() == [True, True]
    assert find_disordered_intervals(table, score="keel").tolist() == [True, False]
    with pytest.raises(pa.errors.SchemaErrors, match="interval_order"):
        build_exam_schema().validate(table, lazy=True)
    # fat has a scale of its own, so its 0 is no breach of the keel scale
    assert len(build_exam_schema(row_rules=False).validate(table, lazy=True)) == 2


@given(
    low=st.sampled_from([1.0, 1.5, 3.0, np.nan]),
    point=st.sampled_from([1.0, 2.0, 5.0, np.nan]),
    high=st.sampled_from([1.0, 2.5, 5.0, np.nan]),
)
def test_interval_rule_is_the_order_of_the_values_that_are_there(
    low: float, point: float, high: float
) -> None:
    table = pd.DataFrame({"keel_low": [low], "keel": [point], "keel_high": [high]})
    there = [value for value in (low, point, high) if not np.isnan(value)]
    assert find_disordered_intervals(table)[0] == (there != sorted(there))


def test_rating_schema_needs_bird_and_scorer() -> None:
    ratings = coerce_ratings(pd.DataFrame({"bird_id": ["B1"], "scorer": ["S01"], "keel": [2.5]}))
    assert list(ratings.columns) == [column.name for column in RATING_COLUMNS]
    assert len(build_rating_schema().validate(ratings, lazy=True)) == 1
    with pytest.raises(pa.errors.SchemaErrors, match="scorer"):
        build_rating_schema().validate(
            ratings.assign(scorer=pd.Series([None], dtype="str")), lazy=True
        )


def test_importing_exams_leaves_pandera_alone() -> None:
    code = "import sys, bodycond.exams; print('pandera' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
