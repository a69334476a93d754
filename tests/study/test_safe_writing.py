"""Results are put in place all or none, and over nobody's work."""

import pytest

from bodycond.errors import ArgumentError
from bodycond.study.safe_writing import choose_form_name, open_workshop, put_in_place
from bodycond.tables_on_disk import hash_file


@pytest.fixture
def put(tmp_path):
    """Make files aside and put them in place."""
    folder = tmp_path / "out"

    def run(contents, *, earlier=None, given=()):
        with open_workshop(folder) as workshop:
            for name, content in contents.items():
                (workshop / name).parent.mkdir(parents=True, exist_ok=True)
                (workshop / name).write_text(content, encoding="utf-8")
            return put_in_place(
                workshop, list(contents), folder=folder, earlier=earlier or {}, given=given
            )

    return run


def test_files_are_put_in_place_and_the_workshop_is_gone(put, tmp_path):
    assert put({"a.csv": "1", "deep/b.csv": "2"}) == [
        tmp_path / "out" / "a.csv", tmp_path / "out" / "deep" / "b.csv",
    ]  # fmt: skip
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["a.csv", "deep"]


def test_a_file_of_somebody_else_stops_all_of_them(put, tmp_path):
    out = tmp_path / "out"
    out.mkdir()
    (out / "b.csv").write_text("mine", encoding="utf-8")
    with pytest.raises(ArgumentError) as caught:
        put({"a.csv": "1", "b.csv": "2"})
    assert str(caught.value) == (
        f"The import writes to {out} and over nothing but its own files. Found: b.csv, which "
        "somebody has put there or edited since. Move away what you want to keep, or choose "
        "another --out; nothing was written."
    )
    assert [path.name for path in out.iterdir()] == ["b.csv"]
    assert (out / "b.csv").read_text(encoding="utf-8") == "mine"


def test_our_own_file_is_written_anew_and_an_edited_one_is_not(put, tmp_path):
    (first,) = put({"a.csv": "1"})
    earlier = {"a.csv": hash_file(first)}
    put({"a.csv": "2"}, earlier=earlier)
    assert first.read_text(encoding="utf-8") == "2"
    with pytest.raises(ArgumentError, match="which somebody has put there or edited since"):
        put({"a.csv": "3"}, earlier=earlier)


def test_what_the_run_reads_is_not_written_over_though_we_wrote_it_once(put):
    (first,) = put({"a.csv": "1"})
    with pytest.raises(ArgumentError, match="nothing was written"):
        put({"a.csv": "2"}, earlier={"a.csv": hash_file(first)}, given=[first])


def test_equal_bytes_may_stand(put):
    (first,) = put({"a.csv": "1"})
    assert put({"a.csv": "1"}, given=[first]) == [first]


def test_a_folder_in_the_place_of_a_file_stops_it(put, tmp_path):
    (tmp_path / "out" / "a.csv").mkdir(parents=True)
    with pytest.raises(ArgumentError, match="over nothing but its own files"):
        put({"a.csv": "1"})


def test_a_filled_in_form_gives_the_next_a_number(tmp_path):
    fresh = tmp_path / "fresh.csv"
    fresh.write_text("empty", encoding="utf-8")
    written = {}
    for expected in ("form.csv", "form_2.csv", "form_3.csv"):
        assert choose_form_name(tmp_path, "form.csv", fresh, earlier=written) == expected
        (tmp_path / expected).write_text("as drafted", encoding="utf-8")
        written[expected] = hash_file(tmp_path / expected)
        assert choose_form_name(tmp_path, "form.csv", fresh, earlier=written) == expected
        (tmp_path / expected).write_text(f"filled in {expected}", encoding="utf-8")
