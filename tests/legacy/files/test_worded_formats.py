"""Words that number formats write beside numbers, as a spreadsheet program saves them."""

from pathlib import Path

import pytest

from bodycond.legacy import ImportRecipe, draft_recipe, import_legacy
from bodycond.legacy.files.number_formats import NO_WORDS, read_words
from bodycond.legacy.files.workbooks import read_workbook

SAVED = Path(__file__).parent / "saved"
KINDS = ("xlsx", "xls", "ods")
RECIPE = """
version: 1
sheets:
- file: "worded_formats.*"
  heading_row: 1
  columns:
    Case no.: {field: bird_id}
    Weight: {field: mass_g, unit: g}
    Wing: {field: wing_mm, decimal: comma}
    Tarsus (mm): {field: tarsus_mm, unit: mm}
    Culmen (mm): {field: culmen_mm, unit: mm}
    Ring: {field: ring_number}
    Date: {field: exam_date}
"""


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ('0.00" kg"', ("", " kg", 1)),
        ("0.0\\ \\c\\m", ("", " cm", 1)),
        ('#,##0.0 "g";[Red]-#,##0.0 "g"', ("", "g", 1)),
        ('"AB "0000', ("AB ", "", 4)),
        ('General" g"', ("", " g", 1)),
        ('_(* #,##0_ "g"_)', ("", "g", 1)),
        ("[$-809]0.0\\ \\g", ("", " g", 1)),
    ],
)
def test_words_are_read(code, words):
    assert read_words(code) == words


@pytest.mark.parametrize(
    "code",
    ["", "General", "0.00", "#,##0", "0%", "0.00E+00", "@", "dd/mm/yyyy", 'dd" of "mmmm', "[h]:mm",
     "000\\-00000", '"n"', "[$€-2] 0.00", "?/8"],
)  # fmt: skip
def test_formats_without_words(code):
    assert read_words(code) == NO_WORDS


@pytest.mark.parametrize("kind", KINDS)
def test_a_sheet_says_how_its_numbers_are_shown(kind):
    path = SAVED / f"worded_formats.{kind}"
    (sheet,) = read_workbook(path, path.read_bytes(), label=path.name)
    assert sheet.texts[1, 1] == "0.901"
    shown = {place: text for place, text in sheet.shown.items() if place[0] == 1}
    assert shown == {
        (1, 1): "0.901 kg", (1, 2): "24.1 cm", (1, 3): "41.5 mm", (1, 4): "1.4 cm",
        (1, 5): "AB 0045",
    }  # fmt: skip
    assert (
        "numbers shown with zeros, marks or words that they do not hold: 17, first B2, 0.901 shown "
        "as 0.901 kg"
    ) in sheet.notes


@pytest.mark.parametrize("kind", KINDS)
def test_the_draft_takes_the_unit_and_asks_where_it_is_not_one(kind):
    rules = draft_recipe(SAVED / f"worded_formats.{kind}").sheets[0].columns
    columns = {rule.heading: rule for rule in rules}
    assert (columns["Weight"].unit, columns["Weight"].ask) == ("kg", None)
    assert (columns["Wing"].unit, columns["Wing"].ask) == ("cm", None)
    assert "the format of the cells shows kg" in columns["Weight"].evidence
    # The heading says mm and one cell alone shows it; then mm, and every cell shows cm.
    assert columns["Tarsus (mm)"].unit == "mm"
    assert "but the format of the cells shows cm" in columns["Culmen (mm)"].evidence
    assert columns["Culmen (mm)"].ask


@pytest.mark.parametrize("kind", KINDS)
def test_the_unit_that_a_cell_shows_goes_before_the_recipes(kind):
    imported = import_legacy(SAVED / f"worded_formats.{kind}", ImportRecipe.from_text(RECIPE))
    exams, ledger = imported.exams, imported.ledger.set_index("address")
    assert exams["mass_g"].tolist() == pytest.approx([901, 911, 921, 931])
    assert exams["wing_mm"].tolist() == pytest.approx([241, 242, 243, 244])
    assert exams["tarsus_mm"].tolist() == pytest.approx([41.5, 42.5, 43.5, 44.5])
    assert exams["culmen_mm"].tolist() == pytest.approx([14, 15, 16, 17])
    assert exams["ring_number"].tolist() == ["AB 0045", "AB 0046", "AB 0047", "AB 0048"]
    cell = ledger.loc["Exams!B2"]
    assert (cell["raw"], cell["outcome"], cell["value"]) == ("0.901", "converted", "901")
    assert cell["reason"].startswith("the sheet shows it as '0.901 kg'")
    assert ledger.loc["Exams!D3", "outcome"] == "accepted"
