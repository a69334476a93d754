"""The command line: exit codes, messages without tracebacks, JSON, help with an example."""

import json
import os
import subprocess
import sys

import pytest

from bodycond.cli import main

TABLE = """\
Case no.,Species,Sex,Mass (g),Keel
A1,Buteo buteo,F,820,2
A2,Buteo buteo,F,900,3
A3,Buteo buteo,F,880,3
A4,Buteo buteo,F,1010,4
A5,Buteo buteo,F,1040,5
A6,Buteo buteo,F,790,2
"""
RECIPE = """\
version: 1
sheets:
- file: "*.csv"
  table: exams
  heading_row: 1
  columns:
    Case no.: {field: bird_id}
    Species: {field: species}
    Sex: {field: sex}
    Mass (g): {field: mass_g, unit: g}
    Keel: {field: keel, scale: keel 1 to 5}
"""


@pytest.fixture
def call(tmp_path, capsys):
    """Write the files, call the command line, give exit code, output and errors."""

    def run(*words, table=TABLE, recipe=RECIPE):
        (tmp_path / "exams.csv").write_text(table, encoding="utf-8")
        (tmp_path / "recipe.yaml").write_text(recipe, encoding="utf-8")
        named = [str(tmp_path / word[1:]) if word.startswith("@") else word for word in words]
        code = main(named)
        captured = capsys.readouterr()
        return code, captured.out, captured.err

    return run


STUDY = ("study", "@exams.csv", "--recipe", "@recipe.yaml", "--size", "tarsus_mm", "--out", "@out")


def test_a_study_without_sizes_says_so_and_exits_1(call, tmp_path):
    code, out, _ = call("study", "@exams.csv", "--recipe", "@recipe.yaml", "--out", "@out")
    assert code == 1
    assert (
        "Not done: scaled mass. No structural size was measured in half of the weighed birds."
        in out
    )
    assert str(tmp_path / "out" / "report.html") in out


def test_the_last_lines_say_where_to_look(call, tmp_path):
    _, out, _ = call(*STUDY)
    assert out.splitlines()[-1] == f"Manifest: {tmp_path / 'out' / 'manifest.json'}"


def test_stages_are_lines_on_standard_error_where_it_is_no_terminal(call):
    _, out, err = call(*STUDY)
    lines = err.splitlines()
    assert lines[0] == "1/7 reading the recipe"
    assert lines[-1] == "7/7 writing the report"
    assert "\r" not in err
    assert "\x1b" not in out + err


def test_stages_are_a_bar_on_a_terminal(call, monkeypatch):
    monkeypatch.setattr(type(sys.stderr), "isatty", lambda _self: True)
    _, _, err = call(*STUDY)
    for stage in ("importing", "checking", "estimating", "writing the report", "done"):
        assert stage in err
    assert "7/7" in err


def test_json(call):
    code, out, _ = call(*STUDY, "--json")
    outcome = json.loads(out)
    assert code == (0 if outcome["complete"] else 1)
    assert outcome["exams"] == 6
    assert outcome["questions"] == outcome["not_read"] == outcome["left_over"] == []
    assert {part["part"] for part in outcome["not_done"]} == {"scaled mass", "agreement"}


def test_json_is_ascii_so_that_any_console_holds_it(call):
    _, out, _ = call(*STUDY, "--json", table="")
    assert out == ""
    _, out, _ = call(*STUDY, "--json", table=TABLE.replace("820", "80.000").replace("A1", "Ä1"))
    assert out.isascii()
    json.loads(out)


def test_a_console_without_the_letters_gets_escapes_and_no_traceback(tmp_path):
    (tmp_path / "книга.csv").write_text(TABLE, encoding="utf-8")
    (tmp_path / "пусто.csv").write_bytes(b"")
    (tmp_path / "recipe.yaml").write_text(RECIPE, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "bodycond", "study", "книга.csv", "пусто.csv", "--recipe",
         "recipe.yaml", "--size", "tarsus_mm", "--out", "out"],
        capture_output=True, cwd=tmp_path, env={**os.environ, "PYTHONIOENCODING": "cp1252"},
        check=False,
    )  # fmt: skip
    assert done.returncode == 1
    assert b"Not read: " in done.stdout
    assert b"\\u043f" in done.stdout
    assert b"Traceback" not in done.stderr


def test_a_missing_file_exits_1_with_a_sentence(call):
    code, _, err = call("study", "@nowhere.csv", "--recipe", "@recipe.yaml", "--out", "@out")
    assert code == 1
    assert "nowhere.csv" in err
    assert "Traceback" not in err


def test_a_recipe_that_cannot_be_carried_out_exits_2_with_the_line(call):
    wrong = RECIPE.replace("unit: g", "unit: stone")
    code, _, err = call(*STUDY, recipe=wrong)
    assert code == 2
    assert "line 10" in err
    assert "stone" in err


def test_an_unknown_size_exits_2_before_anything_is_written(call, tmp_path):
    code, out, err = call(*STUDY, "--size", "beak_mm")
    assert code == 2
    assert "The structural size is one of tarsus_mm" in err
    assert out == ""
    assert not (tmp_path / "out").exists()


def test_an_unknown_score_exits_2(call):
    code, _, err = call(*STUDY, "--score", "fat")
    assert code == 2
    assert "'fat'" in err


def test_without_a_recipe_a_draft_and_questions(call, tmp_path):
    code, out, _ = call("study", "@exams.csv", "--out", "@out")
    assert (tmp_path / "out" / "draft_recipe.yaml").is_file()
    assert "Open questions: " in out
    assert "'Keel'" in out
    assert code == 1


def test_a_wrong_call_exits_2(capsys):
    with pytest.raises(SystemExit) as stopped:
        main(["study"])
    assert stopped.value.code == 2
    assert "usage" in capsys.readouterr().err


@pytest.mark.parametrize("command", ["demo", "study"])
def test_help_has_an_example(command, capsys):
    with pytest.raises(SystemExit) as stopped:
        main([command, "--help"])
    assert stopped.value.code == 0
    assert f"example: bodycond {command}" in capsys.readouterr().out


def test_an_unusable_folder_exits_1(call, tmp_path):
    (tmp_path / "taken").write_text("a file, not a folder", encoding="utf-8")
    code, _, err = call(*STUDY[:-1], "@taken")
    assert code == 1
    assert "taken" in err
    assert "Traceback" not in err


def test_the_module_runs():
    done = subprocess.run(
        [sys.executable, "-m", "bodycond", "--help"], capture_output=True, text=True, check=True
    )
    assert "study" in done.stdout
