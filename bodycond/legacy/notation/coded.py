"""Codes as people write them: sex, age, crop, yes and no, and a site's own codes."""

from __future__ import annotations

import re
from collections.abc import Mapping

from bodycond.codes import AGE_CODE_SYSTEMS, CROP_CODES
from bodycond.errors import require_choice
from bodycond.legacy.notation.readings import (
    FlagReading,
    TextReading,
    fold_text,
    says_missing,
    word_missing,
)

# Folded words; a letter that means another thing in another language stays out.
_SEX_WORDS: dict[str, str] = {
    **dict.fromkeys(
        ("f", "fem", "female", "females", "\u2640", "weiblich", "weibchen", "femelle", "hembra",
         "vrouw", "vrouwelijk", "hen"), "F"),
    **dict.fromkeys(
        ("m", "mal", "male", "males", "\u2642", "mannlich", "mannchen", "macho", "man",
         "mannelijk", "cock"), "M"),
    **dict.fromkeys(
        ("u", "unk", "unknown", "undetermined", "undet", "indet", "indetermine", "inconnu",
         "unbekannt", "unbek", "desconocido", "onbekend", "?", "unsexed",
         "not known", "m/f", "f/m"), "U"),
}  # fmt: skip
_SEX_HINTS = {"w": "F (weiblich)", "v": "F (vrouw)", "h": "F (hembra)"}

_AGE_WORDS: dict[str, str] = {
    **dict.fromkeys(("pullus", "pull", "nestling", "chick", "nestjong", "pollo"), "pullus"),
    **dict.fromkeys(
        ("juvenile", "juv", "juvenil", "jungvogel", "fledgling", "juveniel"), "juvenile"),
    **dict.fromkeys(
        ("immature", "imm", "subadult", "subad", "immatur", "inmaduro", "inmature"), "immature"),
    **dict.fromkeys(("adult", "ad", "adulte", "adulto", "altvogel", "volwassen"), "adult"),
    **dict.fromkeys(
        ("unknown", "unk", "not known", "unbekannt", "unbek", "inconnu", "onbekend"), "unknown"),
}  # fmt: skip

# Classes follow from a calendar-year code only where the code leaves one possibility; 'after
# hatch year' can be an immature or an adult bird of prey and gives none.
_AGE_SYSTEMS: dict[str, dict[str, str | None]] = {
    "BBL": {
        "0": "unknown", "u": "unknown", "1": None, "ahy": None, "2": "juvenile", "hy": "juvenile",
        "3": "juvenile", "j": "juvenile", "4": "pullus", "l": "pullus", "5": "immature",
        "sy": "immature", "6": None, "asy": None, "7": None, "ty": None, "8": None, "aty": None,
    },
    "EURING": {
        "0": "unknown", "1": "pullus", "2": None, "3": "juvenile", "3j": "juvenile", "4": None,
        "5": "immature", "6": None, "7": None, "8": None, "9": None,
    },
    "SITE": {},
}  # fmt: skip
_CALENDAR_LETTERS = frozenset({"hy", "ahy", "sy", "asy", "ty", "aty"})

_CROP_WORDS = {
    **dict.fromkeys(("empty", "leer", "vide", "vacio", "leeg"), "0"),
    **dict.fromkeys(("1/4", "quarter", "quarter full"), "1"),
    **dict.fromkeys(("1/2", "half", "half full", "halb", "halbvoll"), "2"),
    **dict.fromkeys(("3/4", "three quarters", "three quarters full"), "3"),
    **dict.fromkeys(("full", "voll", "plein", "lleno", "vol"), "4"),
    **dict.fromkeys(("no crop", "no_crop", "owl: no crop"), "no_crop"),
}
_YES = frozenset({"y", "yes", "true", "1", "ja", "j", "oui", "o", "si", "s", "wahr", "vrai"})
_NO = frozenset({"n", "no", "false", "0", "nein", "non", "nee", "falsch", "faux"})


def _missing(text: str) -> TextReading:
    return TextReading(raw=text, outcome="accepted", reason=word_missing(text))


def _give(text: str, value: str) -> TextReading:
    if text == value:
        return TextReading(raw=text, outcome="accepted", value=value)
    trimmed = text.strip() == value
    said = "outer blanks taken off" if trimmed else f"{text.strip()!r} is {value!r}"
    return TextReading(raw=text, outcome="converted", value=value, reason=said)


def _hold(text: str, reason: str, likely: str = "") -> TextReading:
    return TextReading(raw=text, outcome="quarantined", reason=reason, likely=likely)


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
    value = _SEX_WORDS.get(folded)
    if value is not None:
        return _give(text, value)
    if says_missing(text):
        return _missing(text)
    reason = "a code for sex that the recipe must explain"
    return _hold(text, reason, _SEX_HINTS.get(folded, ""))


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
    if folded in _AGE_WORDS:
        return _give(text, _AGE_WORDS[folded])
    if says_missing(text):
        return _missing(text)
    codes = _AGE_SYSTEMS[system or ("BBL" if folded in _CALENDAR_LETTERS else "SITE")]
    if folded in codes:
        value = codes[folded]
        if value is not None:
            return _give(text, value)
        reason = f"{text.strip()!r} leaves open whether the bird was immature or adult"
        return TextReading(raw=text, outcome="accepted", reason=reason)
    if re.fullmatch(r"\d[jJ]?", text.strip(), re.ASCII) and system is None:
        return _hold(text, "an age digit without its code system", "BBL or EURING; say which")
    return _hold(text, "an age that the recipe must explain")


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
        return _give(text, folded)
    if folded in _CROP_WORDS:
        return _give(text, _CROP_WORDS[folded])
    if re.fullmatch(r"[0-4]\.0", folded, re.ASCII):
        return _give(text, folded[0])
    if says_missing(text):
        return _missing(text)
    return _hold(text, "a crop entry that the recipe must explain")


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
    if folded in _YES or folded in _NO:
        value = folded in _YES
        plain = folded in {"true", "false"}
        return FlagReading(
            raw=text, outcome="accepted" if plain else "converted", value=value,
            reason="" if plain else f"{text.strip()!r} is {'yes' if value else 'no'}",
        )  # fmt: skip
    if folded == "x":
        return FlagReading(
            raw=text, outcome="quarantined", reason="a cross can mean yes or no value",
            likely="yes",
        )  # fmt: skip
    if says_missing(text):
        return FlagReading(raw=text, outcome="accepted", reason=word_missing(text))
    return FlagReading(raw=text, outcome="quarantined", reason="neither yes nor no")


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
            return _give(text, code)
    if says_missing(text):
        return _missing(text)
    return _hold(text, f"not one of the codes {', '.join(codes)}")


def parse_species(text: str) -> TextReading:
    """Read a scientific name.

    Parameters
    ----------
    text : str
        The cell's text; any text at all.

    Returns
    -------
    TextReading
        Genus and species, with a subspecies where written; another text is quarantined, since a
        local name or code needs the recipe's word.

    Examples
    --------
    >>> parse_species("Buteo_buteo").value, parse_species("RT").outcome
    ('Buteo buteo', 'quarantined')
    """
    tidy = " ".join(text.replace("_", " ").split())
    if re.fullmatch(r"[A-Z][a-z]{2,} [a-z]{2,}( [a-z]{2,})?", tidy):
        return _give(text, tidy)
    inside = re.fullmatch(r".*\(([A-Z][a-z]{2,} [a-z]{2,})\)", tidy)
    if inside:
        return _give(text, inside[1])
    if says_missing(text):
        return _missing(text)
    return _hold(text, "not a scientific name: the recipe must say which species it is")


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
    if says_missing(text):
        return _missing(text)
    return _give(text, text.strip())
