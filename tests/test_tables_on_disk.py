"""Files whole or not at all; cells that no spreadsheet program runs."""

import json
import os
import stat
import sys

import numpy as np
import pandas as pd
import pytest

from bodycond.errors import UnreadableFileError
from bodycond.tables_on_disk import (
    hash_file,
    write_bytes,
    write_csv,
    write_json,
    write_parquet,
    write_text,
)


def test_write_makes_folders_and_leaves_nothing_else(tmp_path):
    path = tmp_path / "a" / "b" / "file.bin"
    write_bytes(path, b"one")
    write_bytes(path, b"two")
    assert path.read_bytes() == b"two"
    assert [entry.name for entry in path.parent.iterdir()] == ["file.bin"]


def test_a_failure_leaves_the_old_file_and_no_rest(tmp_path, monkeypatch):
    path = tmp_path / "file.txt"
    write_text(path, "old")

    def fail(handle):
        raise OSError("no space left on device")

    monkeypatch.setattr(os, "fsync", fail)
    with pytest.raises(OSError, match="no space left"):
        write_text(path, "new")
    assert path.read_text(encoding="utf-8") == "old"
    assert [entry.name for entry in tmp_path.iterdir()] == ["file.txt"]


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no umask")
def test_permissions_follow_the_users_setting(tmp_path):
    before = os.umask(0o077)
    try:
        write_text(tmp_path / "mine.txt", "scorers' names")
        os.umask(0o022)
        write_text(tmp_path / "ours.txt", "means")
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "mine.txt").stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "ours.txt").stat().st_mode) == 0o644


def test_text_has_utf8_and_lf(tmp_path):
    write_text(tmp_path / "t.txt", "Orrinføld\n")
    assert (tmp_path / "t.txt").read_bytes() == "Orrinføld\n".encode()


def test_json_is_the_same_for_equal_content(tmp_path):
    write_json(tmp_path / "a.json", {"b": 1, "a": [float("nan"), 0.1, None]})
    write_json(tmp_path / "b.json", {"a": (float("inf"), 0.1, None), "b": 1})
    assert (tmp_path / "a.json").read_bytes() == (tmp_path / "b.json").read_bytes()
    assert json.loads((tmp_path / "a.json").read_text()) == {"a": [None, 0.1, None], "b": 1}


def test_csv_neutralises_formulas(tmp_path):
    table = pd.DataFrame(
        {
            "remarks": ["=cmd()", "fine", None, "@x"],
            "code": pd.Categorical(["+1", "a", "-", "a"]),
            "mass_g": [-1.5, 0.1, np.nan, 300.0],
            "=head": ["\ttab", "\rreturn", "\nline", "a=b"],
        }
    )
    before = table.copy(deep=True)
    written = write_csv(table, tmp_path / "t.csv")
    pd.testing.assert_frame_equal(table, before)
    assert written.n_rows == 4
    assert written.path == tmp_path / "t.csv"
    assert written.neutralised == (
        (0, "remarks"), (3, "remarks"), (0, "code"), (2, "code"), (0, "=head"), (1, "=head"),
        (2, "=head"),
    )  # fmt: skip
    back = pd.read_csv(tmp_path / "t.csv", keep_default_na=False, lineterminator="\n")
    assert list(back.columns) == ["remarks", "code", "mass_g", "'=head"]
    assert back["remarks"].tolist() == ["'=cmd()", "fine", "", "'@x"]
    assert back["code"].tolist() == ["'+1", "a", "'-", "a"]
    assert back["mass_g"].tolist() == ["-1.5", "0.1", "", "300.0"]


def test_csv_keeps_every_digit_and_columns_of_one_name(tmp_path):
    numbers = [0.1 + 0.2, 1 / 3, 1e-300]
    table = pd.DataFrame([[number, "=a"] for number in numbers], columns=["x", "x"])
    written = write_csv(table, tmp_path / "t.csv")
    rows = (tmp_path / "t.csv").read_text(encoding="utf-8").splitlines()
    assert [float(row.split(",")[0]) for row in rows[1:]] == numbers
    assert len(written.neutralised) == 3


def test_csv_of_an_empty_table(tmp_path):
    written = write_csv(pd.DataFrame({"a": pd.Series(dtype="str")}), tmp_path / "t.csv")
    assert (written.n_rows, written.neutralised) == (0, ())
    assert (tmp_path / "t.csv").read_bytes() == b"a\n"


def test_parquet_carries_units_and_meanings(tmp_path):
    import pyarrow.parquet as pq

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
    back = pd.read_parquet(tmp_path / "t.parquet")
    pd.testing.assert_frame_equal(back, table.reset_index(drop=True))


def test_hash_file(tmp_path):
    (tmp_path / "empty").write_bytes(b"")
    assert hash_file(tmp_path / "empty") == (
        "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
    )


def test_hash_of_an_absent_file(tmp_path):
    path = tmp_path / "absent.csv"
    with pytest.raises(UnreadableFileError) as caught:
        hash_file(path)
    assert str(caught.value) == (
        f"The file {path} must be readable. Found: No such file or directory. Check the path and "
        "that no other program has locked the file."
    )
