"""A sheet read by its rule: two headings for one rule, struck parts, comments, wrong rows."""

import openpyxl
import pytest
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont
from openpyxl.comments import Comment
from openpyxl.styles import Font

from bodycond.legacy import ImportRecipe, import_legacy

WEIGHT = "{field: mass_g, unit: g}"


def make_recipe(columns, *, heading_row=1):
    lines = [f"    {heading}: {rule}" for heading, rule in columns.items()]
    return ImportRecipe.from_text(
        "\n".join(
            ["version: 1", "sheets:", '- file: "*"', f"  heading_row: {heading_row}", "  columns:",
             *lines, ""]
        )
    )  # fmt: skip


def read_text(tmp_path, text, columns, **more):
    path = tmp_path / "a.csv"
    path.write_text(text, encoding="utf-8")
    return import_legacy(path, make_recipe(columns, **more))


def read_book(tmp_path, fill, columns):
    book = openpyxl.Workbook()
    fill(book.active)
    path = tmp_path / "a.xlsx"
    book.save(path)
    return import_legacy(path, make_recipe(columns))


def cells_of(imported, column):
    cells = imported.ledger[imported.ledger["address"].str.match(rf".*!{column}\d+$")]
    return cells[["raw", "outcome", "value"]].iloc[1:].values.tolist()


@pytest.mark.parametrize("headings", ["WT,wt", "wT ,WT"])
def test_two_headings_never_fill_one_field(tmp_path, headings):
    columns = {"No": "{field: bird_id}", "Wt": WEIGHT}
    imported = read_text(tmp_path, f"No,{headings}\n1,100,200\n", columns)
    assert imported.exams["mass_g"].isna().all()
    assert set(imported.quarantine["raw"]) == {"100", "200"}


def test_an_exact_heading_wins_over_a_like_one(tmp_path):
    columns = {"No": "{field: bird_id}", "Wt": WEIGHT}
    imported = read_text(tmp_path, "No,Wt,WT\n1,100,200\n", columns)
    assert imported.exams["mass_g"].tolist() == [100.0]
    assert imported.quarantine["raw"].tolist() == ["200"]


def test_a_written_heading_is_not_mixed_up_with_a_counted_one(tmp_path):
    columns = {"Wt": WEIGHT, "Wt.2": "{field: site}"}
    imported = read_text(tmp_path, "Wt,Wt,Wt.2\n100,200,300\n", columns)
    assert imported.exams.loc[0, ["mass_g", "site"]].tolist() == [100.0, "200"]
    assert imported.quarantine[["raw", "reason"]].values.tolist() == [
        ["300", "the recipe does not name the column 'Wt.2.2'"]
    ]


@pytest.mark.parametrize("row", [2, 9])
def test_a_wrong_heading_row_holds_the_sheet_and_sets_nothing_aside(tmp_path, row):
    imported = read_text(tmp_path, "No,Wt\n1,186\n2,187\n", {"Wt": WEIGHT}, heading_row=row)
    assert set(imported.ledger["outcome"]) == {"quarantined"}
    reason = f"none of the recipe's headings stands in heading_row {row}"
    assert set(imported.ledger["reason"]) == {reason}
    assert any(note.endswith(f"held whole, {reason}") for note in imported.notes)


def test_a_part_struck_through_is_held_and_the_rest_is_likely(tmp_path):
    def fill(sheet):
        sheet.append(["No", "Wt"])
        struck = TextBlock(InlineFont(strike=True), "250")
        sheet.append(["a", CellRichText([struck, TextBlock(InlineFont(), "260")])])

    imported = read_book(tmp_path, fill, {"No": "{field: bird_id}", "Wt": WEIGHT})
    assert imported.quarantine[["raw", "reason", "likely"]].values.tolist() == [
        ["250260", "a part of the text is struck through", "260"]
    ]
    assert imported.exams["mass_g"].isna().all()


def test_a_struck_part_of_a_date_makes_no_date(tmp_path):
    def fill(sheet):
        sheet.append(["No", "Day", "Month", "Year"])
        sheet.append(["a", 5, 6, 2019])
        sheet["B2"].font = Font(strike=True)

    parts = {
        name: f"{{field: exam_date, part: {name.lower()}}}" for name in ("Day", "Month", "Year")
    }
    imported = read_book(tmp_path, fill, {"No": "{field: bird_id}", **parts})
    assert imported.exams["exam_date"].isna().all()
    assert imported.quarantine["raw"].tolist() == ["6", "2019"]


def test_comments_on_empty_cells_and_merged_rows_are_noted(tmp_path):
    def fill(sheet):
        for row in (["No", "Sex", "Wt"], ["a", "F", 186], ["b", None, None], ["c", "M", 187]):
            sheet.append(row)
        sheet.merge_cells("B2:B3")
        sheet["C3"].comment = Comment("too weak", "clerk")
        sheet["Z30"].comment = Comment("far", "clerk")

    columns = {"No": "{field: bird_id}", "Sex": "{field: sex}", "Wt": WEIGHT}
    notes = "\n".join(read_book(tmp_path, fill, columns).notes)
    assert "comment on the empty cell C3: too weak" in notes
    assert "comment on the empty cell Z30: far" in notes
    assert "merged over rows, and counted for the first row alone: B2:B3" in notes


def test_comments_of_a_sheet_that_is_held_stay_in_the_ledger(tmp_path):
    book = openpyxl.Workbook()
    book.active["A1"] = "odd"
    book.active["A1"].comment = Comment("ask the clerk", "clerk")
    path = tmp_path / "a.xlsx"
    book.save(path)
    imported = import_legacy(path, ImportRecipe(sheets=()))
    assert imported.ledger["reason"].tolist() == [
        "the recipe has no entry for this sheet; comment: ask the clerk"
    ]


def test_the_ledger_has_every_digit_and_says_what_was_trimmed(tmp_path):
    columns = {"Note": "{field: remarks}", "Wt": WEIGHT, "Age": "{field: age_code, system: BBL}"}
    imported = read_text(tmp_path, "Note,Wt,Age\n calm ,186.12345678901234,6\n", columns)
    assert cells_of(imported, "A") == [[" calm ", "converted", "calm"]]
    ((_, _, value),) = cells_of(imported, "B")
    assert float(value) == float("186.12345678901234") == imported.exams.loc[0, "mass_g"]
    # the code stays a value though it leaves the class open
    assert cells_of(imported, "C") == [["6", "accepted", "6"]]
    assert imported.exams.loc[0, "age_code"] == "6"


@pytest.mark.parametrize(
    ("rule", "text", "outcome", "reason"),
    [
        ("{field: mass_g, unit: g, decimal: point}", "186 187", "quarantined",
         "'186 187' can be one number or two"),
        ("{field: mass_g, unit: g, decimal: point}", "1 050", "converted",
         "thousands mark taken out"),
        ("{field: ring_number}", "0", "quarantined", "a zero in the place of a name or number"),
        ("{field: ring_number, codes: {0: null}}", "0", "accepted",
         "the recipe's code for '0': no value"),
        ("{field: remarks}", "#FIELD!", "quarantined", "an error value of the spreadsheet"),
        ("{field: remarks}", "######", "quarantined", "an error value of the spreadsheet"),
        ("{field: mass_g, unit: kg, codes: {half: 1 1/2}}", "half", "converted",
         "the recipe's code for 'half': 1 1/2 g"),
        ("{field: exam_date, codes: {soon: null}}", "soon", "accepted",
         "the recipe's code for 'soon': no value"),
        ("{field: age_code, system: BBL, codes: {n.b.: null}}", "n.b.", "accepted",
         "the recipe's code for 'n.b.': no value"),
        ("{field: keel_blind, codes: {q: null}}", "q", "accepted",
         "the recipe's code for 'q': no value"),
    ],
)  # fmt: skip
def test_cells_that_are_easily_misread(tmp_path, rule, text, outcome, reason):
    imported = read_text(tmp_path, f"No;X\na;{text}\n", {"No": "{field: bird_id}", "X": rule})
    cell = imported.ledger.iloc[-1]
    assert cell[["outcome", "reason"]].tolist() == [outcome, reason]
    field = cell["target"].split(".")[1]
    assert imported.exams[field].notna().tolist() == [outcome == "converted"]


def test_an_ounce_that_a_spreadsheet_cut_is_asked_about(tmp_path):
    def fill(sheet):
        for row in (["No", "Wt"], ["a", 2.1], ["b", "2.10"], ["c", 2.05]):
            sheet.append(row)

    columns = {"No": "{field: bird_id}", "Wt": "{field: mass_g, unit: lb.oz}"}
    imported = read_book(tmp_path, fill, columns)
    assert imported.quarantine[["raw", "likely"]].values.tolist() == [
        ["2.1", "2 lb 1 oz or 2 lb 10 oz"]
    ]
    assert imported.exams["mass_g"].round(1).fillna(0).tolist() == [0, 1190.7, 1048.9]
