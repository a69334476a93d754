"""Sheets and files of one layout share an entry; those that disagree do not."""

import pytest


def year(sheet_of, name, dates, heads=("Ring", "Date", "Wt (g)"), **fields):
    rows = [[f"a{at}", date, "186"] for at, date in enumerate(dates)]
    return sheet_of([list(heads), *rows], name=name, **fields)


def test_a_sheet_a_year_shares_one_entry(draft_sheets, sheet_of):
    sheets = [year(sheet_of, f"20{at}", ["14/3/2019", "3/4/2019"]) for at in (18, 19, 20)]
    (rule,) = draft_sheets(*sheets).rules
    assert rule.sheet == "20??"
    assert [column.date_order for column in rule.columns] == [None, "dmy", None]
    assert not [column for column in rule.columns if column.ask]


def test_sheets_of_other_orders_do_not_share(draft_sheets, sheet_of):
    sheets = [year(sheet_of, "2018", ["14/3/2018"]), year(sheet_of, "2019", ["3/14/2019"])]
    rules = draft_sheets(*sheets).rules
    assert [rule.columns[1].date_order for rule in rules] == ["dmy", "mdy"]


def test_a_sheet_that_leaves_the_order_open_is_asked_about(draft_sheets, sheet_of):
    sheets = [year(sheet_of, "2018", ["14/3/2018"]), year(sheet_of, "2019", ["3/4/2019"])]
    (rule,) = draft_sheets(*sheets).rules
    assert rule.columns[1].date_order == "dmy"
    assert "So in '2019' of book.xlsx; others leave no doubt" in rule.columns[1].ask


def test_sheets_of_other_units_do_not_share(draft_sheets, sheet_of):
    one = year(sheet_of, "2018", ["14/3/2018"])
    other = year(sheet_of, "2019", ["14/3/2019"], heads=("Ring", "Date", "Wt (kg)"))
    assert [rule.sheet for rule in draft_sheets(one, other).rules] == ["2018", "2019"]


def test_a_heading_that_drifts_is_named_beside(draft_sheets, sheet_of):
    one = year(sheet_of, "2018", ["14/3/2018"])
    other = year(sheet_of, "2019", ["14/3/2019"], heads=("Ring no.", "Date", "Weight (g)"))
    (rule,) = draft_sheets(one, other).rules
    assert [column.also for column in rule.columns] == [("Ring no.",), (), ("Weight (g)",)]


def test_a_further_column_makes_another_layout(draft_sheets, sheet_of):
    one = year(sheet_of, "2018", ["14/3/2018"])
    other = sheet_of(
        [["Ring", "Date", "Wt (g)", "Sex"], ["a", "14/3/2019", "186", "F"]], name="2019"
    )
    assert len(draft_sheets(one, other).rules) == 2


def test_a_pattern_never_takes_in_another_sheet(draft_sheets, sheet_of):
    sheets = [
        year(sheet_of, "2018", ["14/3/2018"]),
        year(sheet_of, "2019", ["14/3/2019"], heads=("Ring", "Date", "Wt (kg)")),
        year(sheet_of, "2020", ["14/3/2020"]),
    ]
    assert [rule.sheet for rule in draft_sheets(*sheets).rules] == ["2018", "2020", "2019"]


@pytest.mark.parametrize(
    ("files", "pattern"),
    [
        (["exams_2018.csv", "exams_2019.csv"], "exams_201?.csv"),
        (["exams_1992_2018.csv", "exams_2019.csv"], "exams_*.csv"),
        (["exams.csv", "weights.csv"], None),
        (["exams_2018.csv", "exams_2019.xlsx"], None),
        (["exam_north.csv", "exam_south.csv"], None),
    ],
)
def test_files_of_one_family_share_an_entry(tmp_path, files, pattern):
    from bodycond.legacy.drafting.drafting import draft_recipe

    for file in files:
        path = tmp_path / file
        if path.suffix == ".csv":
            path.write_text("Ring,Date,Wt (g)\na,14/3/2018,186\nb,3/4/2018,187\n", encoding="utf-8")
        else:
            import openpyxl

            book = openpyxl.Workbook()
            for row in (["Ring", "Date", "Wt (g)"], ["a", "14/3/2018", 186]):
                book.active.append(row)
            book.save(path)
    recipe = draft_recipe([tmp_path / file for file in files])
    found = [rule.file for rule in recipe.sheets]
    assert found == (files if pattern is None else [pattern])


def test_a_sheet_a_bird_is_asked_about(draft_sheets, sheet_of):
    rows = [["Date", "Weight (g)", "Keel (1-5)"], ["2019-03-04", "186", "3"]]
    (rule,) = draft_sheets(*[sheet_of(rows, name=name) for name in ("Ada", "Bo", "Cy")]).rules
    assert (rule.sheet, rule.constants) == ("*", {"bird_id": "{sheet}"})
    assert "are the names of the 3 sheets the birds'" in rule.ask
    (years,) = draft_sheets(*[sheet_of(rows, name=name) for name in ("2018", "2019")]).rules
    assert (years.constants, years.ask) == ({}, None)


def test_sheets_with_labels_above_their_table_share_both_entries(draft_sheets, sheet_of):
    sheets = [
        sheet_of([["Site:", place], ["Observer:", "S1"], [], ["Ring", "Wt (g)"], ["a1", "186"],
                  ["a2", "190"]], name=place)
        for place in ("Millford", "Oakham", "Ashby")
    ]  # fmt: skip
    rules = draft_sheets(*sheets).rules
    assert [(rule.sheet, rule.table) for rule in rules] == [("*", "labels"), ("*", "exams")]
