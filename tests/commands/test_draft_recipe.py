"""``bodycond draft-recipe``: what is said, what is asked, and whose work is not written over."""

import json
import re

import pytest

from bodycond.cli import main
from bodycond.legacy import ImportRecipe


@pytest.fixture
def draft(call, sheets, tmp_path):
    """Draft the recipe of the sheets."""

    def run(*words):
        return call("draft-recipe", sheets, "--out", tmp_path / "draft.yaml", *words)

    return run


def find_line(text, start):
    (line,) = [line.strip() for line in text.splitlines() if line.strip().startswith(start)]
    return line


def test_each_sheet_is_told_with_its_fields_and_questions(draft, tmp_path):
    done = draft()
    assert done.code == 0
    assert "1 file; recipe of 1 entry written to" in done.out
    assert "exams.csv: exams, headings in row 1" in done.out
    assert "mass_g, unit g" in find_line(done.out, "'Mass (g)'")
    assert re.fullmatch(
        r"'Case no.'  bird_id \(confidence 0\.\d\d\)", find_line(done.out, "'Case no.'")
    )
    assert ImportRecipe.load(tmp_path / "draft.yaml").questions


def test_questions_are_counted_and_stand_under_their_number(draft, tmp_path):
    done = draft()
    total = len(ImportRecipe.load(tmp_path / "draft.yaml").questions)
    assert f"Open questions: {total}." in done.out
    number = re.fullmatch(r".*keel\? QUESTION (\d+)", find_line(done.out, "'Keel'"))[1]
    question = find_line(done.out, f"{number}. ")
    assert question.startswith(f"{number}. exams.csv, column 'Keel': Which score scale is this")


def test_the_last_line_is_the_next_command(draft, sheets, tmp_path):
    recipe = tmp_path / "draft.yaml"
    assert draft().out.splitlines()[-2:] == [
        "Next: answer the questions in the recipe, then run",
        f"  bodycond import {sheets} --recipe {recipe} --out imported",
    ]


def test_the_next_command_runs(draft, call, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    words = draft().out.splitlines()[-1].split()[1:]
    assert call(*words).code == 0
    assert (tmp_path / "imported" / "exams.csv").is_file()


def test_an_edited_recipe_is_not_written_over(draft, tmp_path):
    draft()
    recipe = tmp_path / "draft.yaml"
    edited = recipe.read_text(encoding="utf-8") + "# my own words\n"
    recipe.write_text(edited, encoding="utf-8")
    done = draft()
    assert done.code == 2
    assert "A draft is not written over a recipe that somebody may have edited" in done.err
    assert "add --replace to lose what stands there" in done.err
    assert recipe.read_text(encoding="utf-8") == edited
    assert sorted(path.name for path in tmp_path.iterdir() if path.name.startswith(".")) == []


def test_an_equal_draft_may_stand(draft):
    first, again = draft("--json"), draft("--json")
    assert (json.loads(first.out)["changed"], json.loads(again.out)["changed"]) == (True, False)
    assert "the same as it stands in" in draft().out


def test_replace_writes_over(draft, tmp_path):
    recipe = tmp_path / "draft.yaml"
    recipe.write_text("# old\n", encoding="utf-8")
    assert draft("--replace").code == 0
    assert ImportRecipe.load(recipe).sheets


def test_a_folder_as_out_is_a_wrong_call(call, sheets):
    done = call("draft-recipe", sheets, "--out", sheets)
    assert done.code == 2
    assert "--out names the recipe's file" in done.err
    assert "which is a folder" in done.err


def test_json_tells_the_same(draft):
    outcome = json.loads(draft("--json").out)
    assert outcome["complete"] is True
    (sheet,) = outcome["sheets"]
    assert (sheet["table"], sheet["heading_row"]) == ("exams", [1])
    fields = {field["heading"]: field for field in sheet["fields"]}
    assert fields["Mass (g)"]["field"] == ["mass_g"]
    assert fields["Mass (g)"]["unit"] == "g"
    assert any(fields["Keel"]["question"] in question for question in outcome["questions"])
    assert outcome["next"].startswith("bodycond import ")


def test_a_file_that_cannot_be_read_exits_1_and_the_others_go_on(call, sheets, tmp_path):
    (sheets / "torn.xlsx").write_bytes(b"PK\x03\x04 torn")
    done = call("draft-recipe", sheets, "--out", tmp_path / "draft.yaml")
    assert done.code == 1
    assert "Not read: torn.xlsx: The file could not be read" in done.out
    assert "exams.csv: exams" in done.out
    assert "torn" not in done.out.split("Open questions")[1]


def test_nothing_readable_exits_1_and_writes_nothing(call, tmp_path):
    done = call("draft-recipe", tmp_path / "gone.csv", "--out", tmp_path / "draft.yaml")
    assert done.code == 1
    assert "gone.csv" in done.err
    assert not (tmp_path / "draft.yaml").exists()


def test_a_hostile_heading_gives_the_console_no_orders(call, sheets, tmp_path):
    text = "Case no.,\x1b[2J\x1b]0;gone\x07Mass\nA1,820\nA2,900\n"
    (sheets / "exams.csv").write_text(text, encoding="utf-8")
    done = call("draft-recipe", sheets, "--out", tmp_path / "draft.yaml")
    assert "\x1b" not in done.out + done.err
    assert "\x07" not in done.out + done.err


def test_progress_is_a_line_a_file(draft):
    assert draft().err.splitlines() == ["1/1 exams.csv"]


def test_help_has_an_example(capsys):
    with pytest.raises(SystemExit) as stopped:
        main(["draft-recipe", "--help"])
    assert stopped.value.code == 0
    assert "example: bodycond draft-recipe old_sheets" in capsys.readouterr().out
