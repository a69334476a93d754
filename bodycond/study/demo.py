"""The demo: the whole job on the invented dataset that comes with bodycond."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from bodycond.errors import UnreadableFileError
from bodycond.study.running import run_study
from bodycond.study.settings import StudySettings
from bodycond.study.study_result import StudyResult

_SUFFIXES = (".xlsx", ".xls", ".ods", ".csv", ".tsv")


def find_demo_dataset() -> Path:
    """Find the demo dataset: inside an installed package, or beside it in a clone.

    Returns
    -------
    Path
        Its folder.

    Raises
    ------
    UnreadableFileError
        If it is in neither place.
    """
    package = Path(__file__).resolve().parent.parent
    for folder in (package / "demo_dataset", package.parent / "demo_dataset"):
        if (folder / "recipe.yaml").is_file():
            return folder
    raise UnreadableFileError(
        needed="The demo needs the folder demo_dataset with its recipe.yaml",
        found=f"none inside or beside {package}",
        then="Install bodycond again, or run the demo from a clone of the project",
    )


def run_demo(*, out: str | Path, progress: Callable[[str], None] | None = None) -> StudyResult:
    """Run the whole job on the demo dataset.

    Parameters
    ----------
    out : path
        Folder to write to.
    progress : callable, optional
        Called with the name of each stage as it begins.

    Returns
    -------
    StudyResult
        Results and files.

    Raises
    ------
    UnreadableFileError
        If the demo dataset is not there.
    """
    folder = find_demo_dataset()
    files = sorted(path for path in (folder / "legacy").iterdir() if path.suffix in _SUFFIXES)
    return run_study(
        files,
        out=out,
        recipe=folder / "recipe.yaml",
        settings=StudySettings(reference="S01"),
        title="Body condition at the Tarnmere Raptor Network (invented data)",
        progress=progress,
    )
