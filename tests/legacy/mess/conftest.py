"""Messy sheets written as real files, imported by the recipe that stands beside them.

A sheet is a mapping: ``rows`` or ``bytes`` (or ``files`` with several of these), the ``recipe``,
or its ``columns`` alone where one table with one row of headings is meant.
"""

from __future__ import annotations

import datetime as dt
import re
import textwrap
import zipfile
from xml.sax.saxutils import escape

import openpyxl
import pytest

from bodycond.legacy import ImportRecipe, import_legacy

NAMES = "urn:oasis:names:tc:opendocument:xmlns"


def write_text_file(path, sheet):
    """Write rows as delimited text; a cell is quoted where it must be."""
    delimiter = sheet.get("delimiter", "\t" if path.suffix == ".tsv" else ";")
    needs_quotes = re.compile(f'[{re.escape(delimiter)}\r\n]|^"')
    lines = []
    for row in sheet["rows"]:
        cells = [str(cell) for cell in row]
        quoted = ['"' + cell.replace('"', '""') + '"' for cell in cells]
        lines.append(
            delimiter.join(
                full if needs_quotes.search(cell) else cell
                for cell, full in zip(cells, quoted, strict=True)
            )
        )
    newline = sheet.get("newline", "\n")
    text = newline.join(lines) + newline
    path.write_bytes(text.encode(sheet.get("encoding", "utf-8")))


def write_workbook(path, sheet):
    """Write rows, or several ``sheets`` of rows, as XLSX; ``mark`` may draw on the book."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in sheet.get("sheets", {"s": sheet.get("rows")}).items():
        page = book.create_sheet(name)
        for row in rows:
            page.append(list(row))
    if "mark" in sheet:
        sheet["mark"](book)
    book.save(path)
    if "stored" in sheet:
        _store_results(path, sheet["stored"])


def _store_results(path, results):
    """Put the results of formulas into the file, as a spreadsheet program does on saving."""
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    page = "xl/worksheets/sheet1.xml"
    text = parts[page].decode("utf-8")
    for place, result in results.items():
        text, n = re.subn(
            rf'(<c r="{place}"[^>]*><f>[^<]*</f>)<v ?/?>(?:</v>)?', rf"\g<1><v>{result}</v>", text
        )
        if n != 1:
            raise ValueError(f"no formula in {place}")
    parts[page] = text.encode("utf-8")
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)


def write_document(path, sheet):
    """Write rows as ODS by hand; a cell may be a pair of its value and what else is inside."""
    spaces = " ".join(
        f'xmlns:{short}="{NAMES}:{long}:1.0"'
        for short, long in (
            ("office", "office"), ("table", "table"), ("text", "text"), ("style", "style"),
            ("fo", "xsl-fo-compatible"), ("number", "datastyle"),
        )
    )  # fmt: skip
    rows = "".join(
        f"<table:table-row>{''.join(_word_cell(cell) for cell in row)}</table:table-row>"
        for row in sheet["rows"]
    )
    content = (
        f'<office:document-content {spaces} xmlns:dc="urn:dc"><office:automatic-styles>'
        f"{sheet.get('styles', '')}</office:automatic-styles><office:body><office:spreadsheet>"
        f'<table:table table:name="s">{sheet.get("ahead", "")}{rows}</table:table>'
        "</office:spreadsheet></office:body></office:document-content>"
    )
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("META-INF/manifest.xml", f'<m:manifest xmlns:m="{NAMES}:manifest:1.0"/>')
        archive.writestr("content.xml", content)


def _word_cell(cell):
    value, inside, more = (*cell, "", "")[:3] if isinstance(cell, tuple) else (cell, "", "")
    if value == "":
        return f"<table:table-cell{more}>{inside}</table:table-cell>"
    if isinstance(value, dt.date):
        kind, text = f'"date" office:date-value="{value.isoformat()}"', value.isoformat()
    elif isinstance(value, int | float):
        kind, text = f'"float" office:value="{value!r}"', f"{value}"
    else:
        kind, text = '"string"', escape(value)
    return (
        f"<table:table-cell office:value-type={kind}{more}>{inside}<text:p>{text}</text:p>"
        "</table:table-cell>"
    )


WRITERS = {".xlsx": write_workbook, ".ods": write_document}


def write_files(folder, sheet):
    """Write a sheet's files and give their paths."""
    files = sheet.get("files") or {sheet.get("file", "sheet.csv"): sheet}
    paths = []
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        if "bytes" in content:
            path.write_bytes(content["bytes"])
        else:
            WRITERS.get(path.suffix, write_text_file)(path, content)
        paths.append(path)
    return paths


def make_recipe(sheet):
    """Make the recipe that stands beside a sheet."""
    text = sheet.get("recipe")
    if text is None:
        lines = textwrap.indent(textwrap.dedent(sheet["columns"]).strip("\n"), "    ")
        more = "\n".join(f"  {line.strip()}" for line in sheet.get("more", "").splitlines())
        head = f"  heading_row: {sheet.get('heading_row', 1)}"
        text = f'sheets:\n- file: "*"\n{head}\n{more}\n  columns:\n{lines}\n'
    return ImportRecipe.from_text("version: 1\n" + text)


class ReadMess:
    """What importing a messy sheet gave."""

    def __init__(self, paths, recipe, imported):
        self.paths = paths
        self.recipe = recipe
        self.imported = imported
        self.exams = imported.exams
        self.ratings = imported.ratings
        self.notes = "\n".join(imported.notes)
        self.ledger = imported.ledger
        self.held = imported.quarantine
        self.counts = imported.reconciliation

    def _pick(self, frame, place):
        sheet, _, cell = place.rpartition("!")
        chosen = frame[frame["address"].str.endswith(f"!{cell}")]
        if sheet:
            chosen = chosen[chosen["address"].eq(place) | chosen["file"].eq(sheet)]
        if len(chosen) != 1:
            raise LookupError(f"{place} stands {len(chosen)} times in {list(frame['address'])}")
        return chosen.iloc[0]

    def at(self, place):
        """Give the ledger's row of a cell: 'B2', or 'sheet!B2' or 'file.csv!B2'."""
        return self._pick(self.ledger, place)

    def asked(self, place):
        """Give the quarantine's row of a cell."""
        return self._pick(self.held, place)

    def days(self):
        """Give the days of the exams as text, '-' where there is none."""
        return self.exams["exam_date"].dt.strftime("%Y-%m-%d").fillna("-").tolist()

    def column(self, name, *, table="exams"):
        """Give a column with None where a value is missing."""
        frame = getattr(self, table)
        return frame[name].astype(object).where(frame[name].notna(), None).tolist()


def check_accounts(imported):
    """Check that every cell and row is accounted for and everything but plain values explained."""
    counts, ledger = imported.reconciliation, imported.ledger
    outcomes = counts[["accepted", "converted", "quarantined", "set_aside"]].sum(axis=1)
    assert (outcomes == counts["raw_cells"]).all()
    out = counts[["exams_out", "ratings_out", "rows_held", "rows_not_exams"]].sum(axis=1)
    assert (out == counts["rows_in"] + counts["rows_spread"]).all()
    assert len(ledger) == counts["raw_cells"].sum()
    assert counts["exams_out"].sum() == len(imported.exams)
    assert counts["ratings_out"].sum() == len(imported.ratings)
    assert (ledger["reason"].ne("") | ledger["outcome"].eq("accepted")).all()


@pytest.fixture(scope="session")
def write_mess(tmp_path_factory):
    """Write a messy sheet, once in the session; gives its paths."""
    written = {}

    def _write(sheet):
        # The sheet stays beside its files, so that no other can have its number.
        if id(sheet) not in written:
            written[id(sheet)] = sheet, write_files(tmp_path_factory.mktemp("mess"), sheet)
        return written[id(sheet)][1]

    return _write


@pytest.fixture(scope="session")
def read_mess(write_mess):
    """Import a messy sheet by its recipe, once in the session."""
    read = {}

    def _read(sheet):
        if id(sheet) not in read:
            paths, recipe = write_mess(sheet), make_recipe(sheet)
            imported = import_legacy(paths, recipe)
            check_accounts(imported)
            read[id(sheet)] = ReadMess(paths, recipe, imported)
        return read[id(sheet)]

    return _read


@pytest.fixture(scope="session")
def recipe_of():
    """Give the recipe beside a sheet."""
    return make_recipe


@pytest.fixture(scope="session")
def checks_accounts():
    """Give the check of an import's accounts."""
    return check_accounts
