"""What the cells of a column look like, counted once a different text."""

import numpy as np
import pytest

from bodycond.legacy.drafting.column_contents import NUMBERS_LOOKED_AT, ColumnContents
from bodycond.legacy.drafting.content_guessing import guess_field
from bodycond.legacy.drafting.contents_reading import pool_contents, read_contents


def contents_of(*texts, kind="t"):
    cells = {}
    for text in texts:
        cells[text, kind] = cells.get((text, kind), 0) + 1
    return ColumnContents(cells=cells, missing={}, n_rows=len(texts))


def test_cells_are_counted_by_text_and_kind_in_the_order_met(sheet_of):
    sheet = sheet_of([["b"], ["3"], [3], ["b"], ["x"], ["NA"], ['"'], [None], [" x "]])
    contents = read_contents(sheet, 0)
    assert list(contents.cells.items()) == [(("b", "t"), 2), (("3", "t"), 1), (("3", "n"), 1)]
    assert contents.missing == {"x": 2, "NA": 1}
    assert (contents.n_used, contents.n_rows) == (4, 9)


def test_only_the_rows_of_data_are_counted(sheet_of):
    sheet = sheet_of([["Ring"], ["a"], ["b"], ["a"]])
    assert read_contents(sheet, 0, np.array([1, 3])).cells == {("a", "t"): 2}


def test_contents_of_several_sheets_are_added_up(sheet_of):
    one, two = read_contents(sheet_of([["a"], ["x"]]), 0), read_contents(sheet_of([["a"]]), 0)
    pooled = pool_contents([one, two])
    assert (pooled.cells, pooled.missing, pooled.n_rows) == ({("a", "t"): 2}, {"x": 1}, 3)


def test_numbers_lose_units_marks_and_thousands():
    contents = contents_of("186 g", "~190", "190,5", "1,050", "1.050,5", "28.0*", "heavy")
    assert [value for value, _ in contents.numbers] == [186.0, 190.0, 190.5, 1050.0, 1050.5, 28.0]
    assert contents.share("number") == pytest.approx(6 / 7)
    assert contents.quantile(0.0) == 28.0
    assert contents.quantile(1.0) == 1050.5
    assert contents_of("heavy").quantile(0.5) is None


@pytest.mark.parametrize(
    ("what", "texts"),
    [
        ("date", ["12-Oct-20", "2004-06-27 00:00:00", "3.4.2019", "12/31/21", "27 juin 2012"]),
        ("time", ["13:30", "6:00", "7h15"]),
        ("sex", ["M", "female", "weiblich", "U"]),
        ("age", ["AHY", "ad.", "Juvenile"]),
        ("ring", ["2831-20020", "DA123456", "220609881"]),
        ("binomial", ["Buteo buteo", "Strix_aluco", "Barn Owl (Tyto alba)"]),
        ("two numbers", ["5.2x8.0", "5 x 8"]),
        ("date and mass", ["6/27, 3.9g", "6/28 4.1"]),
        ("age and sex", ["ASY/M", "HY-F"]),
    ],
)
def test_patterns(what, texts):
    assert contents_of(*texts).holds(what, least=1.0)
    assert not contents_of("240.5", "thin").holds(what, least=0.1)


def test_two_decimals_are_no_time_of_day():
    assert contents_of("2.29", "9.91").share("time") == 0.0


def test_of_many_texts_some_are_looked_at_and_all_numbers_up_to_a_limit():
    many = contents_of(*map(str, range(NUMBERS_LOOKED_AT)))
    assert len(many.sample) == 1000
    assert many.quantile(1.0) == NUMBERS_LOOKED_AT - 1
    more = contents_of(*map(str, range(NUMBERS_LOOKED_AT + 5)))
    assert len(more.numbers) == 1000


def test_what_is_shown():
    assert contents_of("a", "b", "a").show() == "It holds 'a', 'b'."
    assert contents_of(*"abcdefgh").show(limit=2) == "It holds 'a', 'b' and 6 more."
    assert ColumnContents(cells={}, missing={"x": 2}, n_rows=2).show() == "It is empty but 'x'."
    assert contents_of("a" * 50).show() == f"It holds '{'a' * 37}...'."


@pytest.mark.parametrize(
    ("texts", "field"),
    [
        (["AHY", "SY", "AHY"], "age_code"),
        (["M", "F", "F"], "sex"),
        (["M", "M"], ""),
        (["Buteo buteo", "Strix aluco"], "species"),
        (["2019-01-02", "2019-01-03"], "exam_date"),
        (["2831-20020", "2831-20021"], "ring_number"),
        (["KEST", "KEST", "BUZZ", "BUZZ"], "species"),
        (["AB", "CD", "AB", "AB", "CD", "AB"], "scorer"),
        (["186", "190"], ""),
        (["AHY"], ""),
    ],
)
def test_fields_guessed_from_cells_alone(texts, field):
    assert guess_field(contents_of(*texts))[0] == field
