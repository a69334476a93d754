"""Files and folders named: what is read, in which order, and what is left out with a reason."""

import os

import pytest

from bodycond.errors import ArgumentError, UnreadableFileError
from bodycond.study import collect_files, find_files


@pytest.fixture
def folder(tmp_path):
    """A folder of files of every kind."""
    for name in ("b.csv", "a.xlsx", "2020/c.ods", "2020/deep/d.TXT", ".secret/e.csv", ".f.csv",
                 "~$a.xlsx", "letter.docx", "photo.jpg"):  # fmt: skip
        path = tmp_path / "old" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(name, encoding="utf-8")
    return tmp_path / "old"


def names(paths, folder):
    return [path.relative_to(folder).as_posix() for path in paths]


def test_every_readable_kind_is_found_in_the_order_of_names(folder):
    assert names(collect_files(folder), folder) == [
        "a.xlsx", "b.csv", "2020/c.ods", "2020/deep/d.TXT",
    ]  # fmt: skip


def test_what_is_left_out_is_listed_with_its_reason(folder):
    found = find_files([folder])
    assert {(path.name, reason) for path, reason in found.left_out} == {
        (".secret", "hidden"),
        (".f.csv", "hidden"),
        ("~$a.xlsx", "a temporary file of an open workbook"),
        ("letter.docx", "of a kind that the import does not read"),
        ("photo.jpg", "of a kind that the import does not read"),
    }
    assert (
        "Left out of the folders, of a kind that the import does not read (2): .docx (1), .jpg (1)."
        in found.describe_left_out()
    )


def test_a_file_that_is_named_is_read_whatever_its_name(folder):
    assert names(collect_files([folder / ".f.csv"]), folder) == [".f.csv"]


def test_a_file_named_twice_counts_once(folder):
    again = folder / "2020" / ".." / "b.csv"
    assert names(collect_files([folder / "b.csv", again, folder]), folder)[0] == "b.csv"
    assert len(collect_files([folder / "b.csv", again, folder])) == 4


def test_links_to_folders_are_not_followed(folder):
    (folder / "2020" / "loop").symlink_to(folder, target_is_directory=True)
    assert len(collect_files(folder)) == 4


def test_what_is_no_ordinary_file_is_left_out(folder):
    os.mkfifo(folder / "pipe.csv")
    found = find_files(folder)
    assert (folder / "pipe.csv", "no ordinary file") in found.left_out
    assert len(found.files) == 4


def test_a_name_that_is_no_text_is_a_problem_and_the_others_go_on(folder):
    broken = os.fsdecode(b"\xff.csv")
    (folder / broken).write_text("x", encoding="utf-8")
    found = find_files(folder)
    assert len(found.files) == 4
    assert found.problems[0].endswith("its name is no valid text; rename it")


def test_an_empty_folder_beside_others_is_a_problem(folder, tmp_path):
    (tmp_path / "empty").mkdir()
    found = find_files([folder, tmp_path / "empty"])
    assert found.problems == (
        f"{tmp_path / 'empty'}: the folder holds no file that the import reads",
    )


def test_an_empty_folder_alone_is_an_error(tmp_path):
    with pytest.raises(UnreadableFileError, match="At least one file must be readable") as caught:
        find_files(tmp_path)
    assert "the folder holds no file that the import reads" in str(caught.value)
    assert "Name a file, or a folder that holds CSV" in str(caught.value)


def test_no_path_is_a_wrong_call():
    with pytest.raises(ArgumentError, match="An import needs at least one file or folder"):
        find_files([])


def test_the_folder_written_to_and_files_of_another_purpose_are_left_out(folder):
    out = folder / "2020"
    found = find_files(folder, out=out, apart=[folder / "b.csv"])
    assert names(found.files, folder) == ["a.xlsx"]
    assert (out, "the folder that is written to") in found.left_out
    assert (folder / "b.csv", "given as recipe or corrections") in found.left_out
