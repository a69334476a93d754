"""The command line: parses, calls, prints."""

from __future__ import annotations

import argparse
import io
import json
import sys
from collections.abc import Callable, Sequence

from bodycond.commands import draft_recipe, import_files, study
from bodycond.commands.outcome import CALL_WRONG, DATA_FAILED, CommandOutcome
from bodycond.errors import ArgumentError, BodycondError, CorrectionError, RecipeError

# What a console takes for an order and not for a letter; a name in a file can hold it.
_CONSOLE_ORDERS = {code: f"\\x{code:02x}" for code in (*range(32), *range(127, 160))
                   if code not in (9, 10)}  # fmt: skip


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
    run: Callable[[argparse.Namespace], CommandOutcome] = options.run
    try:
        outcome = run(options)
    except BodycondError as error:
        # A recipe and a file of corrections are parts of the call.
        wrong_call = isinstance(error, ArgumentError | CorrectionError | RecipeError)
        _print_error(str(error))
        return CALL_WRONG if wrong_call else DATA_FAILED
    except OSError as error:
        place = f" {error.filename}" if error.filename else ""
        _print_error(f"cannot use{place}: {error.strerror or error}")
        return DATA_FAILED
    if options.json:
        # ASCII alone, so that it is valid JSON in whatever encoding the output has.
        print(json.dumps(outcome.record, indent=2))
    else:
        print(outcome.text.translate(_CONSOLE_ORDERS))
    return outcome.code


def _print_error(words: str) -> None:
    print(f"bodycond: {words.translate(_CONSOLE_ORDERS)}", file=sys.stderr)


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
    for module in (study, draft_recipe, import_files):
        module.add_commands(commands)
    return parser


if __name__ == "__main__":
    sys.exit(main())
