"""Results on disk come back as they were; what would not is refused, and so are damaged files."""

import json
import math
import re
from dataclasses import dataclass, fields

import numpy as np
import pandas as pd
import pytest

from bodycond.errors import ArgumentError, UnreadableFileError
from bodycond.tables_on_disk.stored_results import ResultKind, load_result, save_result

FIT = ResultKind(name="toy fit", word="fit", rows="Fit anew")
SCORES = ResultKind(name="toy score", word="score", rows="Score anew", with_index=True)


@dataclass(frozen=True, kw_only=True, eq=False)
class Toy:
    """A result with every shape of field."""

    table: pd.DataFrame
    names: tuple[str, ...] = ()
    shares: tuple[float, ...] = ()
    only: dict[str, str]
    why: str | None = None
    level: float = 0.95
    count: int = 0
    sure: bool = True


TABLE = pd.DataFrame(
    {
        "text": pd.array(["x", None, "", "\x00\n\u2028é"], dtype="str"),
        "share": [0.1 + 0.2, math.nan, -math.inf, -0.0],
        "whole": [2**63 - 1, -(2**63), 0, 1],
        "perhaps": pd.array([2**53 + 1, None, 0, -1], dtype="Int64"),
        "flag": [True, False, True, False],
        "maybe": pd.array([True, None, False, True], dtype="boolean"),
        "mixed": pd.Series(["1", 1, True, None], dtype="object"),
    }
)


def make(table=TABLE, **more):
    return Toy(**({"table": table, "only": {}} | more))


def pass_through(result, tmp_path, kind=FIT):
    save_result(result, tmp_path / "one.json", kind=kind)
    again = load_result(Toy, tmp_path / "one.json", kind=kind)
    save_result(again, tmp_path / "two.json", kind=kind)
    assert (tmp_path / "one.json").read_bytes() == (tmp_path / "two.json").read_bytes()
    return again


def check_same(one, two):
    pd.testing.assert_frame_equal(one.table, two.table, check_exact=True)
    for item in fields(Toy)[1:]:
        before, after = getattr(one, item.name), getattr(two, item.name)
        assert (type(before), before) == (type(after), after), item.name


@pytest.mark.parametrize("kind", [FIT, SCORES])
def test_every_kind_of_field_and_cell_comes_back(tmp_path, kind):
    result = make(
        names=("a", "ü"), shares=(1 / 3, 5e-324), only={"sex": "F", "": ""}, why="bad\nday",
        level=0.1 + 0.2, count=10**30, sure=False,
    )  # fmt: skip
    again = pass_through(result, tmp_path, kind)
    check_same(result, again)
    assert np.signbit(again.table["share"].iloc[3])
    assert [type(cell) for cell in again.table["mixed"]] == [str, int, bool, type(None)]


def test_numbers_of_numpy_come_back_as_plain_ones(tmp_path):
    result = make(count=np.int64(7), level=np.float64(0.1), sure=np.bool_(False))
    again = pass_through(result, tmp_path)
    assert (again.count, again.level, again.sure) == (7, 0.1, False)
    assert {type(value) for value in (again.count, again.level, again.sure)} == {int, float, bool}


@pytest.mark.parametrize(
    "index",
    [
        pd.Index(["E2", "E1", "E1", "é"], name="exam_id"), pd.Index([5, 3, 9, 3]),
        pd.RangeIndex(2, 10, 2), pd.RangeIndex(4, name="row"), pd.Index([1, "1", "a", 2]),
        pd.CategoricalIndex(["b", "a", "b", "b"]), pd.Index([1, 2, 3, 4], dtype="uint64"),
        pd.Index(["a", "b", "c", "d"], dtype="object"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("kind", [FIT, SCORES])
def test_an_index_is_kept(tmp_path, kind, index):
    again = pass_through(make(TABLE.set_axis(index)), tmp_path, kind)
    pd.testing.assert_index_equal(again.table.index, index, exact="equiv")


@pytest.mark.parametrize(
    "table",
    [
        pd.DataFrame(), TABLE.iloc[:0], pd.DataFrame(index=["a", "b"]), TABLE[[]],
        pd.DataFrame([], columns=["a", "b"]),
    ],
)  # fmt: skip
@pytest.mark.parametrize("kind", [FIT, SCORES])
def test_tables_without_rows_or_columns(tmp_path, kind, table):
    again = pass_through(make(table), tmp_path, kind).table
    assert again.shape == table.shape
    pd.testing.assert_frame_equal(again, table, check_column_type=False)


def test_an_index_that_only_counts_is_stored_where_the_kind_says_so(tmp_path):
    for kind, keys in ((FIT, set()), (SCORES, {"index", "index_dtype", "index_name"})):
        save_result(make(), tmp_path / "x.json", kind=kind)
        stored = json.loads((tmp_path / "x.json").read_text(encoding="utf-8"))
        assert set(stored["table"]) == {"columns", "dtypes", "rows"} | keys
        assert (stored["format"], stored["format_version"]) == (f"bodycond {kind.name}", 1)


@pytest.mark.parametrize(
    "index",
    [
        pd.to_datetime(["2024-05-01"]), pd.Index([True]), pd.Index([0.5]), pd.Index([None]),
        pd.MultiIndex.from_tuples([("a", 1)]), pd.Index(["a"], name=("x", "y")),
        pd.CategoricalIndex(["a"], categories=["a", "b"]),
    ],
)  # fmt: skip
def test_other_indexes_are_refused(tmp_path, index):
    with pytest.raises(ArgumentError) as caught:
        save_result(make(TABLE.iloc[:1].set_axis(index)), tmp_path / "x.json", kind=FIT)
    assert str(caught.value) == (
        "A fit is saved with an index of text or whole numbers. Found: an index of "
        f"{index.dtype}. Fit anew."
    )
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("result", "found"),
    [
        (make(pd.DataFrame({"a": pd.to_datetime(["2024-05-01"])})), "in column 'a' of 'table'"),
        (make(pd.DataFrame({"a": np.array([0.1], dtype="float32")})), "float32 in column 'a'"),
        (make(pd.DataFrame({"a": pd.Categorical(["x"])})), "category in column 'a'"),
        (make(pd.DataFrame({"a": pd.Series([math.nan], dtype=object)})), "nan in column 'a'"),
        (make(pd.DataFrame({"a": pd.Series([math.inf], dtype=object)})), "inf in column 'a'"),
        (make(pd.DataFrame({"a": pd.Series([pd.NA], dtype=object)})), "<NA> in column 'a'"),
        (make(pd.DataFrame({"a": pd.Series([["x"]], dtype=object)})), "['x'] in column 'a'"),
        (make(pd.DataFrame({"a": pd.Series([np.int64(1)], dtype=object)})), "np.int64(1) in"),
        (make(pd.DataFrame([[1, 2]], columns=["a", "a"])), "['a', 'a'] under the name None"),
        (make(pd.DataFrame([[1]], columns=pd.Index(["a"], name="n"))), "under the name 'n'"),
        (make(pd.DataFrame([[1]])), "0 in the columns of 'table'"),
        (make(level=math.nan), "nan in 'level'"),
        (make(level=-math.inf), "-inf in 'level'"),
        (make(shares=(1.0, math.inf)), "inf in 'shares'"),
        (make(only={"sex": math.nan}), "nan in 'only'"),
        (make(only={1: "F"}), "1 in 'only'"),
        (make(why=pd.Timestamp("2024-05-01")), "in 'why'"),
        (make(why=("a",)), "('a',) in 'why'"),
        (make(why="\ud800"), "half of a character pair (U+D800)"),
    ],
)
def test_what_would_not_come_back_is_refused(tmp_path, result, found):
    with pytest.raises(ArgumentError) as caught:
        save_result(result, tmp_path / "x.json", kind=FIT)
    assert caught.value.needed.startswith("A fit is saved with ")
    assert found in caught.value.found
    assert caught.value.then == "Make the fit anew without it"
    assert list(tmp_path.iterdir()) == []


def change_file(path, change):
    stored = json.loads(path.read_text(encoding="utf-8"))
    change(stored)
    path.write_text(json.dumps(stored), encoding="utf-8")


def put(column, cell):
    """Put a cell into the first row of the stored table."""

    def _change(stored):
        stored["table"]["rows"][0][list(TABLE).index(column)] = cell

    return _change


@pytest.mark.parametrize(
    ("change", "found"),
    [
        (put("flag", None), "None in the column 'flag' of bool"),
        (put("flag", "no"), "'no' in the column 'flag' of bool"),
        (put("flag", 0), "0 in the column 'flag' of bool"),
        (put("whole", 1.5), "1.5 in the column 'whole' of int64"),
        (put("whole", True), "True in the column 'whole' of int64"),
        (put("whole", None), "None in the column 'whole' of int64"),
        (put("whole", 2**63), ""),
        (put("share", "0.3"), "'0.3' in the column 'share' of float64"),
        (put("share", True), "True in the column 'share' of float64"),
        (put("share", 10**400), ""),
        (put("text", 5), "5 in the column 'text' of str"),
        (put("mixed", ["x"]), "['x'] in the column 'mixed' of object"),
        (lambda stored: stored["table"]["rows"][0].pop(), ""),
        (lambda stored: stored["table"]["rows"].pop(), ""),
        (lambda stored: stored["table"]["dtypes"].pop(), ""),
        (lambda stored: stored["table"].update(rows={}), "{} is no list"),
        (lambda stored: stored["table"].update(index="abcd"), "'abcd' is no list"),
        (lambda stored: stored["table"].update(index=["1", "2", "3", "4"]), "not of int64"),
        (lambda stored: stored["table"].pop("index"), "'index'"),
        (lambda stored: stored["table"]["columns"].__setitem__(0, "share"), "the columns ["),
        (lambda stored: stored["table"]["columns"].__setitem__(0, 1), "the columns [1, "),
        (lambda stored: stored["table"]["dtypes"].__setitem__(0, "category"), "of category"),
        (lambda stored: stored["table"]["dtypes"].__setitem__(0, ["str"]), ""),
        (lambda stored: stored.update(table=[1]), ""),
        (lambda stored: stored.update(names="species"), "'species' is no list"),
        (lambda stored: stored.update(names=[["a"]]), "[['a']] holds more than plain values"),
    ],
)
def test_a_changed_table_or_list_is_refused(tmp_path, change, found):
    path = tmp_path / "x.json"
    save_result(make(), path, kind=SCORES)
    change_file(path, change)
    with pytest.raises(UnreadableFileError) as caught:
        load_result(Toy, path, kind=SCORES)
    assert caught.value.needed == f"{path} must hold every part of a toy score"
    assert re.fullmatch(
        rf"a table that cannot be read \(.*{re.escape(found)}.*\)", caught.value.found
    )
    assert caught.value.then == (
        "Save the score again; the file was changed after bodycond wrote it"
    )


@pytest.mark.parametrize(
    ("part", "value", "found"),
    [
        ("level", [0.95], "[0.95] holds more than plain values"),
        ("why", {"a": 1}, "{'a': 1} holds more than plain values"),
        ("only", "F", "'F' is no mapping"),
        ("only", {"sex": ["F"]}, "{'sex': ['F']} holds more than plain values"),
    ],
)
def test_a_changed_value_is_refused(tmp_path, part, value, found):
    path = tmp_path / "x.json"
    save_result(make(), path, kind=FIT)
    change_file(path, lambda stored: stored.update({part: value}))
    with pytest.raises(UnreadableFileError) as caught:
        load_result(Toy, path, kind=FIT)
    assert caught.value.found == f"a value that cannot be read ({found})"


def test_a_file_of_another_kind_or_of_none(tmp_path):
    path = tmp_path / "x.json"
    save_result(make(), path, kind=SCORES)
    message = (
        f"{path} must be a bodycond toy fit, format version 1. Found: 'bodycond toy score', "
        "version 1. Save the fit again with this version of bodycond."
    )
    with pytest.raises(UnreadableFileError, match=f"^{re.escape(message)}$"):
        load_result(Toy, path, kind=FIT)
    path.write_text("[" * 200_000, encoding="utf-8")
    with pytest.raises(UnreadableFileError, match="must be a toy fit that bodycond saved"):
        load_result(Toy, path, kind=FIT)


def test_a_file_as_it_was_first_written_is_still_read(tmp_path):
    """The layout of format version 1, written out: a change of it needs a new version."""
    stored = {
        "format": "bodycond toy fit", "format_version": 1, "names": ["a"], "shares": [], "only": {},
        "why": None, "level": 0.95, "count": 0, "sure": True,
        "table": {
            "columns": ["sex", "slope", "n", "usable"],
            "dtypes": ["str", "float64", "int64", "bool"],
            "rows": [["F", 0.30000000000000004, 12, True], [None, None, 1, False]],
        },
    }  # fmt: skip
    expected = pd.DataFrame(
        {"sex": pd.array(["F", None], dtype="str"), "slope": [0.1 + 0.2, math.nan], "n": [12, 1],
         "usable": [True, False]}
    )  # fmt: skip
    path = tmp_path / "x.json"
    path.write_text(json.dumps(stored), encoding="utf-8")
    pd.testing.assert_frame_equal(
        load_result(Toy, path, kind=FIT).table, expected, check_exact=True
    )
    stored["format"] = "bodycond toy score"
    stored["table"] |= {"index": ["E1", "E2"], "index_dtype": "str", "index_name": "exam_id"}
    path.write_text(json.dumps(stored), encoding="utf-8")
    expected.index = pd.Index(["E1", "E2"], name="exam_id")
    pd.testing.assert_frame_equal(
        load_result(Toy, path, kind=SCORES).table, expected, check_exact=True
    )
