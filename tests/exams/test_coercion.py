"""Conversion is explicit, complete in what it refuses, and changes no argument."""

from __future__ import annotations

import datetime

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodycond.columns import EXAM_COLUMNS, find_column
from bodycond.errors import ArgumentError, BodycondError
from bodycond.exams import ConversionError, coerce_exams
from bodycond.exams.coercion import convert_column


def convert(
    name: str, values: list[object], dtype: str | None = None
) -> tuple[list[object], list[bool]]:
    column = find_column(name)
    assert column is not None
    converted = convert_column(pd.Series(values, dtype=dtype), column=column)
    assert converted.values.dtype == column.dtype
    return converted.values.tolist(), converted.failed.tolist()


def test_absent_columns_are_added_all_missing_in_their_dtype() -> None:
    table = pd.DataFrame({"own": [1, 2], "exam_id": ["a", "b"]}, index=[7, 7])
    tidy = coerce_exams(table)
    assert list(tidy.columns) == [*(column.name for column in EXAM_COLUMNS), "own"]
    assert {column.name: str(tidy[column.name].dtype) for column in EXAM_COLUMNS} == {
        column.name: column.dtype for column in EXAM_COLUMNS
    }
    assert tidy["mass_g"].isna().all()
    assert tidy.index.tolist() == [7, 7]
    assert list(table.columns) == ["own", "exam_id"]


def test_numbers() -> None:
    values, failed = convert("mass_g", ["212", " 7.5 ", "", None, "12 g", "1,5", True, np.inf, 3])
    assert failed == [False, False, False, False, True, True, True, True, False]
    assert values[:2] == [212.0, 7.5]
    assert values[8] == 3.0


def test_whole_booleans_and_dates_are_no_numbers() -> None:
    assert convert("mass_g", [True, False])[1] == [True, True]
    assert convert("mass_g", [pd.Timestamp("2024-01-01"), pd.NaT])[1] == [True, False]
    assert convert("mass_g", [5, None], dtype="Int64")[1] == [False, False]


def test_counts_must_be_whole() -> None:
    values, failed = convert("source_row", [1, 2.0, 2.5])
    assert failed == [False, False, True]
    assert values[:2] == [1, 2]


def test_dates_are_taken_in_iso_order_alone() -> None:
    values, failed = convert(
        "exam_date",
        ["2024-05-31", "2024-05-31 10:20", "31/05/2024", "2024", "2024-13-01",
         datetime.date(2024, 5, 31), datetime.datetime(2024, 5, 31, tzinfo=datetime.UTC), 45443,
         None, pd.NaT],
    )  # fmt: skip
    assert failed == [False, False, True, True, True, False, False, True, False, False]
    assert values[0] == values[5] == values[6] == pd.Timestamp("2024-05-31")
    assert convert("exam_date", [45443.0, np.nan])[1] == [True, False]
    aware = pd.Series(pd.to_datetime(["2024-05-31 23:30"]).tz_localize("Europe/Oslo"))
    column = find_column("exam_date")
    assert column is not None
    assert convert_column(aware, column=column).values[0] == pd.Timestamp("2024-05-31 23:30")


def test_flags() -> None:
    values, failed = convert("keel_blind", ["Yes", "no", "TRUE", 1, 0.0, True, 2, "perhaps", None])
    assert failed == [False] * 6 + [True, True, False]
    assert values[:6] == [True, False, True, True, False, True]
    assert convert("keel_blind", [1.0, 0.0, 3.0])[1] == [False, False, True]
    assert convert("keel_blind", [True, None], dtype="boolean")[0] == [True, pd.NA]
    assert convert("keel_blind", [pd.Timestamp("2024-01-01")])[1] == [True]


def test_numbers_in_text_columns_keep_no_point_that_a_spreadsheet_added() -> None:
    assert convert("ring_number", [1205.0, np.nan])[0] == ["1205", np.nan]
    assert convert("ring_number", ["0012", 12, 1.5])[0] == ["0012", "12", "1.5"]
    assert convert("crop_fill", [0.25, 2.0])[0] == ["0.25", "2"]
    assert convert("species", ["Buteo buteo"], dtype="category")[0] == ["Buteo buteo"]


def test_error_names_every_cell() -> None:
    table = pd.DataFrame(
        {
            "exam_id": list("abc"),
            "mass_g": ["212", "fat", "thin"],
            "exam_date": ["3/4/21", None, "x"],
        },
        index=[10, 11, 11],
    )
    with pytest.raises(ConversionError) as caught:
        coerce_exams(table)
    error = caught.value
    assert isinstance(error, BodycondError)
    assert error.cells[["row", "column", "value"]].to_numpy().tolist() == [
        [10, "exam_date", "3/4/21"],
        [11, "exam_date", "x"],
        [11, "mass_g", "fat"],
        [11, "mass_g", "thin"],
    ]
    assert str(error) == (
        "Every cell of the exam table must suit its column (exam_date: a date, or text such as "
        "2024-05-31; mass_g: a finite number, with a point for the decimals and no unit). Found: "
        "4 cells that cannot be converted: exam_date in row 10: '3/4/21', exam_date in row 11: "
        "'x', mass_g in row 11: 'fat', mass_g in row 11: 'thin'. Correct them in the source, or "
        "run check_exams for the full list; .cells of this error holds all of them."
    )


def test_repeated_headings_are_refused() -> None:
    table = pd.DataFrame([["a", 1.0, 2.0]], columns=["exam_id", "mass_g", "mass_g"])
    with pytest.raises(ArgumentError, match="more than one column called 'mass_g'"):
        coerce_exams(table)


@given(
    st.lists(st.one_of(st.none(), st.floats(allow_nan=False), st.text(), st.booleans()), max_size=6)
)
def test_every_held_cell_is_converted_or_reported(cells: list[object]) -> None:
    column = find_column("mass_g")
    assert column is not None
    values = pd.Series(cells, dtype=object)
    converted = convert_column(values, column=column)
    blank = [cell is None or (isinstance(cell, str) and not cell.strip()) for cell in cells]
    settled = converted.values.notna().to_numpy() | converted.failed
    assert settled.tolist() == [not empty for empty in blank]


@given(st.lists(st.floats(allow_infinity=False), min_size=1, max_size=5))
def test_coercing_twice_is_coercing_once(masses: list[float]) -> None:
    table = pd.DataFrame({"exam_id": range(len(masses)), "mass_g": masses})
    once = coerce_exams(table)
    pd.testing.assert_frame_equal(coerce_exams(once), once)
