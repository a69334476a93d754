"""Corrections applied: never over what was written, never in silence, the same every time."""

import numpy as np
import openpyxl
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodycond.legacy.corrections.correction_files import read_corrections
from bodycond.legacy.corrections.correction_log import (
    LOG_COLUMNS,
    LoggedCorrection,
    build_correction_log,
)
from bodycond.legacy.corrections.correction_records import Correction, Corrections
from bodycond.legacy.corrections.corrections import (
    apply_to_sheet,
    settle_corrections,
    word_correction,
)
from bodycond.legacy.corrections.marked_workbooks import write_marked_workbook
from bodycond.legacy.files.grids import build_grid
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.ledger import QUARANTINE_COLUMNS, open_account
from bodycond.tables_on_disk import name_column

ROWS = [["Case", "Wt", "KS"], ["SK-1", "18S", "3"], ["SK-2", 999, "n/d"], ["SK-3", "", "thin"]]


def make_sheet(rows=None, **more):
    texts, kinds = build_grid(ROWS if rows is None else rows)
    return Sheet(**{"file": "book.csv", "name": "book", "texts": texts, "kinds": kinds, **more})


def decide(decision, cell, raw, corrected="", **more):
    return Correction(**{
        "decision": decision, "file": "book.csv", "sheet": "book", "cell": cell, "raw": raw,
        "corrected": corrected, "who": "S1", "why": "paper card", "given_in": "c.csv, line 2",
        **more,
    })  # fmt: skip


def apply(sheet, *rows):
    return apply_to_sheet(sheet, Corrections(rows=rows))


def test_decisions_change_a_second_sheet_and_never_the_source():
    sheet = make_sheet()
    before = sheet.texts.copy(), sheet.kinds.copy()
    corrected, logged = apply(
        sheet, decide("corrected", "B2", "18S", "185"), decide("no_value", "B3", "999"),
        decide("as_written", "C4", "thin"), decide("not_exam", "C3", "n/d"),
    )  # fmt: skip
    assert corrected.texts.tolist() == [
        ["Case", "Wt", "KS"], ["SK-1", "185", "3"], ["SK-2", "", "n/d"], ["SK-3", "", "thin"],
    ]  # fmt: skip
    assert corrected.kinds[1:, 1].tolist() == ["t", " ", " "]
    assert [(entry.applied, entry.outcome, entry.row, entry.column) for entry in logged] == [
        (True, "applied", 1, 1), (True, "applied", 2, 1), (True, "applied", 3, 2),
        (True, "applied", 2, 2),
    ]  # fmt: skip
    assert np.array_equal(sheet.texts, before[0])
    assert np.array_equal(sheet.kinds, before[1])


def test_applying_again_gives_the_same():
    sheet = make_sheet()
    row = decide("corrected", "B2", "18S", "185")
    first, said = apply(sheet, row)
    second, said_again = apply(sheet, row)
    assert np.array_equal(first.texts, second.texts)
    assert [entry.outcome for entry in said] == [entry.outcome for entry in said_again]


def test_without_a_change_the_very_sheet_is_read():
    sheet = make_sheet()
    assert apply(sheet)[0] is sheet
    assert apply(sheet, decide("as_written", "C4", "thin"))[0] is sheet
    assert apply(sheet, decide("corrected", "B2", "18S", "185", sheet="other")) == (sheet, ())


@pytest.mark.parametrize(
    ("row", "outcome"),
    [
        (decide("corrected", "B2", "185", "188"), "stale: the cell now holds '18S' and not '185'"),
        (decide("no_value", "B2", "18S "), "stale: the cell now holds '18S' and not '18S '"),
        (decide("not_exam", "A2", ""), "stale: the cell now holds 'SK-1' and not ''"),
        (decide("corrected", "B4", "", "190"), "refused: the cell is empty"),
        (decide("corrected", "B5", "x", "190"), "refused: the sheet has no cell B5"),
        (decide("corrected", "D1", "x", "190"), "refused: the sheet has no cell D1"),
    ],
)
def test_what_does_not_fit_the_cell_is_refused_and_said(row, outcome):
    sheet = make_sheet()
    same, (entry,) = apply(sheet, row)
    assert same is sheet
    assert (entry.applied, entry.outcome) == (False, outcome)


def test_line_ends_that_a_program_changed_are_not_stale():
    sheet = make_sheet([["18S\r\n(?)"]])
    corrected, (entry,) = apply(sheet, decide("corrected", "A1", "18S\n(?)", "185"))
    assert entry.applied
    assert corrected.texts[0, 0] == "185"


def test_a_cell_that_was_cut_in_the_workbook_is_not_stale():
    sheet = make_sheet([["x" * 40_000]])
    raw = "x" * 32_738 + " [cut: 40000 letters in all]"
    _, (entry,) = apply(sheet, decide("corrected", "A1", raw, "185"))
    assert (len(raw), entry.outcome) == (32_766, "stale: the cell now holds "
                                         f"{'x' * 40_000!r} and not {raw!r}")  # fmt: skip
    _, (entry,) = apply(sheet, decide("corrected", "A1", "x" + raw, "185"))
    assert entry.applied


def test_the_same_decision_twice_is_applied_once_and_another_is_refused():
    sheet = make_sheet([["a\r\nb"]])
    _, logged = apply(
        sheet,
        decide("corrected", "A1", "a\r\nb", "185"),
        decide("corrected", "A1", "a\r\nb", "185", who="K2", given_in="d.csv, line 2"),
        decide("corrected", "A1", "a\nb", "188", given_in="d.csv, line 3"),
    )
    assert [(entry.applied, entry.outcome) for entry in logged] == [
        (True, "applied"),
        (True, "applied; c.csv, line 2 decides the same"),
        (False, "refused: c.csv, line 2 decides otherwise"),
    ]


def test_a_corrected_cell_counts_as_not_struck_through():
    sheet = make_sheet(struck=frozenset({(1, 1), (2, 1)}), partly_struck={(3, 2): "th"})
    corrected, _ = apply(
        sheet, decide("corrected", "B2", "18S", "185"), decide("corrected", "C4", "thin", "1.5")
    )
    assert corrected.struck == {(2, 1)}
    assert corrected.partly_struck == {}
    assert sheet.struck == {(1, 1), (2, 1)}


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (decide("corrected", "B2", "18S", "185"), "corrected from '18S' by S1 (paper card)"),
        (decide("no_value", "B2", "18S"), "said to hold no value by S1 (paper card)"),
        (decide("as_written", "B2", "18S", decided_on="2024-05-31"),
         "kept as written by S1 on 2024-05-31 (paper card)"),
        (decide("not_exam", "B2", "18S"), "row said to be no exam by S1 (paper card)"),
    ],
)  # fmt: skip
def test_the_ledger_says_what_was_decided_by_whom_and_why(row, words):
    assert word_correction(row, raw="18S") == words


@pytest.mark.parametrize(
    ("row", "outcome", "at"),
    [
        (decide("not_exam", "3:3", "SK-2"), "applied", 2),
        (decide("not_exam", "4:4", "SK-2"),
         "stale: the first cell of the row now holds 'SK-3' and not 'SK-2'", 3),
        (decide("not_exam", "9:9", "SK-2"), "refused: row 9 of the sheet is empty", None),
    ],
)  # fmt: skip
def test_a_decision_on_a_whole_row_names_its_first_cell(row, outcome, at):
    _, (entry,) = apply(make_sheet(), row)
    assert (entry.outcome, entry.row, entry.column) == (outcome, at, None)
    assert entry.applied == (outcome == "applied")


def settle(sheet, outcomes, *rows):
    corrected, logged = apply(sheet, *rows)
    account = open_account(corrected)
    for place, (outcome, reason, value) in outcomes.items():
        account.outcomes[place], account.reasons[place] = outcome, reason
        account.values[place] = value
    account.likely[account.outcomes == "quarantined"] = "?"
    account.targets[account.outcomes == "accepted"] = "exams.bird_id"
    return settle_corrections(account, sheet, logged)


def test_the_account_shows_what_was_written_beside_the_decision():
    sheet = make_sheet()
    outcomes = {
        (1, 1): ("accepted", "", "185"), (1, 2): ("quarantined", "off the scale", ""),
        (2, 0): ("accepted", "", "SK-2"), (2, 2): ("quarantined", "no score", ""),
        (3, 2): ("quarantined", "no score", ""),
    }  # fmt: skip
    account = settle(
        sheet, outcomes, decide("corrected", "B2", "18S", "185"),
        decide("corrected", "C2", "3", "9"), decide("no_value", "B3", "999"),
        decide("as_written", "C4", "thin"),
    )  # fmt: skip
    assert account.sheet is sheet
    assert account.outcomes[1:].tolist() == [
        ["", "converted", "quarantined"], ["accepted", "converted", "quarantined"],
        ["", "", "set_aside"],
    ]  # fmt: skip
    assert account.reasons[1, 1] == "corrected from '18S' by S1 (paper card)"
    assert account.values[1, 1] == "185"
    assert account.reasons[1, 2] == "corrected from '3' by S1 (paper card); off the scale"
    assert account.reasons[2, 1] == "said to hold no value by S1 (paper card)"
    assert account.reasons[3, 2] == "kept as written by S1 (paper card); no score"
    assert account.likely[1:, 2].tolist() == ["?", "?", ""]


def test_a_row_that_is_no_exam_is_set_aside_whole():
    sheet = make_sheet()
    outcomes = {(2, 0): ("accepted", "", "SK-2"), (2, 1): ("quarantined", "odd", ""),
                (2, 2): ("set_aside", "row said to be no exam by S1 (paper card)", "")}  # fmt: skip
    account = settle(sheet, outcomes, decide("not_exam", "A3", "SK-2"))
    assert account.outcomes[2].tolist() == ["set_aside"] * 3
    assert account.values[2].tolist() == ["", "", ""]
    assert account.targets[2].tolist() == ["", "", ""]
    assert account.likely[2].tolist() == ["", "", ""]
    assert account.reasons[2].tolist() == [
        "row said to be no exam by S1 (paper card)",
        "row said to be no exam by S1 (paper card); odd",
        "row said to be no exam by S1 (paper card)",
    ]  # fmt: skip


def test_what_is_kept_as_written_stays_as_it_was_where_it_was_not_held():
    account = settle(
        make_sheet(), {(3, 2): ("accepted", "", "thin")}, decide("as_written", "C4", "thin")
    )
    assert (account.outcomes[3, 2], account.reasons[3, 2]) == ("accepted", "")


def test_a_refused_decision_leaves_the_account_alone():
    account = settle(
        make_sheet(), {(1, 1): ("quarantined", "no number", "")},
        decide("corrected", "B2", "185", "188"),
    )  # fmt: skip
    assert (account.outcomes[1, 1], account.reasons[1, 1]) == ("quarantined", "no number")


def test_the_log_has_each_decision_once_with_what_became_of_it():
    sheet = make_sheet()
    link = Correction(
        decision="same_bird", bird_id="SK-1", same_as="SK-7", who="S1", why="ring list"
    )
    other = Correction(
        decision="different_birds", bird_id="SK-1", same_as="SK-9", who="S1", why="ring list"
    )
    rows = (
        decide("corrected", "B2", "18S", "185"), decide("no_value", "B9", "x"),
        decide("no_value", "B2", "x", file="2019/book.csv"),
        decide("no_value", "B2", "x", file="gone.csv"),
        decide("no_value", "B2", "x", sheet="other"), link, other,
    )  # fmt: skip
    corrections = Corrections(rows=rows)
    _, logged = apply_to_sheet(sheet, corrections)
    linked = LoggedCorrection(correction=link, applied=True, outcome="applied")
    log = build_correction_log(
        corrections, [*logged, linked], sheets=[("book.csv", "book"), ("b.csv", "b")]
    )
    assert tuple(log.columns) == LOG_COLUMNS
    assert log["applied"].tolist() == [True, False, False, False, False, True, False]
    assert log["outcome"].tolist() == [
        "applied",
        "refused: the sheet has no cell B9",
        "not met: the file is not in this import; it has book.csv",
        "not met: the file is not in this import",
        "not met: the file has no such sheet; it has book",
        "applied",
        "not met: no birds were linked",
    ]
    assert log.loc[0, ["cell", "raw", "corrected", "who", "given_in"]].tolist() == [
        "B2", "18S", "185", "S1", "c.csv, line 2",
    ]  # fmt: skip
    empty = build_correction_log(Corrections(), [], sheets=[])
    assert empty.dtypes.to_dict() == log.dtypes.to_dict()


def mark(tmp_path, sheet, *places):
    rows = [
        (sheet.file, sheet.name, row + 1, column + 1,
         f"{sheet.name}!{name_column(column + 1)}{row + 1}", sheet.texts[row, column],
         "no number", "", "exams.mass_g", None)
        for row, column in places
    ]  # fmt: skip
    path = tmp_path / "book.csv.held.xlsx"
    write_marked_workbook([sheet], pd.DataFrame(rows, columns=list(QUARANTINE_COLUMNS)), path)
    return path


def test_from_held_cells_over_the_workbook_to_the_corrected_sheet(tmp_path):
    sheet = make_sheet()
    path = mark(tmp_path, sheet, (1, 1), (2, 1), (2, 2), (3, 2))
    book = openpyxl.load_workbook(path)
    listed = book["Held cells"]
    for row, decision, text in ((2, "corrected", 185), (3, "no_value", None), (5, None, "1-2")):
        for column, value in zip("IJKL", (decision, text, "S1", "paper card"), strict=True):
            listed[f"{column}{row}"] = value
    book.save(path)
    read = read_corrections(path)
    corrected, logged = apply_to_sheet(sheet, read)
    assert corrected.texts[1:, 1:].tolist() == [["185", "3"], ["", "n/d"], ["", "1-2"]]
    assert [entry.outcome for entry in logged] == ["applied"] * 3
    read.save(tmp_path / "c.csv")
    again, _ = apply_to_sheet(sheet, read_corrections([tmp_path / "c.csv", path]))
    assert np.array_equal(again.texts, corrected.texts)


@given(
    st.lists(st.lists(st.text("a1 \n=", max_size=3), min_size=2, max_size=2), min_size=1),
    st.data(),
)
def test_any_decisions_change_no_other_cell(rows, data):
    sheet = make_sheet([["x", "y"], *rows])
    filled = [tuple(map(int, place)) for place in np.argwhere(sheet.filled)]
    places = data.draw(st.lists(st.sampled_from(filled), unique=True))
    decisions = [
        decide(
            data.draw(st.sampled_from(["corrected", "no_value", "as_written", "not_exam"])),
            f"{name_column(column + 1)}{row + 1}", sheet.texts[row, column],
        )
        for row, column in places
    ]  # fmt: skip
    rows_given = [
        decide("corrected", row.cell, row.raw, "new") if row.decision == "corrected" else row
        for row in decisions
    ]
    corrected, logged = apply(sheet, *rows_given)
    assert all(entry.applied for entry in logged)
    expected = sheet.texts.copy()
    for place, row in zip(places, rows_given, strict=True):
        if row.decision in {"corrected", "no_value"}:
            expected[place] = row.corrected
    assert np.array_equal(corrected.texts, expected)
    assert np.array_equal(corrected.kinds == " ", expected == "")
