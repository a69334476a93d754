"""Letters of columns and their numbers undo each other."""

from bodycond.tables_on_disk import name_column, number_column


def test_columns_are_named_as_spreadsheets_do():
    assert [name_column(number) for number in (1, 26, 27, 702, 703)] == [
        "A", "Z", "AA", "ZZ", "AAA",
    ]  # fmt: skip


def test_every_column_of_a_workbook_comes_back_from_its_letters():
    letters = [name_column(number) for number in range(1, 16_385)]
    assert letters[-1] == "XFD"
    assert len(set(letters)) == len(letters)
    assert [number_column(name) for name in letters] == list(range(1, 16_385))
