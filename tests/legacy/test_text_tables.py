"""Text files: quotation marks that join rows, encodings that are guessed, tables without end."""

import codecs

import pytest

from bodycond.errors import UnreadableFileError
from bodycond.legacy import read_sheets


def write(tmp_path, content, *, name="a.csv"):
    path = tmp_path / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode("utf-8"))
    return path


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        # two ditto marks make one cell of a row and a half, and the file still has a shape
        ('No;Sp;Wt\n1;Kestrel;186\n2;";187\n3;";188\n4;Buzzard;900\n', "3"),
        ('No;Sp;Wt\n1;Kestrel;186\n2;";187\n3;Buzzard;188\n4;Buzzard;900\n', "3"),
        ('No;Sp;Wt\r\n1;Kestrel;186\r\n2;Buzzard;187\r\n3;";188\r\n', "4"),
    ],
)
def test_a_lone_quotation_mark_that_joins_rows_is_said(tmp_path, text, lines):
    message = rf"a quotation mark that joins rows, at line {lines}; .*Double the mark"
    with pytest.raises(UnreadableFileError, match=message):
        read_sheets(write(tmp_path, text))


def test_line_breaks_inside_honest_cells_are_kept(tmp_path):
    text = 'No;Note;Wt\n1;"thin; weak\nwing low; left\nstays";186\n2;2" tail;187\n3;"""";188\n'
    (sheet,) = read_sheets(write(tmp_path, text))
    assert sheet.texts[1].tolist() == ["1", "thin; weak\nwing low; left\nstays", "186"]
    assert sheet.texts[2:, 1].tolist() == ['2" tail', '"']


def test_utf_32_is_not_taken_for_utf_16(tmp_path):
    content = codecs.BOM_UTF32_LE + "Ring,Flügel\n".encode("utf-32-le")
    (sheet,) = read_sheets(write(tmp_path, content))
    assert sheet.row_texts(0) == ["Ring", "Flügel"]


def test_a_guessed_encoding_shows_its_letters(tmp_path):
    (sheet,) = read_sheets(write(tmp_path, "No,Site\n1,Forêt\n".encode("mac-roman")))
    assert "latin-1 is a guess" in sheet.notes[1]
    assert "'For\\x90t'" in sheet.notes[1]


def test_a_zero_byte_deep_in_the_file_is_found(tmp_path):
    content = b"No,Wt\n" + b"a,186\n" * 1000 + b"b,18\x006\n"
    with pytest.raises(UnreadableFileError, match=r"zero bytes.*the first at byte 6010"):
        read_sheets(write(tmp_path, content))


def test_a_million_empty_columns_cost_nothing_and_full_ones_are_refused(tmp_path):
    commas = "," * 1_000_000
    (sheet,) = read_sheets(write(tmp_path, f"No,Wt{commas}\na,186{commas}\n"))
    assert sheet.texts.shape == (2, 2)
    with pytest.raises(UnreadableFileError, match=r"as far as row 101 and column BDWGP"):
        read_sheets(write(tmp_path, f"No,Wt{commas}z\n" + "a,186\n" * 100))
