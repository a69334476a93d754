"""Errors written for the person who meets them.

Every message has three parts: what was needed, what was found (with its place: file, sheet,
cell, column, row), and what to do next.
"""

from __future__ import annotations

from collections.abc import Iterable


class BodycondError(ValueError):
    """Something that bodycond was asked for cannot be done, and why.

    Parameters
    ----------
    needed : str
        What is needed, as a sentence without its full stop.
    found : str
        What was found instead, with column, count and the first few addresses.
    then : str
        What the reader can do about it.

    Raises
    ------
    TypeError
        If one of the three parts is missing.
    """

    def __init__(self, *, needed: str, found: str, then: str) -> None:
        self.needed = needed
        self.found = found
        self.then = then
        super().__init__(f"{needed}. Found: {found}. {then}.")

    def __reduce__(self) -> tuple[object, ...]:
        # Pickle would call the class with the message alone; an error that cannot cross from a
        # worker process hides itself behind a TypeError.
        return _rebuild_error, (type(self), self.needed, self.found, self.then)


def _rebuild_error(kind: type[BodycondError], needed: str, found: str, then: str) -> BodycondError:
    return kind(needed=needed, found=found, then=then)


class MissingColumnError(BodycondError):
    """A column that the work needs is not in the table."""


class DegenerateDataError(BodycondError):
    """The data leave nothing to estimate: too few birds, no variation, all missing."""


class MixedGroupsError(BodycondError):
    """Species or sexes would be pooled without a stated reason."""


class ScaleError(BodycondError):
    """A grade is not on its score scale, or a scale is described impossibly."""


class UnreadableFileError(BodycondError):
    """A file cannot be read: missing, empty, locked, truncated or of an unknown kind."""


class RecipeError(BodycondError):
    """An import recipe says something that cannot be carried out."""


class CorrectionError(BodycondError):
    """A corrections file says something that cannot be carried out."""


class ArgumentError(BodycondError):
    """A call was made with a value that the function does not know."""


class GateWarning(UserWarning):
    """An estimate is defined but weak; the message carries the numbers that make it so."""


def name_first_few(values: Iterable[object], *, limit: int = 5) -> str:
    """Join the first few values, and say how many more there are.

    Parameters
    ----------
    values : iterable
        What to list.
    limit : int, default 5
        How many to spell out; five fit on a line and show a pattern.

    Returns
    -------
    str
        For example ``"2, 7, 9 and 4 more"``.

    Examples
    --------
    >>> name_first_few(range(8), limit=3)
    '0, 1, 2 and 5 more'
    """
    listed = [str(value) for value in values]
    if len(listed) <= limit:
        return ", ".join(listed)
    return f"{', '.join(listed[:limit])} and {len(listed) - limit} more"


def require_columns(present: Iterable[str], needed: Iterable[str], *, purpose: str) -> None:
    """Raise one error that names every missing column.

    Parameters
    ----------
    present : iterable of str
        The table's column names.
    needed : iterable of str
        The names that the work needs.
    purpose : str
        What the columns are for, to begin the message with.

    Raises
    ------
    MissingColumnError
        If any needed name is absent.
    """
    have = list(present)
    missing = [name for name in needed if name not in have]
    if missing:
        raise MissingColumnError(
            needed=f"{purpose} needs the column{'s' if len(missing) > 1 else ''} "
            f"{', '.join(repr(name) for name in missing)}",
            found=f"columns {name_first_few((repr(name) for name in have), limit=12) or 'none'}",
            then="Rename a column, or name the one to use in the call",
        )


def require_choice(value: str, choices: Iterable[str], *, argument: str) -> None:
    """Raise if a word is not among those that an argument takes.

    Parameters
    ----------
    value : str
        The word given.
    choices : iterable of str
        The words known.
    argument : str
        The argument's name, for the message.

    Raises
    ------
    ArgumentError
        If the word is unknown.
    """
    known = list(choices)
    if value not in known:
        raise ArgumentError(
            needed=f"{argument}= takes {' or '.join(repr(choice) for choice in known)}",
            found=f"{argument}={value!r}",
            then="Choose one of them",
        )


def require_level(level: float) -> None:
    """Raise unless a confidence level lies strictly between 0 and 1.

    Parameters
    ----------
    level : float
        The level.

    Raises
    ------
    ArgumentError
        If it does not.
    """
    if not 0.0 < level < 1.0:
        raise ArgumentError(
            needed="level= is a confidence level strictly between 0 and 1",
            found=f"level={level!r}",
            then="Use 0.95 for a 95 % interval",
        )
