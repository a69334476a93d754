"""Masses, lengths and plain numbers as people write them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from bodycond.errors import require_choice
from bodycond.legacy.notation.numerals import Decimal, read_plain_number
from bodycond.legacy.notation.readings import (
    NumberReading,
    plain_text,
    says_missing,
    word_missing,
)
from bodycond.units import GRAMS_PER_UNIT, MILLIMETRES_PER_UNIT

MASS_UNITS = (*GRAMS_PER_UNIT, "lb.oz")
"""Units of a mass column; in ``lb.oz`` 2.5 is 2 lb 5 oz."""

MARKER_REASON = "was read as a marker for no value"
"""End of the ledger's reason where 0, 999 or 9999 stood in a column of measures."""

_MASS_WORDS = {
    **dict.fromkeys(("g", "gr", "gm", "gms", "grs", "gram", "grams", "gramm", "gramme"), "g"),
    **dict.fromkeys(("grammes", "gramo", "gramos"), "g"),
    **dict.fromkeys(("kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"), "kg"),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds", "#"), "lb"),
    **dict.fromkeys(("oz", "ozs", "ounce", "ounces"), "oz"),
}
_LENGTH_WORDS = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    **dict.fromkeys(("cm", "cms", "centimetre", "centimetres", "centimeter"), "cm"),
    **dict.fromkeys(("in", "ins", "inch", "inches", '"', "''"), "in"),
}

_FLAG_WORDS = {
    "*": "marked with a star",
    "?": "marked as doubtful",
    "~": "approximate",
    "w": "weighed in its wrap; the wrap was not taken off",
}
_NOT_WEIGHED = re.compile(
    r"(too weak|too stressed|not weigh(ed)?|not measured|not done|not possible|no scales?|"
    r"refused|not examined|escaped|broken|damaged|molt|moult|in moult)\.?",
    re.IGNORECASE,
)
_NUMBER = r"\d+(?:[.,]\d+)?|[.,]\d+"
_POUNDS_OUNCES = re.compile(
    rf"(\d+) ?(?:lbs?\.?|pounds?|#) ?,? ?({_NUMBER}) ?(?:oz\.?|ozs\.?|ounces?)?", re.IGNORECASE
)
_WITH_UNIT = re.compile(r"(?P<number>.*?[\d.,/]) ?(?P<unit>[a-z]+|#|\"|'')\.?", re.IGNORECASE)
_TWO_VALUES = re.compile(rf"({_NUMBER}) ?[a-z]* ?(/|-|to|x|;|&|\+) ?({_NUMBER})", re.IGNORECASE)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Quantity:
    name: str
    words: Mapping[str, str]
    factors: Mapping[str, float]
    base: str


_MASS = _Quantity(name="mass", words=_MASS_WORDS, factors=GRAMS_PER_UNIT, base="g")
_LENGTH = _Quantity(name="length", words=_LENGTH_WORDS, factors=MILLIMETRES_PER_UNIT, base="mm")


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
    plain = plain_text(text)
    missing = _read_missing(text, plain)
    if missing is not None:
        return missing
    pounds = _POUNDS_OUNCES.fullmatch(plain)
    if pounds:
        return _read_pounds(text, int(pounds[1]), float(pounds[2].replace(",", ".")))
    if unit == "lb.oz":
        dotted = re.fullmatch(r"(\d+)[.,](\d{1,2})", plain)
        if dotted:
            return _read_pounds(text, int(dotted[1]), float(dotted[2]))
        unit = "lb" if re.fullmatch(r"\d+", plain) else None
    return _read_quantity(text, plain, quantity=_MASS, unit=unit, decimal=decimal)


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
    plain = plain_text(text)
    missing = _read_missing(text, plain)
    if missing is not None:
        return missing
    return _read_quantity(text, plain, quantity=_LENGTH, unit=unit, decimal=decimal)


def parse_number(
    text: str,
    *,
    decimal: Decimal | None = None,
    low: float | None = None,
    high: float | None = None,
) -> NumberReading:
    """Read a number without a unit, inside limits where there are any.

    Parameters
    ----------
    text : str
        The cell's text; any text at all.
    decimal : {"point", "comma"}, optional
        The column's decimal mark. Default unknown.
    low, high : float, optional
        Documented limits; a number outside them is quarantined. Default none.

    Returns
    -------
    NumberReading
        The number.

    Examples
    --------
    >>> parse_number("3", low=0, high=1).reason
    '3 is outside the documented 0 to 1'
    """
    plain = plain_text(text)
    if says_missing(text):
        return NumberReading(raw=text, outcome="accepted", reason=word_missing(text))
    sign = -1.0 if plain.startswith("-") else 1.0
    value, changed, problem = read_plain_number(plain.removeprefix("-").strip(), decimal=decimal)
    if value is None:
        return _hold(text, problem)
    value *= sign
    if (low is not None and value < low) or (high is not None and value > high):
        bounds = f"{'no limit' if low is None else f'{low:g}'} to " + (
            "no limit" if high is None else f"{high:g}"
        )
        return _hold(text, f"{value:g} is outside the documented {bounds}")
    outcome: Literal["accepted", "converted"] = "converted" if changed else "accepted"
    return NumberReading(
        raw=text, outcome=outcome, reason=changed, value=value, low=value, high=value
    )


def _hold(text: str, reason: str, likely: str = "") -> NumberReading:
    return NumberReading(raw=text, outcome="quarantined", reason=reason, likely=likely)


def _read_missing(text: str, plain: str) -> NumberReading | None:
    if says_missing(text) or _NOT_WEIGHED.fullmatch(plain):
        return NumberReading(raw=text, outcome="accepted", reason=word_missing(text))
    if re.fullmatch(r"0+([.,]0+)?|-?9{3,4}([.,]0+)?", plain):
        reason = f"{plain!r} {MARKER_REASON}"
        return NumberReading(raw=text, outcome="accepted", reason=reason)
    return None


def _read_pounds(text: str, pounds: int, ounces: float) -> NumberReading:
    if ounces >= 16:
        return _hold(text, f"{ounces:g} ounces are more than a pound", "another unit or a slip")
    grams = pounds * GRAMS_PER_UNIT["lb"] + ounces * GRAMS_PER_UNIT["oz"]
    reason = f"{pounds} lb {ounces:g} oz in g"
    return NumberReading(
        raw=text, outcome="converted", reason=reason, value=grams, low=grams, high=grams
    )


def _strip_flags(plain: str) -> tuple[str, tuple[str, ...]]:
    flags: list[str] = []
    rest = plain
    approximate = re.match(r"(ca?\.? |about |approx\.? |circa |est\.? )", rest, re.IGNORECASE)
    if approximate:
        flags.append(_FLAG_WORDS["~"])
        rest = rest[approximate.end() :]
    while rest and rest[0] in "~*?":
        flags.append(_FLAG_WORDS[rest[0]])
        rest = rest[1:].lstrip()
    while rest and rest[-1] in "~*?":
        flags.append(_FLAG_WORDS[rest[-1]])
        rest = rest[:-1].rstrip()
    wrap = re.fullmatch(r"(.*\d) ?(?:g ?)?\(?(?:w|in wrap|wrapped)\)?", rest, re.IGNORECASE)
    if wrap:
        flags.append(_FLAG_WORDS["w"])
        rest = wrap[1]
    return rest, tuple(flags)


def _read_quantity(
    text: str, plain: str, *, quantity: _Quantity, unit: str | None, decimal: Decimal | None
) -> NumberReading:
    if plain[:1] in "<>":
        side = "below" if plain[0] == "<" else "above"
        return _hold(text, f"a limit and no {quantity.name}", f"{side} {plain[1:].strip()}")
    rest, flags = _strip_flags(plain)
    own = _WITH_UNIT.fullmatch(rest)
    word = own["unit"].lower() if own else ""
    own_unit = quantity.words.get(word)
    number = own["number"] if own and own_unit else rest
    if decimal is None and own_unit in {"kg", "lb"} and re.fullmatch(r"\d{1,2}[.,]\d{3}", number):
        # Thousands of kilograms or pounds are no bird: one reading is left.
        decimal = "point" if "." in number else "comma"
    value, changed, problem = read_plain_number(number, decimal=decimal)
    if value is None:
        return _explain_two_values(text, rest) or _hold(text, problem)
    chosen = own_unit or unit
    if chosen is None:
        return _hold(text, "a number without a unit, in a column without one")
    converted = value * quantity.factors[chosen]
    if own_unit is None and chosen == quantity.base and converted < 1.0:
        return _explain_small(text, value, quantity=quantity)
    reasons = [changed, *flags]
    if word == "gr":
        reasons.append("'gr' read as gram; it can stand for grain (0.0648 g)")
    if chosen != quantity.base:
        reasons.append(f"{value:g} {chosen} in {quantity.base}")
    elif own_unit:
        reasons.append(f"unit {word!r} taken off")
    reason = "; ".join(item for item in reasons if item)
    outcome: Literal["accepted", "converted"] = "converted" if reason else "accepted"
    return NumberReading(
        raw=text, outcome=outcome, reason=reason, flags=flags, value=converted, low=converted,
        high=converted,
    )  # fmt: skip


def _explain_small(text: str, value: float, *, quantity: _Quantity) -> NumberReading:
    if value == 0:
        return _hold(text, f"0 is no {quantity.name}", "missing")
    larger, factor = ("kg", 1000.0) if quantity.base == "g" else ("cm or in", 10.0)
    likely = f"{value * factor:g} {quantity.base} if it was written in {larger}"
    return _hold(text, f"{value:g} {quantity.base} cannot be: the unit is unknown", likely)


def _explain_two_values(text: str, rest: str) -> NumberReading | None:
    two = _TWO_VALUES.fullmatch(rest)
    if not two:
        return None
    first, mark, second = two[1], two[2].lower(), two[3]
    if mark in {"-", "to"}:
        low, high = (float(item.replace(",", ".")) for item in (first, second))
        if low < high:
            return NumberReading(
                raw=text, outcome="quarantined", low=low, high=high, reason="an interval",
                likely=f"between {first} and {second}",
            )  # fmt: skip
        return _hold(text, "two numbers with a dash", f"{first} gross less {second} tare")
    if mark == "/":
        return _hold(text, "two values in one cell", f"two weighings: {first} and {second}")
    return _hold(text, "two values in one cell", f"{first} and {second}")
