"""Text files: delimiters, quotation marks gone wrong, line ends, and tables without end."""

import csv
import io
from collections import Counter
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from bodycond.errors import UnreadableFileError
from bodycond.legacy import read_sheets
from bodycond.legacy.files import text_records, text_tables
from bodycond.legacy.files.delimiters import NO_DELIMITER, find_delimiter, iterate_lines
from bodycond.legacy.files.encodings import decode_text
from bodycond.legacy.files.text_tables import read_text_table

REAL = Path(__file__).resolve().parents[4] / "shared" / "legacy"


def write(tmp_path, content, *, name="a.csv"):
    path = tmp_path / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode("utf-8"))
    return path


def read(text, *, name="a.csv"):
    content = text if isinstance(text, bytes) else text.encode("utf-8")
    return read_text_table(Path(name), content, label=name)


# Delimiters


@pytest.mark.parametrize(
    ("text", "delimiter"),
    [
        ("Ring;Mass;Wing\nA1;186,5;210,0\nA2;190,2;211,5\n", ";"),
        ("Ring;Mass, g\nA1;186,5\nA2;190,2\n", ";"),
        ("186,5;210,0\n190,2;211,5\n", ";"),
        ("No\tSp\n1\ta, b\n2\tc, d; e\n", "\t"),
        ("No,Wt,Note\n1,186,calm; thin\n2,190,low; weak\n", ","),
        # ragged rows of a table beside a semicolon in each second note
        ("a,b,c,d\n1,2,x; y,4\n1,2\n1,x; y,3\n1,2,3,4\n", ","),
        ("Exams, 2019\nby K2\n\nNo;Sp;Wt\n1;a;2\n2;b;3\n3;c;4\n", ";"),
        ("No|Wt\n1|186,5\n", "|"),
        ('No,Note\n1,"a;b;c;d"\n2,"e;f;g;h"\n', ","),
        ("Mass\n186,5\n190,2\n", NO_DELIMITER),
        ("Note\nthin, weak\ncalm\nquiet\nlow\n", NO_DELIMITER),
        ("No,Wt\n1,186\n2,190\n", ","),
        ("1,186\n2,190\n", ","),
        ("No,Wt\n" + "1,186\n" * 50 + "2,thin; weak\n", ","),
        ('No;Len\n1;14" x\n2;15", x\n3;16\n', ";"),
        ("a;b;c\n", ";"),
    ],
)
def test_delimiter_is_found_from_all_lines(text, delimiter):
    assert find_delimiter(text) == (delimiter, False)


@pytest.mark.parametrize("line", ["sep=;", "SEP=;", "sep=;;;", "sep=; "])
def test_delimiter_named_in_the_first_line_wins(line):
    assert find_delimiter(f"{line}\r\na,b;c\r\nd,e;f\r\n") == (";", True)


@pytest.mark.parametrize("line", ["sep=x", 'sep="', "sep=", "sep=1", "sep=;a"])
def test_a_first_line_that_names_no_delimiter_is_data(line):
    assert find_delimiter(f"{line}\na,b\nc,d\n") == (",", False)


@pytest.mark.parametrize(
    ("name", "text", "note"),
    [
        ("a.csv", "a\tb\n1\t2\n", "the ending is .csv, the cells are parted by the tab"),
        ("a.tsv", "a,b\n1,2\n", "the ending is .tsv, the cells are parted by the comma"),
        ("a.csv", "a\nb\n", "one column: no comma, semicolon, tab or bar parts the lines alike"),
    ],
)
def test_what_the_ending_does_not_say_is_said(name, text, note):
    assert read(text, name=name).notes[1:] == (note,)


@pytest.mark.parametrize(
    ("name", "text"), [("a.txt", "a\tb\n1\t2\n"), ("a.csv", "a;b\n1;2\n"), ("a.tsv", "a\tb\n")]
)
def test_a_file_that_is_as_its_ending_says_has_one_note(name, text):
    assert len(read(text, name=name).notes) == 1


def test_lines_of_a_large_text_are_the_same_as_of_a_small_one(monkeypatch):
    text = "a\r\n\r\nb\rc\n\x85d\u2028e\x0bf\n\r"
    small = list(iterate_lines(text))
    monkeypatch.setattr("bodycond.legacy.files.delimiters.QUICK_LENGTH", 0)
    assert list(iterate_lines(text)) == small
    assert small == ["a\r\n", "\r\n", "b\r", "c\n", "\x85d\u2028e\x0bf\n", "\r"]


# Quotation marks


@pytest.mark.parametrize(
    ("text", "lines", "column"),
    [
        ('No;Sp;Wt\n1;Kestrel;186\n2;";187\n3;";188\n4;Buzzard;9\n', "3, 4", [1, 1]),
        ('No;Sp;Wt\n1;Kestrel;186\n2;";187\n3;Owl;188\n4;";9\n', "3, 5", [1, 1]),
        ('No;Sp;Wt\r\n1;Kestrel;186\r\n2;Owl;187\r\n3;";188\r\n', "4", [1]),
        ('No;Sp;Wt\n1;Kestrel;"\n2;a;"\n3;b;900\n4;c;3\n', "2, 3", [2, 2]),
        ('Sp;No;Wt\nKestrel;2;7\n";2;7\n";3;9\nb;3;900\n', "3, 4", [0, 0]),
    ],
)
def test_a_ditto_mark_stays_in_its_row(text, lines, column):
    sheet = read(text)
    assert sheet.texts.shape[1] == 3
    assert sheet.texts.shape[0] == text.count("\n")
    _, columns = np.nonzero(sheet.texts == '"')
    assert columns.tolist() == column
    said = "quotation marks that pair with none, or would join rows, are read as they stand: line"
    assert sheet.notes[1:] == (f"{said} {lines}",)


def test_a_quotation_mark_that_is_never_closed_swallows_nothing():
    rows = "".join(f"{number};Owl;{number + 100}\n" for number in range(200))
    sheet = read(f'No;Sp;Wt\n7;"thin;186\n{rows}')
    assert sheet.texts.shape == (202, 3)
    assert sheet.texts[1].tolist() == ["7", '"thin', "186"]
    assert sheet.notes[1].endswith("are read as they stand: line 2")


def test_a_mark_closed_a_hundred_lines_on_by_another_swallows_nothing():
    rows = "".join(f"{number};Owl;{number + 100}\n" for number in range(100))
    sheet = read(f'No;Sp;Wt\n7;"thin;186\n{rows}8;fat";187\n')
    assert sheet.texts.shape == (103, 3)
    assert [sheet.texts[1, 1], sheet.texts[102, 1]] == ['"thin', 'fat"']


@pytest.mark.parametrize(
    ("cell", "value"),
    [
        ('14"', '14"'),
        ('2" tail', '2" tail'),
        ('""""', '"'),
        ('"2"" tail"', '2" tail'),
        ('"thin" bird', '"thin" bird'),
        ('"thin, weak"', "thin, weak"),
        (' "thin, weak" ', "thin, weak"),
        ('" thin "', " thin "),
        ('""', ""),
        (' "" x', ' "" x'),
    ],
)
def test_quotation_marks_in_a_cell(cell, value):
    sheet = read(f'No,Note,Wt\n1,"a",2\n2,{cell},3\n')
    assert sheet.texts[2].tolist() == ["2", value, "3"]
    assert sheet.texts.shape == (3, 3)


def test_blanks_around_quotation_marks_are_said():
    sheet = read('No,Note\n1, "thin, weak" \n2,"a"\n')
    assert sheet.notes[1] == "blanks around quotation marks are no part of the cell: line 2"


def test_line_breaks_inside_honest_cells_are_kept_and_rows_are_records():
    text = 'No;Note;Wt\n1;"thin; weak\nwing low; left\nstays";186\n2;2" tail;187\n3;"""";188\n'
    sheet = read(text)
    assert sheet.texts[1].tolist() == ["1", "thin; weak\nwing low; left\nstays", "186"]
    assert sheet.texts[2:, 1].tolist() == ['2" tail', '"']
    assert sheet.notes[1:] == (
        "rows are counted as records, since cells hold line ends: each of these lines of the "
        "file is one row: 2-4",
    )


def test_a_note_of_two_lines_in_the_last_of_two_columns_is_honest():
    sheet = read('No;Note\n1;"thin\nlow; left"\n2;x\n')
    assert sheet.texts.tolist() == [["No", "Note"], ["1", "thin\nlow; left"], ["2", "x"]]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_any_line_end_makes_the_same_table(end):
    text = end.join(["No,Note", '1,"a' + "\n" + 'b"', "", "2,c", ""])
    assert read(text).texts.tolist() == [["No", "Note"], ["1", "a\nb"], ["", ""], ["2", "c"]]


def test_mixed_line_ends_blank_lines_and_rows_of_any_length_keep_their_numbers():
    sheet = read("No,Sp,Wt\r1,a,186\r\n\n2,b,187\n3,b,187,extra,\n4\n\n\n")
    assert sheet.texts[:, 0].tolist() == ["No", "1", "", "2", "3", "4"]
    assert sheet.texts[4].tolist() == ["3", "b", "187", "extra"]
    assert sheet.notes[1] == "rows with more cells than the 3 of most rows keep them: row 5 (4)"


def test_trailing_delimiters_make_no_column():
    sheet = read("No,Wt,,\n1,186,,\n2,187,,\n")
    assert sheet.texts.shape == (3, 2)
    assert len(sheet.notes) == 1


@pytest.mark.parametrize("quoting", [csv.QUOTE_MINIMAL, csv.QUOTE_ALL])
def test_large_texts_are_split_as_small_ones(monkeypatch, quoting):
    out = io.StringIO(newline="")
    rows = [["No", "Note"], ["1", "a\nb"], ["2", ' "c'], ["3", "d,e"], [], ["4", ""], ["5", ",\n,"]]
    csv.writer(out, quoting=quoting).writerows(rows)
    text = out.getvalue()
    small = read(text)
    monkeypatch.setattr(text_records, "QUICK_LENGTH", 0)
    large = read(text)
    assert small.texts.tolist() == large.texts.tolist()
    assert small.notes == large.notes
    assert small.texts[1].tolist() == ["1", "a\nb"]


# Sizes


def test_a_million_empty_columns_cost_nothing_and_full_ones_are_refused(tmp_path):
    commas = "," * 1_000_000
    (sheet,) = read_sheets(write(tmp_path, f"No,Wt{commas}\na,186{commas}\n"))
    assert sheet.texts.shape == (2, 2)
    with pytest.raises(UnreadableFileError, match=r"values as far as row 5 and column BDWGP"):
        read_sheets(write(tmp_path, f"No,Wt{commas}z\n" + "a,186\n" * 100))


def test_a_line_without_end_is_refused_with_its_place(monkeypatch):
    monkeypatch.setattr(text_tables, "LONGEST_LINE_BYTES", 50)
    short = "a,b\n" * 40
    assert read(short).texts.shape == (40, 2)
    message = (
        r"A line of a text table may hold at most 50 bytes\. Found: a longer one in a\.csv, from "
        r"byte 160\. Look whether it is a table at all"
    )
    with pytest.raises(UnreadableFileError, match=message):
        read(short + "x" * 51)


def test_a_file_beyond_the_limit_is_refused(monkeypatch):
    monkeypatch.setattr(text_tables, "LARGEST_TEXT_BYTES", 10)
    message = r"may hold at most 10 bytes\. Found: a\.csv with 11\. Split the table"
    with pytest.raises(UnreadableFileError, match=message):
        read("a,b\n1,2\n3,4")


@pytest.mark.parametrize("cell", ["x" * 131_073, '"' + "x" * 131_073 + '"', '"' + "x" * 131_073])
def test_a_cell_that_no_spreadsheet_holds_is_refused(cell):
    message = r"must be a delimited text table.*no spreadsheet holds so long a cell.*never closed"
    with pytest.raises(UnreadableFileError, match=message):
        read(f"No,Note\n1,{cell}\n")


# Any content

LETTERS = st.characters(exclude_categories=("Cs", "Cc"), include_characters="\n\r\t")
CELLS = st.text(LETTERS | st.sampled_from(' ,;"\n|'), max_size=8)
GRIDS = st.lists(st.lists(CELLS, max_size=4), min_size=1, max_size=6)


def trim(rows):
    trimmed = []
    for row in rows:
        kept = list(row)
        while kept and not kept[-1]:
            kept.pop()
        trimmed.append(kept)
    while trimmed and not trimmed[-1]:
        trimmed.pop()
    return trimmed


@given(
    rows=GRIDS,
    delimiter=st.sampled_from(",;\t|"),
    quoting=st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL]),
    end=st.sampled_from(["\n", "\r\n"]),
    encoding=st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]),
)
def test_what_a_csv_writer_wrote_reads_back_equal(rows, delimiter, quoting, end, encoding):
    for cell in (cell for row in rows for cell in row):
        breaks = "\n" in cell or "\r" in cell
        # Without marks around every cell such a one can be a ditto mark that joins rows.
        assume(not (quoting == csv.QUOTE_MINIMAL and breaks and delimiter in cell))
        # The writer leaves such a cell bare where lines end with LF.
        assume(not (quoting == csv.QUOTE_MINIMAL and end == "\n" and "\r" in cell))
    out = io.StringIO(newline="")
    out.write(f"sep={delimiter}{end}")
    csv.writer(out, delimiter=delimiter, quoting=quoting, lineterminator=end).writerows(rows)
    sheet = read(out.getvalue().encode(encoding))
    assert trim(sheet.texts.tolist()[1:]) == trim(rows)
    assert sheet.notes[0].startswith(f"read as {encoding}, ")


def leave_out(text, letters):
    return "".join(letter for letter in text if letter not in letters)


def check_nothing_is_lost(content):
    path = Path("a.csv")
    try:
        sheet = read_text_table(path, content, label="a.csv")
    except UnreadableFileError:
        return  # any other exception fails the test
    decoded = decode_text(content, path=path)
    assert decoded.original_bytes() == content
    delimiter, _ = find_delimiter(decoded.text)
    cells = "".join(str(cell) for row in sheet.texts.tolist() for cell in row)
    layout = f'{delimiter}\r\n" '
    assert leave_out(cells, layout) == leave_out(decoded.text, layout)
    if '"' not in decoded.text:
        lines = [line.rstrip("\r\n") for line in iterate_lines(decoded.text)]
        whole = [line.rstrip(delimiter) for line in lines]
        joined = [delimiter.join(row).rstrip(delimiter) for row in sheet.texts.tolist()]
        assert joined == whole[: len(joined)]
        assert not any(whole[len(joined) :])


@given(st.binary(max_size=60))
def test_any_bytes_are_read_whole_or_refused(content):
    check_nothing_is_lost(content)


@given(st.lists(st.sampled_from(list(b'ab1,;\t|"\n\r \x80\x8e\xa9\xc3\xe9\xff\x00')), max_size=40))
def test_bytes_that_look_like_a_table_are_read_whole_or_refused(numbers):
    check_nothing_is_lost(bytes(numbers))


@given(st.text(max_size=60).filter(lambda text: not any("\ud800" <= c <= "\udfff" for c in text)))
def test_any_text_is_read_whole_or_refused(text):
    check_nothing_is_lost(text.encode("utf-8"))


@given(st.text(st.sampled_from('ab1,;"\n\r '), max_size=60))
def test_any_play_of_marks_and_delimiters_is_read_whole(text):
    check_nothing_is_lost(text.encode("utf-8"))


# Real tables


def read_real(name):
    path = REAL / name
    if not path.is_file():
        pytest.skip(f"{path.name} is not beside the project")
    (sheet,) = read_sheets(path)
    return sheet


def test_real_table_in_mac_roman_with_a_heading_over_two_lines():
    sheet = read_real("tits_nestlings.csv")
    assert sheet.notes[0] == "read as mac-roman, delimiter semicolon"
    assert "byte 0x8e in line 3 reads 'négatif', as cp1252 'nŽgatif'" in sheet.notes[1]
    assert sheet.texts.shape[0] == 91
    assert sheet.texts[0, 9] == "Double\ninfection"
    assert sheet.notes[2].endswith("is one row: 1-2")


def test_real_table_with_semicolons_and_decimal_commas():
    sheet = read_real("tits_leuco_adults.csv")
    assert sheet.notes == ("read as utf-8, delimiter semicolon",)
    assert sheet.texts.shape[0] == 297
    assert any("," in str(text) for text in sheet.texts[1])


def test_real_table_with_a_mark_of_its_encoding():
    sheet = read_real("island_songbirds.csv")
    assert sheet.notes == ("read as utf-8-sig, delimiter comma",)
    assert sheet.texts[0, 0] == "Species"
    assert sheet.texts.shape[0] == 198


def test_every_real_text_table_is_read_as_a_csv_reader_does():
    paths = sorted(REAL.glob("*.csv"))
    if not paths:
        pytest.skip("there are no real tables beside the project")
    counts = Counter()
    for path in paths:
        text = decode_text(path.read_bytes(), path=path).text
        (sheet,) = read_sheets(path)
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=find_delimiter(text)[0]))
        counts[trim(sheet.texts.tolist()) == trim(rows)] += 1
    assert counts == {True: len(paths)}
