"""CSV that no spreadsheet program runs, read back as it was."""

import csv

import numpy as np
import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bodycond.errors import ArgumentError, UnreadableFileError
from bodycond.tables_on_disk import read_csv, write_csv


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
    assert written.neutralised_headings == ("=head",)
    with (tmp_path / "t.csv").open(encoding="utf-8", newline="") as stream:
        heading, *rows = csv.reader(stream)
    assert heading == ["remarks", "code", "mass_g", "'=head"]
    assert rows == [
        ["'=cmd()", "'+1", "-1.5", "'\ttab"],
        ["fine", "a", "0.1", "'\rreturn"],
        ["", "'-", "", "'\nline"],
        ["'@x", "a", "300.0", "a=b"],
    ]


def test_csv_keeps_every_digit_and_columns_of_one_name(tmp_path):
    numbers = [0.1 + 0.2, 1 / 3, 1e-300]
    table = pd.DataFrame([[number, "=a"] for number in numbers], columns=["x", "x"])
    written = write_csv(table, tmp_path / "t.csv")
    rows = (tmp_path / "t.csv").read_text(encoding="utf-8").splitlines()
    assert [float(row.split(",")[0]) for row in rows[1:]] == numbers
    assert len(written.neutralised) == 3


def test_csv_of_an_empty_table(tmp_path):
    table = pd.DataFrame({"a": pd.Series(dtype="str")})
    written = write_csv(table, tmp_path / "t.csv")
    assert (written.n_rows, written.neutralised) == (0, ())
    assert (tmp_path / "t.csv").read_bytes() == b"a\n"
    pd.testing.assert_frame_equal(read_csv(tmp_path / "t.csv"), table)


def test_an_awkward_table_comes_back(tmp_path, awkward_table):
    write_csv(awkward_table, tmp_path / "t.csv")
    own = {name: str(dtype) for name, dtype in awkward_table.dtypes.items()}
    back = read_csv(tmp_path / "t.csv", dtypes=own)
    # CSV has one sign for an empty and for a missing text.
    expected = awkward_table.assign(
        **{"_x0041_\x02": awkward_table["_x0041_\x02"].replace("", None)}
    )
    pd.testing.assert_frame_equal(back, expected, check_exact=True)
    assert np.signbit(back["mass_g"][2])


def test_records_end_with_lf_alone_and_a_cr_in_a_cell_splits_none(tmp_path):
    table = pd.DataFrame({"remarks": ["a\rb", "c\r\nd", "e"]})
    write_csv(table, tmp_path / "t.csv")
    assert (tmp_path / "t.csv").read_bytes() == b'remarks\n"a\rb"\n"c\r\nd"\ne\n'


def test_a_text_longer_than_the_readers_limit_comes_back(tmp_path):
    limit = csv.field_size_limit()
    table = pd.DataFrame({"remarks": ["x" * (limit + 1)]})
    write_csv(table, tmp_path / "t.csv")
    pd.testing.assert_frame_equal(read_csv(tmp_path / "t.csv"), table)
    assert csv.field_size_limit() == limit


def test_a_heading_that_begins_with_a_byte_order_mark_comes_back(tmp_path):
    table = pd.DataFrame({"\ufeffown": ["a"]})
    write_csv(table, tmp_path / "t.csv")
    assert list(read_csv(tmp_path / "t.csv").columns) == ["\ufeffown"]


@given(st.data())
@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_table_comes_back(tmp_path, any_tables, data):
    table = data.draw(any_tables)
    write_csv(table, tmp_path / "t.csv")
    back = read_csv(tmp_path / "t.csv", dtypes={name: str(table[name].dtype) for name in table})
    texts = {name: table[name].replace("", None) for name in table if table[name].dtype == "str"}
    pd.testing.assert_frame_equal(back, table.assign(**texts), check_exact=True)


def test_half_of_a_character_pair(tmp_path):
    table = pd.DataFrame({"remarks": pd.Series(["a", "b\ud83e"], dtype=object)})
    with pytest.raises(ArgumentError) as caught:
        write_csv(table, tmp_path / "t.csv")
    assert str(caught.value) == (
        "Every text must be whole Unicode to be written as CSV. Found: half of a character pair "
        "(U+D83E) in column 'remarks', row 2. Correct the text where it comes from; it was cut or "
        "decoded wrongly."
    )
    assert not (tmp_path / "t.csv").exists()


def test_an_unknown_dtype(tmp_path):
    with pytest.raises(ArgumentError) as caught:
        read_csv(tmp_path / "t.csv", dtypes={"own": "float16"})
    assert str(caught.value) == (
        "dtypes= takes Int64, bool, boolean, datetime64[ms], datetime64[ns], datetime64[s], "
        "datetime64[us], float64, int64, object, str, string. Found: 'float16' for the column "
        "'own'. Choose one of them."
    )


@pytest.mark.parametrize(
    ("content", "dtypes", "message"),
    [
        ("mass_g\n1\nheavy\n", {},
         "Each cell of the column 'mass_g' of {path} must be float64. Found: 'heavy' in row 3. "
         "Correct it, or import the file with a recipe."),
        ("own\n1\n1.5\n", {"own": "int64"},
         "Each cell of the column 'own' of {path} must be int64. Found: '1.5' in row 3. "
         "Correct it, or import the file with a recipe."),
        ("exam_date\n3/4/21\n", {},
         "Each cell of the column 'exam_date' of {path} must be datetime64[us]. Found: '3/4/21' in "
         "row 2. Correct it, or import the file with a recipe."),
        ("gravid\nperhaps\n", {},
         "Each cell of the column 'gravid' of {path} must be boolean. Found: 'perhaps' in row 2. "
         "Correct it, or import the file with a recipe."),
        ("a,own\nx,\n", {"own": "bool"},
         "Each cell of the column 'own' of {path} must be bool. Found: an empty cell in row 2. "
         "Correct it, or import the file with a recipe."),
        ("a,b\n1\n", {},
         "{path} must be a table that bodycond wrote as CSV. Found: 1 cells in record 2 and 2 in "
         "the heading. Write it anew, or import the file with a recipe."),
        ("", {},
         "{path} must be a table that bodycond wrote as CSV. Found: an empty file. Write it anew, "
         "or import the file with a recipe."),
        ('a\n"b', {},
         "{path} must be a table that bodycond wrote as CSV. Found: unexpected end of data. Write "
         "it anew, or import the file with a recipe."),
        ("a\n\udcff", {},
         "{path} must be a table that bodycond wrote as CSV. Found: bytes that are no UTF-8, at "
         "byte 2. Write it anew, or import the file with a recipe."),
    ],
)  # fmt: skip
def test_a_file_that_does_not_fit(tmp_path, content, dtypes, message):
    path = tmp_path / "t.csv"
    path.write_bytes(content.encode("utf-8", errors="surrogateescape"))
    with pytest.raises(UnreadableFileError) as caught:
        read_csv(path, dtypes=dtypes)
    assert str(caught.value) == message.format(path=path)
