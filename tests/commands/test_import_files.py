"""``bodycond import``: what is written, said and left alone."""

import hashlib
import json
import re

import pandas as pd
import pytest

from bodycond.cli import main
from bodycond.tables_on_disk import read_csv

WRITTEN = {
    "exams.csv", "exams.parquet", "quarantine.csv", "ledger.parquet", "reconciliation.csv",
    "reasons.csv", "columns.csv", "notes.csv", "bird_links.csv", "recipe.yaml",
    "corrections_template.csv", "csv_neutralised.json", "import_report.html", "manifest.json",
    "marked/exams.csv.held.xlsx",
}  # fmt: skip


def test_everything_is_written_and_held_cells_are_no_failure(run, tmp_path, list_files):
    done = run()
    assert done.code == 0
    assert set(list_files(tmp_path / "out")) == WRITTEN
    exams = read_csv(tmp_path / "out" / "exams.csv")
    assert exams["mass_g"].tolist()[:3] == [820, 900, 880]
    assert exams["mass_g"].isna().tolist()[3:] == [True, False]


def test_the_words_say_what_came_what_was_held_and_that_it_adds_up(run, tmp_path):
    done = run()
    assert (
        "5 exams of 5 birds and 0 ratings came from 1 sheet; 1 of 1 file could be read." in done.out
    )
    assert "Every cell and every row is accounted for: all sums agree." in done.out
    held = read_csv(tmp_path / "out" / "quarantine.csv")
    assert sorted(held["raw"]) == ["2-Mar", "heavy"]
    for reason in held["reason"]:
        assert f"1 cell: {reason}" in done.out
    assert f"Report:   {tmp_path / 'out' / 'import_report.html'}" in done.out


def test_the_last_line_is_the_command_for_what_comes_back(run, sheets, tmp_path):
    line = run().out.splitlines()[-1]
    marked = tmp_path / "out" / "marked" / "exams.csv.held.xlsx"
    assert line == (
        f"  bodycond import {sheets} --recipe {tmp_path / 'recipe.yaml'} --corrections {marked} "
        f"--out {tmp_path / 'out'}"
    )


def test_the_ledger_reconciles_with_the_sheet(run, tmp_path):
    run()
    ledger = pd.read_parquet(tmp_path / "out" / "ledger.parquet")
    counts = read_csv(tmp_path / "out" / "reconciliation.csv", dtypes={"raw_cells": "int64"})
    assert len(ledger) == counts["raw_cells"].sum() == 30
    assert "heavy" in set(ledger["raw"].astype(str))


def test_a_second_run_gives_the_same_bytes_here_and_elsewhere(run, tmp_path, list_files):
    run()
    first = list_files(tmp_path / "out")
    assert run().code == 0
    run(out="elsewhere")
    assert list_files(tmp_path / "out") == first
    assert list_files(tmp_path / "elsewhere") == first


def test_the_manifest_lists_inputs_recipe_and_outputs_with_their_hashes(
    run, sheets, tmp_path, list_files
):
    run()
    manifest = json.loads((tmp_path / "out" / "manifest.json").read_text(encoding="utf-8"))
    files = list_files(tmp_path / "out")
    assert {each["file"]: each["sha256"] for each in manifest["outputs"]} == {
        name: digest for name, digest in files.items() if name != "manifest.json"
    }
    digest = hashlib.sha256((sheets / "exams.csv").read_bytes()).hexdigest()
    assert manifest["inputs"] == [{"file": "exams.csv", "sha256": digest}]
    assert manifest["recipe"]["sha256"] == files["recipe.yaml"]
    assert not re.search(r"\d{2}:\d{2}:\d{2}", json.dumps(manifest))


def test_the_sheets_are_left_as_they_were(run, sheets, list_files):
    before = list_files(sheets)
    run()
    assert list_files(sheets) == before


def test_json_tells_the_same(run):
    outcome = json.loads(run("--json").out)
    assert outcome["complete"] is True
    assert outcome["reconciles"] is True
    assert (outcome["exams"], outcome["quarantined"], outcome["raw_cells"]) == (5, 2, 30)
    assert outcome["not_read"] == outcome["left_over"] == outcome["questions"] == []
    assert outcome["next"].startswith("bodycond import ")


def test_a_torn_file_exits_1_and_the_others_go_on(run, sheets, tmp_path):
    (sheets / "torn.xlsx").write_bytes(b"PK\x03\x04 torn")
    done = run()
    assert done.code == 1
    assert "Not read: " in done.out
    assert "torn.xlsx" in done.out
    assert len(read_csv(tmp_path / "out" / "exams.csv")) == 5
    assert "torn.xlsx" in (tmp_path / "out" / "import_report.html").read_text(encoding="utf-8")


def test_nothing_imported_exits_1_with_the_account_written(run, sheets, tmp_path):
    (sheets / "exams.csv").write_text("Colour,Taste\nred,sweet\n", encoding="utf-8")
    done = run()
    assert done.code == 1
    assert "Nothing was imported: no row became an exam or a rating." in done.out
    assert len(read_csv(tmp_path / "out" / "quarantine.csv")) == 4


def test_a_recipe_with_a_fault_exits_2_with_its_line(run, tmp_path):
    recipe = tmp_path / "recipe.yaml"
    recipe.write_text(recipe.read_text().replace("unit: g", "unit: stone"), encoding="utf-8")
    done = run()
    assert done.code == 2
    assert "line 10" in done.err
    assert not (tmp_path / "out").exists()


def test_a_missing_recipe_exits_2(call, sheets, tmp_path):
    done = call("import", sheets, "--recipe", tmp_path / "no.yaml", "--out", tmp_path / "out")
    assert done.code == 2
    assert "no.yaml" in done.err


def test_folders_are_read_to_their_depths_and_what_is_left_out_is_said(run, sheets, tmp_path):
    deep = sheets / "2020" / "spring"
    deep.mkdir(parents=True)
    (deep / "more.csv").write_bytes((sheets / "exams.csv").read_bytes())
    (sheets / ".hidden.csv").write_text("x", encoding="utf-8")
    (sheets / "~$exams.xlsx").write_text("x", encoding="utf-8")
    (sheets / "letter.docx").write_text("x", encoding="utf-8")
    done = run()
    assert "10 exams" in done.out
    assert "Left out of the folders, hidden (1): .hidden.csv." in done.out
    assert "a temporary file of an open workbook (1): ~$exams.xlsx." in done.out
    assert "of a kind that the import does not read (1): .docx (1)." in done.out
    page = (tmp_path / "out" / "import_report.html").read_text(encoding="utf-8")
    assert "~$exams.xlsx" in page


def test_results_inside_the_folder_of_sheets_are_not_read_as_sheets(call, sheets, tmp_path):
    words = ("import", sheets, "--recipe", tmp_path / "recipe.yaml", "--out", sheets / "imported")
    assert "5 exams" in call(*words).out
    again = call(*words)
    assert "5 exams" in again.out
    assert "Left out of the folders, the folder that is written to (1): imported." in again.out
    other = call("import", sheets, "--recipe", tmp_path / "recipe.yaml", "--out", tmp_path / "b")
    assert "5 exams" in other.out
    assert "written by an earlier import (" in other.out


def test_a_sheet_of_the_name_of_a_result_is_not_written_over(call, sheets, tmp_path, list_files):
    before = (sheets / "exams.csv").read_bytes()
    done = call("import", sheets, "--recipe", tmp_path / "recipe.yaml", "--out", sheets)
    assert done.code == 2
    assert "over nothing but its own files" in done.err
    assert "exams.csv, which somebody has put there or edited since" in done.err
    assert set(list_files(sheets)) == {"exams.csv"}
    assert (sheets / "exams.csv").read_bytes() == before


def test_a_result_that_somebody_edited_is_not_written_over(run, tmp_path):
    run()
    exams = tmp_path / "out" / "exams.csv"
    exams.write_text("my own notes\n", encoding="utf-8")
    done = run()
    assert done.code == 2
    assert "exams.csv, which somebody has put there or edited since" in done.err
    assert exams.read_text(encoding="utf-8") == "my own notes\n"


def test_what_an_earlier_run_left_is_said(run, sheets, tmp_path):
    run()
    text = (sheets / "exams.csv").read_text(encoding="utf-8")
    (sheets / "exams.csv").write_text(text.replace("heavy", "930").replace("2-Mar", "3"),
                                      encoding="utf-8")  # fmt: skip
    done = run()
    assert "Left from an earlier import, no part of this one: " in done.out
    assert "marked/exams.csv.held.xlsx" in done.out
    assert "Next: " not in done.out


def test_progress_names_files_and_stages(run):
    lines = run().err.splitlines()
    assert "reading the recipe" in lines[0]
    assert "exams.csv" in lines[1]
    assert "writing the report" in lines[-1]


def test_help_has_an_example(capsys):
    with pytest.raises(SystemExit) as stopped:
        main(["import", "--help"])
    assert stopped.value.code == 0
    assert "example: bodycond import old_sheets" in capsys.readouterr().out


def test_marked_workbooks_can_be_left_out(run, tmp_path, list_files):
    done = run("--no-marked")
    assert set(list_files(tmp_path / "out")) == {
        name for name in WRITTEN if not name.startswith("marked/")
    }
    assert "Marked: " not in done.out
    assert "marked in the workbooks" not in done.out


def test_without_a_recipe_it_says_how_to_get_one(call, sheets, tmp_path):
    done = call("import", sheets, "--out", tmp_path / "out")
    assert done.code == 2
    assert done.err == (
        "bodycond: An import needs --recipe, which says what each column means. Found: no recipe. "
        "Have one drafted, answer its questions, then import by it: "
        f"bodycond draft-recipe {sheets} --out recipe.yaml.\n"
    )
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("inner", ["taken", "taken/deeper"])
def test_a_file_as_out_is_a_wrong_call(run, tmp_path, inner):
    (tmp_path / "taken").write_text("mine", encoding="utf-8")
    done = run(out=inner)
    assert done.code == 2
    assert done.err.splitlines()[-1] == (
        f"bodycond: --out names the folder to write to. Found: {tmp_path / 'taken'}, which is a "
        "file. Name a folder; it is made if need be."
    )
    assert (tmp_path / "taken").read_text(encoding="utf-8") == "mine"
