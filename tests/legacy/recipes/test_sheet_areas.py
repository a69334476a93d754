"""Parts of a sheet: areas as written, and blocks that begin wherever their mark stands."""

import numpy as np
import pytest

from bodycond.legacy.files.grids import build_grid
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.recipes.recipe_rules import SheetRule
from bodycond.legacy.recipes.sheet_areas import (
    Area,
    cover_cells,
    crop_sheet,
    find_blocks,
    read_area,
)


def make_sheet(rows, **fields):
    texts, kinds = build_grid(rows)
    return Sheet(file="f", name="s", texts=texts, kinds=kinds, **fields)


def list_places(blocks):
    return [(block.top, block.bottom, block.left, block.right) for block in blocks]


@pytest.mark.parametrize(
    ("text", "area"),
    [
        ("A4:H20", Area(top=3, bottom=20, left=0, right=8)),
        (" b2:aa3 ", Area(top=1, bottom=3, left=1, right=27)),
        ("C:C", Area(left=2, right=3)),
        ("4:20", Area(top=3, bottom=20)),
    ],
)
def test_an_area_is_read(text, area):
    assert read_area(text) == area


@pytest.mark.parametrize(
    "text", ["", ":", "A4", "A:4", "H1:A9", "A9:H1", "A0:B2", "A1:B2:C3", "äß:C"]
)
def test_what_is_no_area_is_none(text):
    assert read_area(text) is None


def test_a_fixed_area_counts_its_rows_from_the_sheet():
    rule = SheetRule(file="f", area="B3:C5", heading_rows=(3,), first_row=4, totals_rows=(5,))
    (block,) = find_blocks(make_sheet([["x"] * 4] * 6), [rule])
    assert list_places([block]) == [(2, 5, 1, 3)]
    assert (block.rule.heading_rows, block.rule.first_row, block.rule.totals_rows) == (
        (1,), 2, (3,),
    )  # fmt: skip


def test_an_area_outside_the_sheet_gives_no_block():
    assert find_blocks(make_sheet([["x"]]), [SheetRule(file="f", area="C9:D12")]) == []


def test_blocks_end_before_the_next_mark_of_any_entry():
    sheet = make_sheet([["Males"], ["1"], ["2"], ["FEMALES"], ["3"], ["Eggs"], ["4"], ["Males"]])
    males = SheetRule(file="f", starts_at=("males",))
    females = SheetRule(file="f", starts_at=("Female*",), ends_before=("eggs",))
    assert list_places(find_blocks(sheet, [males, females])) == [
        (0, 3, 0, 1), (7, 8, 0, 1), (3, 5, 0, 1),
    ]  # fmt: skip


def test_marks_in_one_row_part_the_sheet_into_columns():
    sheet = make_sheet([["", "Left", "", "Right", ""], ["a", "b", "c", "d", "e"]])
    left, right = (SheetRule(file="f", starts_at=(word,)) for word in ("Left", "Right"))
    assert list_places(find_blocks(sheet, [left, right])) == [(0, 2, 0, 3), (0, 2, 3, 5)]


def test_a_mark_with_padding_and_line_breaks_is_found():
    sheet = make_sheet([[""], ["Trap  wt \n (g)"]])
    assert list_places(find_blocks(sheet, [SheetRule(file="f", starts_at=("trap wt (g)",))])) == [
        (1, 2, 0, 1)
    ]


def test_a_cropped_sheet_moves_what_hangs_on_its_cells():
    sheet = make_sheet(
        [["a", "b"], ["c", "d"]], comments={(1, 1): "why", (0, 0): "out"},
        formulas={(1, 1): "=1"}, struck=frozenset({(1, 1)}), partly_struck={(1, 1): "d"},
        merged=((1, 1, 1, 1), (0, 0, 0, 1)),
    )  # fmt: skip
    (block,) = find_blocks(sheet, [SheetRule(file="f", area="B2:B2")])
    part = crop_sheet(sheet, block)
    assert part.texts.tolist() == [["d"]]
    assert part.comments == {(0, 0): "why"}
    assert part.formulas == {(0, 0): "=1"}
    assert part.struck == {(0, 0)}
    assert part.partly_struck == {(0, 0): "d"}
    assert part.merged == ((0, 0, 0, 0),)


def test_overlap_is_counted():
    sheet = make_sheet([["x"] * 3] * 2)
    rules = [SheetRule(file="f", area="A1:B2"), SheetRule(file="f", area="B1:C1")]
    counts = cover_cells(sheet, find_blocks(sheet, rules))
    np.testing.assert_array_equal(counts, [[1, 2, 1], [1, 1, 0]])
