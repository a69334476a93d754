"""The command that the reader can copy."""

import shlex

from bodycond.commands.outcome import word_command


def test_names_with_blanks_are_quoted_so_that_the_line_can_be_copied():
    line = word_command("import", ["old sheets/exams 1.csv"], recipe="my recipe.yaml", out="out")
    assert shlex.split(line) == [
        "bodycond", "import", "old sheets/exams 1.csv", "--recipe", "my recipe.yaml", "--out",
        "out",
    ]  # fmt: skip


def test_an_option_takes_several_values_or_is_left_out():
    assert word_command("import", ["a"], corrections=["b", "c"]) == (
        "bodycond import a --corrections b c"
    )
    assert word_command("import", ["a"], corrections=[]) == "bodycond import a"


def test_many_files_are_stood_for():
    files = [f"{number}.csv" for number in range(9)]
    assert word_command("import", files, out="o") == "bodycond import FILES... --out o"
    assert "7.csv" in word_command("import", files[:8], out="o")
