"""Old sheets of an invented network, and a way to call the command line."""

import hashlib
from types import SimpleNamespace

import pytest

from bodycond.cli import main

TABLE = """\
Case no.,Species,Sex,Mass (g),Keel
A1,Buteo buteo,F,820,2
A2,Buteo buteo,F,900,3
A3,Buteo buteo,F,0.88 kg,3
A4,Buteo buteo,F,heavy,4
A5,Buteo buteo,M,1040,2-Mar
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
def sheets(tmp_path):
    """Write one sheet and its recipe; give their folder."""
    folder = tmp_path / "sheets"
    folder.mkdir()
    (folder / "exams.csv").write_text(TABLE, encoding="utf-8")
    (tmp_path / "recipe.yaml").write_text(RECIPE, encoding="utf-8")
    return folder


@pytest.fixture
def call(capsys):
    """Call the command line; give exit code, output and errors."""

    def run(*words):
        code = main([str(word) for word in words])
        captured = capsys.readouterr()
        return SimpleNamespace(code=code, out=captured.out, err=captured.err)

    return run


@pytest.fixture
def run(call, sheets, tmp_path):
    """Import the sheets by their recipe."""

    def go(*words, out="out"):
        return call(
            "import", sheets, "--recipe", tmp_path / "recipe.yaml", "--out", tmp_path / out, *words
        )

    return go


@pytest.fixture
def list_files():
    """Give the files in a folder with their hashes."""

    def run(folder):
        return {
            path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
            for path in folder.rglob("*")
            if path.is_file()
        }

    return run
