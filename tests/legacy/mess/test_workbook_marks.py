"""What a workbook says beside its values: hidden parts, comments, strikes, colours, formulas."""

import datetime as dt

import pytest
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill

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


def hide(book):
    page = book["s"]
    page.row_dimensions[3].hidden = True
    page.column_dimensions["D"].hidden = True


def hide_sheet(book):
    book["old"].sheet_state = "hidden"


def comment(book):
    book["s"]["C2"].comment = Comment("weighed in ounces?", "S1")
    book["s"]["D3"].comment = Comment("feather broken, not measured", "S1")
    book["s"]["D3"].value = None
    book["s"]["C1"].comment = Comment("all in g, balance 2", "S1")


def comment_unit(book):
    book["s"]["B1"].comment = Comment("all in ounces", "S1")
    book["s"]["C1"].comment = Comment("mm, flattened", "S1")


def strike(book):
    page = book["s"]
    for cell in page[3]:
        cell.font = Font(strike=True)
    page["C4"].font = Font(strike=True)
    struck = TextBlock(InlineFont(strike=True), "951 ")
    page["C5"].value = CellRichText(struck, "915")


def colour(book):
    for place in ("C2", "C3", "A4"):
        book["s"][place].fill = PatternFill("solid", fgColor="FFFF00")
    book["s"]["D2"].font = Font(color="FF0000")


def calculate(book):
    page = book["s"]
    page["C2"], page["C3"], page["C4"] = "=960-15", "=SUM(D2:D4)", "=1/0"
    page["C6"] = "=AVERAGE(C2:C5)"
    page["A6"] = "Mean"


SHEETS = {
    "hidden_parts": {
        "file": "hidden.xlsx", "rows": make_rows(), "mark": hide, "columns": COLUMNS,
    },
    "hidden_sheet": {
        "file": "hidden_sheet.xlsx", "sheets": {"s": make_rows(), "old": make_rows(1)},
        "mark": hide_sheet, "columns": COLUMNS,
    },
    "comments": {"file": "comments.xlsx", "rows": make_rows(), "mark": comment, "columns": COLUMNS},
    "unit_in_a_comment": {
        "file": "ounces.xlsx",
        "rows": [["Case no.", "Weight", "Wing"], ["TR-1", 33.3, 391], ["TR-2", 27.5, 377],
                 ["TR-3", "31", "380"]],
        "mark": comment_unit,
        "columns": """
            Case no.: {field: bird_id}
            Weight: {field: mass_g, unit: oz}
            Wing: {field: wing_mm, unit: mm}
        """,
    },
    "line_breaks_in_headings": {
        "file": "breaks.xlsx",
        "rows": [["Case\nno.", "Trap  wt\n(g)", " Wing\n(mm) "], ["TR-1", 945, 391],
                 ["TR-2", 780, 377]],
        "columns": """
            Case no.: {field: bird_id}
            Trap wt (g): {field: mass_g, unit: g}
            Wing (mm): {field: wing_mm, unit: mm}
        """,
    },
    "struck": {"file": "struck.xlsx", "rows": make_rows(), "mark": strike, "columns": COLUMNS},
    "colours": {"file": "colours.xlsx", "rows": make_rows(), "mark": colour, "columns": COLUMNS},
    "formulas": {
        "file": "formulas.xlsx", "rows": make_rows(), "mark": calculate, "columns": COLUMNS,
        "stored": {"C2": "945", "C6": "928.3"},
    },
    "error_values": {
        "file": "errors.xlsx",
        "rows": [HEADINGS, ["TR-1", "2019-05-01", "#N/A", "#REF!", ""],
                 ["TR-2", "2019-05-02", "#DIV/0!", "381", ""], ["#NAME?", "#####", "902", 382, ""]],
        "columns": COLUMNS,
    },
    "open_document": {
        "file": "buch.ods",
        "styles": (
            '<style:style style:name="off" style:family="table-cell"><style:text-properties '
            'style:text-line-through-style="solid"/></style:style>'
        ),
        "rows": [
            ["Case no.", "Date", "Wt (g)", "Wing (mm)", "Note"],
            ["TR-1", dt.date(2019, 5, 1),
             (945, "<office:annotation><text:p>wet</text:p></office:annotation>"), 391, "calm"],
            ["TR-2", dt.date(2019, 5, 2), (780, "", ' table:style-name="off"'), 380, "calm"],
            ["TR-3", dt.date(2019, 5, 3), (790, "", ' table:formula="of:=805-15"'), 381, ""],
        ],
        "columns": COLUMNS,
    },
}  # fmt: skip


def test_hidden_rows_and_columns_are_read_and_said(read_mess):
    read = read_mess(SHEETS["hidden_parts"])
    assert read.column("mass_g") == [901.0, 902.0, 903.0, 904.0]
    assert read.column("wing_mm") == [381.0, 382.0, 383.0, 384.0]
    assert "hidden" in read.notes
    assert "3" in read.notes
    assert "D" in read.notes


def test_a_hidden_sheet_is_read_and_said(read_mess):
    read = read_mess(SHEETS["hidden_sheet"])
    assert len(read.exams) == 5
    note = next(note for note in read.imported.notes if "hidden" in note)
    assert "old" in note


def test_comments_stay_in_the_ledger_and_those_on_empty_cells_in_the_notes(read_mess):
    read = read_mess(SHEETS["comments"])
    assert read.at("C2")["reason"] == "comment: weighed in ounces?"
    assert read.at("C2")["value"] == "901"
    assert "comment: all in g, balance 2" in read.at("C1")["reason"]
    assert "comment on the empty cell D3: feather broken, not measured" in read.notes


def test_a_unit_that_stands_in_a_comment_is_the_recipes_to_say(read_mess):
    read = read_mess(SHEETS["unit_in_a_comment"])
    ounce = 453.59237 / 16
    assert read.column("mass_g") == pytest.approx([33.3 * ounce, 27.5 * ounce, 31 * ounce])
    assert "comment: all in ounces" in read.at("B1")["reason"]


def test_line_breaks_and_blanks_in_headings_do_not_matter(read_mess):
    read = read_mess(SHEETS["line_breaks_in_headings"])
    assert read.column("mass_g") == [945.0, 780.0]
    assert read.column("wing_mm") == [391.0, 377.0]
    assert "headings changed" not in read.notes


def test_struck_cells_are_set_aside_and_said(read_mess):
    read = read_mess(SHEETS["struck"])
    assert read.column("bird_id") == ["TR-1", "TR-3", "TR-4"]
    assert {read.at(f"{letter}3")["outcome"] for letter in "ABCDE"} == {"set_aside"}
    assert "struck through" in read.at("C3")["reason"]
    assert read.column("mass_g") == [901.0, None, None]
    assert read.at("C4")["outcome"] == "set_aside"
    assert read.asked("C5")["likely"] == "915"


def test_colour_is_said_and_not_read(read_mess):
    read = read_mess(SHEETS["colours"])
    assert read.column("mass_g") == [901.0, 902.0, 903.0, 904.0]
    assert "colour" in read.notes
    assert "not read" in read.notes


def test_formulas_give_their_stored_results_and_stay_in_the_ledger(read_mess):
    read = read_mess(SHEETS["formulas"])
    assert read.column("mass_g") == [945.0, None, None, 904.0]
    assert read.at("C2")["reason"].endswith("formula: =960-15")
    absent = "a formula whose stored result is absent or empty"
    assert read.asked("C3")["reason"] == f"{absent}; formula: =SUM(D2:D4)"
    assert read.at("C6")["outcome"] == "set_aside"
    assert "totals" in read.at("C6")["reason"]


def test_error_values_are_held_and_not_available_is_no_value(read_mess):
    read = read_mess(SHEETS["error_values"])
    assert read.column("mass_g") == [None, None, 902.0]
    assert read.column("wing_mm") == [None, 381.0, 382.0]
    assert read.at("C2")["outcome"] == "accepted"
    assert read.at("C2")["reason"].endswith("no value")
    for place in ("D2", "C3", "A4", "B4"):
        assert read.asked(place)["reason"] == "an error value of the spreadsheet"


def test_an_open_document_sheet(read_mess):
    read = read_mess(SHEETS["open_document"])
    assert read.days() == ["2019-05-01", "2019-05-02", "2019-05-03"]
    assert read.column("mass_g") == [945.0, None, 790.0]
    assert read.at("C2")["reason"] == "comment: wet"
    assert read.at("C3")["reason"] == "struck through"
    assert "=805-15" in read.at("C4")["reason"]
