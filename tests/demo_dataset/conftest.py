"""The committed demo data set, a freshly made one, and the scripts that make it."""

from __future__ import annotations

import importlib
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import openpyxl
import pandas as pd
import pytest

DEMO = Path(__file__).resolve().parents[2] / "demo_dataset"
TEXTS = {"ring_number": "str", "mass_text": "str", "keel_text": "str", "crop_fill": "str"}


@pytest.fixture(scope="session")
def demo() -> Path:
    """The committed folder."""
    return DEMO


@pytest.fixture(scope="session")
def made_anew(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that the script has filled just now, in a process of its own."""
    folder = tmp_path_factory.mktemp("demo")
    subprocess.run([sys.executable, str(DEMO / "make_demo.py"), "--out", str(folder)], check=True)
    return folder


@pytest.fixture(scope="session")
def script() -> Callable[[str], ModuleType]:
    """Import one of the demo's scripts by name."""

    def import_script(name: str) -> ModuleType:
        sys.path.insert(0, str(DEMO))
        try:
            return importlib.import_module(name)
        finally:
            sys.path.remove(str(DEMO))

    return import_script


@pytest.fixture(scope="session")
def true_exams() -> pd.DataFrame:
    """The true exams; empty cells are missing, and 'N/W' and 'k.A.' are not."""
    return pd.read_csv(
        DEMO / "true_exams.csv",
        dtype=TEXTS,
        keep_default_na=False,
        na_values=[""],
        parse_dates=["exam_date"],
    )


@pytest.fixture(scope="session")
def true_ratings() -> pd.DataFrame:
    """The true ratings."""
    return pd.read_csv(DEMO / "true_ratings.csv", parse_dates=["rated_on"])


@pytest.fixture(scope="session")
def answer_key() -> pd.DataFrame:
    """The answer key, every cell as text."""
    return pd.read_csv(DEMO / "answer_key.csv", dtype={"row": "int64"}, keep_default_na=False)


@pytest.fixture(scope="session")
def grids() -> dict[tuple[str, str], list[list[object]]]:
    """Every sheet of the books as rows of cells, read by openpyxl and by splitting lines."""
    found: dict[tuple[str, str], list[list[object]]] = {}
    for path in sorted((DEMO / "legacy").iterdir()):
        if path.suffix == ".xlsx":
            book = openpyxl.load_workbook(path)
            for sheet in book:
                rows = [list(row) for row in sheet.iter_rows(values_only=True)]
                found[path.name, sheet.title] = rows
        else:
            lines = path.read_bytes().decode("cp1252").split("\r\n")[:-1]
            found[path.name, ""] = [[cell or None for cell in line.split(";")] for line in lines]
    return found
