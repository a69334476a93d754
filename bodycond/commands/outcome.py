"""What a command gives back: an exit code, words for a person, a record for a program."""

from __future__ import annotations

import os
import shlex
import subprocess
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

DONE, DATA_FAILED, CALL_WRONG = 0, 1, 2

# More words than these on a line are no longer a command that somebody copies.
_MOST_WORDS = 8


@dataclass(frozen=True, kw_only=True, eq=False)
class CommandOutcome:
    """What a command gives back.

    Parameters
    ----------
    code : int
        0 if the job ran to its end, 1 if the data did not allow something that was asked for.
    text : str
        What a person reads.
    record : mapping of str to object
        The same for a program, printed as JSON where that was asked for.
    """

    code: int
    text: str
    record: Mapping[str, Any]


def word_command(command: str, files: Sequence[object], **options: object) -> str:
    """Write a command that the reader can copy, quoted as the system's own console wants it.

    Parameters
    ----------
    command : str
        The command's name.
    files : sequence of path
        Its files; a long list is written as ``FILES...``.
    **options : object
        Its options by name, in their order. A list gives an option several values; an option that
        is an empty list is left out.

    Returns
    -------
    str
        The line.

    Examples
    --------
    >>> word_command("import", ["a.csv"], recipe="recipe.yaml", corrections=[])
    'bodycond import a.csv --recipe recipe.yaml'
    """
    named = [str(file) for file in files]
    words = ["bodycond", command, *(named if len(named) <= _MOST_WORDS else [])]
    for name, value in options.items():
        values = value if isinstance(value, list | tuple) else [value]
        words += [f"--{name}", *(str(each) for each in values)] if values else []
    line = subprocess.list2cmdline(words) if os.name == "nt" else shlex.join(words)
    if len(named) > _MOST_WORDS:
        # The reader knows them; quoting would keep the stand-in from being read as one.
        line = line.replace(f"bodycond {command}", f"bodycond {command} FILES...", 1)
    return line
