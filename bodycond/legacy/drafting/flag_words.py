"""Words of yes and no that only a recipe can explain: present and absent."""

from __future__ import annotations

from collections.abc import Iterable

from bodycond.legacy.drafting.column_contents import ColumnContents
from bodycond.legacy.notation import fold_text
from bodycond.legacy.recipes.recipe_rules import CodeValue


def _set(text: str) -> frozenset[str]:
    return frozenset(text.split())


_PRESENT = _set("present active vorhanden aktiv presente presentes presence actif activo aanwezig")
_ABSENT = _set("absent inactive fehlt fehlend keine aucun ausente absence inactif inactivo afwezig")
_LETTERS = _set("y n yes no ja nein oui non si nee true false")
_NEARLY_ALL = 0.95


def hold_flags(contents: ColumnContents) -> bool:
    """Tell whether cells say that something is there or not.

    Parameters
    ----------
    contents : ColumnContents
        The column.

    Returns
    -------
    bool
        True where nearly all do; False for an empty column.
    """
    known = _PRESENT | _ABSENT | _LETTERS
    sample = contents.sample
    fitting = sum(n for (text, _), n in sample.items() if fold_text(text) in known)
    return bool(fitting) and fitting >= _NEARLY_ALL * sum(sample.values())


def explain_flags(texts: Iterable[str]) -> dict[str, CodeValue]:
    """Say what words for present and absent mean.

    Parameters
    ----------
    texts : iterable of str
        The texts.

    Returns
    -------
    dict of str to str
        ``yes`` or ``no`` by text; texts that are no such words are left out.

    Examples
    --------
    >>> explain_flags(["Absent", "Present", "P3"])
    {'Absent': 'no', 'Present': 'yes'}
    """
    found: dict[str, CodeValue] = {}
    for text in texts:
        word = fold_text(text)
        if word in _PRESENT | _ABSENT:
            found[text.strip()] = "yes" if word in _PRESENT else "no"
    return found
