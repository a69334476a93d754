"""A number with or without its unit, brought to grams or millimetres."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from bodycond.legacy.notation.marks import find_limit, strip_marks
from bodycond.legacy.notation.numerals import Decimal, read_plain_number
from bodycond.legacy.notation.readings import NumberReading, give_number, hold_number
from bodycond.legacy.notation.texts import fold_text
from bodycond.units import (
    GRAMS_PER_WRITTEN_UNIT,
    LENGTH_UNIT_WORDS,
    MASS_UNIT_WORDS,
    MILLIMETRES_PER_WRITTEN_UNIT,
)

DECIMALS_KEPT = 9
"""Decimals of a converted measure: beyond any balance, short of the noise of binary numbers."""

WRAPPED = "weighed in its wrap; the wrap was not taken off"
GRAM_OR_GRAIN = "'gr' read as gram; it can stand for grain (0.0648 g)"

_NUMBER = r"(?:\d[\d.,']*|[.,]\d+)"
_WRAP = re.compile(
    r"(.*\d ?(?:g|gr|gm)?) ?(?:w|\(w\)|\(?(?:in )?(?:wrap|wrapped|bag|bagged|sac|tuch)\)?)",
    re.IGNORECASE,
)
_WITH_UNIT = re.compile(r"(?P<number>.*[\d.,]) ?(?P<unit>[^\W\d_]+|#|\"|'')\.?")
_ONE_NUMBER = re.compile(rf"[^\d]*?({_NUMBER})[^\d]*")
_FRACTION = re.compile(r"([1-9]|1[0-5])/(2|4|8|16)", re.ASCII)
_SEPARATOR = re.compile(r" ?(/|-|\bto\b|\bbis\b|\bx\b|;|&|\+|\band\b|\bund\b|(?<=\d)x(?=[\d.])) ?",
                        re.IGNORECASE)  # fmt: skip
_DATED = re.compile(
    rf"(\d{{1,2}}[-/.]\d{{1,2}}(?:[-/.]\d{{2,4}})?)(?:[,;:] ?| )({_NUMBER} ?[a-z]*)", re.IGNORECASE
)
_FORMULA = re.compile(rf"= ?({_NUMBER})((?: ?- ?{_NUMBER})+)")


@dataclass(frozen=True, kw_only=True, slots=True)
class Quantity:
    """What is measured: its units as written and the unit that it is kept in.

    Parameters
    ----------
    name : str
        What it is called in a reason.
    words : mapping of str to str
        Units by the words for them.
    factors : mapping of str to float
        Size of each unit in the base unit.
    base : str
        The unit that it is kept in.
    larger : (str, float)
        The unit that a number far too small was likely written in, and its size.
    repeats : str
        What two values in one cell are.
    """

    name: str
    words: Mapping[str, str]
    factors: Mapping[str, float]
    base: str
    larger: tuple[str, float]
    repeats: str


MASS = Quantity(
    name="mass", words=MASS_UNIT_WORDS, factors=GRAMS_PER_WRITTEN_UNIT, base="g",
    larger=("kg", 1000.0), repeats="weighings",
)  # fmt: skip
LENGTH = Quantity(
    name="length", words=LENGTH_UNIT_WORDS, factors=MILLIMETRES_PER_WRITTEN_UNIT, base="mm",
    larger=("cm or in", 10.0), repeats="measurements",
)  # fmt: skip


def read_quantity(
    text: str, plain: str, *, quantity: Quantity, unit: str | None, decimal: Decimal | None
) -> NumberReading:
    """Read a measure in its base unit.

    Parameters
    ----------
    text : str
        The cell's text.
    plain : str
        The same, tidied.
    quantity : Quantity
        What is measured.
    unit : str or None
        Unit of a bare number.
    decimal : {"point", "comma"} or None
        The column's decimal mark.

    Returns
    -------
    NumberReading
        The value in the base unit, or why there is none.
    """
    if plain.startswith("="):
        return _read_formula(text, plain, quantity=quantity, unit=unit, decimal=decimal)
    limit, rest = find_limit(plain)
    if limit:
        side = limit.split(" ", maxsplit=1)[0]
        return hold_number(
            text, f"a limit and no {quantity.name}", f"{side} {rest}", flags=(limit,)
        )
    rest, flags = _strip_all(plain, quantity)
    if not rest:
        return hold_number(text, "a mark and no value", flags=flags)
    quoted = rest.startswith("'") and rest[1:2].isdigit()
    rest = rest[1:] if quoted else rest
    number, word = _split_unit(rest, quantity)
    own_unit = quantity.words.get(word)
    decimal = decimal or _infer_decimal(number, own_unit)
    value, changed, problem = read_plain_number(number, decimal=decimal)
    fraction = _FRACTION.fullmatch(number) if own_unit else None
    if fraction and int(fraction[1]) < int(fraction[2]):
        value, changed = int(fraction[1]) / int(fraction[2]), "fraction written out"
    chosen = own_unit or unit
    if value is None:
        factor = quantity.factors[chosen] if chosen else None
        return _explain_several(
            text, rest, quantity=quantity, factor=factor, decimal=decimal
        ) or _explain_no_number(text, rest, problem, quantity=quantity)
    if chosen is None:
        return hold_number(text, "a number without a unit, in a column without one", flags=flags)
    converted = value * quantity.factors[chosen]
    if chosen != quantity.base:
        converted = round(converted, DECIMALS_KEPT)
    if value == 0 or (own_unit is None and chosen == quantity.base and converted < 1.0):
        return _explain_small(text, value, quantity=quantity)
    if word == "gr":
        flags = (*flags, GRAM_OR_GRAIN)
    reasons = ["an apostrophe in front taken off" if quoted else "", changed, *flags]
    reasons.append(_say_unit(value, word, chosen, quantity))
    return give_number(text, converted, "; ".join(part for part in reasons if part), flags=flags)


def _say_unit(value: float, word: str, chosen: str, quantity: Quantity) -> str:
    if chosen != quantity.base:
        return f"{value:g} {chosen} in {quantity.base}"
    return f"unit {word!r} taken off" if word not in {"", "gr"} else ""


def _strip_all(plain: str, quantity: Quantity) -> tuple[str, tuple[str, ...]]:
    rest, flags = strip_marks(plain)
    wrap = _WRAP.fullmatch(rest) if quantity is MASS else None
    if not wrap:
        return rest, flags
    rest, more = strip_marks(wrap[1].strip())
    return rest, tuple(dict.fromkeys([*flags, *more, WRAPPED]))


def _split_unit(rest: str, quantity: Quantity) -> tuple[str, str]:
    own = _WITH_UNIT.fullmatch(rest)
    word = fold_text(own["unit"]) if own else ""
    if own and word in quantity.words:
        return own["number"].strip(), word
    return rest, ""


def _infer_decimal(number: str, own_unit: str | None) -> Decimal | None:
    # Thousands of kilograms, pounds or metres are no bird: one reading is left.
    if own_unit in {"kg", "lb", "m"} and re.fullmatch(r"\d{1,2}[.,]\d{3}", number, re.ASCII):
        return "point" if "." in number else "comma"
    return None


def _explain_small(text: str, value: float, *, quantity: Quantity) -> NumberReading:
    if value == 0:
        return hold_number(text, f"0 is no {quantity.name}", "missing")
    larger, factor = quantity.larger
    likely = f"{value * factor:g} {quantity.base} if it was written in {larger}"
    return hold_number(text, f"{value:g} {quantity.base} cannot be: the unit is unknown", likely)


def _explain_no_number(text: str, rest: str, problem: str, *, quantity: Quantity) -> NumberReading:
    negative = re.fullmatch(rf"- ?({_NUMBER}) ?[a-z]*", rest, re.IGNORECASE)
    if negative:
        likely = f"{negative[1]}, or no value"
        return hold_number(text, f"a negative number is no {quantity.name}", likely)
    spread = re.fullmatch(rf"({_NUMBER}) ?(?:\u00b1|\+/-|\+-) ?{_NUMBER}.*", rest)
    if spread:
        return hold_number(text, "a number with its spread", spread[1])
    dated = _DATED.fullmatch(rest)
    if dated:
        likely = f"{dated[2]} on {dated[1]}"
        return hold_number(text, f"a date and a {quantity.name} in one cell", likely)
    alone = _ONE_NUMBER.fullmatch(rest)
    # '43.J62' has two runs of digits and '1.050' is a number of its own; both keep their problem.
    if problem == "not a number" and alone and alone[1].strip(".,'") != rest.strip(".,'"):
        return hold_number(text, "a number with words or marks beside it", alone[1].strip(".,'"))
    return hold_number(text, problem)


def _explain_several(
    text: str, rest: str, *, quantity: Quantity, factor: float | None, decimal: Decimal | None
) -> NumberReading | None:
    parts = _SEPARATOR.split(rest)
    written, marks = parts[::2], {mark.lower() for mark in parts[1::2]}
    numbers = [_split_unit(part, quantity)[0] for part in written]
    values = [read_plain_number(number, decimal=decimal)[0] for number in numbers]
    known = [value for value in values if value is not None]
    if len(known) < 2 or len(known) != len(values):
        return None
    if marks <= {"-", "to", "bis"} and len(known) == 2:
        return _explain_dash(text, numbers, known, quantity=quantity, factor=factor)
    listed = f"{', '.join(numbers[:-1])} and {numbers[-1]}"
    how_many = "two" if len(known) == 2 else f"{len(known)}"
    if marks == {"/"}:
        listed = f"{how_many} {quantity.repeats}: {listed}"
    return hold_number(text, f"{how_many} values in one cell", listed)


def _explain_dash(
    text: str, numbers: list[str], values: list[float], *, quantity: Quantity,
    factor: float | None,
) -> NumberReading:  # fmt: skip
    low, high = sorted(values)
    interval = None
    if factor is not None:
        interval = round(low * factor, DECIMALS_KEPT), round(high * factor, DECIMALS_KEPT)
    between = f"between {numbers[values.index(low)]} and {numbers[values.index(high)]}"
    if values[0] < values[1]:
        return hold_number(text, "an interval", between, interval=interval)
    if quantity is not MASS or values[0] == values[1]:
        return hold_number(text, "two numbers with a dash", f"{numbers[0]} and {numbers[1]}")
    likely = f"{numbers[0]} gross less {numbers[1]} tare, or {between}"
    return hold_number(text, "two numbers with a dash", likely)


def _read_formula(
    text: str, plain: str, *, quantity: Quantity, unit: str | None, decimal: Decimal | None
) -> NumberReading:
    formula = _FORMULA.fullmatch(plain)
    if not formula:
        return hold_number(text, "a formula as text: it is not worked out")
    written = [part.strip() for part in (formula[1] + formula[2]).split("-")]
    values = [read_plain_number(part, decimal=decimal) for part in written]
    problems = [problem for _, _, problem in values if problem]
    numbers = [value for value, _, _ in values if value is not None]
    if problems:
        return hold_number(text, problems[0])
    net = round(numbers[0] - sum(numbers[1:]), DECIMALS_KEPT)
    if quantity is not MASS:
        return hold_number(text, "a formula as text: it is not worked out", f"{net:g}")
    said = f"gross {written[0]} less tare {' and '.join(written[1:])}"
    if unit is None:
        return hold_number(text, "a number without a unit, in a column without one", said)
    grams = round(net * quantity.factors[unit], DECIMALS_KEPT)
    if grams < 1.0:
        return hold_number(text, f"{said} leaves no mass of a bird")
    if unit != quantity.base:
        said += f"; {net:g} {unit} in {quantity.base}"
    return give_number(text, grams, said)
