"""The package as a whole: what importing it costs, what it exports."""

import subprocess
import sys

import pytest

import bodycond

HEAVY = (
    "pandas", "pandera", "scipy.stats", "statsmodels", "seaborn", "matplotlib", "sklearn",
    "openpyxl", "pyarrow.parquet", "ruamel.yaml", "jinja2", "python_calamine", "tqdm",
)  # fmt: skip


def test_importing_loads_nothing_heavy_and_prints_nothing():
    code = f"import sys, bodycond; print([name for name in {HEAVY!r} if name in sys.modules])"
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"
    assert done.stderr == ""


@pytest.mark.parametrize("part", ["agreement", "condition", "exams", "legacy", "study"])
def test_a_part_loads_pandas_and_nothing_heavier(part):
    heavy = tuple(name for name in HEAVY if name not in {"pandas", "pyarrow.parquet"})
    code = (
        f"import sys, bodycond.{part}; print([name for name in {heavy!r} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_an_unknown_part():
    with pytest.raises(AttributeError, match="has no attribute 'nothing'"):
        bodycond.nothing  # noqa: B018


@pytest.mark.parametrize("name", bodycond.__all__)
def test_public_names_exist(name):
    assert hasattr(bodycond, name)


def test_version_is_the_one_of_the_metadata():
    from importlib.metadata import version

    assert bodycond.__version__ == version("bodycond")


def test_the_citation_file_has_the_same_version():
    from pathlib import Path

    citation = Path(__file__).parent.parent / "CITATION.cff"
    assert f"version: {bodycond.__version__}" in citation.read_text(encoding="utf-8")
