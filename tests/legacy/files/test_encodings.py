"""Encodings found by mark, by UTF-8 and by which letters make sense; letters decoded wrongly."""

import codecs
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodycond.errors import UnreadableFileError
from bodycond.legacy.files.encodings import decode_text
from bodycond.legacy.files.letter_evidence import decode_bytes, find_odd_words, weigh_encodings
from bodycond.legacy.files.mojibake import may_hold_mojibake, note_mojibake, repair_mojibake
from bodycond.legacy.files.text_tables import read_text_table

PATH = Path("book.csv")
SAID_AT_ONCE = (
    "négatif", "Forêt", "Flügel", "Männchen", "Jäger", "año", "très", "bird’s", "2–3", "12 °C",
    "Señor Núñez", "río", "FORÊT", "l’homme", "patiënt", "Größe", "thin – weak", "âgé", "“ok”",
    "München", "Zürich", "Hélène", "Évora", "Peña", "één", "coördinaat", "días", "épervier",
)  # fmt: skip
OF_DOS = ("négatif", "Flügel", "Männchen", "Größe", "très", "año", "río", "Jäger", "patiënt")


def decode(content):
    return decode_text(content, path=PATH)


def read(content):
    return read_text_table(PATH, content, label="book.csv")


@pytest.mark.parametrize(
    ("mark", "codec", "name"),
    [
        (b"", "utf-8", "utf-8"),
        (codecs.BOM_UTF8, "utf-8", "utf-8-sig"),
        (codecs.BOM_UTF16_LE, "utf-16-le", "utf-16"),
        (codecs.BOM_UTF16_BE, "utf-16-be", "utf-16"),
        (b"", "utf-16-le", "utf-16-le"),
        (b"", "utf-16-be", "utf-16-be"),
        (codecs.BOM_UTF32_LE, "utf-32-le", "utf-32"),
        (codecs.BOM_UTF32_BE, "utf-32-be", "utf-32"),
    ],
)
def test_encodings_that_leave_no_doubt(mark, codec, name):
    text = "Ring;Flügel;Größe\n1;2–3;♀\n"
    content = mark + text.encode(codec)
    decoded = decode(content)
    assert (decoded.text, decoded.encoding, decoded.sure, decoded.notes) == (text, name, True, ())
    assert decoded.original_bytes() == content


@pytest.mark.parametrize("word", SAID_AT_ONCE)
@pytest.mark.parametrize("encoding", ["cp1252", "mac-roman"])
def test_one_word_tells_cp1252_from_mac_roman(word, encoding):
    content = f"No,Note\n1,{word}\n".encode(encoding)
    decoded = decode(content)
    assert (decoded.text.split(",")[-1].strip(), decoded.sure) == (word, False)
    assert decoded.original_bytes() == content


@pytest.mark.parametrize("word", OF_DOS)
def test_clear_words_tell_the_code_pages_of_dos(word):
    decoded = decode(f"No,Note\n1,{word}\n".encode("cp850"))
    assert word in decoded.text
    assert decoded.encoding == "cp850"
    assert "It fits well" in decoded.notes[0]


def test_the_guess_is_said_with_byte_line_and_the_other_reading():
    (note,) = decode("No,Note\n1,calm\n2,négatif\n3,Forêt\n".encode("mac-roman")).notes
    assert note == (
        "mac-roman is a guess, since the file names no encoding and is no UTF-8. It fits well: in "
        "2 of 2 different words its letters stand where such letters do; byte 0x8e in line 3 "
        "reads 'négatif', as cp1252 'nŽgatif'. Look whether its letters are right ('négatif', "
        "'Forêt')"
    )


@pytest.mark.parametrize(
    "content", [b"No,Note\n1,\xb1\xa6\n", "Имя,Масса\nСова,186\n".encode("koi8-r")]
)
def test_a_guess_without_evidence_is_called_weak(content):
    decoded = decode(content)
    assert not decoded.sure
    assert "It is weak" in decoded.notes[0]
    assert decoded.original_bytes() == content


def test_bytes_that_cp1252_does_not_know_are_kept_and_said():
    content = "No,Note\n1,bird’s\n2,Größe\n3,Flügel\n".encode("cp1252") + b"4,x\x81\n5,y\x81\x90\n"
    decoded = decode(content)
    assert decoded.encoding == "cp1252"
    assert decoded.text.count("\x81") == 2
    assert decoded.notes[1] == (
        "bytes that cp1252 does not know are kept as control characters: 0x81, 0x90, the first "
        "at line 5"
    )
    assert decoded.original_bytes() == content


def test_latin_1_is_said_where_it_knows_all_bytes_and_cp1252_does_not():
    decoded = decode("Größe,Flügel\n".encode("latin-1") + b"x\x81y\n")
    assert decoded.encoding == "latin-1"
    assert len(decoded.notes) == 1


def test_lines_of_an_older_encoding_in_a_file_of_utf_8_are_read_and_said():
    content = "Ring,Note\n1,Größe\n2,Flügel\n3,calm\n".encode() + "4,négatif\n".encode("mac-roman")
    for mark, name in ((b"", "utf-8"), (codecs.BOM_UTF8, "utf-8-sig")):
        decoded = decode(mark + content)
        assert decoded.text.endswith("1,Größe\n2,Flügel\n3,calm\n4,négatif\n")
        assert (decoded.encoding, decoded.sure) == (name, False)
        assert decoded.notes == (
            "1 of 3 lines with letters beyond ASCII are no UTF-8 and are read as mac-roman, which "
            "is a guess: line 5 ('4,négatif')",
        )
        assert decoded.original_bytes() == mark + content


def test_a_file_cut_off_inside_a_letter_keeps_the_rest():
    content = "Ring,Note\n1,Größe\n2,Flügel\n3,é".encode()[:-1]
    decoded = decode(content)
    assert decoded.encoding == "utf-8"
    assert decoded.text.startswith("Ring,Note\n1,Größe\n2,Flügel\n3,")
    assert "line 4 ('3,Ã')" in decoded.notes[0]
    assert decoded.original_bytes() == content


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (codecs.BOM_UTF8 + b"a,b\xff", r"begins as utf-8-sig and must go on so.*at byte 6"),
        (codecs.BOM_UTF16_LE + b"a\x00,\x00b", r"begins as utf-16 and must.*may have been cut off"),
        ("Ring,Mass\n1,2\n".encode("utf-16-le") + b"\x00", r"looks like utf-16-le and must go on"),
        (codecs.BOM_UTF32_LE + b"a\x00", r"begins as utf-32 and must go on so"),
        (b"\x00\x01\x02\x00\x00\x07data", r"must be text\. Found: zero bytes.*first at byte 0"),
        (b"\x01\x02\x03data\n" * 9, r"Found: control characters, as in a program's own format"),
    ],
)
def test_content_that_is_no_text_is_refused(content, message):
    with pytest.raises(UnreadableFileError, match=message):
        decode(content)


def test_a_stray_zero_byte_is_kept_in_its_cell_and_said():
    content = b"No,Wt\n" + b"a,186\n" * 1000 + b"b,18\x006\n"
    sheet = read(content)
    assert sheet.texts[1001].tolist() == ["b", "18\x006"]
    assert sheet.notes[1] == (
        "1 zero byte is kept in the text, the first in line 1002: a logger or a disk has failed "
        "there"
    )


@given(st.binary(max_size=80), st.sampled_from(["", "Größe,", "négatif,"]))
def test_every_byte_can_be_had_back(content, start):
    for codec in ("utf-8", "cp1252", "mac-roman"):
        whole = start.encode(codec) + content
        try:
            decoded = decode(whole)
        except UnreadableFileError:
            continue  # any other exception fails the test
        assert decoded.original_bytes() == whole


@given(st.binary(max_size=80))
def test_weighing_knows_no_bytes_that_it_cannot_weigh(content):
    readings = weigh_encodings(find_odd_words(content))
    assert sorted(reading.encoding for reading in readings) == [
        "cp1252", "cp437", "cp850", "mac-roman",
    ]  # fmt: skip
    assert all(reading.fits <= reading.words for reading in readings)


def test_a_long_run_of_letters_is_weighed_in_time():
    content = b"a" * 3_000_000 + b"\xe9" + b"b" * 3_000_000
    ((before, word, after, _),) = find_odd_words(content)
    assert (before, word, after) == (b"a", b"a" * 24 + b"\xe9" + b"b" * 24, b"b")


# Letters decoded wrongly

MEANT = (
    "Flügel", "négatif", "2–3", "bird’s", "“thin”", "12 °C", "Größe", "FORÊT", "À", "½ g", "É",
    "Männchen ♀", "œil", "Šarić", "1 050\xa0g", "€5", "à la", "±2", "ñ", "ß", "Ödegård ♂", "≥5",
)  # fmt: skip


@pytest.mark.parametrize("meant", MEANT)
@pytest.mark.parametrize("encoding", ["cp1252", "latin-1", "mac-roman"])
def test_letters_decoded_wrongly_once_or_twice_are_repaired(meant, encoding):
    once = decode_bytes(meant.encode(), encoding=encoding)
    twice = decode_bytes(once.encode(), encoding=encoding)
    assert once != meant
    assert [repair_mojibake(text) for text in (meant, once, twice)] == [meant] * 3


@pytest.mark.parametrize("encoding", ["cp850", "cp437"])
def test_letters_decoded_as_dos_are_repaired(encoding):
    wrong = decode_bytes("Flügel".encode(), encoding=encoding)
    assert wrong == "Fl├╝gel"
    assert repair_mojibake(wrong) == "Flügel"


@pytest.mark.parametrize(
    "text",
    [
        "", "Flügel", "SÃO PAULO", "„JÄ“", "CAFÉ»", "Spaß“", "Â", "CAFÉ…", "É…", "ÄÖÜ", "√2",
        "naïve – “ok”", "‚a’", "Flügel FlÃ¼gel", "Ã—", "Ã‘", "×½", "\ud800Ã¼", "\x00", "\u0153Ã",
    ],
)  # fmt: skip
def test_text_that_may_be_meant_stays(text):
    assert repair_mojibake(text) == text


@given(st.text())
def test_repair_is_total_and_ends(text):
    once = repair_mojibake(text)
    assert repair_mojibake(once) == once
    if text.isascii():
        assert once == text


@given(st.text(st.sampled_from("aÃÂâ€™“–œÄÅ¼©¶Ÿƒ√¬├╝ ")))
def test_repair_of_odd_letters_ends(text):
    once = repair_mojibake(text)
    assert repair_mojibake(once) == once
    assert may_hold_mojibake(text) or once == text


def test_wrong_letters_are_counted_shown_and_kept():
    sheet = read("Ring,Wt\n1,calm\n2,FlÃ¼gel\n3,FlÃ¼gel\n4,2â€“3\n".encode())
    assert sheet.texts[2, 1] == "FlÃ¼gel"
    assert sheet.notes[1:] == (
        "3 cells hold letters decoded wrongly before the file was saved, the first B3: "
        "'FlÃ¼gel', meant 'Flügel'; the cells are kept as they stand",
    )
    assert note_mojibake(sheet.texts[:2]) == ()
    assert "1 cell holds letters" in note_mojibake(sheet.texts[4:])[0]
