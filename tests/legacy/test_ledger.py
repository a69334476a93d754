"""The account of every cell: settled, listed, and written without a text for each."""

import numpy as np
import pandas as pd
import pytest

from bodycond.errors import BodycondError
from bodycond.legacy.files.grids import build_grid
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.ledger import (
    LEDGER_COLUMNS,
    QUARANTINE_COLUMNS,
    build_ledger,
    build_quarantine,
    open_account,
    write_ledger,
)


@pytest.fixture
def account():
    texts, kinds = build_grid([["Ring", "Mass"], ["E100001", "186"], ["", "190"], ["E100002", ""]])
    return open_account(Sheet(file="a.xlsx", name="2019", texts=texts, kinds=kinds))


def settle_all(account, outcome="accepted"):
    account.settle(np.ones((1, 1), dtype=bool), outcome, "plain")


def test_ledger_lists_each_filled_cell_once_in_order(account):
    settle_all(account)
    ledger = build_ledger([account])
    assert tuple(ledger.columns) == LEDGER_COLUMNS
    assert ledger["address"].tolist() == [
        "2019!A1", "2019!B1", "2019!A2", "2019!B2", "2019!B3", "2019!A4",
    ]  # fmt: skip
    assert ledger["raw"].tolist() == ["Ring", "Mass", "E100001", "186", "190", "E100002"]
    assert ledger[["row", "column"]].to_numpy().tolist()[-1] == [4, 1]
    assert {str(ledger[name].dtype) for name in ("row", "column")} == {"int64"}
    assert {str(ledger[name].dtype) for name in ("file", "raw", "value", "reason")} == {"str"}


def test_written_ledger_is_the_ledger(account, tmp_path):
    settle_all(account)
    account.values[1, 1] = "186"
    path = tmp_path / "ledger.parquet"
    write_ledger([account, account], path)
    pd.testing.assert_frame_equal(pd.read_parquet(path), build_ledger([account, account]))


def test_same_accounts_are_written_as_the_same_bytes(account, tmp_path):
    settle_all(account)
    for name in ("a", "b"):
        write_ledger([account], tmp_path / name)
    assert (tmp_path / "a").read_bytes() == (tmp_path / "b").read_bytes()


def test_ledger_of_nothing_has_its_columns(tmp_path):
    empty = build_ledger([])
    assert tuple(empty.columns) == LEDGER_COLUMNS
    write_ledger([], tmp_path / "ledger.parquet")
    pd.testing.assert_frame_equal(pd.read_parquet(tmp_path / "ledger.parquet"), empty)


def test_quarantine_lists_held_cells_with_their_exam(account):
    settle_all(account)
    account.outcomes[1:3, 1] = "quarantined"
    account.exam_ids[1, 1] = "a:2"
    account.likely[1, 1] = "168"
    held = build_quarantine([account])
    assert tuple(held.columns) == QUARANTINE_COLUMNS
    assert held["address"].tolist() == ["2019!B2", "2019!B3"]
    assert held["likely"].tolist() == ["168", ""]
    assert held["exam_id"].isna().tolist() == [False, True]


@pytest.mark.parametrize(
    ("where", "cells"),
    [
        (np.array([[False, True]]), [(0, 1), (1, 1), (2, 1)]),
        (np.array([[False], [True], [False], [False]]), [(1, 0), (1, 1)]),
        (np.array([True]), [(0, 0), (0, 1), (1, 0), (1, 1), (2, 1), (3, 0)]),
        (np.zeros((4, 2), dtype=bool), []),
    ],
)
def test_settling_reaches_the_filled_cells_that_it_names(account, where, cells):
    account.settle(where, "set_aside", "out")
    assert [tuple(place) for place in np.argwhere(account.outcomes == "set_aside")] == cells


def test_settled_cell_is_settled_once(account):
    account.settle(np.array([[True, False]]), "set_aside", "first")
    settle_all(account, "quarantined")
    assert account.reasons[0].tolist() == ["first", "plain"]
    account.settle(np.array([[True, False]]), "accepted", "last", only_open=False)
    assert account.reasons[0].tolist() == ["last", "plain"]


def test_cell_without_an_outcome_is_a_fault_of_bodycond(account, tmp_path):
    account.settle(np.array([[True, False]]), "accepted", "")
    message = r"must have an outcome\. Found: 3 without one in a\.xlsx, first 2019!B1"
    with pytest.raises(BodycondError, match=message):
        write_ledger([account], tmp_path / "ledger.parquet")


def test_half_of_a_character_pair_is_spelt_out(tmp_path):
    texts, kinds = build_grid([["Ring\ud83d"]])
    account = open_account(Sheet(file="a.csv", name="a", texts=texts, kinds=kinds))
    settle_all(account)
    assert build_ledger([account])["raw"].tolist() == ["Ring\\ud83d"]
