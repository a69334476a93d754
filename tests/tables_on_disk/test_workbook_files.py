"""XLSX with every cell exact, read back as it was, by us and by others."""

import contextlib
import datetime as dt
import io
import zipfile

import numpy as np
import openpyxl
import pandas as pd
import pytest
import python_calamine
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bodycond.columns import find_column
from bodycond.errors import ArgumentError, UnreadableFileError
from bodycond.tables_on_disk import read_xlsx, write_xlsx
from bodycond.tables_on_disk.workbook_cells import LARGEST_UNPACKED
from bodycond.tables_on_disk.workbook_parts import escape_letters, restore_letters


@pytest.fixture
def small(tmp_path):
    """A small workbook's path and table."""
    table = pd.DataFrame(
        {
            "ring_number": ["00123", "=1+1", None],
            "mass_g": [250.5, np.nan, 0.1 + 0.2],
            "exam_date": np.array(["2021-03-04", "NaT", "1890-01-02"], dtype="datetime64[us]"),
            "gravid": pd.Series([True, None, False], dtype="boolean"),
            "own": ["a_x0041_", "b\x01", " c "],
        }
    )
    write_xlsx(table, tmp_path / "t.xlsx", sheet="exams")
    return tmp_path / "t.xlsx", table


def edit(path, part, old, new):
    """Replace bytes in one part of a workbook."""
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    assert old in parts[part]
    parts[part] = parts[part].replace(old, new)
    with zipfile.ZipFile(path, "w") as archive:
        for name, content in parts.items():
            archive.writestr(name, content)


def test_an_awkward_table_comes_back(tmp_path, awkward_table):
    write_xlsx(awkward_table, tmp_path / "t.xlsx")
    back = read_xlsx(tmp_path / "t.xlsx")
    pd.testing.assert_frame_equal(back, awkward_table, check_exact=True)
    assert np.signbit(back["mass_g"][2])
    assert back["_x0041_\x02"][0] == ""


def test_equal_tables_give_equal_bytes(tmp_path, awkward_table):
    write_xlsx(awkward_table, tmp_path / "a.xlsx")
    write_xlsx(read_xlsx(tmp_path / "a.xlsx"), tmp_path / "b.xlsx")
    assert (tmp_path / "a.xlsx").read_bytes() == (tmp_path / "b.xlsx").read_bytes()
    with zipfile.ZipFile(tmp_path / "a.xlsx") as archive:
        assert {item.date_time for item in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}


@given(st.data())
@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_table_comes_back(tmp_path, any_tables, data):
    table = data.draw(any_tables)
    write_xlsx(table, tmp_path / "t.xlsx")
    pd.testing.assert_frame_equal(read_xlsx(tmp_path / "t.xlsx"), table, check_exact=True)


@given(st.text(st.sampled_from("_x0045AFaf\x00\r") | st.characters()))
@settings(max_examples=1000)
def test_every_letter_comes_back(text):
    escaped = escape_letters(text)
    assert restore_letters(escaped) == text
    assert not set(escaped) & {chr(number) for number in range(32)} - {"\t", "\n"}


def test_rows_that_are_empty_and_columns_of_one_name_come_back(tmp_path):
    table = pd.DataFrame([["a", 1.5], [None, np.nan]], columns=["x", "x"])
    write_xlsx(table, tmp_path / "t.xlsx")
    pd.testing.assert_frame_equal(read_xlsx(tmp_path / "t.xlsx"), table)


@pytest.mark.parametrize("table", [pd.DataFrame({"a": pd.Series(dtype="str")}), pd.DataFrame()])
def test_an_empty_table_comes_back(tmp_path, table):
    write_xlsx(table, tmp_path / "t.xlsx")
    back = read_xlsx(tmp_path / "t.xlsx")
    assert (list(back.columns), len(back)) == (list(table.columns), 0)


def test_other_readers_see_the_same(small):
    path, _ = small
    book = openpyxl.load_workbook(path)
    assert book.sheetnames == ["exams", "columns"]
    rows = list(book["exams"].iter_rows(min_row=2))
    assert [cell.value for cell in rows[0]] == [
        "00123", 250.5, dt.datetime(2021, 3, 4), True, "a_x005F_x0041_",
    ]  # fmt: skip
    assert rows[1][0].value == "=1+1"
    assert rows[1][0].data_type == "s"
    assert rows[1][0].quotePrefix
    assert not rows[0][0].quotePrefix
    assert rows[0][0].number_format == "@"
    assert rows[0][2].number_format == "yyyy\\-mm\\-dd"
    assert rows[2][2].value == "1890-01-02"
    quick = python_calamine.CalamineWorkbook.from_path(str(path)).get_sheet_by_name("exams")
    assert quick.to_python()[2] == ["=1+1", "", "", "", "b\x01"]
    assert quick.to_python()[3][1] == 0.1 + 0.2


def test_a_second_sheet_says_what_the_columns_are(small):
    path, _ = small
    heading, *rows = openpyxl.load_workbook(path)["columns"].iter_rows(values_only=True)
    assert heading == ("name", "dtype", "unit", "meaning", "schema_version")
    assert rows[1] == ("mass_g", "float64", "g", find_column("mass_g").meaning, "1")
    assert rows[4] == ("own", "str", "", "", "1")


def test_a_workbook_saved_by_another_program_comes_back(small):
    path, table = small
    openpyxl.load_workbook(path).save(path)
    with zipfile.ZipFile(path) as archive:
        assert "docProps/core.xml" in archive.namelist()
    back = read_xlsx(path)
    # That program cuts floats to 16 digits.
    assert back["mass_g"][2] == pytest.approx(0.1 + 0.2, rel=1e-15)
    pd.testing.assert_frame_equal(back.drop(columns="mass_g"), table.drop(columns="mass_g"))


def test_texts_that_are_kept_apart_are_found(small):
    path, _ = small
    edit(
        path,
        "xl/worksheets/sheet1.xml",
        b't="inlineStr"><is><t xml:space="preserve">00123</t></is>',
        b't="s"><v>1</v>',
    )
    shared = b"<sst><si><t>other</t></si><si><t>00_x005F_x0041_</t></si></sst>"
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr("xl/sharedStrings.xml", shared)
    assert read_xlsx(path)["ring_number"][0] == "00_x0041_"


def test_without_the_second_sheet_the_names_say_the_dtypes(small):
    path, table = small
    book = openpyxl.load_workbook(path)
    del book["columns"]
    book["exams"]["F1"] = "own_count"
    book["exams"]["F2"] = 7
    book.save(path)
    back = read_xlsx(path)
    pd.testing.assert_frame_equal(back[table.columns[:4]], table[table.columns[:4]])
    assert back["own_count"].tolist()[0] == "7"


def test_runs_of_a_text_are_joined_and_sounds_left_out(small):
    path, _ = small
    old = b'<is><t xml:space="preserve">00123</t></is>'
    new = b"<is><r><t>001</t></r><r><t>23</t></r><rPh><t>sound</t></rPh></is>"
    edit(path, "xl/worksheets/sheet1.xml", old, new)
    assert read_xlsx(path)["ring_number"][0] == "00123"


def test_a_column_moved_by_hand_keeps_its_dtype(small):
    path, table = small
    book = openpyxl.load_workbook(path)
    book["exams"].insert_cols(1)
    book["exams"]["A1"] = "new"
    book.save(path)
    back = read_xlsx(path)
    assert list(back.columns) == ["new", *table.columns]
    assert back["gravid"].dtype == "boolean"
    assert back["exam_date"].dtype == "datetime64[us]"


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (b"<v>250.5</v>", b"<v>250,5</v>",
         "Each cell of the column 'mass_g' of {path} must be float64. Found: '250,5' in B2. "
         "Correct it, or import the file with a recipe."),
        (b"<v>44259</v>", b"<v>inf</v>",
         "Each cell of the column 'exam_date' of {path} must be datetime64[us]. Found: 'inf' in "
         "C2. Correct it, or import the file with a recipe."),
        (b'<row r="3">', b'<row r="2">',
         "{path} must be a whole XLSX workbook. Found: a row numbered 2 behind row 2. Look for the "
         "full copy, or write it anew."),
        (b'<row r="3">', b'<row r="1048577">',
         "{path} must be a whole XLSX workbook. Found: a row numbered 1048577 behind row 2. Look "
         "for the full copy, or write it anew."),
        (b'r="B2"', b'r="2B"',
         "{path} must be a whole XLSX workbook. Found: the address '2B'. Look for the full copy, "
         "or write it anew."),
        (b'<row r="4"><c r="B4"', b'<row r="900000"><c r="AAA4"',
         "{path} must be a whole XLSX workbook. Found: cells as far as row 900000, column 703. "
         "Look for the full copy, or write it anew."),
        (b"<dimension", b'<!DOCTYPE x [<!ENTITY a "aaa">]><dimension',
         "{path} must be a whole XLSX workbook. Found: declarations of entities in "
         "xl/worksheets/sheet1.xml. Look for the full copy, or write it anew."),
    ],
)  # fmt: skip
def test_a_workbook_that_does_not_fit(small, old, new, message):
    path, _ = small
    edit(path, "xl/worksheets/sheet1.xml", old, new)
    with pytest.raises(UnreadableFileError) as caught:
        read_xlsx(path)
    assert str(caught.value) == message.format(path=path)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (b">float64<", b">complex<",
         "The sheet 'columns' of {path} must name dtypes that bodycond writes. Found: 'complex' "
         "for the column 'mass_g'. Restore the sheet, or delete it."),
        (b">1<", b">9<",
         "{path} must be a table of bodycond, version 1. Found: one of version '9'. Read it with "
         "the bodycond that wrote it."),
        (b">float64<", b">int64<",
         "Each cell of the column 'mass_g' of {path} must be int64. Found: '250.5' in B2. Correct "
         "it, or import the file with a recipe."),
        (b">boolean<", b">bool<",
         "Each cell of the column 'gravid' of {path} must be bool. Found: an empty cell in D3. "
         "Correct it, or import the file with a recipe."),
    ],
)  # fmt: skip
def test_a_description_that_does_not_fit(small, old, new, message):
    path, _ = small
    edit(path, "xl/worksheets/sheet2.xml", old, new)
    with pytest.raises(UnreadableFileError) as caught:
        read_xlsx(path)
    assert str(caught.value) == message.format(path=path)


def test_a_workbook_without_a_table(small):
    path, _ = small
    book = openpyxl.load_workbook(path)
    del book["exams"]
    book.save(path)
    with pytest.raises(UnreadableFileError) as caught:
        read_xlsx(path)
    assert str(caught.value) == (
        f"{path} must hold a sheet beside 'columns'. Found: none. Look for the full copy."
    )


@given(
    st.sampled_from(["xl/worksheets/sheet1.xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels"]),
    st.integers(0, 3000),
    st.binary(min_size=1, max_size=4) | st.sampled_from([b"<", b"9" * 9, b'"', b"ZZZ9", b"&"]),
)
@settings(max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_a_damaged_part_is_read_or_refused(small, part, at, content):
    path, table = small
    write_xlsx(table, path)
    with zipfile.ZipFile(path) as archive:
        before = archive.read(part)
    at %= len(before)
    end = min(at + len(content), len(before))
    edit(path, part, before, before[:at] + content + before[end:])
    with contextlib.suppress(UnreadableFileError):
        assert len(read_xlsx(path)) < 1_048_576


@pytest.mark.parametrize("cut", [10, 900])
def test_a_truncated_workbook(small, cut):
    path, _ = small
    path.write_bytes(path.read_bytes()[:-cut])
    with pytest.raises(UnreadableFileError) as caught:
        read_xlsx(path)
    assert str(caught.value) == (
        f"{path} must be a whole XLSX workbook. Found: File is not a zip file. Look for the full "
        "copy, or write it anew."
    )


def test_a_workbook_that_would_fill_the_memory(tmp_path, monkeypatch):
    path = tmp_path / "bomb.xlsx"
    sink = io.BytesIO()
    with zipfile.ZipFile(sink, "w") as archive:
        archive.writestr("xl/worksheets/sheet1.xml", "small")
    content = bytearray(sink.getvalue())
    # The size that the directory of the archive states.
    at = content.index(b"PK\x01\x02") + 24
    content[at : at + 4] = (LARGEST_UNPACKED + 1).to_bytes(4, "little")
    path.write_bytes(content)
    with pytest.raises(UnreadableFileError) as caught:
        read_xlsx(path)
    assert str(caught.value) == (
        f"{path} must be a whole XLSX workbook. Found: parts that unpack to more than 2 GiB. Look "
        "for the full copy, or write it anew."
    )


WIDE = "\U0001f989" * 16_384


@pytest.mark.parametrize(
    ("table", "sheet", "message"),
    [
        (pd.DataFrame({"remarks": ["a", "x" * 32_768]}), "t",
         "A cell of a workbook holds at most 32,767 letters. Found: 32,768 in A3: "
         f"{'x' * 30!r}.... Write the table as Parquet or CSV, which have no such limit."),
        (pd.DataFrame({"remarks": [WIDE]}), "t",
         "A cell of a workbook holds at most 32,767 letters. Found: 32,768 in A2: "
         f"{WIDE[:30]!r}.... Write the table as Parquet or CSV, which have no such limit."),
        (pd.DataFrame({"x" * 32_768: [1]}), "t",
         "A cell of a workbook holds at most 32,767 letters. Found: 32,768 in the heading of "
         f"column A: {'x' * 30!r}.... Write the table as Parquet or CSV, which have no such "
         "limit."),
        (pd.DataFrame({"own": pd.Categorical(["a"])}), "t",
         "A workbook keeps the dtypes Int64, bool, boolean, datetime64[ms], datetime64[ns], "
         "datetime64[s], datetime64[us], float64, int64, object, str, string. Found: category in "
         "the column 'own'. Convert the column, or write the table as Parquet."),
        (pd.DataFrame({"own": pd.Series(["a", 2], dtype=object)}), "t",
         "The column 'own' of dtype object must hold texts alone. Found: 2 in A3. Convert the "
         "column to one dtype."),
        (pd.DataFrame({"a": np.zeros(1_048_576)}), "t",
         "A sheet holds 1,048,576 rows with the heading and 16,384 columns. Found: 1,048,576 rows "
         "below the heading and 1 columns. Write it as Parquet, or split it."),
        (pd.DataFrame({"a": [1]}), "a/b",
         "A sheet's name has 1 to 31 letters, none of them [ ] : * ? / \\. Found: sheet='a/b'. "
         "Choose another name."),
        (pd.DataFrame({"a": [1]}), "Columns",
         "A sheet's name must be free: 'columns' is written beside it and 'history' belongs to the "
         "spreadsheet program. Found: sheet='Columns'. Choose another name."),
        (pd.DataFrame({"a": pd.Series(["\ud800"], dtype=object)}), "t",
         "Every text must be whole Unicode to be written as XLSX. Found: half of a character pair "
         "(U+D800) in column 'a', row 1. Correct the text where it comes from; it was cut or "
         "decoded wrongly."),
    ],
)  # fmt: skip
def test_a_table_that_no_workbook_can_hold(tmp_path, table, sheet, message):
    with pytest.raises(ArgumentError) as caught:
        write_xlsx(table, tmp_path / "t.xlsx", sheet=sheet)
    assert str(caught.value) == message
    assert not (tmp_path / "t.xlsx").exists()


def test_the_longest_text_that_fits(tmp_path):
    table = pd.DataFrame({"remarks": ["x" * 32_767, "\U0001f989" * 16_383]})
    write_xlsx(table, tmp_path / "t.xlsx")
    pd.testing.assert_frame_equal(read_xlsx(tmp_path / "t.xlsx"), table)
