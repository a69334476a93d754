"""Parquet with units and meanings, read back as it was."""

import numpy as np
import pandas as pd
import pyarrow.parquet as pq
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bodycond.errors import ArgumentError, UnreadableFileError
from bodycond.tables_on_disk import read_parquet, write_parquet


def test_parquet_carries_units_and_meanings(tmp_path):
    table = pd.DataFrame(
        {"mass_g": [250.0, np.nan], "sex": ["F", None], "own": [1, 2]}, index=[7, 7]
    )
    write_parquet(table, tmp_path / "t.parquet", about={"keel_scale": "keel 1 to 5"})
    schema = pq.read_schema(tmp_path / "t.parquet")
    assert schema.field("mass_g").metadata[b"unit"] == b"g"
    assert b"body mass" in schema.field("mass_g").metadata[b"meaning"]
    assert schema.field("sex").metadata[b"unit"] == b""
    assert schema.metadata[b"bodycond_keel_scale"] == b"keel 1 to 5"
    assert schema.metadata[b"bodycond_schema_version"] == b"1"
    pd.testing.assert_frame_equal(
        read_parquet(tmp_path / "t.parquet"), table.reset_index(drop=True)
    )


def test_an_awkward_table_comes_back_and_equal_tables_give_equal_bytes(tmp_path, awkward_table):
    write_parquet(awkward_table, tmp_path / "a.parquet")
    back = read_parquet(tmp_path / "a.parquet")
    pd.testing.assert_frame_equal(back, awkward_table, check_exact=True)
    assert back["_x0041_\x02"][0] == ""
    write_parquet(back, tmp_path / "b.parquet")
    assert (tmp_path / "a.parquet").read_bytes() == (tmp_path / "b.parquet").read_bytes()


@given(st.data())
@settings(max_examples=100, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_table_comes_back(tmp_path, any_tables, data):
    table = data.draw(any_tables)
    write_parquet(table, tmp_path / "t.parquet")
    pd.testing.assert_frame_equal(read_parquet(tmp_path / "t.parquet"), table, check_exact=True)


def test_two_columns_of_one_name(tmp_path):
    with pytest.raises(ArgumentError) as caught:
        write_parquet(pd.DataFrame([[1, 2]], columns=["x", "x"]), tmp_path / "t.parquet")
    assert str(caught.value) == (
        "Each column of a Parquet file must have a name of its own. Found: more than one column "
        "called 'x'. Rename one of them."
    )


def test_half_of_a_character_pair_in_a_name(tmp_path):
    table = pd.DataFrame([[1]], columns=pd.Index(["a\udc00"], dtype=object))
    with pytest.raises(ArgumentError) as caught:
        write_parquet(table, tmp_path / "t.parquet")
    assert str(caught.value) == (
        "Every text must be whole Unicode to be written as Parquet. Found: half of a character "
        "pair (U+DC00) in the name of column 1. Correct the text where it comes from; it was cut "
        "or decoded wrongly."
    )


def test_a_table_of_another_program(tmp_path):
    path = tmp_path / "t.parquet"
    pd.DataFrame({"a": [1]}).to_parquet(path)
    with pytest.raises(UnreadableFileError) as caught:
        read_parquet(path)
    assert str(caught.value) == (
        f"{path} must be a table of bodycond, version 1. Found: a table that names no version. "
        "Import it with a recipe."
    )


def test_a_table_of_another_version(tmp_path):
    path = tmp_path / "t.parquet"
    write_parquet(pd.DataFrame({"a": [1]}), path, about={"schema_version": "2"})
    with pytest.raises(UnreadableFileError) as caught:
        read_parquet(path)
    assert str(caught.value) == (
        f"{path} must be a table of bodycond, version 1. Found: one of version '2'. Read it with "
        "the bodycond that wrote it."
    )


def test_a_truncated_file(tmp_path):
    path = tmp_path / "t.parquet"
    write_parquet(pd.DataFrame({"a": [1]}), path)
    path.write_bytes(path.read_bytes()[:-20])
    with pytest.raises(UnreadableFileError) as caught:
        read_parquet(path)
    assert str(caught.value).startswith(
        f"{path} must be a whole Parquet file. Found: Could not open "
    )
    assert str(caught.value).endswith(". Look for the full copy, or write it anew.")
