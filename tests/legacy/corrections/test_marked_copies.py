"""Copies of sheets: every cell as it stood, in its place, and the held ones marked."""

import datetime as dt
import io

import numpy as np
import openpyxl
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bodycond.errors import BodycondError
from bodycond.legacy.corrections import held_cell_list, marked_copies
from bodycond.legacy.corrections.filled_in_workbooks import read_filled_in_workbook
from bodycond.legacy.corrections.marked_workbooks import (
    write_marked_workbook,
)
from bodycond.legacy.corrections.workbook_pen import HELD_BORDER, HELD_FILL, put_rows
from bodycond.legacy.corrections.xlsx_texts import read_back
from bodycond.legacy.files.grids import build_grid
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.ledger import QUARANTINE_COLUMNS
from bodycond.tables_on_disk import name_column

ROWS = [
    ["Case", "Date", "Wt", "KS"],
    ["SK-1", dt.date(2019, 4, 3), 186.5, "=2+1"],
    ["SK-2", "31/2/2019", "18S", "#N/A"],
    ["007", None, 0.1 + 0.2, "calm, " * 20],
]


def make_sheet(rows=None, *, file="book.xlsx", name="intake", **more):
    texts, kinds = build_grid(ROWS if rows is None else rows)
    return Sheet(file=file, name=name, texts=texts, kinds=kinds, **more)


def hold(sheet, *places, reason="no number", likely=""):
    """Make the quarantine of some cells, rows and columns counted from 0."""
    rows = [
        {
            "file": sheet.file, "sheet": sheet.name, "row": row + 1, "column": column + 1,
            "address": f"{sheet.name}!{name_column(column + 1)}{row + 1}",
            "raw": sheet.texts[row, column], "reason": reason, "likely": likely,
            "target": "exams.mass_g", "exam_id": None,
        }
        for row, column in places
    ]  # fmt: skip
    whole = {"row", "column"}
    dtypes = {name: "int64" if name in whole else "str" for name in QUARANTINE_COLUMNS}
    return pd.DataFrame(rows, columns=list(QUARANTINE_COLUMNS)).astype(dtypes)


def write(tmp_path, sheet, quarantine, **more):
    path = tmp_path / "held.xlsx"
    return write_marked_workbook([sheet], quarantine, path, **more), openpyxl.load_workbook(path)


def test_the_copy_holds_every_cell_in_its_place(tmp_path):
    sheet = make_sheet()
    _, book = write(tmp_path, sheet, hold(sheet, (2, 2)))
    cells = [list(row) for row in book["intake"].iter_rows(values_only=True)]
    assert cells == [
        ["Case", "Date", "Wt", "KS"],
        ["SK-1", "2019-04-03", 186.5, "=2+1"],
        ["SK-2", "31/2/2019", "18S", "#N/A"],
        ["007", None, "0.30000000000000004", "calm, " * 20],
    ]


def test_a_held_cell_is_told_by_fill_border_and_note(tmp_path):
    sheet = make_sheet(comments={(2, 2): "ask Jo"}, formulas={(2, 2): "=A1&B1"})
    _, book = write(tmp_path, sheet, hold(sheet, (2, 2), likely="185"))
    cell, other = book["intake"]["C3"], book["intake"]["C2"]
    assert cell.fill.fgColor.rgb == f"FF{HELD_FILL}"
    sides = [cell.border.left, cell.border.right, cell.border.top, cell.border.bottom]
    assert {(side.style, side.color.rgb) for side in sides} == {("medium", f"FF{HELD_BORDER}")}
    assert cell.comment.text == (
        "Held: no number\nLikely: 185\nFormula in the source: =A1&B1\nNote in the source: ask Jo"
    )
    assert other.fill.fill_type is None
    assert other.border.left.style is None
    assert other.comment is None


def measure_luminance(colour):
    parts = [int(colour[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_ink_and_border_stand_out_from_the_fill_in_grey_too():
    fill, border = measure_luminance(HELD_FILL), measure_luminance(HELD_BORDER)
    assert (fill + 0.05) / 0.05 > 9
    assert (fill + 0.05) / (border + 0.05) > 7


def test_a_held_number_stays_a_number(tmp_path):
    sheet = make_sheet()
    _, book = write(tmp_path, sheet, hold(sheet, (1, 2), (3, 2)))
    assert book["intake"]["C2"].value == 186.5
    assert book["intake"]["C2"].fill.fgColor.rgb == f"FF{HELD_FILL}"
    assert book["intake"]["C4"].value == "0.30000000000000004"


def test_notes_struck_text_and_hidden_parts_of_the_source_are_shown_and_said(tmp_path):
    sheet = make_sheet(
        hidden=True, hidden_rows=frozenset({2}), hidden_columns=frozenset({1}),
        comments={(1, 0): "ringed abroad", (9, 9): "beside the table"}, struck=frozenset({(1, 2)}),
    )  # fmt: skip
    written, book = write(tmp_path, sheet, hold(sheet, (2, 2)))
    copy = book["intake"]
    assert copy["A2"].comment.text == "Note in the source: ringed abroad"
    assert copy["C2"].font.strike
    assert copy.sheet_state == "visible"
    assert not copy.row_dimensions[3].hidden
    assert not copy.column_dimensions["B"].hidden
    assert written.notes == (
        "intake: hidden in the source and shown here: the whole sheet, row 3, column B",
    )


def test_headings_stay_in_sight_and_columns_are_as_wide_as_their_texts(tmp_path):
    sheet = make_sheet([["Title"], [], ["Case", "Remarks"], ["SK-1", "a long remark " * 9]])
    quarantine = hold(sheet, (3, 1))
    _, book = write(tmp_path, sheet, quarantine, heading_rows={("book.xlsx", "intake"): 3})
    assert book["intake"].freeze_panes == "A4"
    assert book["intake"].column_dimensions["A"].width == pytest.approx(7.0)
    assert book["intake"].column_dimensions["B"].width == 48
    assert book["intake"]["B4"].alignment.wrap_text
    _, book = write(tmp_path, sheet, quarantine)
    assert book["intake"].freeze_panes == "A2"
    _, book = write(tmp_path, sheet, quarantine, heading_rows={("book.xlsx", "intake"): 0})
    assert book["intake"].freeze_panes is None


def test_control_letters_come_back_and_are_said(tmp_path):
    sheet = make_sheet([["Wt"], ["18\x075"], ["_x0041_"], ["a\r\nb"]], name="in\x07take")
    written = write_marked_workbook([sheet], hold(sheet, (1, 0)), tmp_path / "h.xlsx")
    back = read_filled_in_workbook(tmp_path / "h.xlsx", (tmp_path / "h.xlsx").read_bytes())
    assert back.copies[0].texts[:, 0].tolist() == ["Wt", "18\x075", "_x0041_", "a\r\nb"]
    assert back.copies[0].name == "in\x07take"
    assert back.listed[0][1]["raw"] == "18\x075"
    assert written.notes == (
        "in_take: 3 cells hold letters that are no signs (control letters) or look like them; "
        "they stand in the file as _xHHHH_ and come back as they were",
    )


def test_a_text_longer_than_a_cell_may_be_is_cut_and_says_so(tmp_path):
    sheet = make_sheet([["Wt"], ["x" * 40_000]])
    written, book = write(tmp_path, sheet, hold(sheet, (1, 0)))
    assert book["intake"]["A2"].value.endswith("x [cut: 40000 letters in all]")
    assert book["Held cells"]["D2"].value == book["intake"]["A2"].value
    assert written.notes == ("intake: 1 texts longer than a cell may be are cut, and say so",)


def test_of_very_many_held_cells_the_first_have_notes_and_all_the_fill(tmp_path, monkeypatch):
    monkeypatch.setattr(marked_copies, "MOST_NOTES", 3)
    monkeypatch.setattr(held_cell_list, "_MOST_LINKS", 2)
    sheet = make_sheet([["Wt", "KS"], *[["18S", "3"]] * 4, [185, ""]])
    written, book = write(tmp_path, sheet, hold(sheet, *[(row, 0) for row in range(1, 6)]))
    rows = list(book["intake"].iter_rows(values_only=True))
    assert rows == [("Wt", "KS"), *[("18S", "3")] * 4, (185, None)]
    cells = [book["intake"].cell(row, 1) for row in range(2, 7)]
    assert [cell.comment is not None for cell in cells] == [True, True, True, False, False]
    assert {cell.fill.fgColor.rgb for cell in cells} == {f"FF{HELD_FILL}"}
    links = [book["Held cells"].cell(row, 3).hyperlink for row in range(2, 7)]
    assert [link is not None for link in links] == [True, True, False, False, False]
    assert written.notes == (
        "the first 2 cells of the list have a link to the copy",
        "intake: of 5 notes the first 3 are shown; every held cell has the fill and the border, "
        "and its reason in the list",
    )
    assert "the first 2 cells of the list have a link to the copy" in [
        row[0] for row in book["About"].iter_rows(values_only=True)
    ]


def test_beyond_the_limits_of_a_sheet_list_and_copy_end_and_say_so(tmp_path, monkeypatch):
    for module in (marked_copies, held_cell_list):
        monkeypatch.setattr(module, "MOST_ROWS", 4)
        monkeypatch.setattr(module, "MOST_COLUMNS", 2)
    sheet = make_sheet([["Wt", "KS", "x"], *[["18S", "", "y"]] * 5])
    written, book = write(tmp_path, sheet, hold(sheet, *[(row, 0) for row in range(5, 0, -1)]))
    assert book["intake"].dimensions == "A1:B4"
    assert [row[2] for row in book["Held cells"].iter_rows(min_row=2, values_only=True)] == [
        "A6", "A5", "A4",
    ]  # fmt: skip
    assert book["Held cells"]["C2"].hyperlink is None
    assert book["Held cells"]["C4"].hyperlink.location == "'intake'!A4"
    assert written.notes == (
        "the list ends where a sheet must: 3 of 5 cells",
        "intake: the copy ends where a sheet must: row 4, column 2",
    )


def test_a_row_without_a_place_in_the_workbook_is_an_error():
    with pytest.raises(BodycondError) as caught:
        put_rows(b'<row r="1" /><row r="2"></row>', {2: "<row/>", 3: "<row/>"})
    assert str(caught.value) == (
        "Each row of a copied sheet must have its place in the workbook. Found: none for row 3. "
        "This is a fault of bodycond: report it with the version of openpyxl."
    )


CELLS = st.one_of(
    st.none(),
    st.text(max_size=12),
    st.text(st.sampled_from("=+-@_x004\x01\x0b\r\n\t '<&>\"\ufffe;"), max_size=12),
    st.floats(allow_nan=False, allow_infinity=False),
    st.integers(-(10**18), 10**18),
    st.booleans(),
    st.dates(),
)


@settings(max_examples=60)
@given(st.lists(st.lists(CELLS, max_size=4), min_size=1, max_size=5), st.data())
def test_any_cell_survives_the_copy_and_a_saving_by_another_program(tmp_path_factory, rows, data):
    sheet = make_sheet([["heading"], *rows], name=data.draw(st.text(max_size=40)))
    filled = [tuple(map(int, place)) for place in np.argwhere(sheet.filled)]
    held = data.draw(st.lists(st.sampled_from(filled), unique=True, min_size=1))
    path = tmp_path_factory.mktemp("copy") / "held.xlsx"
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(marked_copies, "MOST_NOTES", data.draw(st.integers(0, 2)))
        write_marked_workbook([sheet], hold(sheet, *held), path)
    saved = io.BytesIO()
    openpyxl.load_workbook(path).save(saved)
    for content in (path.read_bytes(), saved.getvalue()):
        back = read_filled_in_workbook(path, content)
        (copy,) = back.copies
        assert (copy.file, copy.name) == (sheet.file, read_back(sheet.name))
        shape = tuple(slice(size) for size in copy.texts.shape)
        assert [[read_back(text) for text in row] for row in sheet.texts[shape]] == [
            list(row) for row in copy.texts
        ]
        beyond = sheet.filled.copy()
        beyond[shape] = False
        assert not beyond.any()
        assert [cells["raw"] for _, cells in back.listed] == [
            read_back(sheet.texts[place]) for place in held
        ]
