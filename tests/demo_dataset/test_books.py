"""The old books say what was measured, but where the answer key says that they do not."""

from __future__ import annotations

import datetime
from collections import Counter

import pytest

GRAMS_PER_OUNCE = 453.59237 / 16.0
SINGLE = {"tenfold": 4, "lb_kg": 2, "oz_g": 2, "transposition": 4}
# Heading of exam number, bird, mass, wing, tarsus, grade and scorer in each book.
MEASURES = {
    "skelbeck_hospital_2019-2021.xlsx": ("Exam no.", "Case no.", "Wt", "Wing", "Tarsus", "KS"),
    "skelbeck_hospital_2022-2024.xlsx": (
        "Record", "Patient", "Body mass (g)", "Wing chord (mm)", "Tars (mm)", "Keel score (1-5)",
    ),
    "orrinfold_aviary.csv": (
        "Lfd. Nr.", "Patient", "Gewicht (g)", "Flügel", "Lauf", "Brustbein (1-5)",
    ),
    "vessel_point_field_station.xlsx": (
        "Capture no.", "Individual ID", "Mass", "wing", "tarsus", "Keel",
    ),
}  # fmt: skip
IDENTITY = ("Case no.", "Ring", "Sp.", "Sex", "Age")


def say(cell) -> str:
    """Say what a cell holds, in the answer key's way."""
    if cell is None:
        return ""
    return f"{cell:%Y-%m-%d}" if isinstance(cell, datetime.datetime) else str(cell)


def find_column(rows, heading: str) -> int:
    """Position of the one column with this heading."""
    places = {row.index(heading) for row in rows if heading in row}
    assert len(places) == 1
    return places.pop()


def read_number(text: str) -> float:
    """The number in a cell, whatever its notation."""
    if "," in text:
        text = text.replace(".", "").replace(",", ".")
    return float(text.removesuffix(" kg").removesuffix(" lb"))


def test_every_line_of_the_key_points_at_its_cell(answer_key, grids):
    for line in answer_key.itertuples():
        rows = grids[line.file, line.sheet]
        cell = rows[line.row - 1][find_column(rows, line.column)]
        assert say(cell) == line.planted_value, line
        assert line.planted_value != line.true_value, line


def test_every_exam_stands_once_but_for_the_duplicates(true_exams, grids, answer_key):
    found = Counter()
    for (file, _), rows in grids.items():
        if file in MEASURES:
            ids = {str(cell) for row in rows for cell in row[:1]}
            assert ids
            found.update(str(row[0]) for row in rows if row[0] and str(row[0])[2:3] == "X")
    copies = answer_key.loc[answer_key["kind"] == "duplicate", "planted_value"]
    assert found == Counter(true_exams["exam_id"]) + Counter(copies)
    assert len(copies) == 3


def test_cells_hold_the_truth_wherever_nothing_is_planted(true_exams, grids, answer_key):
    planted = {tuple(line) for line in answer_key[["file", "sheet", "row", "column"]].to_numpy()}
    n_checked = 0
    for exam in true_exams.fillna({"source_sheet": ""}).itertuples():
        rows = grids[exam.source_file, exam.source_sheet]
        row = rows[exam.source_row - 1]
        true = (
            exam.exam_id, exam.bird_id, exam.mass_text, exam.wing_mm, exam.tarsus_mm,
            exam.keel_text,
        )  # fmt: skip
        for heading, value in zip(MEASURES[exam.source_file], true, strict=True):
            if (exam.source_file, exam.source_sheet, exam.source_row, heading) in planted:
                continue
            n_checked += 1
            cell = row[find_column(rows, heading)]
            if isinstance(value, float):
                assert (cell is None) if value != value else read_number(say(cell)) == value
            else:
                assert say(cell) == value
    slipped = (answer_key["kind"] == "row_slip") & (answer_key["column"] != "Case no.")
    n_planted = (~slipped).sum() - 3  # the duplicates are rows of their own
    assert n_checked == 6 * len(true_exams) - n_planted


def test_planted_errors_are_two_per_cent_and_the_named_extras(answer_key):
    counts = answer_key["kind"].value_counts()
    assert {kind: counts[kind] for kind in SINGLE} == SINGLE
    assert sum(SINGLE.values()) == 0.02 * 600
    assert counts["date_converted"] == 5
    places = ["file", "sheet", "row"]
    assert len(answer_key[answer_key["kind"] == "row_slip"].drop_duplicates(places)) == 12
    kinds_a_row = answer_key.groupby(places)["kind"].nunique()
    assert (kinds_a_row == 1).all()


def test_each_kind_of_error_is_what_it_is_called(answer_key):
    for line in answer_key[answer_key["kind"].isin(SINGLE)].itertuples():
        planted, true = read_number(line.planted_value), read_number(line.true_value)
        ratio = max(planted, true) / min(planted, true)
        if line.kind == "tenfold":
            assert ratio == pytest.approx(10.0)
        elif line.kind == "oz_g":
            assert true / planted == pytest.approx(GRAMS_PER_OUNCE, rel=0.01)
        elif line.kind == "transposition":
            assert (planted - true) % 9 == 0
            assert sorted(line.planted_value) == sorted(line.true_value)
        elif line.planted_value.endswith("lb"):
            assert line.planted_value.replace("lb", "kg") == line.true_value
        else:
            assert planted / true == pytest.approx(2.2046226, rel=0.01)


def test_date_cells_are_what_a_spreadsheet_makes_of_a_range(answer_key):
    lines = answer_key[answer_key["kind"] == "date_converted"]
    for line in lines.itertuples():
        day = datetime.date.fromisoformat(line.planted_value)
        assert f"{day.day}-{day.month}" == line.true_value


def test_slip_moves_each_identity_one_row_down(answer_key, grids, true_exams):
    slip = answer_key[answer_key["kind"] == "row_slip"]
    file, sheet = slip[["file", "sheet"]].drop_duplicates().iloc[0]
    block = sorted(slip["row"].unique())
    assert block == list(range(block[0], block[0] + 12))
    rows = grids[file, sheet]
    true = true_exams[true_exams["source_file"] == file].fillna({"source_sheet": ""})
    true = true[true["source_sheet"] == sheet].set_index("source_row")
    case = find_column(rows, "Case no.")
    shown = [rows[row - 1][case] for row in block]
    really = true.loc[block, "bird_id"].tolist()
    assert shown == really[-1:] + really[:-1]
    assert set(slip["column"]) <= set(IDENTITY)
    species = true.loc[block, "species"].tolist()
    assert sum(a != b for a, b in zip(species, species[-1:] + species[:-1], strict=True)) >= 9


def test_duplicates_copy_the_row_they_name(answer_key, grids):
    for line in answer_key[answer_key["kind"] == "duplicate"].itertuples():
        rows = grids[line.file, line.sheet]
        twin = rows[int(line.true_value.removeprefix("copy of row ")) - 1]
        copy = rows[line.row - 1]
        assert copy[1:] == twin[1:]
        assert copy[0] in (twin[0], f"{twin[0]}a")


def test_session_book_holds_the_true_ratings(true_ratings, grids):
    rows = grids["scoring_sessions.xlsx", "Ratings"]
    assert rows[0] == ["Session", "Bird", "Scorer", "Round", "Date", "Keel", "Mass known"]
    assert len(rows) - 1 == len(true_ratings)
    for rating in true_ratings.itertuples():
        row = rows[rating.source_row - 1]
        assert row[:4] == [rating.session, rating.bird_id, rating.scorer, rating.round]
        assert row[4] == rating.rated_on.to_pydatetime()
        assert float(str(row[5]).replace("½", ".5")) == rating.keel
        assert row[6] == "no"
