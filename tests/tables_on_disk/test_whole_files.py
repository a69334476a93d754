"""Files whole or not at all."""

import json
import os
import stat
import sys

import pytest

from bodycond.errors import UnreadableFileError
from bodycond.tables_on_disk import hash_file, read_bytes, write_bytes, write_json, write_text


def test_write_makes_folders_and_leaves_nothing_else(tmp_path):
    path = tmp_path / "a" / "b" / "file.bin"
    write_bytes(path, b"one")
    write_bytes(path, b"two")
    assert path.read_bytes() == read_bytes(path) == b"two"
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


def test_hash_file(tmp_path):
    (tmp_path / "empty").write_bytes(b"")
    assert hash_file(tmp_path / "empty") == (
        "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
    )


@pytest.mark.parametrize("read", [hash_file, read_bytes])
def test_an_absent_file(tmp_path, read):
    path = tmp_path / "absent.csv"
    with pytest.raises(UnreadableFileError) as caught:
        read(path)
    assert str(caught.value) == (
        f"The file {path} must be readable. Found: No such file or directory. Check the path and "
        "that no other program has locked the file."
    )
