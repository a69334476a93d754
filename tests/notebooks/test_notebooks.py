"""Each notebook runs from top to bottom and still says what its committed outputs say."""

import re
from pathlib import Path

import pytest

nbformat = pytest.importorskip("nbformat")

FOLDER = Path(__file__).parent.parent.parent / "notebooks"
NOTEBOOKS = sorted(FOLDER.glob("*.ipynb"))


def read_texts(notebook):
    """The text outputs of a notebook, without what a pandas version may lay out differently."""
    texts = []
    for cell in notebook.cells:
        for output in cell.get("outputs", []):
            text = output.get("text") or output.get("data", {}).get("text/plain", "")
            if "image/png" not in output.get("data", {}):
                texts.append(re.sub(r"\s+", " ", text).strip())
    return texts


def test_there_is_one_notebook_a_user():
    assert [path.stem for path in NOTEBOOKS] == ["analyst", "coordinator", "researcher"]


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_committed_with_outputs_and_public_names_alone(path):
    notebook = nbformat.read(path, as_version=4)
    code = [cell for cell in notebook.cells if cell.cell_type == "code"]
    assert all(cell.execution_count for cell in code)
    assert any(cell.outputs for cell in code)
    for line in "\n".join(cell.source for cell in code).splitlines():
        imported = re.match(r"\s*(?:from|import) (bodycond[.\w]*)", line)
        # A part of bodycond and not a module inside it, and no name that begins with _.
        assert imported is None or imported[1].count(".") <= 1, line
        assert not re.search(r"bodycond.*\b_[a-z]", line), line


@pytest.mark.slow
@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_runs_and_gives_the_committed_outputs(path):
    from nbclient import NotebookClient

    committed = nbformat.read(path, as_version=4)
    fresh = nbformat.read(path, as_version=4)
    NotebookClient(
        fresh, timeout=300, kernel_name="python3", resources={"metadata": {"path": str(FOLDER)}}
    ).execute()
    assert read_texts(fresh) == read_texts(committed)
