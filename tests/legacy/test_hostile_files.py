"""Files that are broken, locked, mislabelled or hostile: each gets an error, the others go on."""

import codecs
import io
import subprocess
import sys
import textwrap
import zipfile

import openpyxl
import pytest

from bodycond.errors import UnreadableFileError
from bodycond.legacy import draft_recipe, import_legacy, read_sheets
from bodycond.legacy.files.source_files import label_files
from bodycond.legacy.recipes.recipe import ImportRecipe
from bodycond.tables_on_disk import read_csv, write_csv

GOOD = "Ring,Mass g\nEA1,186\nEA2,190\n"
OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
SHEET = "xl/worksheets/sheet1.xml"


def make_workbook(changes=None):
    """Save a small workbook with parts of its XML changed."""
    book = openpyxl.Workbook()
    book.active.append(["Ring", "Mass g"])
    book.active.append(["EA1", 186])
    whole, out = io.BytesIO(), io.BytesIO()
    book.save(whole)
    with zipfile.ZipFile(whole) as source, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as to:
        for item in source.infolist():
            change = (changes or {}).get(item.filename, bytes)
            to.writestr(item.filename, change(source.read(item)))
    return out.getvalue()


def put_first(definition):
    return lambda part: definition + part.split(b"?>", 1)[-1]


LAUGHS = b"<!DOCTYPE l [<!ENTITY a 'ha'>" + b"".join(
    b"<!ENTITY %c '&%c;&%c;&%c;&%c;&%c;&%c;&%c;&%c;'>" % (n + 1, *[n] * 8) for n in b"abcdefghi"
) + b"]>"  # fmt: skip
OUTSIDE = b'<!DOCTYPE s [<!ENTITY x SYSTEM "file:///etc/hostname">]>'
WHOLE = make_workbook()
NOT_WHOLE = "must be whole and of the kind that its ending says"
NO_TABLE = "must be a text table, as its ending says"

HOSTILE = {
    "laughs.xlsx": (make_workbook({SHEET: put_first(LAUGHS)}), "definitions of XML entities"),
    "outside.xlsx": (make_workbook({SHEET: put_first(OUTSIDE)}), "definitions of XML entities"),
    "wide_outside.xlsx": (
        make_workbook({SHEET: lambda _: ("\ufeff" + OUTSIDE.decode()).encode("utf-16-le")}),
        "definitions of XML entities",
    ),
    "bomb.xlsx": (
        make_workbook({SHEET: lambda part: part + b" " * 60_000_000}), "may unpack to at most",
    ),
    "far.xlsx": (
        make_workbook(
            {SHEET: lambda part: part.replace(
                b"</sheetData>",
                b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>',
            )}
        ),
        "values as far as row 1,048,576 and column XFD",
    ),
    "locked.xlsx": (OLE + bytes(512) + "EncryptedPackage".encode("utf-16-le"), "locked by a pass"),
    "locked.xls": (OLE + bytes(512) + "EncryptedPackage".encode("utf-16-le"), "locked by a pass"),
    "locked.csv": (OLE + bytes(512) + "EncryptedPackage".encode("utf-16-le"), "locked by a pass"),
    "old.xlsx": (OLE + bytes(512), f"{NOT_WHOLE}.*an old XLS"),
    "old.csv": (OLE + bytes(512), f"{NO_TABLE}.*an old XLS workbook.*Give it the ending .xls"),
    "page.xls": (b"<html><body><table><tr><td>1", r"a web page \(HTML\).*save the table as XLSX"),
    "page.xlsx": (b"\xef\xbb\xbf\r\n<!DOCTYPE HTML>\n<html>", r"a web page \(HTML\).*as XLSX or"),
    "page.csv": (b"<table><tr><td>1</td></tr></table>", rf"{NO_TABLE}.*a web page \(HTML\)"),
    "wide_page.xls": (codecs.BOM_UTF16_LE + "<html>".encode("utf-16-le"), r"a web page \(HTML\)"),
    "xhtml.xls": (b'<?xml version="1.0"?><!DOCTYPE html><html>', r"a web page \(HTML\)"),
    "archive.xls": (b"MIME-Version: 1.0\r\nContent-Type: multipart/related", "one file .MHTML"),
    "of2003.xls": (
        b'<?xml version="1.0"?><Workbook xmlns="urn:schemas-microsoft-com:office:spreadsheet">',
        r"a workbook saved as XML \(the format of 2003\)\. Open it in a spreadsheet program",
    ),
    "other.xls": (b'<?xml version="1.0"?><birds/>', "an XML document"),
    "text.xlsx": (GOOD.encode(), "plain text and no workbook. Give it the ending .csv"),
    "text.xls": (GOOD.encode("utf-16"), "plain text and no workbook. Give it the ending .csv"),
    "text.ods": (GOOD.encode(), "plain text and no workbook. Give it the ending .csv"),
    "book.csv": (WHOLE, f"{NO_TABLE}.*an XLSX workbook. Give it the ending .xlsx"),
    "letter.csv": (WHOLE.replace(b"xl/", b"word/"), f"{NO_TABLE}.*a document of a word processor"),
    "zip.csv": (b"PK\x03\x04" + bytes(40), f"{NO_TABLE}.*a ZIP archive. Unpack it"),
    "scan.csv": (b"%PDF-1.4", f"{NO_TABLE}.*a PDF document"),
    "scan.xlsx": (b"\x89PNG\r\n\x1a\n", f"{NOT_WHOLE}.*a PNG picture"),
    "zeros.csv": (bytes(5000), "zero bytes, as in a program's own format, the first at byte 0"),
    "zeros.xlsx": (bytes(5000), NOT_WHOLE),
    "empty.csv": (b"", "an empty file"),
    "endless.csv": (b"a,b\n1,2\n" + b"x" * 20_000_001, "a longer one in .*from byte 8"),
    "endless_zeros.csv": (bytes(20_000_001), "from byte 0, with zero bytes in it as in a program"),
    "columns.csv": (b"x," * 6_000_000, "values as far as row 1 and column"),
    "rows.csv": (b"\n" * 2_600_000 + b"a,b\n", "values as far as row 2,600,001 and column B"),
}  # fmt: skip


def write_files(tmp_path, name, content):
    path, good = tmp_path / name, tmp_path / "good.csv"
    path.write_bytes(content)
    good.write_text(GOOD, encoding="utf-8")
    return path, good


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_is_refused_with_its_reason(tmp_path, name):
    content, message = HOSTILE[name]
    path, _ = write_files(tmp_path, name, content)
    with pytest.raises(UnreadableFileError, match=message) as caught:
        read_sheets(path)
    assert str(path) in str(caught.value)
    assert len(str(caught.value)) < 600


@pytest.mark.parametrize("name", HOSTILE)
def test_beside_a_hostile_file_the_others_go_on(tmp_path, name):
    content, _ = HOSTILE[name]
    path, good = write_files(tmp_path, name, content)
    draft = draft_recipe([path, good])
    asked = [rule.ask for rule in draft.sheets if rule.file == name]
    assert len(asked) == 1
    assert asked[0].startswith("The file could not be read (")
    assert [rule.sheet for rule in draft.sheets if rule.file == "good.csv"] == ["good"]
    imported = import_legacy([path, good], draft)
    files = imported.files.set_index("file")
    assert files["readable"].to_dict() == {name: False, "good.csv": True}
    assert "Found: " in files.loc[name, "problem"]
    assert imported.reconciliation["file"].tolist() == ["good.csv"]
    assert int(imported.reconciliation["raw_cells"].iloc[0]) == 6


@pytest.mark.parametrize("share", [0.0, 0.02, 0.1, 0.3, 0.5, 0.7, 0.9, 0.97, 0.999])
def test_a_workbook_cut_off_anywhere_is_refused(tmp_path, share):
    path = tmp_path / "cut.xlsx"
    path.write_bytes(WHOLE[: 1 + int(share * (len(WHOLE) - 2))])
    with pytest.raises(UnreadableFileError, match=NOT_WHOLE):
        read_sheets(path)


@pytest.mark.parametrize("where", range(40, 400, 23))
def test_a_workbook_with_a_damaged_part_is_refused(tmp_path, where):
    with zipfile.ZipFile(io.BytesIO(WHOLE)) as archive:
        start = archive.getinfo(SHEET).header_offset + 30 + len(SHEET)
        size = archive.getinfo(SHEET).compress_size
    place = start + where % size
    content = bytearray(WHOLE)
    content[place] ^= 0xFF
    path = tmp_path / "damaged.xlsx"
    path.write_bytes(bytes(content))
    with pytest.raises(UnreadableFileError, match=NOT_WHOLE):
        read_sheets(path)


def test_a_part_that_wants_a_password_is_refused(tmp_path):
    content = bytearray(WHOLE)
    with zipfile.ZipFile(io.BytesIO(WHOLE)) as archive:
        start = archive.getinfo(SHEET).header_offset
    content[start + 6] |= 1  # the flag of an encrypted part, here and in the list at the end
    listed = content.rfind(b"PK\x01\x02", 0, content.rfind(SHEET.encode()))
    content[listed + 8] |= 1
    path = tmp_path / "part.xlsx"
    path.write_bytes(bytes(content))
    with pytest.raises(UnreadableFileError, match=rf"{NOT_WHOLE}.*password required"):
        read_sheets(path)


@pytest.mark.parametrize("name", ["../../evil", "/etc/x", "..\\x", "a&#10;b", "CON", ".."])
def test_a_path_in_a_sheets_name_is_a_name_and_no_path(tmp_path, name):
    changed = f'name="{name}"'.encode()
    content = make_workbook(
        {"xl/workbook.xml": lambda part: part.replace(b'name="Sheet"', changed)}
    )
    inside = tmp_path / "inside" / "deep"
    inside.mkdir(parents=True)
    path, good = write_files(inside, "book.xlsx", content)
    before = set(tmp_path.rglob("*"))
    imported = import_legacy([path, good], draft_recipe([path, good]))
    assert imported.files["readable"].tolist() == [True, True]
    shown = name.replace("&#10;", "\n")
    assert imported.reconciliation["sheet"].tolist() == [shown, "good"]
    assert set(imported.ledger["file"]) == {"book.xlsx", "good.csv"}
    assert set(tmp_path.rglob("*")) == before


def test_control_letters_in_a_sheets_name_do_not_stop_the_others(tmp_path):
    changed = b'name="a&#1;\x01b"'
    content = make_workbook(
        {"xl/workbook.xml": lambda part: part.replace(b'name="Sheet"', changed)}
    )
    path, good = write_files(tmp_path, "book.xlsx", content)
    imported = import_legacy([path, good], ImportRecipe(sheets=()))
    assert imported.files.set_index("file").loc["good.csv", "readable"]


def test_a_path_in_a_label_stays_inside_the_files_own_folders(tmp_path):
    paths = [tmp_path / "x" / ".." / "y" / "a.csv", tmp_path / "z" / "a.csv"]
    for folder in ("x", "y", "z"):
        (tmp_path / folder).mkdir()
    for path in paths:
        path.write_text(GOOD, encoding="utf-8")
    assert list(label_files(paths).values()) == ["y/a.csv", "z/a.csv"]


RUNS = ("=1+1", "+1+1", "-1+1", "@SUM(A1)", "=cmd|' /C calc'!A0", "\t=1", "＝1+1")


def test_a_formula_in_a_text_file_is_text_and_leaves_harmless(tmp_path):
    path = tmp_path / "a.csv"
    rows = "".join(f'EA{number};"{cell}"\n' for number, cell in enumerate(RUNS))
    path.write_text(f"Ring;Note\n{rows}", encoding="utf-8")
    (sheet,) = read_sheets(path)
    assert sheet.texts[1:, 1].tolist() == list(RUNS)
    assert sheet.formulas == {}
    imported = import_legacy(path, ImportRecipe(sheets=()))
    written = write_csv(imported.ledger, tmp_path / "ledger.csv")
    neutralised = [row for row, column in written.neutralised if column == "raw"]
    risky = imported.ledger["raw"].isin(RUNS)
    assert neutralised == [int(row) for row in risky.to_numpy().nonzero()[0]]
    assert len(neutralised) == len(RUNS)
    assert read_csv(written.path)["raw"].tolist() == imported.ledger["raw"].tolist()


MEASURE = """
    import resource, sys
    from pathlib import Path
    from bodycond.legacy import draft_recipe, import_legacy
    folder = Path(sys.argv[1])
    good = folder / "good.csv"
    good.write_text("Ring,Mass g\\nEA1,186\\n", encoding="utf-8")
    import_legacy(good, draft_recipe(good))
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    bad = folder / sys.argv[2]
    with bad.open("wb") as stream:
        {write}
    imported = import_legacy([bad, good], draft_recipe([bad, good]))
    after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(before // 1024, after // 1024, imported.files["readable"].tolist())
"""

WORST = {
    "zeros": ("a.csv", "stream.truncate(200_000_000)", False),
    "one line": ("a.csv", "[stream.write(b'x' * 1_000_000) for _ in range(200)]", False),
    "ten million columns": ("a.csv", "stream.write(b'x,' * 9_900_000)", False),
    "ten million empty columns": ("a.csv", "stream.write(b'a,b' + b',' * 10_000_000)", True),
    "only line ends": ("a.csv", "stream.write(b'a,b' + b'\\n' * 100_000_000)", True),
    "marks without pairs": (
        "a.csv", "stream.write((b'\"x' + b',y' * 20 + b'\\n') * 700_000)", False,
    ),
}  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("name", WORST)
def test_memory_stays_bounded(tmp_path, name):
    pytest.importorskip("resource", reason="peak memory is not told on this system")
    file, write, readable = WORST[name]
    script = textwrap.dedent(MEASURE).replace("{write}", write)
    done = subprocess.run(
        [sys.executable, "-c", script, str(tmp_path), file],
        capture_output=True, text=True, check=True, timeout=300,
    )  # fmt: skip
    before, after, told = done.stdout.split(maxsplit=2)
    assert told.strip() == f"[{readable}, True]"
    assert int(after) - int(before) < 600
