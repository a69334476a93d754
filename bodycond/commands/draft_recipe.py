"""``bodycond draft-recipe``: what the sheets seem to hold, and what must be asked."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from bodycond.commands.outcome import DATA_FAILED, DONE, CommandOutcome, word_command
from bodycond.commands.progress import Stages


def add_commands(commands: Any) -> None:
    """Add ``draft-recipe`` to the parser.

    Parameters
    ----------
    commands : argparse subparsers
        Where to add it.
    """
    command = commands.add_parser(
        "draft-recipe",
        help="read old sheets and propose what each column means",
        description="Read old sheets and propose what each column means. What the headings and "
        "cells leave open becomes a question in the recipe; nothing is guessed in silence. "
        "Answer the questions in the file, then run bodycond import.",
        epilog="example: bodycond draft-recipe old_sheets exams_2019.xlsx --out recipe.yaml",
    )
    command.add_argument(
        "files", nargs="+", type=Path, metavar="FILES",
        help="workbooks, text files, or folders of them",
    )  # fmt: skip
    command.add_argument(
        "--out", type=Path, required=True, metavar="FILE", help="recipe to write (YAML)"
    )
    command.add_argument(
        "--replace", action="store_true",
        help="write over a recipe of that name, though somebody may have edited it",
    )  # fmt: skip
    command.add_argument("--json", action="store_true", help="print the outcome as JSON")
    command.set_defaults(run=_run)


def _run(options: argparse.Namespace) -> CommandOutcome:
    from bodycond.study import collect_files, run_draft

    with Stages(len(collect_files(options.files))) as stages:
        draft = run_draft(
            options.files, out=options.out, replace=options.replace, progress=stages.begin
        )
    follow = word_command("import", options.files, recipe=draft.path, out="imported")
    first = "answer the questions in the recipe, then run" if draft.questions else (
        "read the recipe over, then run"
    )  # fmt: skip
    record = {
        "complete": draft.complete,
        "recipe": str(draft.path),
        "changed": draft.changed,
        "files": len(draft.found.files),
        "sheets": draft.list_sheets(),
        "questions": list(draft.questions),
        "not_read": list(draft.not_read),
        "left_out": [
            {"path": path.as_posix(), "reason": reason} for path, reason in draft.found.left_out
        ],
        "next": follow,
    }
    text = f"{draft.summary()}\nNext: {first}\n  {follow}"
    return CommandOutcome(code=DONE if draft.complete else DATA_FAILED, text=text, record=record)
