"""Sheets of a file read twice are read once, and never another's."""

import numpy as np
import pytest

from bodycond.legacy.files import source_files
from bodycond.legacy.files.source_files import forget_sheets, read_sheets


@pytest.fixture(autouse=True)
def forget():
    forget_sheets()
    yield
    forget_sheets()


def write(path, *rows):
    path.parent.mkdir(exist_ok=True)
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return path


def test_second_reading_gives_the_same_sheets(tmp_path):
    path = write(tmp_path / "a.csv", "Ring,Mass", "E1,186")
    assert read_sheets(path)[0] is read_sheets(path)[0]


def test_changed_file_is_read_anew(tmp_path):
    path = write(tmp_path / "a.csv", "Ring,Mass", "E1,186")
    read_sheets(path)
    write(path, "Ring,Mass", "E1,187")
    assert read_sheets(path)[0].texts[1, 1] == "187"


def test_copies_keep_their_own_names_and_labels(tmp_path):
    first = write(tmp_path / "a.csv", "Ring,Mass", "E1,186")
    second = write(tmp_path / "b.csv", "Ring,Mass", "E1,186")
    assert [read_sheets(path)[0].name for path in (first, second)] == ["a", "b"]
    assert read_sheets(first, label="2019/a.csv")[0].file == "2019/a.csv"


def test_kept_sheet_cannot_be_written_to(tmp_path):
    (sheet,) = read_sheets(write(tmp_path / "a.csv", "Ring,Mass", "E1,186"))
    for array, value in ((sheet.texts, "x"), (sheet.kinds, "n"), (sheet.filled, np.False_)):
        with pytest.raises(ValueError, match="read-only"):
            array[0, 0] = value


def test_list_of_kept_sheets_is_the_callers_own(tmp_path):
    path = write(tmp_path / "a.csv", "Ring,Mass", "E1,186")
    read_sheets(path).clear()
    assert len(read_sheets(path)) == 1


def test_no_more_is_kept_than_the_memory_allows(tmp_path, monkeypatch):
    monkeypatch.setattr(source_files, "MOST_KEPT_CELLS", 8)
    paths = [write(tmp_path / f"{name}.csv", "Ring,Mass", f"{name},186") for name in "abc"]
    first = [read_sheets(path)[0] for path in paths]
    again = [read_sheets(path)[0] for path in reversed(paths)]
    # The two read last are kept; the one before them is read anew.
    assert [a is b for a, b in zip(first, reversed(again), strict=True)] == [False, True, True]


def test_file_larger_than_what_is_kept_is_read_all_the_same(tmp_path, monkeypatch):
    monkeypatch.setattr(source_files, "MOST_KEPT_CELLS", 1)
    path = write(tmp_path / "a.csv", "Ring,Mass", "E1,186")
    assert read_sheets(path)[0].texts.shape == (2, 2)
    assert read_sheets(path)[0] is not read_sheets(path)[0]
