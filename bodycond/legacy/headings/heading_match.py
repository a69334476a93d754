"""What a heading says, and the words that it is looked up by as they stand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bodycond.legacy.headings.heading_words import LIKELY, SURE
from bodycond.legacy.headings.own_words import OWN_BY_HEADING, OWN_CONCEPTS

CERTAIN = 0.9
"""Confidence from which a draft uses a column without asking."""

NUMBER_WORDS = frozenset({"n", "no", "nr", "num", "numero", "nummer", "number"})
"""Words that a number of something begins or ends with."""


@dataclass(frozen=True, kw_only=True, slots=True)
class HeadingMatch:
    """What a heading says.

    Parameters
    ----------
    heading : str
        The heading.
    field : str
        The field that it means, of the tables or of the user's own; the empty text where it is
        not known.
    unit : str, optional
        Unit named in it.
    scale_limits : tuple of (int, int), optional
        Lowest and highest grade named in it, as in 'Keel (1-5)'.
    confidence : float
        0 to 1, by judgement: 0.95 for a word that means this field alone, 0.9 where a word for
        a side or method stands beside it, 0.6 for one that is used for other things too, 0.5 for
        one that stands among words that are not known.
    evidence : str
        Why.
    kind : str, optional
        Kind of a field of the user's own.
    is_score : bool, default False
        A field of the user's own that is graded.
    date_order : str, optional
        Order of day, month and year named in it, as in 'Date (dd/mm/yyyy)'.
    theme : str, default ""
        What it speaks of where that is no part of an exam record.
    held_beside : frozenset of str
        Fields that a column beside it holds, and that its cells alone are no sign of.
    """

    heading: str
    field: str
    unit: str | None = None
    scale_limits: tuple[int, int] | None = None
    confidence: float = 0.0
    evidence: str = "heading not known"
    kind: str | None = None
    is_score: bool = False
    date_order: str | None = None
    theme: str = ""
    held_beside: frozenset[str] = frozenset()


def _index(table: Mapping[str, tuple[str, ...]]) -> dict[str, str]:
    found: dict[str, str] = {}
    for field, words in table.items():
        for word in words:
            found.setdefault(word, field)
            if len(word.replace(" ", "")) > 2:
                found.setdefault(word.replace(" ", ""), field)
    return found


_SURE = _index(SURE)
_LIKELY = _index(LIKELY)
_OWN = _index({concept.field: concept.headings for concept in OWN_CONCEPTS})
_OWN_BY_FIELD = {concept.field: concept for concept in OWN_BY_HEADING.values()}


def give_field(field: str, confidence: float, evidence: str) -> HeadingMatch:
    """Make the match of a heading that means a field, of the tables or of the user's own.

    Parameters
    ----------
    field : str
        The field.
    confidence : float
        How sure it is; a field of the user's own is 0.6 at most.
    evidence : str
        Why.

    Returns
    -------
    HeadingMatch
        Without heading and unit.
    """
    own = _OWN_BY_FIELD.get(field)
    if own is None:
        return HeadingMatch(heading="", field=field, confidence=confidence, evidence=evidence)
    return HeadingMatch(
        heading="", field=field, confidence=min(confidence, 0.6), kind=own.kind,
        is_score=own.is_score, evidence=f"{evidence}: {own.what}",
    )  # fmt: skip


def find_exact(words: str) -> HeadingMatch | None:
    """Look words up as they stand, without blanks, and with German digraphs as umlauts.

    Parameters
    ----------
    words : str
        The folded heading.

    Returns
    -------
    HeadingMatch or None
        None where they are no heading that is known.
    """
    plain = words.replace("ae", "a").replace("oe", "o").replace("ue", "u")
    forms = (words, words.replace(" ", ""), plain, *_turn_number(words))
    for form in dict.fromkeys(forms):
        if form in _SURE and (len(form) > 2 or form == words):
            return give_field(_SURE[form], 0.95, f"heading {words!r} means {_SURE[form]}")
        for table in (_OWN, _LIKELY):
            if form in table and (len(form) > 2 or form == words):
                return give_field(table[form], 0.6, f"heading {words!r} can mean {table[form]}")
    return None


def find_known_field(phrase: str) -> str:
    """Name the field that a phrase means, as a sure heading or as one of the user's own.

    Parameters
    ----------
    phrase : str
        Folded words.

    Returns
    -------
    str
        The empty text where it means none.
    """
    return _SURE.get(phrase) or _OWN.get(phrase, "")


def is_own(field: str) -> bool:
    """Tell a field of the user's own from one of the tables.

    Parameters
    ----------
    field : str
        The field.

    Returns
    -------
    bool
        True for one of the user's own.
    """
    return field in _OWN_BY_FIELD


def _turn_number(words: str) -> tuple[str, ...]:
    """Write 'no expediente' and 'numero expediente' as 'n expediente' and 'expediente no'."""
    first, _, rest = words.partition(" ")
    return (f"n {rest}", f"{rest} no") if rest and first in NUMBER_WORDS else ()
