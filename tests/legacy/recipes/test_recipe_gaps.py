"""What only the recipe can answer: worded in one place, known again by the same words."""

import pytest

from bodycond.legacy.corrections.held_spans import split_held
from bodycond.legacy.ledger import build_quarantine
from bodycond.legacy.recipes.recipe_gaps import RecipeGap, find_gap

ROWS = [["Case", "Wt", "", "Fat"], ["A1", "186", "x", "2"], ["A2", "190", "y", "3"]]
CASE = "  columns:\n    Case: {field: bird_id}\n"
ENTRY = "- file: book.csv\n  heading_row: 1\n"
TABLE = f"sheets:\n{ENTRY}"
WEIGHT = "    Wt: {field: mass_g, unit: g}\n"

CASES = {
    RecipeGap.COLUMN_UNDECIDED: (
        f"{TABLE}{CASE}{WEIGHT}    Fat: {{ask: which scale}}\n",
        "the recipe leaves the column undecided",
    ),
    RecipeGap.COLUMN_UNNAMED: (
        f"{TABLE}{CASE}{WEIGHT}", "the recipe does not name the column 'Fat'",
    ),
    RecipeGap.NO_HEADING: (f"{TABLE}{CASE}{WEIGHT}", "no heading stands over column C"),
    RecipeGap.SHEET_UNDECIDED: (
        "sheets:\n- file: book.csv\n  ask: what is it\n", "the recipe leaves the sheet undecided",
    ),
    RecipeGap.HEADINGS_ABSENT: (
        f"{TABLE}  columns:\n    Ring: {{field: bird_id}}\n",
        "none of the recipe's headings stands in heading_row 1",
    ),
    RecipeGap.NO_ENTRY: (
        f"{TABLE}{CASE}".replace("book.csv", "other.csv"),
        "the recipe has no entry for this sheet",
    ),
    RecipeGap.DESCRIBED_TWICE: (
        f"{TABLE}  area: A1:C3\n{CASE}"
        f"{ENTRY}  area: B1:D3\n  columns:\n{WEIGHT}",
        "the recipe describes these cells twice: two areas or blocks overlap",
    ),
    RecipeGap.BLOCKS_ABSENT: (
        f"{TABLE}  starts_at: Ring\n{CASE}",
        "none of the blocks that the recipe describes stands on the sheet",
    ),
    RecipeGap.OUTSIDE_BLOCKS: (
        f"{TABLE}  area: A1:B3\n{CASE}{WEIGHT}", "outside the blocks that the recipe describes",
    ),
}  # fmt: skip


def test_every_gap_is_tried():
    assert set(CASES) == set(RecipeGap)


@pytest.mark.parametrize("gap", CASES, ids=lambda gap: gap.name)
def test_what_the_reader_holds_for_a_gap_is_listed_as_one_line(read_sheet, gap):
    recipe, reason = CASES[gap]
    held = build_quarantine([read_sheet(ROWS, recipe).part.account])
    assert reason in set(held["reason"])
    assert find_gap(reason) is gap
    single, spans = split_held(held)
    (span,) = [span for span in spans if span.reason == reason]
    assert span.cure == gap.cure
    assert span.rows.size == (held["reason"] == reason).sum() > 1
    assert reason not in set(single["reason"])


def test_no_gap_is_taken_for_another():
    reasons = {gap.word(about): gap for gap in RecipeGap for about in ("", "C", "'Wt.2'")}
    for reason, gap in reasons.items():
        for behind in ("", "; comment: thin", "; formula: =A1"):
            assert find_gap(reason + behind) is gap


@pytest.mark.parametrize(
    "reason",
    [
        "", "no number", "row held: no date", "no rule reads this cell",
        "the recipe leaves the label undecided", "outside the blocks: a list of codes",
        "the recipe leaves the columns undecided", "no heading stands over columns",
        "corrected from '18S' by S1 (card); the recipe leaves the column undecided",
    ],
)  # fmt: skip
def test_other_reasons_are_no_gap(reason):
    assert find_gap(reason) is None
