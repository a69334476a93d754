"""Tables of words: cells, intervals, shared headings, counts of what was left out."""

import numpy as np
import pandas as pd
import pytest

from bodycond.study.group_words import count_left_out, name_birds
from bodycond.study.import_tables import name_place, table_flags, table_quarantine
from bodycond.study.report_tables import (
    ReportTable,
    short_interval,
    table_of_frame,
    without_empty_columns,
    word_cell,
)


@pytest.mark.parametrize(
    ("cell", "words"),
    [(None, ""), (pd.NA, ""), (pd.NaT, ""), (np.nan, ""), (0, "0"), (14936, "14\u202f936"),
     (2.5, "2.5"), (True, "True"), ("a date and no grade", "a date and no grade")],
)  # fmt: skip
def test_cells(cell, words):
    assert word_cell(cell) == words


def test_intervals_that_are_not_defined_are_said_so():
    assert short_interval(np.nan, np.nan, np.nan) == "not defined"
    assert short_interval(2.5, np.nan, np.nan) == "2.50 (no interval)"


def test_a_shared_heading_spans_its_rows():
    rows = (("F", "1"), ("F", "2"), ("M", "3"), ("F", "4"))
    table = ReportTable(caption="", headings=("Sex", "n"), rows=rows, grouped=True)
    assert table.spans == (2, 0, 1, 1)
    assert ReportTable(caption="", headings=("Sex", "n"), rows=rows).spans == (1, 1, 1, 1)


def test_only_plain_numbers_are_set_right():
    rows = (("a", "1\u202f200", "2.5 (1.1 to 3.0)", ""), ("b", "-3", "not defined", ""))
    table = ReportTable(caption="", headings=("a", "b", "c", "d"), rows=rows)
    assert table.numeric == (False, True, False, False)


def test_empty_columns_are_left_out():
    table = ReportTable(caption="x", headings=("a", "b"), rows=(("1", ""), ("2", "")))
    assert without_empty_columns(table).headings == ("a",)
    assert without_empty_columns(table).rows == (("1",), ("2",))


def test_a_frame_is_printed_in_the_order_asked_for():
    frame = pd.DataFrame({"n": [3], "why": ["no mass"], "other": [1]})
    table = table_of_frame(frame, caption="c", headings={"why": "Why", "n": "Exams"})
    assert (table.headings, table.rows) == (("Why", "Exams"), (("no mass", "3"),))


def flag(**changed):
    base = {
        "found_by": "check", "severity": "should be looked at", "file": "a.xlsx", "sheet": "2019",
        "row": 4, "exam_id": "E1", "bird_id": "B1", "column": "mass_g", "value": "377.38885184",
        "rule": "robust_z", "expected": "384 to 1479", "cure": "look", "evidence": "",
    }  # fmt: skip
    return base | changed


def test_what_must_be_mended_comes_first_and_the_rest_is_counted():
    rows = [flag(row=number) for number in range(45)] + [
        flag(severity="must be mended", row=99, value="")
    ]
    table = table_flags(pd.DataFrame(rows))
    assert table.rows[0][0] == "a.xlsx, sheet 2019, row 99"
    assert table.rows[0][2] == "mass_g"
    assert table.rows[1][2] == "mass_g 377.389"
    assert len(table.rows) == 40
    assert table.caption.endswith("The first 40 of 46.")


def test_a_text_file_has_no_sheet_to_name():
    assert name_place("exams.csv", "exams", 3) == "exams.csv, row 3"


def test_cells_held_back_are_counted_by_reason_with_examples():
    held = pd.DataFrame(
        {"target": ["exams.keel"] * 3 + ["exams.mass_g"], "reason": ["word"] * 3 + ["two values"],
         "raw": ["thin", "good", "thin", "1/2"]}
    )  # fmt: skip
    assert table_quarantine(held).rows == (
        ("word", "keel", "3", "thin, good"),
        ("two values", "mass_g", "1", "1/2"),
    )


def test_groups_in_words():
    assert name_birds({"species": "Strix aluco", "sex": "M"}) == "Strix aluco, male"


def test_left_out_exams_stand_by_group_and_reason():
    excluded = pd.DataFrame(
        [("", "", "species or sex missing", 4), ("Strix aluco", "F", "keel missing", 2),
         ("Strix aluco", "M", "keel missing", 1), ("Strix aluco", "F", "odd: very", 3)],
        columns=["species", "sex", "reason", "n_rows"],
    )  # fmt: skip
    counted = count_left_out(excluded)
    assert counted.to_numpy().sum() == 10
    assert counted.loc["all", "species or sex missing"] == 4
    assert counted.loc["Strix aluco, female"].to_dict() == {
        "species or sex missing": 0, "keel missing": 2, "odd: very": 3,
    }  # fmt: skip
