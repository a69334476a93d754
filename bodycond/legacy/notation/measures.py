"""Masses and lengths as people write them."""

from __future__ import annotations

import re

from bodycond.codes import NOT_MEASURED_TEXTS, NOT_WEIGHED_TEXTS
from bodycond.errors import require_choice
from bodycond.legacy.notation.marks import strip_marks
from bodycond.legacy.notation.numerals import Decimal
from bodycond.legacy.notation.quantities import DECIMALS_KEPT, LENGTH, MASS, read_quantity
from bodycond.legacy.notation.readings import (
    NumberReading,
    give_number,
    hold_number,
    say_script,
)
from bodycond.legacy.notation.texts import (
    LONGEST_NOTATION,
    explain_special,
    plain_text,
    word_missing,
)
from bodycond.units import GRAMS_PER_UNIT, MILLIMETRES_PER_UNIT

MASS_UNITS = (*GRAMS_PER_UNIT, "lb.oz")
"""Units of a mass column; in ``lb.oz`` 2.5 is 2 lb 5 oz."""

MARKER_REASON = "was read as a marker for no value"
"""End of the ledger's reason where 0, 999 or 9999 stood in a column of measures."""

_NOT_MEASURED = NOT_MEASURED_TEXTS | NOT_WEIGHED_TEXTS
_MARKERS = re.compile(r"0+([.,]0+)?|-?9{3,4}([.,]0+)?", re.ASCII)
_NUMBER = r"\d{1,6}(?:[.,]\d{1,6})?|[.,]\d{1,6}"
_POUNDS_OUNCES = re.compile(
    rf"(\d{{1,6}}) ?(?:lbs?\.?|pounds?|#) ?,? ?({_NUMBER})( 1/2| 1/4| 3/4)? ?"
    r"(?:oz\.?|ozs\.?|ounces?)?",
    re.ASCII | re.IGNORECASE,
)
_FEET_INCHES = re.compile(
    rf"(\d{{1,2}}) ?(?:ft\.?|feet|foot|') ?,? ?({_NUMBER})( 1/2| 1/4| 3/4)? ?"
    r"(?:in\.?|ins\.?|inch|inches|\"|'')",
    re.ASCII | re.IGNORECASE,
)
_DOTTED = re.compile(r"(\d{1,6})[.,](\d{1,2})", re.ASCII)
_PAIR = re.compile(r"(\d{1,2}) ?[-/ ] ?(\d{1,2})", re.ASCII)
# Most cells of a large sheet: no sign, no thousands mark that could be a decimal one.
_FAST = re.compile(r"([1-9]\d{0,4}(?:\.\d{1,2}|\.\d{4,15})?)(?: ?(g|mm))?", re.ASCII)


def parse_mass(
    text: str, *, unit: str | None = None, decimal: Decimal | None = None
) -> NumberReading:
    """Read a mass in grams.

    Parameters
    ----------
    text : str
        The cell's text; any text at all.
    unit : {"g", "kg", "lb", "oz", "lb.oz"}, optional
        Unit of a bare number. Default unknown: a bare number is then quarantined.
    decimal : {"point", "comma"}, optional
        The column's decimal mark. Default unknown: '1,050' is then quarantined.

    Returns
    -------
    NumberReading
        The value in g.

    Raises
    ------
    ArgumentError
        If the unit is unknown; no text raises.

    Examples
    --------
    >>> round(parse_mass("2 lb 5 oz").value, 1)
    1048.9
    >>> parse_mass("250/248", unit="g").likely
    'two weighings: 250 and 248'
    """
    if unit is not None:
        require_choice(unit, MASS_UNITS, argument="unit")
    fast = _read_fast(text, unit=unit, base="g", decimal=decimal)
    return fast or say_script(_read_mass(text, plain_text(text), unit=unit, decimal=decimal))


def _read_mass(
    text: str, plain: str, *, unit: str | None, decimal: Decimal | None
) -> NumberReading:
    missing = _read_missing(text, plain)
    if missing is not None:
        return missing
    rest, flags = strip_marks(plain)
    pounds = _POUNDS_OUNCES.fullmatch(rest)
    if pounds:
        return _read_pounds(text, pounds[1], pounds[2], pounds[3] or "", flags=flags)
    if unit == "lb.oz":
        dotted = _DOTTED.fullmatch(rest)
        if dotted:
            return _read_pounds(text, dotted[1], dotted[2], "", flags=flags)
        pair = _PAIR.fullmatch(rest)
        if pair and int(pair[2]) < 16:
            likely = f"{int(pair[1])} lb {int(pair[2])} oz, or two values: {pair[1]} and {pair[2]}"
            return hold_number(text, "two readings", likely, flags=flags)
        unit = "lb" if re.fullmatch(r"\d+", rest, re.ASCII) else None
    return read_quantity(text, plain, quantity=MASS, unit=unit, decimal=decimal)


def parse_length(
    text: str, *, unit: str | None = None, decimal: Decimal | None = None
) -> NumberReading:
    """Read a length in millimetres.

    Parameters
    ----------
    text : str
        The cell's text; any text at all.
    unit : {"mm", "cm", "in"}, optional
        Unit of a bare number. Default unknown: a bare number is then quarantined.
    decimal : {"point", "comma"}, optional
        The column's decimal mark. Default unknown.

    Returns
    -------
    NumberReading
        The value in mm.

    Raises
    ------
    ArgumentError
        If the unit is unknown; no text raises.

    Examples
    --------
    >>> round(parse_length("14 1/2 in").value, 1)
    368.3
    """
    if unit is not None:
        require_choice(unit, MILLIMETRES_PER_UNIT, argument="unit")
    fast = _read_fast(text, unit=unit, base="mm", decimal=decimal)
    return fast or say_script(_read_length(text, plain_text(text), unit=unit, decimal=decimal))


def _read_length(
    text: str, plain: str, *, unit: str | None, decimal: Decimal | None
) -> NumberReading:
    missing = _read_missing(text, plain)
    if missing is not None:
        return missing
    rest, flags = strip_marks(plain)
    feet = _FEET_INCHES.fullmatch(rest)
    if not feet:
        return read_quantity(text, plain, quantity=LENGTH, unit=unit, decimal=decimal)
    inches = _to_float(feet[2], feet[3] or "")
    if inches >= 12:
        return hold_number(text, f"{inches:g} inches are a foot or more", "another unit or a slip")
    value = round((int(feet[1]) * 12 + inches) * MILLIMETRES_PER_UNIT["in"], DECIMALS_KEPT)
    reason = "; ".join([*flags, f"{int(feet[1])} ft {inches:g} in in mm"])
    return give_number(text, value, reason, flags=flags)


def _to_float(written: str, fraction: str) -> float:
    quarters = {"": 0.0, " 1/4": 0.25, " 1/2": 0.5, " 3/4": 0.75}
    return float(written.replace(",", ".")) + quarters[fraction]


def _read_fast(
    text: str, *, unit: str | None, base: str, decimal: Decimal | None
) -> NumberReading | None:
    plain = _FAST.fullmatch(text)
    if plain is None or decimal == "comma" or (plain[2] or unit) != base:
        return None
    value = float(plain[1])
    if plain[2]:
        return give_number(text, value, f"unit {plain[2]!r} taken off")
    if value in {999.0, 9999.0}:
        return None
    return NumberReading(raw=text, outcome="accepted", value=value, low=value, high=value)


def _read_missing(text: str, plain: str) -> NumberReading | None:
    special = explain_special(text)
    if special is not None:
        return NumberReading(raw=text, outcome=special[0], reason=special[1])
    if plain.casefold().rstrip(".!") in _NOT_MEASURED:
        return NumberReading(raw=text, outcome="accepted", reason=word_missing(text))
    if _MARKERS.fullmatch(plain):
        reason = f"{plain!r} {MARKER_REASON}"
        return NumberReading(raw=text, outcome="accepted", reason=reason)
    if len(plain) > LONGEST_NOTATION:
        return hold_number(text, "a long text and no measure")
    return None


def _read_pounds(
    text: str, written: str, ounces_written: str, fraction: str, *, flags: tuple[str, ...]
) -> NumberReading:
    pounds, ounces = int(written), _to_float(ounces_written, fraction)
    if ounces >= 16:
        reason = f"{ounces:g} ounces are more than a pound"
        return hold_number(text, reason, "another unit or a slip", flags=flags)
    grams = round(pounds * GRAMS_PER_UNIT["lb"] + ounces * GRAMS_PER_UNIT["oz"], DECIMALS_KEPT)
    if grams < 1.0:
        return hold_number(text, "0 is no mass", "missing", flags=flags)
    reason = "; ".join([*flags, f"{pounds} lb {ounces:g} oz in g"])
    return give_number(text, grams, reason, flags=flags)
