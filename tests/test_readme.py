"""What the README shows must run: the three users' first lines, and its links and picture."""

import re
import shutil
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
SNIPPETS = re.findall(r"```python\n(.*?)```", README, flags=re.DOTALL)


@pytest.fixture(scope="module")
def clone(tmp_path_factory):
    """A folder like a clone in which the demo has been run."""
    from bodycond.study import run_demo

    folder = tmp_path_factory.mktemp("clone")
    run_demo(out=folder / "demo_results")
    shutil.copytree(ROOT / "demo_dataset", folder / "demo_dataset")
    return folder


def test_there_are_three_users_with_five_lines_each():
    assert [len(snippet.strip().splitlines()) for snippet in SNIPPETS] == [5, 5, 5]


@pytest.mark.slow
@pytest.mark.parametrize("number", range(3), ids=["researcher", "coordinator", "analyst"])
def test_first_lines_run(clone, monkeypatch, capsys, number):
    monkeypatch.chdir(clone)
    exec(compile(SNIPPETS[number], "README.md", "exec"), {})  # noqa: S102
    assert len(capsys.readouterr().out) > 200


def test_commands_are_one_line_each_and_marked_for_ci():
    for name in ("demo", "test"):
        block = re.search(rf"<!-- command: {name} -->\n```sh\n(.*?)```", README, flags=re.DOTALL)
        assert block is not None
        assert len(block[1].strip().splitlines()) == 1
        assert block[1].startswith("python3 -m venv .venv && ")


def test_links_and_picture_lead_somewhere():
    targets = re.findall(r"\]\(([^)#]+)\)", README)
    assert len(targets) > 8
    missing = [target for target in targets if not (ROOT / target).exists()]
    assert missing == []


def test_job_comes_first_and_the_cautions_are_there():
    paragraphs = README.split("\n\n")
    assert paragraphs[0] == "# bodycond"
    assert paragraphs[1].startswith("A clinician at a raptor hospital")
    for word in ("Talons", "Infections", "Stress", "Alcohol", "Blood", "Law", "no\ndiagnosis"):
        assert word in README
