"""Columns and sheets that the recipe leaves undecided: one line each, every cell marked."""

import openpyxl
import pandas as pd
import pytest

from bodycond.errors import CorrectionError
from bodycond.legacy.corrections.correction_files import read_corrections
from bodycond.legacy.corrections.correction_records import draft_corrections
from bodycond.legacy.corrections.held_spans import split_held
from bodycond.legacy.corrections.marked_workbooks import write_marked_workbook
from bodycond.legacy.corrections.workbook_pen import HELD_FILL
from bodycond.legacy.files.grids import build_grid
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.ledger import QUARANTINE_COLUMNS
from bodycond.tables_on_disk import name_column, write_csv

UNDECIDED = "the recipe leaves the column undecided"
ROWS = [["Case", "Wt", "Fat"], *[[f"SK-{row}", "18S", row] for row in range(6)]]


def make_sheet(**more):
    texts, kinds = build_grid(ROWS)
    return Sheet(file="book.csv", name="book", texts=texts, kinds=kinds, **more)


def hold(sheet, places, *, reason, likely="", target=""):
    rows = [
        (sheet.file, sheet.name, row + 1, column + 1,
         f"{sheet.name}!{name_column(column + 1)}{row + 1}", sheet.texts[row, column],
         reason, likely, target, None)
        for row, column in places
    ]  # fmt: skip
    return pd.DataFrame(rows, columns=list(QUARANTINE_COLUMNS))


def hold_column(sheet, *, reason=UNDECIDED, column=2, likely="fat"):
    return hold(sheet, [(row, column) for row in range(1, 7)], reason=reason, likely=likely)


def hold_both(sheet):
    single = hold(sheet, [(2, 1), (4, 1)], reason="no number", likely="185")
    return pd.concat([hold_column(sheet), single], ignore_index=True)


def test_a_column_is_one_span_and_other_cells_stay_single():
    single, (span,) = split_held(hold_both(make_sheet()))
    assert single["address"].tolist() == ["book!B3", "book!B5"]
    assert (span.address, span.rows.size, span.likely) == ("C2:C7", 6, "fat")
    assert span.example == "(6 cells; the first holds '0')"
    assert span.words == (
        "the recipe leaves the column undecided: answer the column's question in the recipe, "
        "which frees all 6 cells at once; nothing to decide here"
    )


def test_what_is_said_of_one_cell_does_not_part_a_column():
    held = hold_column(make_sheet())
    held.loc[2, "reason"] = f"{UNDECIDED}; comment: ask Jo"
    held.loc[3, "likely"] = "fat score"
    single, (span,) = split_held(held)
    assert single.empty
    assert (span.reason, span.likely, span.rows.size) == (UNDECIDED, "", 6)


def test_an_undecided_sheet_is_one_span_over_all_its_columns():
    sheet = make_sheet()
    places = [(row, column) for row in range(7) for column in range(3)]
    _, (span,) = split_held(hold(sheet, places, reason="the recipe leaves the sheet undecided"))
    assert (span.address, span.rows.size) == ("A1:C7", 21)


@pytest.mark.parametrize(
    "reason",
    [
        "the recipe does not name the column 'Fat'",
        "no heading stands over column C",
        "none of the recipe's headings stands in heading_row 1",
        "the recipe has no entry for this sheet",
        "the recipe describes these cells twice: two areas or blocks overlap",
        "none of the blocks that the recipe describes stands on the sheet",
        "outside the blocks that the recipe describes",
    ],
)
def test_each_reason_that_only_the_recipe_can_answer_makes_a_span(reason):
    single, (span,) = split_held(hold_column(make_sheet(), reason=reason))
    assert single.empty
    assert span.words.startswith(f"{reason}: ")
    assert "in the recipe" in span.words


@pytest.mark.parametrize("reason", ["no number", "row held: no date", "an age to be explained"])
def test_what_a_person_can_decide_stays_single(reason):
    held = hold_column(make_sheet(), reason=reason)
    single, spans = split_held(held)
    assert single is held
    assert spans == ()


def test_a_column_of_one_held_cell_has_the_cells_own_line():
    single, spans = split_held(hold(make_sheet(), [(3, 2)], reason=UNDECIDED))
    assert single["address"].tolist() == ["book!C4"]
    assert spans == ()


def test_sheets_and_files_are_kept_apart():
    one = hold_column(make_sheet())
    other = one.assign(sheet="later")
    third = one.assign(file="other.csv")
    _, spans = split_held(pd.concat([one, other, third], ignore_index=True))
    assert [(span.file, span.sheet, span.address) for span in spans] == [
        ("book.csv", "book", "C2:C7"), ("book.csv", "later", "C2:C7"),
        ("other.csv", "book", "C2:C7"),
    ]  # fmt: skip


def test_the_workbook_lists_a_column_once_and_fills_each_of_its_cells(tmp_path):
    sheet = make_sheet(comments={(3, 2): "thin"})
    path = tmp_path / "held.xlsx"
    written = write_marked_workbook([sheet], hold_both(sheet), path)
    assert written.n_held == 8
    book = openpyxl.load_workbook(path)
    listed = book["Held cells"]
    assert [row[2] for row in listed.iter_rows(values_only=True)] == ["cell", "B3", "B5", "C2:C7"]
    assert listed["C4"].hyperlink.location == "'book'!C2:C7"
    assert listed["D4"].value == "(6 cells; the first holds '0')"
    # There is nothing to fill in, and it does not look so.
    assert listed["I4"].fill.fill_type is None
    assert listed["I2"].fill.fill_type == "solid"
    (choices,) = listed.data_validations.dataValidation
    assert str(choices.sqref) == "I2:I3"
    copy = book["book"]
    column = [copy.cell(row, 3) for row in range(2, 8)]
    assert {cell.fill.fgColor.rgb for cell in column} == {f"FF{HELD_FILL}"}
    assert [cell.value for cell in column] == list(range(6))
    assert {cell.border.left.style for cell in column} == {None}
    assert [cell.row for cell in column if cell.comment] == [4]
    assert copy["B3"].border.left.style == "medium"
    assert copy["B4"].fill.fill_type is None
    rows = list(book["About"].iter_rows(values_only=True))
    assert rows[-1][:4] == ("book", "book.csv", "book", 8)


def test_a_line_of_a_column_is_no_row_to_be_decided(tmp_path):
    sheet = make_sheet()
    write_marked_workbook([sheet], hold_both(sheet), tmp_path / "held.xlsx")
    draft = draft_corrections(hold_both(sheet))
    assert draft["cell"].tolist() == ["B3", "B5", "C2:C7"]
    assert (draft["decision"] == "").all()
    write_csv(draft, tmp_path / "draft.csv")
    for name in ("held.xlsx", "draft.csv"):
        got = read_corrections(tmp_path / name)
        assert got.rows == ()
        assert got.n_undecided == 2
        assert got.proposals == ()


def test_a_decision_on_a_whole_column_says_where_it_belongs(tmp_path):
    sheet = make_sheet()
    path = tmp_path / "held.xlsx"
    write_marked_workbook([sheet], hold_both(sheet), path)
    book = openpyxl.load_workbook(path)
    for address, text in {"I4": "no_value", "K4": "S1", "L4": "not used"}.items():
        book["Held cells"][address] = text
    book.save(path)
    with pytest.raises(CorrectionError) as caught:
        read_corrections(path)
    assert caught.value.found == (
        "held.xlsx, row 4 of the list: cell is 'C2:C7': a whole column or sheet is decided in the "
        "recipe, not here"
    )
