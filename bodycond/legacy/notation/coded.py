"""Codes as people write them: sex, age, crop, yes and no, and a site's own codes."""

from __future__ import annotations

import re
from collections.abc import Mapping

from bodycond.codes import AGE_CODE_SYSTEMS, CROP_CODES, TICK_TEXTS
from bodycond.errors import require_choice
from bodycond.legacy.notation.marks import strip_marks
from bodycond.legacy.notation.names import give_text, hold_text, read_special
from bodycond.legacy.notation.readings import FlagReading, TextReading
from bodycond.legacy.notation.texts import explain_special, fold_text
from bodycond.legacy.notation.words import (
    AGE_CODES,
    AGE_HINTS,
    AGE_NOTATIONS,
    CROP_NOTATIONS,
    FLAG_HINTS,
    NO_WORDS,
    SEX_HINTS,
    SEX_NOTATIONS,
    YES_WORDS,
)

_DIGIT_CODE = re.compile(r"\d[jJ]?", re.ASCII)
_ANY_AGE = {code for codes in AGE_CODES.values() for code in codes}
_AGE_AND_SEX = re.compile(r"([a-z0-9+]+) ?/ ?([a-z]+)")
_YEAR_OF_LIFE = re.compile(r"(\d)\.? ?(?:cy|kj)", re.ASCII)
_AGE_IN_TIME = re.compile(
    r"\d+([.,]\d+)? ?(d|days?|w|wks?|weeks?|m|mo|mths?|months?|y|yo|yrs?|years?|tage?|jahre?|"
    r"jours?|ans?|dias|anos|dagen|jaar)( old)?"
)
_CROP_PART = re.compile(r"(?:(\d{1,2})/(\d{1,2})|(\d{1,3}) ?%|(0?[.,]\d+))(?: full| voll)?")


def parse_sex(text: str) -> TextReading:
    """Read a sex as F, M or U.

    Parameters
    ----------
    text : str
        The cell's text; any text at all.

    Returns
    -------
    TextReading
        'U' only where the cell says that the sex is not known.

    Examples
    --------
    >>> parse_sex("weiblich").value, parse_sex("W").likely
    ('F', 'F (weiblich)')
    """
    folded = fold_text(text).rstrip(".")
    value = SEX_NOTATIONS.get(folded)
    if value is not None:
        return give_text(text, value)
    special = read_special(text)
    if special is not None:
        return special
    rest, flags = strip_marks(folded)
    rest = rest.removeprefix("probably ").removeprefix("prob. ").rstrip(".")
    rest = rest.strip("()")
    if rest != folded and rest in SEX_NOTATIONS:
        likely = f"{SEX_NOTATIONS[rest]}, in doubt when written"
        return hold_text(text, "a sex with doubt beside it", likely, flags=flags)
    if folded and set(folded) <= set("\u2640\u2642") and len(set(folded)) == 1:
        return give_text(text, SEX_NOTATIONS[folded[0]])
    if len(set(folded)) == 1 and len(folded) == 2 and folded[0] in SEX_NOTATIONS:
        likely = f"{SEX_NOTATIONS[folded[0]]}, its key struck twice"
        return hold_text(text, "a code for sex that the recipe must explain", likely)
    both = _AGE_AND_SEX.fullmatch(folded)
    if both and both[2] in SEX_NOTATIONS and (both[1] in AGE_NOTATIONS or both[1] in _ANY_AGE):
        likely = f"age {both[1].upper()} and sex {SEX_NOTATIONS[both[2]]}"
        return hold_text(text, "an age and a sex in one cell", likely)
    reason = "a code for sex that the recipe must explain"
    return hold_text(text, reason, SEX_HINTS.get(folded, ""))


def parse_age(text: str, *, system: str | None = None) -> TextReading:
    """Read an age as an age class.

    Parameters
    ----------
    text : str
        The cell's text; any text at all.
    system : {"BBL", "EURING", "SITE"}, optional
        The system of the column's codes. Default unknown: bare digits are then quarantined,
        since the same digit means a nestling in one system and an old bird in another.

    Returns
    -------
    TextReading
        The class; None, accepted with its reason, for a code that leaves the class open.

    Raises
    ------
    ArgumentError
        If the system is unknown; no text raises.

    Examples
    --------
    >>> parse_age("4", system="BBL").value, parse_age("4").outcome
    ('pullus', 'quarantined')
    """
    if system is not None:
        require_choice(system, AGE_CODE_SYSTEMS, argument="system")
    folded = fold_text(text).rstrip(".")
    if folded in AGE_NOTATIONS:
        return give_text(text, AGE_NOTATIONS[folded])
    special = read_special(text)
    if special is not None:
        return special
    year_of_life = _YEAR_OF_LIFE.fullmatch(folded)
    code = f"{year_of_life[1]}cy" if year_of_life else folded.removesuffix(".0")
    codes = AGE_CODES[system or "SITE"]
    if code in codes:
        value = codes[code]
        if value is not None:
            return give_text(text, value)
        reason = f"{text.strip()!r} leaves open whether the bird was immature or adult"
        return TextReading(raw=text, outcome="accepted", reason=reason)
    if _DIGIT_CODE.fullmatch(code) and system is None:
        likely = "BBL or EURING; say which"
        return hold_text(text, "an age digit without its code system", likely)
    return _explain_age(text, folded, codes)


def _explain_age(text: str, folded: str, codes: Mapping[str, str | None]) -> TextReading:
    reason = "an age that the recipe must explain"
    rest, flags = strip_marks(folded)
    if flags and (rest in AGE_NOTATIONS or rest in codes):
        likely = f"{AGE_NOTATIONS.get(rest) or codes.get(rest) or rest.upper()}, in doubt"
        return hold_text(text, "an age with doubt beside it", likely, flags=flags)
    if folded in AGE_HINTS:
        return hold_text(text, reason, AGE_HINTS[folded])
    both = _AGE_AND_SEX.fullmatch(folded)
    if both and both[2] in SEX_NOTATIONS:
        likely = f"age {both[1].upper()} and sex {SEX_NOTATIONS[both[2]]}"
        return hold_text(text, "an age and a sex in one cell", likely)
    if _AGE_IN_TIME.fullmatch(folded):
        return hold_text(text, "an age in days or years and no class")
    first = re.split(r"[ ,;(]", folded, maxsplit=1)[0]
    if first != folded and first in AGE_NOTATIONS:
        return hold_text(text, "an age with words beside it", AGE_NOTATIONS[first])
    return hold_text(text, reason)


def parse_crop(text: str) -> TextReading:
    """Read how full the crop was, as a code of `bodycond.codes.CROP_CODES`.

    Parameters
    ----------
    text : str
        The cell's text; any text at all.

    Returns
    -------
    TextReading
        '0' to '4', or 'no_crop' only where the cell says so.

    Examples
    --------
    >>> parse_crop("half full").value, parse_crop("0.5").outcome
    ('2', 'quarantined')
    """
    folded = fold_text(text).rstrip(".")
    if folded in CROP_CODES:
        return give_text(text, folded)
    if folded in CROP_NOTATIONS:
        return give_text(text, CROP_NOTATIONS[folded])
    if re.fullmatch(r"[0-4]\.0", folded, re.ASCII):
        return give_text(text, folded[0])
    special = read_special(text)
    if special is not None:
        return special
    rest, flags = strip_marks(folded)
    if flags and (rest in CROP_CODES or rest in CROP_NOTATIONS):
        likely = f"{CROP_NOTATIONS.get(rest, rest)}, in doubt"
        return hold_text(text, "a crop entry with doubt beside it", likely, flags=flags)
    reason = "a crop entry that the recipe must explain"
    return hold_text(text, reason, _guess_crop(folded))


def _guess_crop(folded: str) -> str:
    part = _CROP_PART.fullmatch(folded)
    if not part or (part[2] and int(part[2]) == 0):
        return ""
    if part[1]:
        share = int(part[1]) / int(part[2])
    else:
        share = int(part[3]) / 100 if part[3] else float(part[4].replace(",", "."))
    if not 0 <= share <= 1:
        return ""
    below = int(share * 4)
    if share * 4 - below == 0.5:
        return f"{below} or {below + 1}: {folded} lies halfway"
    return f"{round(share * 4)}, the nearest quarter"


def parse_flag(text: str) -> FlagReading:
    """Read a yes or no.

    Parameters
    ----------
    text : str
        The cell's text; any text at all.

    Returns
    -------
    FlagReading
        True, False, or None where the cell says that there is no value.

    Examples
    --------
    >>> parse_flag("oui").value, parse_flag("perhaps").outcome
    (True, 'quarantined')
    """
    folded = fold_text(text).rstrip(".")
    if folded in YES_WORDS or folded in NO_WORDS:
        value = folded in YES_WORDS
        plain = folded in {"true", "false"}
        return FlagReading(
            raw=text, outcome="accepted" if plain else "converted", value=value,
            reason="" if plain else f"{text.strip()!r} is {'yes' if value else 'no'}",
        )  # fmt: skip
    if folded in TICK_TEXTS:
        return FlagReading(
            raw=text, outcome="quarantined", reason="a cross can mean yes or no value",
            likely="yes",
        )  # fmt: skip
    special = explain_special(text)
    if special is not None:
        return FlagReading(raw=text, outcome=special[0], reason=special[1])
    rest, flags = strip_marks(folded)
    likely = FLAG_HINTS.get(folded, "")
    if flags and (rest in YES_WORDS or rest in NO_WORDS):
        likely = f"{'yes' if rest in YES_WORDS else 'no'}, in doubt"
    return FlagReading(
        raw=text, outcome="quarantined", reason="neither yes nor no", likely=likely, flags=flags
    )


def parse_code(text: str, *, codes: Mapping[str, str]) -> TextReading:
    """Read one of a column's fixed codes.

    Parameters
    ----------
    text : str
        The cell's text; any text at all.
    codes : mapping of str to str
        The codes, each with its meaning.

    Returns
    -------
    TextReading
        The code, found without regard to case.

    Examples
    --------
    >>> parse_code("Recheck", codes={"recheck": "later exam"}).value
    'recheck'
    """
    folded = fold_text(text)
    for code in codes:
        if folded in {code.casefold().replace("_", mark) for mark in "_ -"}:
            return give_text(text, code)
    special = read_special(text)
    if special is not None:
        return special
    return hold_text(text, f"not one of the codes {', '.join(codes)}")


def parse_text(text: str) -> TextReading:
    """Read free text or a name.

    Parameters
    ----------
    text : str
        The cell's text; any text at all.

    Returns
    -------
    TextReading
        The text without outer blanks.

    Examples
    --------
    >>> parse_text(" S01 ").value
    'S01'
    """
    special = read_special(text)
    return special or give_text(text, text.strip())
