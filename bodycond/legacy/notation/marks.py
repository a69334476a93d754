"""Marks of doubt, approximation and limits beside a value, kept as flags."""

from __future__ import annotations

import re

APPROXIMATE = "approximate"
STARRED = "marked with a star"
DOUBTED = "marked as doubtful"
BELOW = "below a limit"
ABOVE = "above a limit"

_MARKS = {"~": APPROXIMATE, "*": STARRED, "?": DOUBTED}
_ABOUT = re.compile(
    r"(?:ca\.? |c\. ?|ca(?=\d)|about |approx\.? |approximately |circa |est\.? |etwa |env\.? |"
    r"environ |ungef\.? |aprox\.? |ongeveer |hacia )",
    re.IGNORECASE,
)
_BEHIND = re.compile(r" ?\((\?|est\.?|approx\.?)\)", re.IGNORECASE)
_LIMIT = re.compile(
    r"([<>]) ?=? ?|(under|below|less than|unter|moins de|menos de|before|vor|avant|antes de|voor|"
    r"v\u00f3\u00f3r|prima del?) |(over|above|more than|at least|\u00fcber|plus de|mas de|"
    r"m\u00e1s de|after|nach|apr\u00e8s|apres|despues de|despu\u00e9s de|na|dopo) ",
    re.IGNORECASE,
)


def strip_marks(plain: str) -> tuple[str, tuple[str, ...]]:
    """Take the marks of doubt and approximation off a value.

    Parameters
    ----------
    plain : str
        A text as `plain_text` gives it.

    Returns
    -------
    rest : str
        The text without them.
    flags : tuple of str
        What they say, in the order written, each once.

    Examples
    --------
    >>> strip_marks("~240?")
    ('240', ('approximate', 'marked as doubtful'))
    """
    flags: list[str] = []
    rest = plain
    # Nearly every value begins with a digit.
    about = _ABOUT.match(rest) if rest[:1].isalpha() else None
    if about:
        flags.append(APPROXIMATE)
        rest = rest[about.end() :]
    while rest and rest[0] in _MARKS:
        flags.append(_MARKS[rest[0]])
        rest = rest[1:].lstrip()
    behind: list[str] = []
    while rest:
        words = _BEHIND.search(rest) if rest[-1] == ")" else None
        if words and words.end() == len(rest):
            behind.append(DOUBTED if words[1] == "?" else APPROXIMATE)
            rest = rest[: words.start()]
        elif rest[-1] in _MARKS:
            behind.append(_MARKS[rest[-1]])
            rest = rest[:-1].rstrip()
        else:
            break
    return rest.strip(), tuple(dict.fromkeys([*flags, *reversed(behind)]))


def find_limit(plain: str) -> tuple[str, str]:
    """Tell whether a text gives a limit instead of a value.

    Parameters
    ----------
    plain : str
        A text as `plain_text` gives it.

    Returns
    -------
    flag : str
        `BELOW`, `ABOVE` or the empty text.
    rest : str
        What stands behind the sign or word.

    Examples
    --------
    >>> find_limit("<200 g")
    ('below a limit', '200 g')
    """
    limit = None if plain[:1].isdigit() else _LIMIT.match(plain)
    if not limit:
        return "", plain
    below = limit[1] == "<" or limit[2] is not None
    return BELOW if below else ABOVE, plain[limit.end() :].strip()
