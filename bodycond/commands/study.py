"""``bodycond demo`` and ``bodycond study``: the whole job."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bodycond.commands.outcome import DATA_FAILED, DONE, CommandOutcome
from bodycond.commands.progress import Stages

if TYPE_CHECKING:
    from bodycond.study import StudyResult


def add_commands(commands: Any) -> None:
    """Add ``demo`` and ``study`` to the parser.

    Parameters
    ----------
    commands : argparse subparsers
        Where to add them.
    """
    demo = commands.add_parser(
        "demo",
        help="run the whole job on the invented demo dataset",
        description="Run the whole job on the invented demo dataset.",
        epilog="example: bodycond demo --out demo_results",
    )
    _add_shared(demo)
    demo.set_defaults(run=_run_demo)
    study = commands.add_parser(
        "study",
        help="run the whole job on your own files",
        description="Run the whole job on your own files. Without --recipe a draft is written, "
        "what it is certain of is used, and the rest is listed as questions.",
        epilog="example: bodycond study exams_2019.xlsx exams_2020.csv --recipe recipe.yaml "
        "--out results",
    )
    study.add_argument("files", nargs="+", type=Path, metavar="FILE", help="workbook or text file")
    study.add_argument("--recipe", type=Path, help="import recipe (YAML)")
    study.add_argument(
        "--score", default="keel", metavar="COLUMN", help="score to study (default: keel)"
    )
    study.add_argument(
        "--size", metavar="COLUMN", help="structural size for scaled mass, such as tarsus_mm"
    )
    study.add_argument("--reference", metavar="SCORER", help="scorer to compare the others with")
    study.add_argument("--title", default="Body condition study", help="heading of the report")
    _add_shared(study)
    study.set_defaults(run=_run_study)


def _add_shared(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--out", type=Path, required=True, metavar="DIR", help="folder to write to"
    )
    command.add_argument("--json", action="store_true", help="print the outcome as JSON")


def _run_demo(options: argparse.Namespace) -> CommandOutcome:
    from bodycond.study import run_demo
    from bodycond.study.running import STAGES

    with Stages(len(STAGES)) as stages:
        result = run_demo(out=options.out, progress=stages.begin)
    return _word_result(result)


def _run_study(options: argparse.Namespace) -> CommandOutcome:
    from bodycond.study import StudySettings, run_study
    from bodycond.study.running import STAGES

    settings = StudySettings(score=options.score, size=options.size, reference=options.reference)
    with Stages(len(STAGES)) as stages:
        result = run_study(
            options.files,
            out=options.out,
            recipe=options.recipe,
            settings=settings,
            title=options.title,
            progress=stages.begin,
        )
    return _word_result(result)


def _word_result(result: StudyResult) -> CommandOutcome:
    report = result.folder / "report.html"
    manifest = result.folder / "manifest.json"
    files = result.imported.files
    record = {
        "complete": result.complete,
        **{str(name): int(count) for name, count in result.to_frame().iloc[0].items()},
        "not_done": result.analysis.not_done[["part", "reason"]].to_dict("records"),
        "not_read": [str(problem) for problem in files.loc[~files["readable"], "problem"]],
        "questions": list(result.questions),
        "left_over": [path.as_posix() for path in result.left_over],
        "report": str(report),
        "manifest": str(manifest),
    }
    lines = [result.summary(), f"Report:   {report}", f"Tables:   {result.folder / 'tables'}"]
    if any(path.parent.name == "figures" for path in result.outputs):
        lines.append(f"Figures:  {result.folder / 'figures'}")
    lines.append(f"Manifest: {manifest}")
    code = DONE if result.complete else DATA_FAILED
    return CommandOutcome(code=code, text="\n".join(lines), record=record)
