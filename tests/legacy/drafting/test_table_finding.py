"""Rows of headings and units found: titles, two rows, merged ranges, far down, none at all."""

import pytest

from bodycond.legacy.drafting.table_finding import find_other_headings, find_table

HEAD = ["Ring", "Wt", "Wing", "KS"]
DATA = [["A1", "186", "240", "3"], ["A2", "190", "241", "3+"]]


def test_headings_and_units_are_found_below_a_title(sheet_of):
    rows = [["Exam book 2019"], [], HEAD, ["", "g", "mm", "1-5"], *DATA]
    layout = find_table(sheet_of(rows))
    assert (layout.heading_rows, layout.units_row, layout.n_known) == ((3,), 4, 4)
    assert layout.heading_row == 3
    assert layout.evidence == "row 3: 4 of 4 headings mean a field"


def test_a_row_of_units_can_stand_above_the_headings(sheet_of):
    layout = find_table(sheet_of([["", "g", "mm", "1-5"], HEAD, *DATA]))
    assert (layout.heading_rows, layout.units_row) == ((2,), 1)


def test_headings_stand_far_down_in_a_column_further_right(sheet_of):
    rows = [*[[] for _ in range(60)], *[["", "", *row] for row in (HEAD, *DATA)]]
    assert find_table(sheet_of(rows)).heading_rows == (61,)


@pytest.mark.parametrize(
    "rows",
    [
        [["a letter"], ["to", "nobody"]],
        [["Code", "Meaning"], ["KES", "kestrel"], ["BUZ", "buzzard"]],
        [["a1", "F", "186", "240"], ["a2", "M", "190", "241"]],
        [["M", "A", "W", "186"], ["F", "A", "S", "190"]],
        [["only one column"], ["of words"]],
    ],
)
def test_sheets_without_headings(sheet_of, rows):
    assert find_table(sheet_of(rows)) is None


def test_unknown_words_above_numbers_are_headings(sheet_of):
    rows = [["Foo", "Bar", "Baz"], ["x", "186", "240"], ["y", "190", "241"], ["z", "1", "2"]]
    layout = find_table(sheet_of(rows))
    assert (layout.heading_rows, layout.n_known) == ((1,), 0)


def test_two_rows_are_joined_where_they_say_more_together(sheet_of):
    rows = [
        ["Ring", "Date", "Body", "Wing", "Keel"],
        ["no.", "", "mass (g)", "(mm)", "(1-5)"],
        ["a1", "2019-03-04", "186", "240", "3"],
    ]
    assert find_table(sheet_of(rows)).heading_rows == (1, 2)


def test_merged_headings_stand_over_their_own(sheet_of):
    rows = [
        ["Ring", "Culmen (mm)", "", "Date"],
        ["", "L", "W", ""],
        ["a1", "17.2", "9", "2019-03-04"],
    ]
    merged = ((0, 1, 0, 2), (0, 0, 1, 0), (0, 3, 1, 3))
    assert find_table(sheet_of(rows, merged=merged)).heading_rows == (1, 2)


def test_a_merged_title_is_no_row_of_headings(sheet_of):
    rows = [["Exams of Millford", "", "", ""], HEAD, *DATA]
    assert find_table(sheet_of(rows, merged=((0, 0, 0, 3),))).heading_rows == (2,)


def test_data_below_a_merged_heading_are_no_headings(sheet_of):
    rows = [["Ring", "Tarsus (mm) L W", ""], ["a1", "40.1", "5"], ["a2", "41", "5"]]
    assert find_table(sheet_of(rows, merged=((0, 1, 0, 2),))).heading_rows == (1,)


def test_other_headings_are_told_from_repeated_ones_and_from_data(sheet_of):
    rows = [
        ["Ring", "Weight", "Remarks"],
        ["a1", "186", "ring lost, wing drooping"],
        ["Ring", "Weight", "Remarks"],
        ["a2", "Wing", ""],
        ["Weight", "Ring", "Sex"],
        ["190", "a3", "F"],
    ]
    assert find_other_headings(sheet_of(rows), (1,)) == [5]


def test_groups_of_headings_that_say_nothing_more_are_left_out(sheet_of):
    rows = [["Identity", "", "Biometrics", ""], ["Ring", "Sex", "Wing", "Mass"],
            ["", "", "mm", "g"], ["DA1", "F", "290", "310"]]  # fmt: skip
    layout = find_table(sheet_of(rows, merged=((0, 0, 0, 1), (0, 2, 0, 3))))
    assert (layout.heading_rows, layout.units_row) == ((2,), 3)
