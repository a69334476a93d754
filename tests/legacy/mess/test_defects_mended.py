"""Messes that were once read wrongly or passed over in silence."""

import datetime as dt

from bodycond.legacy import draft_recipe

COLUMNS = """
Case no.: {field: bird_id}
Date: {field: exam_date, date_order: dmy}
Wt (g): {field: mass_g, unit: g}
Keel (1-5): {field: keel, scale: keel 1 to 5}
"""
HEADINGS = ["Case no.", "Date", "Wt (g)", "Keel (1-5)"]
ROWS = [
    ["TR-1", "2019-05-03", 900, 3], ["TR-2", "2019-05-04", 901, 2], ["TR-3", "2019-05-05", 902, 3],
]  # fmt: skip


def add_sums(book):
    sheet = book["s"]
    sheet["C2"], sheet["C5"], sheet["D5"] = "=960-60", "=SUM(C2:C4)", "=AVERAGE(D2:D4)"


def test_a_row_of_sums_without_a_word_is_no_exam(read_mess):
    read = read_mess({
        "file": "a.xlsx", "rows": [HEADINGS, *ROWS], "mark": add_sums,
        "stored": {"C2": "900", "C5": "2703", "D5": "2.67"}, "columns": COLUMNS,
    })  # fmt: skip
    assert read.column("mass_g") == [900, 901, 902]
    assert read.at("C5")["outcome"] == "set_aside"
    assert read.held.empty


def test_dates_that_a_spreadsheet_may_have_turned_round_are_asked_about(write_mess):
    rows = [
        HEADINGS, ["TR-1", dt.datetime(2019, 4, 3), 900, 3], ["TR-2", "22/04/2019", 901, 2],
        ["TR-3", dt.datetime(2019, 7, 4), 902, 3], ["TR-4", "13/05/2019", 900, 3],
    ]  # fmt: skip
    (entry,) = draft_recipe(write_mess({"file": "a.xlsx", "rows": rows})).sheets
    date = next(column for column in entry.columns if column.heading == "Date")
    assert "2 date cells all have days up to 12" in date.ask
    assert date.fields == ("exam_date",)


def test_bare_ditto_marks_do_not_swallow_the_cells_between_them(read_mess):
    lines = [
        b"Case no.;Sp.;Sex;Wt (g);Keel (1-5)", b"TR-1;Buteo buteo;F;945;3", b'TR-2;";";930;"',
        b'TR-3;";M;780;"', b'TR-4;"Buteo buteo";F;790;2', b"",
    ]  # fmt: skip
    columns = """
    Case no.: {field: bird_id}
    Sp.: {field: species}
    Sex: {field: sex}
    Wt (g): {field: mass_g, unit: g}
    Keel (1-5): {field: keel, scale: "keel 1 to 5"}
    """
    read = read_mess({"file": "dittos.csv", "bytes": b"\n".join(lines), "columns": columns})
    assert read.column("mass_g") == [945, 930, 780, 790]
    assert read.column("keel") == [3, 3, 3, 2]
    assert read.column("sex") == ["F", "F", "M", "F"]


def show_zeros(book):
    book["s"]["A2"].number_format = "00000000"
    book["s"]["A3"].number_format = "0000-00000"


def test_a_ring_is_what_the_sheet_shows(read_mess):
    read = read_mess({
        "file": "rings.xlsx", "rows": [["Ring", "Wt (g)"], [1234567, 901], [210005561, 902]],
        "mark": show_zeros,
        "columns": "Ring: {field: ring_number}\nWt (g): {field: mass_g, unit: g}",
    })  # fmt: skip
    assert read.column("ring_number") == ["01234567", "2100-05561"]
    assert read.at("A2")["reason"] == "the sheet shows it as '01234567'"
    assert read.at("A2")["raw"] == "1234567"


def test_one_two_may_be_a_half(read_mess):
    read = read_mess({
        "file": "k.csv", "rows": [["Case no.", "Keel (1-5)"], ["TR-1", "1/2"], ["TR-2", "2-3"]],
        "columns": 'Case no.: {field: bird_id}\nKeel (1-5): {field: keel, scale: "keel 1 to 5"}',
    })  # fmt: skip
    assert read.at("B2")["reason"] == "a range from 1 to 2; may also be a half"
    assert read.at("B3")["reason"] == "a range from 2 to 3"


def test_pages_that_repeat_their_headings_are_a_table(write_mess):
    head = ["Case no.", "Sp.", "Sex", "Wt (g)", "Keel (1-5)"]
    page = [head, *([f"TR-{i}", "Buteo buteo", "F", str(900 + i), "3"] for i in range(5)), [""] * 5]
    (entry,) = draft_recipe(write_mess({"file": "pages.csv", "rows": page * 3})).sheets
    assert entry.heading_rows == (1,)
    assert [column.fields for column in entry.columns] == [
        ("bird_id",), ("species",), ("sex",), ("mass_g",), ("keel",),
    ]  # fmt: skip
