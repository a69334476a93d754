"""The order of day and month from the column's own cells, its heading, or asked."""

import pytest


def dated(draft_rows, heading, cells, **fields):
    rows = [["Ring", heading], *([f"a{at}", cell] for at, cell in enumerate(cells))]
    return draft_rows(rows, **fields)[heading]


@pytest.mark.parametrize(
    ("heading", "cells", "order"),
    [
        ("Date", ["22/02/2019", "01/03/2019"], "dmy"),
        ("Date", ["2/22/19", "3/1/19"], "mdy"),
        ("Datum", ["31.01.2019", "09.02.2019"], "dmy"),
        ("Date", ["2019-03-04", "2019-03-05 00:00:00"], None),
        ("Date", ["12-Oct-20", "4 mars 2019"], None),
        ("Date (mm/dd/yyyy)", ["1/2/2019", "3/4/2019"], "mdy"),
        ("Datum (TT.MM.JJJJ)", ["01.02.2019", "03.04.2019"], "dmy"),
    ],
)
def test_the_order_leaves_no_doubt(draft_rows, heading, cells, order):
    rule = dated(draft_rows, heading, cells)
    assert (rule.fields, rule.date_order, rule.ask) == (("exam_date",), order, None)
    assert rule.confidence >= 0.9
    assert rule.evidence


@pytest.mark.parametrize(
    ("heading", "cells", "said", "order"),
    [
        ("Date", ["01/02/2019", "03/04/2019"], "all 2 dates can be read both ways", None),
        ("Date", ["22/02/2019", "03/14/2019"], "1 cells can only be day first and 1 only", None),
        ("Date", ["22/2/19", "23/2/19", "3/14/19"], "2 cells can only be day first", "dmy"),
        ("Date (dd/mm/yyyy)", ["2/22/2019", "3/4/2019"], "The heading says dmy, but", None),
        (
            "Date",
            ["3/4/2019"] * 40 + ["3/14/2019"],
            "of 41 dates only 1 must have the month",
            "mdy",
        ),
        ("Date", ["43528", "43529"], "as a spreadsheet counts them", "serial"),
        ("Date", ["20190304", "20190305"], "written as YYYYMMDD", "ymd"),
        ("Date", ["196", "197"], "the cells are numbers from 196 to 197", None),
    ],
)
def test_the_order_is_asked(draft_rows, heading, cells, said, order):
    rule = dated(draft_rows, heading, cells)
    assert said in rule.ask
    assert (rule.fields, rule.date_order) == (("exam_date",), order)


@pytest.mark.parametrize(
    ("fields", "source"),
    [({"name": "Season 2013"}, "sheet"), ({"file": "exams_2013.csv"}, "file"), ({}, None)],
)
def test_dates_without_a_year_take_it_from_a_name_when_asked(draft_rows, fields, source):
    rule = dated(draft_rows, "Date", ["6/27", "6/28"], **fields)
    assert "The dates name no year" in rule.ask
    assert (rule.year, rule.date_order) == (source, "mdy")


def test_date_cells_need_no_order(draft_rows):
    import datetime as dt

    rule = dated(draft_rows, "Date", [dt.datetime(2019, 2, 1), dt.datetime(2019, 3, 4)])
    assert rule.ask is None
    assert "all are date cells" in rule.evidence


def test_the_exam_is_told_from_other_days(draft_rows):
    draft = draft_rows([
        ["Ring", "exam_date", "hatch_date", "Date banded", "sunrise"],
        ["a1", "13/03/2019", "1/2/2019", "1/1/2018", "06:14"],
        ["a2", "14/03/2019", "14/2/2019", "20/1/2018", "06:12"],
    ])  # fmt: skip
    assert draft.fields() == {
        "Ring": "ring_number", "exam_date": "exam_date", "hatch_date": "hatch_date?",
        "Date banded": "exam_date?", "sunrise": "?",
    }  # fmt: skip
    assert draft["hatch_date"].date_order == "dmy"
    assert "also 'exam_date'" in draft["Date banded"].ask


def test_a_heading_without_rows_is_drafted(draft_rows):
    draft = draft_rows([["Ring", "Date", "Weight (g)", "Keel"]])
    assert draft.fields() == {
        "Ring": "ring_number", "Date": "exam_date", "Weight (g)": "mass_g", "Keel": "keel?",
    }  # fmt: skip
