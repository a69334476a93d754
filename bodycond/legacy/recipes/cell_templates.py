"""Cells that hold several values: how a recipe says which part of the text is which field."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from bodycond.legacy.notation import plain_text

_FIELD = re.compile(r"\{([^{}]*)\}")


@dataclass(frozen=True, kw_only=True, eq=False)
class SplitText:
    """A cell's text taken apart.

    Parameters
    ----------
    parts : dict of str to str
        Text by field.
    unused : tuple of str
        What the empty braces took.
    """

    parts: dict[str, str]
    unused: tuple[str, ...]


def list_template_fields(templates: Sequence[str]) -> tuple[str, ...]:
    """Give the fields that templates name.

    Parameters
    ----------
    templates : sequence of str
        Templates such as ``"{exam_date}, {mass_g}"``.

    Returns
    -------
    tuple of str
        Each field once, in the order of the templates.

    Examples
    --------
    >>> list_template_fields(["{exam_date}, {mass_g}", "{exam_date} {}"])
    ('exam_date', 'mass_g')
    """
    names = [name for template in templates for name in _FIELD.findall(template) if name]
    return tuple(dict.fromkeys(names))


def find_template_fault(template: str) -> str:
    """Say what is wrong with a template.

    Parameters
    ----------
    template : str
        The template.

    Returns
    -------
    str
        The fault; the empty text where there is none.

    Examples
    --------
    >>> find_template_fault("{wing_mm}{tail_mm}")
    'nothing stands between {wing_mm} and {tail_mm}'
    """
    names = _FIELD.findall(template)
    named = [name for name in names if name]
    if not named:
        return "it names no field in braces"
    if len(set(named)) != len(named):
        return "it names a field twice"
    literals = _FIELD.split(template)[::2]
    if any(re.search(r"[{}]", literal) for literal in literals):
        return "a brace is open"
    for position, literal in enumerate(literals[1:-1]):
        if not literal:
            first, second = names[position], names[position + 1]
            return f"nothing stands between {{{first}}} and {{{second}}}"
    return ""


@lru_cache(maxsize=256)
def _compile(template: str) -> re.Pattern[str]:
    pieces = _FIELD.split(plain_text(template))
    pattern = ""
    for position, piece in enumerate(pieces):
        if position % 2:
            pattern += "(.+?)" if piece else "(.*?)"
        else:
            words = [re.escape(word) for word in piece.split()]
            body = r"\s+".join(words)
            edge = r"\s*" if piece and not words else ""
            pattern += edge or rf"\s*{body}\s*" if piece else ""
            # A blank alone parts two values only where there is one.
            if piece and not words and 0 < position < len(pieces) - 1:
                pattern = pattern[: -len(edge)] + r"\s+"
    return re.compile(pattern, re.IGNORECASE | re.DOTALL)


def split_text(text: str, templates: Sequence[str]) -> SplitText | None:
    """Take a cell's text apart by the first template that fits.

    Parameters
    ----------
    text : str
        The text.
    templates : sequence of str
        The templates, without faults.

    Returns
    -------
    SplitText or None
        None where no template fits.

    Examples
    --------
    >>> split_text("6/27, 3.9g", ["{exam_date}, {mass_g}"]).parts
    {'exam_date': '6/27', 'mass_g': '3.9g'}
    >>> split_text("5.2x8.0", ["{wing_mm} x {tail_mm}"]).parts
    {'wing_mm': '5.2', 'tail_mm': '8.0'}
    """
    tidy = plain_text(text)
    for template in templates:
        match = _compile(template).fullmatch(tidy)
        if match is None:
            continue
        names = _FIELD.findall(template)
        parts = {
            name: found.strip() for name, found in zip(names, match.groups(), strict=True) if name
        }
        unused = tuple(
            found.strip()
            for name, found in zip(names, match.groups(), strict=True)
            if not name and found.strip()
        )
        return SplitText(parts=parts, unused=unused)
    return None
