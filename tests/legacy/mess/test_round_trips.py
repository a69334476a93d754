"""From the sheet to the files and back: the same bytes again, corrections in a marked workbook."""

import openpyxl
import pytest

from bodycond.cli import main
from bodycond.legacy import import_legacy
from bodycond.legacy.corrections.correction_files import read_corrections
from bodycond.legacy.corrections.marked_workbooks import write_marked_workbooks

SHEETS = {
    "held_cells": {
        "file": "tarnmere_2019.xlsx",
        "sheets": {
            "2019": [
                ["Case no.", "Date", "Wt (g)", "Keel (1-5)"], ["TR-1", "2019-05-03", "94S", 3],
                ["TR-2", "31/2/2019", "250/248", "2-Mar"], ["TR-3", "2019-05-05", 801, "thin"],
                ["not a bird", "2019-05-06", "", ""],
            ],
        },
        "columns": """
            Case no.: {field: bird_id}
            Date: {field: exam_date, date_order: dmy}
            Wt (g): {field: mass_g, unit: g}
            Keel (1-5): {field: keel, scale: "keel 1 to 5"}
        """,
    },
    "several_kinds": {
        "files": {
            "a.csv": {"rows": [["Case no.", "Wt (g)"], ["TR-1", "=1+1"], ["TR-2", "945"]]},
            "b.tsv": {"rows": [["Case no.", "Wt (g)"], ["TR-3", "heavy"], ["@TR-4", "780"]]},
            "c.ods": {"rows": [["Case no.", "Wt (g)"], ["TR-5", 801], ["-TR-6", "2 lb 5 oz"]]},
        },
        "columns": """
            Case no.: {field: bird_id}
            Wt (g): {field: mass_g, unit: g}
        """,
    },
}  # fmt: skip
DECISIONS = {
    "C2": ("corrected", "945", "the paper card says so"),
    "C3": ("corrected", "250", "the first weighing counts"),
    "D3": ("corrected", "2-3", "typed as a range"),
    "B3": ("no_value", "", "no card"),
    "D4": ("not_exam", "", "this bird was never in the hand"),
}


def decide(path, decisions):
    """Fill in a marked workbook as the person who typed the sheet would."""
    book = openpyxl.load_workbook(path)
    page = book["Held cells"]
    rows = [[cell.value for cell in row] for row in page.iter_rows()]
    top = next(i for i, row in enumerate(rows) if "decision" in [str(c).casefold() for c in row])
    names = [str(name).casefold() for name in rows[top]]
    for number, row in enumerate(rows[top + 1 :], start=top + 2):
        cell = dict(zip(names, row, strict=True))["cell"]
        if cell is None or str(cell).split("!")[-1] not in decisions:
            continue
        decision, corrected, why = decisions[str(cell).split("!")[-1]]
        said = {"decision": decision, "corrected": corrected, "who": "S1", "why": why}
        for name, text in said.items():
            if text:
                page.cell(row=number, column=names.index(name) + 1, value=text)
    book.save(path)


@pytest.fixture
def corrected(read_mess, tmp_path):
    """Mark the held cells, decide them, read the decisions and import again."""
    read = read_mess(SHEETS["held_cells"])
    sheets = [account.sheet for account in read.imported.accounts]
    (tmp_path / "marked").mkdir()
    write_marked_workbooks(sheets, read.held, tmp_path / "marked")
    (path,) = (tmp_path / "marked").iterdir()
    decide(path, DECISIONS)
    corrections = read_corrections(path)
    return read, import_legacy(read.paths, read.recipe, corrections=corrections)


def at(imported, cell):
    return imported.ledger.set_index("address").loc[f"2019!{cell}"]


def test_decisions_in_the_marked_workbook_come_back(corrected):
    read, again = corrected
    assert read.column("mass_g") == [None, None, 801.0, None]
    assert again.exams["mass_g"].fillna(0).tolist() == [945.0, 250.0, 0.0]
    assert again.exams["keel_low"].tolist()[1] == 2.0
    assert again.exams["keel_high"].tolist()[1] == 3.0
    assert again.exams["exam_date"].isna().tolist() == [False, True, False]
    assert again.exams["bird_id"].tolist() == ["TR-1", "TR-2", "not a bird"]


def test_the_raw_text_is_never_overwritten(corrected):
    read, again = corrected
    assert again.ledger["raw"].tolist() == read.ledger["raw"].tolist()
    assert at(again, "C2")["raw"] == "94S"
    assert at(again, "C2")["value"] == "945"
    said = "corrected from '94S' by S1 (the paper card says so)"
    assert at(again, "C2")["reason"] == said


def test_each_decision_is_logged_and_nothing_is_left_open(corrected, checks_accounts):
    _, again = corrected
    checks_accounts(again)
    log = again.corrections_log
    assert len(log) == len(DECISIONS)
    assert set(log["who"]) == {"S1"}
    assert sorted(log["why"]) == sorted(why for _, _, why in DECISIONS.values())
    assert again.quarantine.empty
    assert at(again, "C4")["outcome"] == "set_aside"


def test_corrections_applied_twice_give_the_same(corrected, tmp_path):
    read, again = corrected
    corrections = read_corrections(list((tmp_path / "marked").iterdir()))
    third = import_legacy(read.paths, read.recipe, corrections=corrections)
    assert third.exams.equals(again.exams)
    assert third.ledger.equals(again.ledger)
    assert third.corrections_log.equals(again.corrections_log)


def list_bytes(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


@pytest.mark.parametrize("name", list(SHEETS))
def test_the_command_gives_the_same_bytes_twice(read_mess, tmp_path, capsys, name):
    read = read_mess(SHEETS[name])
    recipe = tmp_path / "recipe.yaml"
    read.recipe.save(recipe)
    words = ["import", *map(str, read.paths), "--recipe", str(recipe), "--out"]
    for out in ("first", "second"):
        assert main([*words, str(tmp_path / out)]) == 0
    first, second = list_bytes(tmp_path / "first"), list_bytes(tmp_path / "second")
    assert {"exams.csv", "exams.parquet", "ledger.parquet", "quarantine.csv"} <= set(first)
    assert first == second
    assert main([*words, str(tmp_path / "first")]) == 0
    assert list_bytes(tmp_path / "first") == first
    capsys.readouterr()


def test_texts_that_a_spreadsheet_would_run_are_neutralised_in_csv_alone(read_mess, tmp_path):
    read = read_mess(SHEETS["several_kinds"])
    assert read.column("bird_id") == ["TR-1", "TR-2", "TR-3", "@TR-4", "TR-5", "-TR-6"]
    recipe = tmp_path / "recipe.yaml"
    read.recipe.save(recipe)
    words = ["import", *map(str, read.paths), "--recipe", str(recipe)]
    assert main([*words, "--out", str(tmp_path / "out")]) == 0
    text = (tmp_path / "out" / "exams.csv").read_text(encoding="utf-8")
    cells = [cell.strip('"') for line in text.splitlines() for cell in line.split(",")]
    assert not any(cell.startswith(("=", "@", "-TR")) for cell in cells)
    assert any(cell.endswith("@TR-4") for cell in cells)
