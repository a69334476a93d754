"""Keys and plain values taken from a recipe's mappings, faults noted with their lines."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable
from difflib import get_close_matches

from bodycond.legacy.recipes.yaml_nodes import Node

RECIPE_VERSION = 1
"""Version of the recipe's form, which every recipe names."""

MOST_ROWS = 10**9
"""No table has a row of a higher number."""

Problems = list[tuple[int, str]]


def check_keys(node: Node, known: Collection[str], problems: Problems, *, what: str) -> None:
    """Report the keys of a mapping that nobody knows, with the nearest that is known.

    Parameters
    ----------
    node : Node
        The mapping.
    known : collection of str
        The keys that it can have.
    problems : list of (int, str)
        Added to.
    what : str
        What the mapping describes.
    """
    for key, entry in node.value.items():
        if key not in known:
            problems.append((entry.line, f"unknown key {key!r} in {what}{suggest(key, known)}"))


def suggest(word: str, known: Iterable[str]) -> str:
    """Say which known word was probably meant.

    Parameters
    ----------
    word : str
        The word found.
    known : iterable of str
        The words known.

    Returns
    -------
    str
        Something to put behind the message.
    """
    names = list(known)
    near = get_close_matches(word, names, n=1)
    return f"; did you mean {near[0]!r}" if near else f"; known are {', '.join(names)}"


def take_text(node: Node, key: str, problems: Problems) -> str | None:
    """Take a text from a mapping.

    Parameters
    ----------
    node : Node
        The mapping.
    key : str
        The key.
    problems : list of (int, str)
        Added to where the value is no text.

    Returns
    -------
    str or None
        The text as written; None where the key is absent or empty.
    """
    entry = node.value.get(key)
    if entry is None or entry.value is None:
        return None
    if isinstance(entry.value, dict | list):
        problems.append((entry.line, f"{key!r} takes one word or text"))
        return None
    return str(entry.text)


def take_number(node: Node, key: str, problems: Problems) -> float | None:
    """Take a number from a mapping.

    Parameters
    ----------
    node : Node
        The mapping.
    key : str
        The key.
    problems : list of (int, str)
        Added to where the value is no number.

    Returns
    -------
    float or None
        The number; None where the key is absent or empty.
    """
    entry = node.value.get(key)
    if entry is None or entry.value is None:
        return None
    number = read_number(entry.value)
    if number is None:
        problems.append((entry.line, f"{key!r} takes a number"))
    return number


def read_number(value: object) -> float | None:
    """Give a value of a recipe as a number.

    Parameters
    ----------
    value : object
        The value of a node.

    Returns
    -------
    float or None
        None for anything else, and for a number that is too large to be one.

    Examples
    --------
    >>> read_number(3), read_number(True), read_number(10**400)
    (3.0, None, None)
    """
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    try:
        number = float(value)
    except OverflowError:
        return None
    return number if math.isfinite(number) else None


def take_texts(node: Node, key: str, problems: Problems) -> tuple[str, ...]:
    """Take one text or a list of texts from a mapping.

    Parameters
    ----------
    node : Node
        The mapping.
    key : str
        The key.
    problems : list of (int, str)
        Added to where the value, or an item of it, is no text.

    Returns
    -------
    tuple of str
        The texts as written; none where the key is absent or empty.
    """
    entry = node.value.get(key)
    if entry is None or entry.value is None:
        return ()
    if isinstance(entry.value, list):
        for item in entry.value:
            if item.value is None or isinstance(item.value, dict | list):
                problems.append((item.line, f"{key!r} takes words or texts, none of them empty"))
        return tuple(str(item.text) for item in entry.value if item.text)
    text = take_text(node, key, problems)
    return (text,) if text else ()


def take_flag(node: Node, key: str, problems: Problems, *, default: bool) -> bool:
    """Take true or false from a mapping.

    Parameters
    ----------
    node : Node
        The mapping.
    key : str
        The key.
    problems : list of (int, str)
        Added to where the value is neither.
    default : bool
        What holds where the key is absent or empty.

    Returns
    -------
    bool
        The value.
    """
    entry = node.value.get(key)
    if entry is None or entry.value is None:
        return default
    if not isinstance(entry.value, bool):
        problems.append((entry.line, f"{key!r} takes true or false"))
        return default
    return entry.value


def take_rows(node: Node, key: str, problems: Problems) -> tuple[int, ...]:
    """Take one row number or a list of them from a mapping.

    Parameters
    ----------
    node : Node
        The mapping.
    key : str
        The key.
    problems : list of (int, str)
        Added to where a value is no whole number from 1.

    Returns
    -------
    tuple of int
        Rows, counted from 1.
    """
    entry = node.value.get(key)
    if entry is None or entry.value is None:
        return ()
    values = (
        [item.value for item in entry.value] if isinstance(entry.value, list) else [entry.value]
    )
    good = [value for value in values if type(value) is int and 1 <= value <= MOST_ROWS]
    if len(good) != len(values):
        problems.append((entry.line, f"{key!r} takes row numbers, counted from 1"))
    return tuple(good)


def take_row(node: Node, key: str, problems: Problems) -> int | None:
    """Take one row number from a mapping.

    Parameters
    ----------
    node : Node
        The mapping.
    key : str
        The key.
    problems : list of (int, str)
        Added to where the value is no row or more than one.

    Returns
    -------
    int or None
        The row, counted from 1.
    """
    rows = take_rows(node, key, problems)
    if len(rows) > 1:
        problems.append((node.value[key].line, f"{key!r} takes one row"))
    return rows[0] if rows else None


def take_constants(node: Node, key: str, problems: Problems) -> dict[str, Node]:
    """Take a mapping of words to single values from a mapping.

    Parameters
    ----------
    node : Node
        The mapping.
    key : str
        The key.
    problems : list of (int, str)
        Added to where it is something else.

    Returns
    -------
    dict of str to Node
        The values with their lines.
    """
    entry = node.value.get(key)
    if entry is None or entry.value is None:
        return {}
    if not isinstance(entry.value, dict):
        problems.append((entry.line, f"{key!r} is a mapping of fields to values"))
        return {}
    return dict(entry.value)
