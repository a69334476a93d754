"""Names: species, and the numbers and labels that tell birds and exams apart."""

from __future__ import annotations

import re

from bodycond.codes import TICK_TEXTS
from bodycond.errors import ArgumentError
from bodycond.legacy.notation.marks import DOUBTED, strip_marks
from bodycond.legacy.notation.readings import TextReading, add_to_reason
from bodycond.legacy.notation.texts import explain_special, fold_text, plain_text
from bodycond.legacy.notation.words import LOCAL_NAME_WORDS

_SCIENTIFIC = re.compile(r"\d(?:[.,]\d+)?[eE]\+?\d+", re.ASCII)
_ZERO = re.compile(r"0+(?:\.0+)?", re.ASCII)
_FLOAT = re.compile(r"(\d+)\.0+", re.ASCII)
# A spreadsheet keeps fifteen digits of a number and writes zeros for the others.
_DIGITS_KEPT = 15

_SPECIES = re.compile(r"[A-Z][a-z]{2,} [a-z]{2,}(?:-[a-z]{2,})?(?: [a-z]{2,})?")
_WITH_AUTHOR = re.compile(
    r"([A-Z][a-z]{2,} [a-z]{2,}(?: [a-z]{2,})?),? \(?[A-Z][^\W\d_.]*\.?(?: ?& ?[A-Z]\w+)?,? "
    r"\d{4}\)?"
)
_IN_BRACKETS = re.compile(r"[^()]*\(([A-Z][a-z]{2,} [a-z]{2,})\)")
_ANY_CASE = re.compile(r"[^\W\d_]{3,} [^\W\d_]{2,}(?: [^\W\d_]{2,})?")


def give_text(text: str, value: str) -> TextReading:
    """Give a code or a name, as converted where it is not what stands in the cell.

    Parameters
    ----------
    text : str
        The cell's text.
    value : str
        What it says.

    Returns
    -------
    TextReading
        The value.
    """
    if text == value:
        return TextReading(raw=text, outcome="accepted", value=value)
    trimmed = text.strip() == value
    said = "outer blanks taken off" if trimmed else f"{text.strip()!r} is {value!r}"
    return TextReading(raw=text, outcome="converted", value=value, reason=said)


def hold_text(
    text: str, reason: str, likely: str = "", *, flags: tuple[str, ...] = ()
) -> TextReading:
    """Hold a cell that should be a code or a name.

    Parameters
    ----------
    text : str
        The cell's text.
    reason : str
        Why it is held.
    likely : str
        What it probably means.
    flags : tuple of str
        What was written beside it.

    Returns
    -------
    TextReading
        Quarantined, without a value.
    """
    return TextReading(raw=text, outcome="quarantined", reason=reason, likely=likely, flags=flags)


def read_special(text: str) -> TextReading | None:
    """Read a text that holds no code and no name, in any column of them.

    Parameters
    ----------
    text : str
        The cell's text.

    Returns
    -------
    TextReading or None
        None for any other text. A cross is held: among codes and names it can mean yes, no value
        or be a code itself.
    """
    special = explain_special(text)
    if special is None:
        return None
    if plain_text(text).casefold() in TICK_TEXTS:
        likely = "no value; then say so, as in codes: {x: null}"
        return hold_text(text, "a cross can mean no value, yes or a code", likely)
    return TextReading(raw=text, outcome=special[0], reason=special[1])


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
    >>> parse_species("Barn owl").reason
    'a local name: the recipe must say which species it is'
    """
    tidy = " ".join(text.replace("_", " ").split())
    words = re.findall(r"[a-z]+", fold_text(tidy))
    inside = _IN_BRACKETS.fullmatch(tidy)
    author = _WITH_AUTHOR.fullmatch(tidy)
    name = inside[1] if inside else author[1] if author else tidy
    if _SPECIES.fullmatch(name) and not set(name.casefold().split()) & LOCAL_NAME_WORDS:
        return give_text(text, name)
    special = read_special(text)
    if special is not None:
        return special
    if set(words) & LOCAL_NAME_WORDS:
        return hold_text(text, "a local name: the recipe must say which species it is")
    rest, flags = strip_marks(plain_text(tidy))
    reason = "not a scientific name: the recipe must say which species it is"
    if flags and _SPECIES.fullmatch(rest):
        return hold_text(text, "a species with doubt beside it", f"{rest}, in doubt", flags=flags)
    if re.fullmatch(r"[A-Z][a-z]{2,} spp?\.?", tidy):
        return hold_text(text, "a genus without its species")
    if _ANY_CASE.fullmatch(tidy) and tidy in {tidy.lower(), tidy.upper()}:
        return hold_text(text, reason, f"{tidy.capitalize()}, if it is a scientific name")
    return hold_text(text, reason)


def parse_identifier(text: str, *, is_number: bool, digits: int | None = None) -> TextReading:
    """Read the number or label of a bird, a ring or an exam, kept as written.

    Parameters
    ----------
    text : str
        The cell's text; any text at all.
    is_number : bool
        The cell is a number of the spreadsheet, which keeps no zeros in front.
    digits : int, optional
        Digits that a number of this site has: one of digits alone that has fewer or more is
        quarantined. Default unknown.

    Returns
    -------
    TextReading
        The label without outer blanks; blanks, hyphens and zeros inside it stay.

    Raises
    ------
    ArgumentError
        If ``digits`` is not positive; no text raises.

    Examples
    --------
    >>> parse_identifier("1234567.0", is_number=True).value
    '1234567'
    >>> parse_identifier("4711", is_number=True, digits=5).likely
    '04711'
    """
    if digits is not None and digits < 1:
        raise ArgumentError(
            needed="digits= is how many digits a number of the site has",
            found=f"digits={digits!r}", then="Give 1 or more, or leave it out",
        )  # fmt: skip
    special = read_special(text)
    if special is not None:
        return special
    label = text.strip()
    if _SCIENTIFIC.fullmatch(label):
        return hold_text(text, "a number in scientific notation: a spreadsheet cut its digits")
    if _ZERO.fullmatch(label):
        likely = "none was given; then say so, as in codes: {0: null}"
        return hold_text(text, "a zero in the place of a name or number", likely)
    if label.endswith("?") or label.startswith(("?", "~")):
        doubted = label.strip("?~ ")
        return hold_text(text, "a label with doubt beside it", doubted, flags=(DOUBTED,))
    said = []
    if label[:1] == "'" and label[1:2].isdigit():
        label = label[1:]
        said.append("an apostrophe in front taken off")
    if not label.isascii() and any(letter.isdecimal() for letter in label):
        # One ring in two scripts would be two birds.
        tidy = "".join(plain_text(letter) if letter.isdecimal() else letter for letter in label)
        if tidy != label:
            label = tidy
            said.append("digits of another script")
    whole = _FLOAT.fullmatch(label)
    if whole:
        label = whole[1]
        said.append("the '.0' of a number taken off")
    return _check_digits(text, label, is_number=is_number, digits=digits, said=said)


def _check_digits(
    text: str, label: str, *, is_number: bool, digits: int | None, said: list[str]
) -> TextReading:
    numeric = label.isascii() and label.isdigit()
    if is_number and re.fullmatch(r"-?\d*\.\d+", label, re.ASCII):
        return hold_text(text, "a number with a fraction in the place of a name or number")
    if is_number and numeric and len(label) > _DIGITS_KEPT:
        return hold_text(text, f"a spreadsheet keeps {_DIGITS_KEPT} digits of a number, not more")
    if digits is not None and numeric and len(label) < digits:
        reason = f"{len(label)} digits where this site's numbers have {digits}"
        return hold_text(text, f"{reason}: zeros in front may be lost", label.zfill(digits))
    if digits is not None and numeric and len(label) > digits:
        return hold_text(text, f"{len(label)} digits where this site's numbers have {digits}")
    if is_number and digits is None:
        said.append("stored as a number: zeros in front would be lost")
    elif is_number:
        said.append("stored as a number")
    if not said:
        return give_text(text, label)
    reading = TextReading(raw=text, outcome="accepted", value=label)
    return add_to_reason(reading, "; ".join(said))
