"""``bodycond import``: old sheets in by a recipe, and an account of every cell."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bodycond.commands.outcome import DATA_FAILED, DONE, CommandOutcome, word_command
from bodycond.commands.progress import Stages
from bodycond.errors import ArgumentError

if TYPE_CHECKING:
    from bodycond.study import ImportRun

_MOST_FORMS = 3


def add_commands(commands: Any) -> None:
    """Add ``import`` to the parser.

    Parameters
    ----------
    commands : argparse subparsers
        Where to add it.
    """
    command = commands.add_parser(
        "import",
        help="read old sheets by a recipe into one table of exams",
        description="Read old sheets by a recipe into one table of exams, with an account of "
        "every cell: accepted, converted, held back with a reason, or set aside. The sheets "
        "themselves are never changed.",
        epilog="example: bodycond import old_sheets exams_2019.xlsx --recipe recipe.yaml "
        "--out imported. What comes back: add --corrections imported/marked "
        "imported/bird_links.csv. Exit code 0: done, cells held back or not; 1: a file could not "
        "be read, a correction was not applied or nothing came out; 2: the call, the recipe or a "
        "correction was wrong.",
    )
    command.add_argument(
        "files", nargs="+", type=Path, metavar="FILES",
        help="workbooks, text files, or folders of them",
    )  # fmt: skip
    command.add_argument(
        "--recipe", type=Path, metavar="FILE",
        help="import recipe (YAML), needed: bodycond draft-recipe proposes one",
    )  # fmt: skip
    command.add_argument(
        "--out", type=Path, required=True, metavar="DIR", help="folder to write to"
    )
    command.add_argument(
        "--corrections", type=Path, nargs="+", action="extend", default=[], metavar="FILE",
        help="filled-in corrections, or marked workbooks that came back, or folders of them",
    )  # fmt: skip
    command.add_argument(
        "--no-marked", action="store_true",
        help="write no marked workbooks, which take longest where much is held",
    )  # fmt: skip
    command.add_argument("--json", action="store_true", help="print the outcome as JSON")
    command.set_defaults(run=_run)


def _run(options: argparse.Namespace) -> CommandOutcome:
    from bodycond.study import collect_files, run_import
    from bodycond.study.importing_files import STAGES

    if options.recipe is None:
        draft = word_command("draft-recipe", options.files, out="recipe.yaml")
        raise ArgumentError(
            needed="An import needs --recipe, which says what each column means",
            found="no recipe",
            then=f"Have one drafted, answer its questions, then import by it: {draft}",
        )
    with Stages(len(collect_files(options.files)) + len(STAGES)) as stages:
        run = run_import(
            options.files,
            recipe=options.recipe,
            out=options.out,
            corrections=options.corrections,
            marked=not options.no_marked,
            progress=stages.begin,
        )
    return _word_run(run, options)


def _word_run(run: ImportRun, options: argparse.Namespace) -> CommandOutcome:
    from bodycond.study.import_run import MARKED_FOLDER

    # A folder stands for the workbooks in it.
    many = len(run.marked) > _MOST_FORMS
    forms = [run.folder / MARKED_FOLDER, *run.forms[len(run.marked) :]] if many else run.forms
    forms = [*options.corrections, *forms]
    again = word_command(
        "import", options.files, recipe=options.recipe, corrections=list(dict.fromkeys(forms)),
        out=options.out,
    )  # fmt: skip
    record = {
        "complete": run.complete,
        **{str(name): int(count) for name, count in run.to_frame().iloc[0].items()},
        "reconciles": run.reconciles,
        "questions": list(run.imported.recipe.questions),
        "not_read": list(run.not_read),
        "left_out": [
            {"path": path.as_posix(), "reason": reason} for path, reason in run.found.left_out
        ],
        "left_over": [path.as_posix() for path in run.left_over],
        "outputs": [path.as_posix() for path in run.outputs],
        "report": str(run.folder / "import_report.html"),
        "manifest": str(run.folder / "manifest.json"),
        "next": again if run.forms else "",
    }
    lines = [
        run.summary(),
        f"Report:   {record['report']}",
        f"Tables:   {run.folder}",
        *([f"Marked:   {run.folder / 'marked'}"] if run.marked else []),
        f"Manifest: {record['manifest']}",
    ]
    if record["next"]:
        steps = [
            *(["answer the questions in the recipe"] if record["questions"] else []),
            *(["fill in the lists in the marked workbooks"] if run.marked else []),
            *(["decide the birds in bird_links.csv"] if record["bird_links"] else []),
        ]
        lines += [f"Next: {', '.join(steps)}, then run", f"  {record['next']}"]
    return CommandOutcome(
        code=DONE if run.complete else DATA_FAILED, text="\n".join(lines), record=record
    )
