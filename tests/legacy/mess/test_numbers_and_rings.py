"""Numbers as text and text as numbers, rings that lost digits, and counts of days."""

import datetime as dt

import pytest
from openpyxl.utils.datetime import CALENDAR_MAC_1904

COLUMNS = """
    Case no.: {field: bird_id}
    Date: {field: exam_date}
    Wt (g): {field: mass_g, unit: g}
    Wing (mm): {field: wing_mm, unit: mm}
    Note: {field: remarks}
"""
HEADINGS = ["Case no.", "Date", "Wt (g)", "Wing (mm)", "Note"]


def make_rows(n=4):
    return [HEADINGS, *(
        [f"TR-{i}", dt.date(2019, 5, i), 900 + i, 380 + i, f"calm {i}"] for i in range(1, n + 1)
    )]  # fmt: skip


def show_rings(book):
    page = book["s"]
    page["A2"].number_format = "00000000"
    page["A4"].number_format = "@"


def count_from_1904(book):
    book.epoch = CALENDAR_MAC_1904


SHEETS = {
    "numbers_as_text": {
        "file": "texts.xlsx",
        "rows": [[*HEADINGS[:4], "Ring"], ["TR-1", "2019-05-01", "901 ", "'381", 12345678],
                 [1002, "2019-05-02", "902", 382.0, "0012345"]],
        "columns": COLUMNS.replace("Note: {field: remarks}", "Ring: {field: ring_number}"),
    },
    "times_and_truth_values": {
        "file": "kinds.xlsx",
        "rows": [["Case no.", "Date", "Wt (g)", "Keel (1-5)"],
                 ["TR-1", "2019-05-03", dt.time(18, 30), True], ["TR-2", 43587, True, 2.5],
                 ["TR-3", dt.datetime(2019, 5, 5, 13, 30), 900, dt.time(2, 30)]],
        "columns": """
            Case no.: {field: bird_id}
            Date: {field: exam_date}
            Wt (g): {field: mass_g, unit: g}
            Keel (1-5): {field: keel, scale: "keel 1 to 5"}
        """,
    },
    "rings": {
        "file": "rings.xlsx",
        "rows": [["Ring no.", "Wt (g)"], [1234567, 901], [1.2345678e15 * 1e3, 902],
                 ["0012345", 903], [12345.0, 904], [0, 905]],
        "mark": show_rings,
        "columns": """
            Ring no.: {field: ring_number}
            Wt (g): {field: mass_g, unit: g}
        """,
        "also_right": {"Ring no.": [("bird_id",)]},
    },
    "rings_in_text": {
        "file": "rings.csv",
        "rows": [["Ring no.", "Wt (g)"], ["1.23E+08", "901"], ["1234567.0", "902"],
                 ["00412345", "903"], ["EE 12345", "904"], ["412346", "905"]],
        "columns": """
            Ring no.: {field: ring_number, digits: 8}
            Wt (g): {field: mass_g, unit: g}
        """,
        "also_right": {"Ring no.": [("bird_id",)]},
    },
    "days_from_1900": {"file": "pc.xlsx", "rows": make_rows(2), "columns": COLUMNS},
    "days_from_1904": {
        "file": "mac.xlsx", "rows": make_rows(2), "mark": count_from_1904, "columns": COLUMNS,
    },
    "counts_of_days": {
        "file": "counts.csv",
        "rows": [["Case no.", "Date", "Wt (g)"], ["TR-1", "43586", "945"], ["TR-2", "43587",
                                                                            "780"]],
        "columns": """
            Case no.: {field: bird_id}
            Date: {field: exam_date, date_order: serial}
            Wt (g): {field: mass_g, unit: g}
        """,
    },
    "counts_of_days_from_1904": {
        "file": "mac.csv",
        "rows": [["Case no.", "Date", "Wt (g)"], ["TR-1", "42124", "945"], ["TR-2", "42125",
                                                                            "780"]],
        "columns": """
            Case no.: {field: bird_id}
            Date: {field: exam_date, date_order: serial_1904}
            Wt (g): {field: mass_g, unit: g}
        """,
    },
}  # fmt: skip


def test_numbers_stored_as_text_and_text_as_numbers(read_mess):
    read = read_mess(SHEETS["numbers_as_text"])
    assert read.column("mass_g") == [901.0, 902.0]
    assert read.column("wing_mm") == [381.0, 382.0]
    assert read.column("bird_id") == ["TR-1", "1002"]
    assert read.column("ring_number") == ["12345678", "0012345"]
    stored = "stored as a number: zeros in front would be lost"
    assert read.at("A3")["reason"] == read.at("E2")["reason"] == stored
    assert read.at("D2")["reason"] == "an apostrophe in front taken off"


def test_rings_that_a_spreadsheet_spoiled(read_mess):
    read = read_mess(SHEETS["rings"])
    rings = read.column("ring_number")
    assert read.at("A2")["outcome"] == "converted"
    assert "first A2, 1234567 shown as 01234567" in read.notes
    assert rings[1] is None
    assert rings[2] == "0012345"
    assert rings[3] == "12345"
    assert rings[4] is None
    assert read.asked("A6")["reason"] == "a zero in the place of a name or number"


def test_rings_in_text_that_lost_digits_are_held(read_mess):
    read = read_mess(SHEETS["rings_in_text"])
    scientific = "a number in scientific notation: a spreadsheet cut its digits"
    assert read.asked("A2")["reason"] == scientific
    assert read.column("ring_number")[2] == "00412345"
    assert read.column("ring_number")[3] == "EE 12345"
    assert "00412346" in read.asked("A6")["likely"]
    assert read.column("ring_number")[1] in {None, "1234567"}


def test_a_ring_with_a_decimal_zero_loses_it_and_is_checked(read_mess):
    read = read_mess(SHEETS["rings_in_text"])
    assert "01234567" in read.asked("A3")["likely"]


@pytest.mark.parametrize("name", ["days_from_1904", "days_from_1900"])
def test_dates_of_a_workbook_follow_its_own_count(read_mess, name):
    assert read_mess(SHEETS[name]).days()[:2] == ["2019-05-01", "2019-05-02"]


@pytest.mark.parametrize("name", ["counts_of_days", "counts_of_days_from_1904"])
def test_counts_of_days_in_text_follow_the_recipe(read_mess, name):
    # 43586 days after 30 December 1899 and 42124 after 1 January 1904.
    assert read_mess(SHEETS[name]).days() == ["2019-05-01", "2019-05-02"]


def test_a_time_or_a_truth_value_is_no_measure_and_no_grade(read_mess):
    read = read_mess(SHEETS["times_and_truth_values"])
    assert read.column("mass_g") == [None, None, 900.0]
    assert read.column("keel") == [None, 2.5, None]
    assert set(read.held["address"]) == {"s!C2", "s!D2", "s!B3", "s!C3", "s!D4"}
    assert read.days() == ["2019-05-03", "-", "2019-05-05"]
    assert "a time of day beside the date" in read.at("B4")["reason"]


def test_a_number_among_dates_is_a_question_with_both_counts(read_mess):
    likely = read_mess(SHEETS["times_and_truth_values"]).asked("B3")["likely"]
    assert likely.startswith("2019-05-02, if it is a spreadsheet's day count")
    assert "2023-05-03 in a workbook that counts from 1904" in likely
