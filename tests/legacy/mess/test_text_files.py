"""Text files: encodings, delimiters, line ends, quotes gone wrong."""

import pytest

ROWS = [
    ["Fall", "Art", "Geschlecht", "Gewicht (g)", "Flügel (mm)", "Bemerkung"],
    ["TR-1", "Buteo buteo", "F", "945", "391", "Flügel müde, naß"],
    ["TR-2", "Buteo buteo", "M", "780", "377", "Größe geschätzt"],
    ["TR-3", "Strix aluco", "F", "520", "270", ""],
]
COLUMNS = """
    Fall: {field: bird_id}
    Art: {field: species}
    Geschlecht: {field: sex}
    Gewicht (g): {field: mass_g, unit: g}
    Flügel (mm): {field: wing_mm, unit: mm}
    Bemerkung: {field: remarks}
"""
ENCODINGS = ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "latin-1", "cp1252"]
LINE_ENDS = {"crlf": "\r\n", "cr": "\r", "lf": "\n"}
DELIMITERS = {"semicolon": ";", "tab": "\t", "comma": ",", "bar": "|"}
TEXT = "\n".join(";".join(row) for row in ROWS) + "\n"


def text_sheet(text, *, file="sheet.csv", encoding="utf-8", columns=COLUMNS):
    return {"file": file, "bytes": text.encode(encoding), "columns": columns}


SHEETS = {
    **{f"encoding {name}": {"file": "sheet.csv", "rows": ROWS, "encoding": name, "columns": COLUMNS}
       for name in ENCODINGS},
    **{f"line ends {name}": {"rows": ROWS, "newline": end, "columns": COLUMNS}
       for name, end in LINE_ENDS.items()},
    **{f"delimiter {name}": {"rows": ROWS, "delimiter": mark, "file": f"{name}.txt",
                             "columns": COLUMNS} for name, mark in DELIMITERS.items()},
    "mojibake": text_sheet(TEXT.encode("utf-8").decode("cp1252")),
    "embedded line ends": {
        "rows": [*ROWS[:1], [*ROWS[1][:5], "naß\nund müde; zahm"], *ROWS[2:]], "columns": COLUMNS,
    },
    "a bare inch mark": text_sheet(
        'Case no.,Wing,Note\nTR-1,14 1/2",calm\nTR-2,14",he said "no"\nTR-3,"15""",\n',
        columns="""
            Case no.: {field: bird_id}
            Wing: {field: wing_mm}
            Note: {field: remarks}
        """,
    ),
    "a quote never closed": text_sheet(
        TEXT.replace("Größe", '"Größe'),
    ),
    "rows of unequal length": text_sheet(
        "Case no.,Wt (g),Note\nTR-1,945,calm,bites\nTR-2,780\nTR-3,790,\n",
        columns="""
            Case no.: {field: bird_id}
            Wt (g): {field: mass_g, unit: g}
            Note: {field: remarks}
        """,
    ),
    "decimal commas in commas": text_sheet(
        'Case no.,Wt (g),Wing (mm)\nTR-1,"945,5","391,0"\nTR-2,"780,0","377,5"\n',
        columns="""
            Case no.: {field: bird_id}
            Wt (g): {field: mass_g, unit: g, decimal: comma}
            Wing (mm): {field: wing_mm, unit: mm, decimal: comma}
        """,
    ),
    "blanks around": text_sheet(
        " Case  no. ; WT (g)\t; Sex \n TR-1 ; 945 ; F \n\u00a0TR-2; 780\u00a0; m\n",
        columns="""
            Case no.: {field: bird_id}
            Wt (g): {field: mass_g, unit: g}
            Sex: {field: sex}
        """,
    ),
    "a line that names the delimiter": {
        **text_sheet(
            "sep=;\r\nCase no.;Wt (g)\r\nTR-1;945\r\n",
            encoding="utf-8-sig",
            columns="""
                Case no.: {field: bird_id}
                Wt (g): {field: mass_g, unit: g}
            """,
        ),
        "heading_row": 2,
    },
    "empty cells at every end": text_sheet(
        "Case no.;Wt (g);;\nTR-1;945;;\nTR-2;780;;escaped\n;;;\n;;;\n",
        columns="""
            Case no.: {field: bird_id}
            Wt (g): {field: mass_g, unit: g}
        """,
    ),
}  # fmt: skip
PLAIN = [name for name in SHEETS if name.startswith(("encoding", "line ends", "delimiter"))]


@pytest.mark.parametrize("name", PLAIN)
def test_the_same_table_whatever_the_file(read_mess, name):
    read = read_mess(SHEETS[name])
    assert read.column("bird_id") == ["TR-1", "TR-2", "TR-3"]
    assert read.column("mass_g") == [945.0, 780.0, 520.0]
    assert read.column("wing_mm") == [391.0, 377.0, 270.0]
    assert read.column("remarks") == ["Flügel müde, naß", "Größe geschätzt", None]
    assert read.held.empty
    assert "headings changed" not in read.notes


@pytest.mark.parametrize("name", [f"encoding {encoding}" for encoding in ENCODINGS])
def test_the_encoding_is_said(read_mess, name):
    wanted = {"utf-16": "utf-16", "utf-8": "utf-8"}.get(name.split()[1][:6].rstrip("-"))
    notes = read_mess(SHEETS[name]).notes
    assert "read as " in notes
    if wanted:
        assert wanted in notes.casefold()
    else:
        assert "cp1252" in notes.casefold() or "latin-1" in notes.casefold()


@pytest.mark.parametrize("name", DELIMITERS)
def test_the_delimiter_is_said(read_mess, name):
    assert f"delimiter {name}" in read_mess(SHEETS[f"delimiter {name}"]).notes


def test_mojibake_is_said_and_its_numbers_are_read(read_mess):
    read = read_mess(SHEETS["mojibake"])
    assert read.column("mass_g") == [945.0, 780.0, 520.0]
    assert any("Ã" in note or "mojibake" in note or "twice" in note for note in read.imported.notes)


def test_a_line_end_inside_a_cell_joins_no_rows(read_mess):
    read = read_mess(SHEETS["embedded line ends"])
    assert read.column("remarks")[0].split() == ["naß", "und", "müde;", "zahm"]
    assert len(read.exams) == 3


def test_inch_marks_and_lone_quotes_stand_as_written(read_mess):
    read = read_mess(SHEETS["a bare inch mark"])
    assert read.column("wing_mm") == pytest.approx([14.5 * 25.4, 14 * 25.4, 15 * 25.4])
    assert read.column("remarks") == ["calm", 'he said "no"', None]


def test_a_quote_that_is_never_closed_swallows_no_rows(read_mess):
    read = read_mess(SHEETS["a quote never closed"])
    assert read.column("bird_id") == ["TR-1", "TR-2", "TR-3"]
    assert read.column("mass_g") == [945.0, 780.0, 520.0]
    assert "quotation marks that pair with none" in read.notes
    assert read.at("F3")["raw"] == '"Größe geschätzt'


def test_rows_of_unequal_length_lose_nothing(read_mess):
    read = read_mess(SHEETS["rows of unequal length"])
    assert read.column("mass_g") == [945.0, 780.0, 790.0]
    assert read.at("D2")["raw"] == "bites"
    assert read.at("D2")["outcome"] == "quarantined"


def test_decimal_commas_in_a_file_of_commas(read_mess):
    read = read_mess(SHEETS["decimal commas in commas"])
    assert read.column("mass_g") == [945.5, 780.0]
    assert read.column("wing_mm") == [391.0, 377.5]


def test_blanks_around_headings_and_cells_do_not_matter(read_mess):
    read = read_mess(SHEETS["blanks around"])
    assert read.column("bird_id") == ["TR-1", "TR-2"]
    assert read.column("mass_g") == [945.0, 780.0]
    assert read.column("sex") == ["F", "M"]
    assert read.at("A3")["raw"] == "\u00a0TR-2"


def test_a_line_that_names_the_delimiter_is_a_line_of_the_sheet(read_mess):
    read = read_mess(SHEETS["a line that names the delimiter"])
    assert read.column("mass_g") == [945.0]
    assert "row 1 names the delimiter" in read.notes
    assert read.exams["source_row"].tolist() == [3]


def test_empty_cells_at_the_ends_are_no_columns_and_no_rows(read_mess):
    read = read_mess(SHEETS["empty cells at every end"])
    assert read.column("mass_g") == [945.0, 780.0]
    assert read.asked("D3")["reason"] == "no heading stands over column D"
    assert read.counts.loc[0, "rows_in"] == 3
