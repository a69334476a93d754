"""The command line: parses, calls, prints."""

from __future__ import annotations

import argparse
import io
import json
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bodycond.errors import ArgumentError, BodycondError, RecipeError

if TYPE_CHECKING:
    from bodycond.study import StudyResult

DONE, DATA_FAILED, CALL_WRONG = 0, 1, 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command.

    Parameters
    ----------
    arguments : sequence of str, optional
        The words behind ``bodycond``; those of the process if absent.

    Returns
    -------
    int
        0 if the job ran to its end, 1 if the data did not allow something that was asked for,
        2 if the call was wrong.
    """
    _make_printable()
    options = _build_parser().parse_args(arguments)
    run: Callable[[argparse.Namespace], int] = options.run
    try:
        return run(options)
    except (ArgumentError, RecipeError) as error:
        print(f"bodycond: {error}", file=sys.stderr)
        return CALL_WRONG
    except BodycondError as error:
        print(f"bodycond: {error}", file=sys.stderr)
        return DATA_FAILED
    except OSError as error:
        place = f" {error.filename}" if error.filename else ""
        print(f"bodycond: cannot use{place}: {error.strerror or error}", file=sys.stderr)
        return DATA_FAILED


def _make_printable() -> None:
    """Let a name that the console's encoding lacks be printed as an escape, not end the job."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def _build_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="bodycond",
        description="Body-condition research on birds of prey: old exam sheets in; checked "
        "tables, condition estimates, scorer agreement and a report out.",
        epilog="A score is no diagnosis. Exit code 0: done; 1: the data did not allow something "
        "that was asked for; 2: the call was wrong.",
    )
    commands = parser.add_subparsers(title="commands", required=True, metavar="COMMAND")
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
    return parser


def _add_shared(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--out", type=Path, required=True, metavar="DIR", help="folder to write to"
    )
    command.add_argument("--json", action="store_true", help="print the outcome as JSON")


def _run_demo(options: argparse.Namespace) -> int:
    from bodycond.study import run_demo

    with _Stages() as stages:
        result = run_demo(out=options.out, progress=stages.begin)
    return _print_outcome(result, as_json=options.json)


def _run_study(options: argparse.Namespace) -> int:
    from bodycond.study import StudySettings, run_study

    settings = StudySettings(score=options.score, size=options.size, reference=options.reference)
    with _Stages() as stages:
        result = run_study(
            options.files,
            out=options.out,
            recipe=options.recipe,
            settings=settings,
            title=options.title,
            progress=stages.begin,
        )
    return _print_outcome(result, as_json=options.json)


class _Stages:
    """Shows on standard error which stage runs: a bar on a terminal, elsewhere a line each."""

    def __enter__(self) -> _Stages:
        from bodycond.study.running import STAGES

        self._total, self._begun = len(STAGES), 0
        self._bar: Any = None
        if sys.stderr.isatty():
            from tqdm import tqdm

            self._bar = tqdm(
                total=self._total, file=sys.stderr, ncols=78,
                bar_format="{desc:<22}|{bar}| {n_fmt}/{total_fmt} [{elapsed}]",
            )  # fmt: skip
        return self

    def begin(self, stage: str) -> None:
        """Show that a stage begins."""
        self._begun += 1
        if self._bar is None:
            print(f"{self._begun}/{self._total} {stage}", file=sys.stderr, flush=True)
            return
        self._bar.update(self._begun - 1 - self._bar.n)
        self._bar.set_description_str(stage)

    def __exit__(self, failed: object, *_rest: object) -> None:
        if self._bar is None:
            return
        if failed is None:
            self._bar.update(self._total - self._bar.n)
            self._bar.set_description_str("done")
        self._bar.close()


def _print_outcome(result: StudyResult, *, as_json: bool) -> int:
    code = DONE if result.complete else DATA_FAILED
    report = result.folder / "report.html"
    files = result.imported.files
    if as_json:
        outcome = {
            "complete": result.complete,
            **{str(name): int(count) for name, count in result.to_frame().iloc[0].items()},
            "not_done": result.analysis.not_done[["part", "reason"]].to_dict("records"),
            "not_read": [str(problem) for problem in files.loc[~files["readable"], "problem"]],
            "questions": list(result.questions),
            "left_over": [path.as_posix() for path in result.left_over],
            "report": str(report),
            "manifest": str(result.folder / "manifest.json"),
        }
        # ASCII alone, so that it is valid JSON in whatever encoding the output has.
        print(json.dumps(outcome, indent=2))
        return code
    print(result.summary())
    print(f"Report:   {report}")
    print(f"Tables:   {result.folder / 'tables'}")
    if any(path.parent.name == "figures" for path in result.outputs):
        print(f"Figures:  {result.folder / 'figures'}")
    print(f"Manifest: {result.folder / 'manifest.json'}")
    return code


if __name__ == "__main__":
    sys.exit(main())
