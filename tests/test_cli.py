"""The command line: exit codes, messages without tracebacks, JSON, help with an example."""

import json
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
    assert "Not done: scaled mass. no structural size was measured often enough" in out
    assert str(tmp_path / "out" / "report.html") in out


def test_the_last_lines_say_where_to_look(call, tmp_path):
    _, out, _ = call(*STUDY)
    assert out.splitlines()[-1] == f"Manifest: {tmp_path / 'out' / 'manifest.json'}"


def test_a_progress_bar_names_the_stages_on_standard_error(call):
    _, _, err = call(*STUDY)
    for stage in ("importing", "checking", "estimating", "writing the report", "done"):
        assert stage in err
    assert "7/7" in err


def test_json(call):
    code, out, _ = call(*STUDY, "--json")
    outcome = json.loads(out)
    assert code == (0 if outcome["complete"] else 1)
    assert outcome["exams"] == 6
    assert outcome["questions"] == []


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


def test_an_unknown_score_exits_2(call):
    code, _, err = call(*STUDY, "--score", "fat")
    assert code == 2
    assert "'fat'" in err


def test_without_a_recipe_a_draft_and_questions(call, tmp_path):
    code, out, _ = call("study", "@exams.csv", "--out", "@out")
    assert (tmp_path / "out" / "draft_recipe.yaml").is_file()
    assert "questions are open" in out
    assert code in (0, 1)


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
