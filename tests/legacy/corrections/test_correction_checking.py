"""Corrections checked: every fault named at once, with its file and line."""

import pickle

import pandas as pd
import pytest

from bodycond.errors import BodycondError, CorrectionError
from bodycond.legacy.corrections.correction_files import read_corrections
from bodycond.legacy.corrections.correction_records import (
    CORRECTION_COLUMNS,
)
from bodycond.tables_on_disk import write_csv

HEADING = ",".join(CORRECTION_COLUMNS)
CELL = {
    "decision": "corrected", "file": "book.csv", "sheet": "book", "cell": "B2", "raw": "18S",
    "corrected": "185", "who": "S1", "why": "paper card",
}  # fmt: skip
BIRDS = {
    "decision": "same_bird", "bird_id": "SK-1", "same_as": "SK-7", "who": "S1", "why": "ring list",
}  # fmt: skip


def write_lines(tmp_path, *rows, name="corrections.csv"):
    empty = dict.fromkeys(CORRECTION_COLUMNS, "")
    write_csv(pd.DataFrame([{**empty, **row} for row in rows]).astype("str"), tmp_path / name)
    return tmp_path / name


FAULTS = [
    ({"who": " "}, "who is empty"),
    ({"why": ""}, "why is empty"),
    ({"decision": "fix"}, "the decision 'fix' is none of corrected, no_value, as_written, "
     "not_exam, same_bird, different_birds"),
    ({"file": ""}, "file is empty, and corrected is about a cell"),
    ({"sheet": ""}, "sheet is empty, and corrected is about a cell"),
    ({"cell": ""}, "cell is empty, and corrected is about a cell"),
    ({"cell": "2B"}, "cell is '2B' and no address as in B7"),
    ({"cell": "$2:$2"}, "cell is '2:2': not_exam alone is about a whole row"),
    ({"decision": "not_exam", "corrected": "", "cell": "2:3"},
     "cell is '2:3': a whole column or sheet is decided in the recipe, not here"),
    ({"bird_id": "SK-1"}, "bird_id is filled, and corrected is about a cell"),
    ({"same_as": "SK-1"}, "same_as is filled, and corrected is about a cell"),
    ({"corrected": " "}, "corrected is empty; where the cell holds no value, decide no_value"),
    ({"corrected": "18S"}, "corrected is what the cell holds; to keep it so, decide as_written"),
    ({"decision": "no_value"}, "corrected is '185', and no_value takes no text"),
    ({"decision": "not_exam"}, "corrected is '185', and not_exam takes no text"),
    ({"decided_on": "31.5.2024"}, "decided_on is '31.5.2024' and no date as in 2024-05-31"),
    ({"decided_on": "2024-02-31"}, "decided_on is '2024-02-31' and no date as in 2024-05-31"),
    ({"decided_on": "20240531"}, "decided_on is '20240531' and no date as in 2024-05-31"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "fault"), FAULTS)
def test_a_fault_of_a_cells_correction_is_named_with_its_line(tmp_path, change, fault):
    path = write_lines(tmp_path, {**CELL, **change})
    with pytest.raises(CorrectionError) as caught:
        read_corrections(path)
    assert str(caught.value) == (
        "Each correction must say what is decided, by whom and why, and no two may contradict "
        f"each other. Found: corrections.csv, line 2: {fault}. Mend these lines; nothing was "
        "applied."
    )


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"bird_id": ""}, "bird_id is empty, and same_bird is about two birds"),
        ({"same_as": ""}, "same_as is empty, and same_bird is about two birds"),
        ({"same_as": "SK-1"}, "bird_id and same_as are one and the same, 'SK-1'"),
        ({"file": "b"}, "file is filled, and same_bird is about birds"),
        ({"cell": "B2"}, "cell is filled, and same_bird is about birds"),
    ],
)
def test_a_fault_of_a_link_of_birds_is_named_with_its_line(tmp_path, change, fault):
    path = write_lines(tmp_path, {**BIRDS, **change})
    with pytest.raises(CorrectionError) as caught:
        read_corrections(path)
    assert caught.value.found == f"corrections.csv, line 2: {fault}"


def test_every_fault_of_every_file_is_named_at_once(tmp_path):
    first = write_lines(tmp_path, {**CELL, "who": "", "why": ""}, name="a.csv")
    second = tmp_path / "b.csv"
    second.write_text(f"{HEADING}\n{',' * 10},surplus\n", encoding="utf-8")
    third = write_lines(tmp_path, CELL, {**CELL, "decision": "maybe", "cell": "C2"}, name="c.csv")
    with pytest.raises(CorrectionError) as caught:
        read_corrections([first, second, third])
    assert caught.value.found.split("; ") == [
        "b.csv, line 2: 12 cells under 11 headings",
        "a.csv, line 2: who is empty",
        "a.csv, line 2: why is empty",
        "c.csv, line 3: the decision 'maybe' is none of corrected, no_value, as_written, "
        "not_exam, same_bird, different_birds",
    ]
    assert isinstance(caught.value, BodycondError)
    assert str(pickle.loads(pickle.dumps(caught.value))) == str(caught.value)  # noqa: S301


def test_of_very_many_faults_the_first_are_spelled_out(tmp_path):
    rows = [{**CELL, "cell": f"B{i}", "who": ""} for i in range(2, 102)]
    with pytest.raises(CorrectionError) as caught:
        read_corrections(write_lines(tmp_path, *rows))
    assert caught.value.found.count("who is empty") == 30
    assert caught.value.found.endswith("; and 70 more")


def test_two_different_corrections_of_a_cell_name_both_lines(tmp_path):
    first = write_lines(tmp_path, CELL, name="a.csv")
    second = write_lines(tmp_path, {**CELL, "corrected": "188"}, name="b.csv")
    third = write_lines(tmp_path, {**CELL, "decision": "no_value", "corrected": ""}, name="c.csv")
    with pytest.raises(CorrectionError) as caught:
        read_corrections([first, second, third])
    assert caught.value.found == (
        "a.csv, line 2 and b.csv, line 2 decide book!B2 of book.csv differently: corrected '185' "
        "and corrected '188'; a.csv, line 2 and c.csv, line 2 decide book!B2 of book.csv "
        "differently: corrected '185' and no_value"
    )


def test_two_texts_that_a_cell_is_said_to_hold_are_no_contradiction_yet(tmp_path):
    path = write_lines(tmp_path, CELL, {**CELL, "raw": "l8S", "corrected": "188"})
    assert len(read_corrections(path).rows) == 2


def test_birds_cannot_be_one_and_different_over_any_steps(tmp_path):
    rows = [
        BIRDS,
        {**BIRDS, "bird_id": "SK-9", "same_as": "SK-7"},
        {**BIRDS, "decision": "different_birds", "bird_id": "SK-1", "same_as": "SK-9"},
        {**BIRDS, "decision": "different_birds", "bird_id": "SK-1", "same_as": "SK-8"},
    ]
    with pytest.raises(CorrectionError) as caught:
        read_corrections(write_lines(tmp_path, *rows))
    assert caught.value.found == (
        "corrections.csv, line 4 says that 'SK-1' and 'SK-9' are different birds, and they are "
        "one by corrections.csv, line 2, corrections.csv, line 3"
    )
    assert len(read_corrections(write_lines(tmp_path, *rows[:2], rows[3])).bird_links()) == 3
