"""Units and forms of dates that a heading names, taken off its words."""

from __future__ import annotations

import re

from bodycond.legacy.headings.plain_words import UNIT_PREPOSITIONS, UNIT_WORDS
from bodycond.legacy.notation import fold_text

_BRACKETS = re.compile(r"[(\[]([^)\]]*)[)\]]")
DATE_FORM = re.compile(
    r"\b(d+|t+|m+|y+|j+|a+)[-/. ]+(d+|t+|m+|j+|y+)[-/. ]+(y+|j+|a+|d+|t+)\b", re.IGNORECASE
)
"""Letters for the order of a date, as in dd/mm/yyyy or TT.MM.JJJJ."""


def fold_heading(text: str) -> str:
    """Fold a heading into plain words.

    Parameters
    ----------
    text : str
        The heading.

    Returns
    -------
    str
        Lower case without accents or punctuation; 'wingLength' falls into words.

    Examples
    --------
    >>> fold_heading("wingLength"), fold_heading("Body_mass.g.")
    ('wing length', 'body mass g')
    """
    spaced = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", text)
    spaced = re.sub(r"(?<=[A-Za-z]{3})(?=\d)", " ", spaced)
    return " ".join(re.sub(r"[\W_]+", " ", fold_text(spaced)).split())


def read_unit(text: str) -> str | None:
    """Read a text that names a unit and nothing else.

    Parameters
    ----------
    text : str
        The text, with or without brackets.

    Returns
    -------
    str or None
        The unit; None for any other text.

    Examples
    --------
    >>> read_unit("(mm)"), read_unit("lb/oz"), read_unit("Wing")
    ('mm', 'lb.oz', None)
    """
    return UNIT_WORDS.get(" ".join(re.sub(r"[\W_]+", " ", fold_text(text)).split()))


def read_shown_unit(text: str) -> str | None:
    """Read the unit beside a number that a cell's format writes.

    Parameters
    ----------
    text : str
        The number as the sheet shows it.

    Returns
    -------
    str or None
        The unit; None for any other word.

    Examples
    --------
    >>> read_shown_unit("2.12 kg"), read_shown_unit("AB 0045")
    ('kg', None)
    """
    return read_unit(re.sub(r"[\d.,+-]+", " ", text))


def read_units(text: str) -> set[str]:
    """Find the units that a text names among other words.

    Parameters
    ----------
    text : str
        A title or comment.

    Returns
    -------
    set of str
        The units; 'in' alone is a word and no inch.

    Examples
    --------
    >>> read_units("all weights in grams, wings in mm") == {"g", "mm"}
    True
    """
    words = re.sub(r"[\W_]+", " ", fold_text(text)).split()
    return {UNIT_WORDS[word] for word in words if word in UNIT_WORDS and word != "in"}


def read_date_form(text: str) -> str | None:
    """Read the order of day, month and year that a heading names.

    Parameters
    ----------
    text : str
        The heading.

    Returns
    -------
    {"dmy", "mdy", "ymd"} or None
        None where it names none.

    Examples
    --------
    >>> read_date_form("Datum (TT.MM.JJJJ)"), read_date_form("Date")
    ('dmy', None)
    """
    form = DATE_FORM.search(text)
    if form is None:
        return None
    letters = "".join({"t": "d", "j": "y", "a": "y"}.get(part[0].lower(), part[0].lower())
                      for part in form.groups())  # fmt: skip
    # 'jj/mm/aaaa' is French for day, month, year; 'jjjj-mm-dd' Dutch for year first.
    if letters == "ymy" and form[1][0].lower() == "j":
        letters = "dmy"
    return letters if letters in {"dmy", "mdy", "ymd"} else None


def take_unit(text: str) -> tuple[str | None, str]:
    """Take a unit in brackets off a heading.

    Parameters
    ----------
    text : str
        The heading.

    Returns
    -------
    unit : str or None
        The unit.
    words : str
        The rest, folded.

    Examples
    --------
    >>> take_unit("Wing (mm)")
    ('mm', 'wing')
    """
    unit = None
    for inside in _BRACKETS.findall(text):
        found = read_unit(inside)
        if found is None:
            named = {UNIT_WORDS[word] for word in fold_heading(inside).split()
                     if word in UNIT_WORDS and word != "in"}  # fmt: skip
            found = named.pop() if len(named) == 1 else None
            if found is None:
                continue
            left = " ".join(word for word in inside.split() if read_unit(word) is None)
            text = text.replace(inside, left)
        else:
            text = text.replace(f"({inside})", " ").replace(f"[{inside}]", " ")
        unit = unit or found
    return unit, fold_heading(text)


def strip_date_form(text: str) -> str:
    """Take the letters for the order of a date off a heading.

    Parameters
    ----------
    text : str
        The heading.

    Returns
    -------
    str
        The rest.

    Examples
    --------
    >>> strip_date_form("Date dd/mm/yyyy").strip()
    'Date'
    """
    return DATE_FORM.sub(" ", text)


def take_last_unit(words: str) -> tuple[str | None, str]:
    """Take a unit behind the words of a heading off.

    Parameters
    ----------
    words : str
        The folded heading.

    Returns
    -------
    unit : str or None
        The unit.
    words : str
        The rest; all of it where it ends in no unit.

    Examples
    --------
    >>> take_last_unit("gewicht in g")
    ('g', 'gewicht')
    """
    tokens = words.split()
    for length in (2, 1):
        unit = UNIT_WORDS.get(" ".join(tokens[-length:]))
        rest = tokens[:-length]
        if unit is not None and rest:
            if rest[-1] in UNIT_PREPOSITIONS and len(rest) > 1:
                rest = rest[:-1]
            return unit, " ".join(rest)
    return None, words
