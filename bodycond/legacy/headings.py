"""A heading read: the field that it means, the unit and scale that it names, and how surely."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from bodycond.legacy.heading_words import LIKELY, SURE, UNIT_WORDS
from bodycond.legacy.notation import fold_text

CERTAIN = 0.9
"""Confidence from which a draft uses a column without asking."""

# 'Keel fat' is no keel score.
_FAT_WORDS = frozenset({"fat", "fett", "graisse", "gras", "grasa", "vet"})
_LENGTH_UNITS = frozenset({"mm", "cm", "in"})
_MASS_UNITS = frozenset({"g", "kg", "lb", "oz", "lb.oz"})


@dataclass(frozen=True, kw_only=True, slots=True)
class HeadingMatch:
    """What a heading says.

    Parameters
    ----------
    heading : str
        The heading.
    field : str
        The field that it means; the empty text where it is not known.
    unit : str, optional
        Unit named in it.
    scale_limits : tuple of (int, int), optional
        Lowest and highest grade named in it, as in 'Keel (1-5)'.
    confidence : float
        0 to 1, by judgement: 0.95 for a word that means this field alone, 0.6 for one that is
        used for other things too or stands among other words.
    evidence : str
        Why.
    """

    heading: str
    field: str
    unit: str | None
    scale_limits: tuple[int, int] | None
    confidence: float
    evidence: str


def _fold_heading(text: str) -> str:
    # 'wingLength' and 'Body_mass.g.' fall into words.
    spaced = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", text)
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


@lru_cache(maxsize=4096)
def match_heading(text: str) -> HeadingMatch:
    """Read a heading.

    Parameters
    ----------
    text : str
        The heading.

    Returns
    -------
    HeadingMatch
        The field that it means, if any, with the evidence.

    Examples
    --------
    >>> match = match_heading("Gewicht (g)")
    >>> match.field, match.unit, match.confidence
    ('mass_g', 'g', 0.95)
    >>> match_heading("Keel score (1-5)").scale_limits
    (1, 5)
    """
    limits = re.search(r"\(? ?(\d) ?(?:-|–|to|bis|à|a|tot) ?(\d) ?\)?", text)
    scale_limits = (int(limits[1]), int(limits[2])) if limits else None
    bare = re.sub(r"\(?\d ?(?:-|–|to|bis|à|a|tot) ?\d\)?", " ", text)
    bracketed = re.findall(r"[(\[]([^)\]]*)[)\]]", bare)
    unit = next((found for found in map(read_unit, bracketed) if found), None)
    without_unit = bare
    for inside in bracketed:
        if read_unit(inside):
            without_unit = re.sub(rf"[(\[]{re.escape(inside)}[)\]]", " ", without_unit)
    words = _fold_heading(without_unit)
    if unit is None:
        head, _, last = words.rpartition(" ")
        if head and last in UNIT_WORDS:
            unit, words = UNIT_WORDS[last], head
    field, confidence, evidence = _look_up(words)
    if field and unit and not _unit_fits(field, unit):
        confidence, evidence = 0.5, f"{evidence}, but the unit {unit!r} does not fit"
    return HeadingMatch(
        heading=text, field=field, unit=unit, scale_limits=scale_limits, confidence=confidence,
        evidence=evidence,
    )  # fmt: skip


def _look_up(words: str) -> tuple[str, float, str]:
    joined = words.replace(" ", "")
    for confidence, table in ((0.95, SURE), (0.6, LIKELY)):
        for field, known in table.items():
            if words in known or (len(joined) > 2 and joined in known):
                return field, confidence, f"heading {words!r} means {field}"
    parts = words.split()
    if _FAT_WORDS & set(parts):
        return "", 0.0, "a fat score needs a field of its own and its scale"
    for field, known in SURE.items():
        hit = next((word for word in known if len(word) > 2 and word in parts), None)
        if hit is not None:
            return field, 0.6, f"heading holds the word {hit!r}"
    return "", 0.0, "heading not known"


def _unit_fits(field: str, unit: str) -> bool:
    if field.endswith("_mm"):
        return unit in _LENGTH_UNITS
    return unit in _MASS_UNITS if field == "mass_g" else False
