"""Keys and plain values taken from a recipe's mappings, faults noted with their lines."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from difflib import get_close_matches

from bodycond.legacy.yaml_nodes import Node

RECIPE_VERSION = 1
"""Version of the recipe's form, which every recipe names."""

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
    if isinstance(entry.value, bool) or not isinstance(entry.value, int | float):
        problems.append((entry.line, f"{key!r} takes a number"))
        return None
    return float(entry.value)
