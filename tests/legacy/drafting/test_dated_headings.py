"""Rows of headings that are dates."""

import pytest

from bodycond.legacy.drafting.dated_headings import names_dates

DATES = ["01/03/2011", "02/03/2011", "13/03/2011"]


def test_a_column_for_each_day_is_a_table_whatever_the_first_heading(draft_rows):
    draft = draft_rows([["Zzz", *DATES], ["Bess", 801, 812, 820], ["Rook", 640, 644, 652]])
    assert [draft[date].fields for date in DATES] == [("mass_g",)] * 3
    assert draft["13/03/2011"].values == {"exam_date": "2011-03-13"}
    assert draft["13/03/2011"].ask


@pytest.mark.parametrize(
    "rows",
    [
        [["Bess", *DATES], ["Rook", *DATES]],
        [["Bess", *DATES[:2]], ["Rook", 801, 802]],
        [["Bess", DATES[0], DATES[0], DATES[1]], ["Rook", 801, 802, 803]],
        [["a", "b", "c", "d", *DATES], ["e", "f", "g", "h", 1, 2, 3]],
        [["Zzz", *DATES]],
    ],
)
def test_a_row_of_data_with_dates_is_none(sheet_of, rows):
    assert not names_dates(sheet_of(rows), 0)
