"""Columns of measures and scores: unit and scale stated, or asked with what the numbers say."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

from bodycond.errors import name_first_few
from bodycond.legacy.drafting.column_contents import ColumnContents
from bodycond.legacy.drafting.drafted_columns import DraftedColumn, ask, word_ticks
from bodycond.legacy.headings.heading_units import read_units
from bodycond.legacy.headings.headings import CERTAIN
from bodycond.legacy.notation import MASS_UNITS, NumberReading, parse_length, parse_mass
from bodycond.legacy.recipes.recipe_rules import ColumnRule
from bodycond.units import GRAMS_PER_UNIT, MILLIMETRES_PER_UNIT

# From a hummingbird to an eagle, in g and mm: a median outside is no such measure, or is in
# another unit than it is said to be.
_POSSIBLE: dict[str, tuple[float, float]] = {
    "mass_g": (1.8, 15_000.0), "wing_mm": (30.0, 900.0), "tarsus_mm": (6.0, 160.0),
    "culmen_mm": (5.0, 130.0), "hallux_mm": (3.0, 80.0), "tail_mm": (18.0, 500.0),
}  # fmt: skip
# Wing in mm over the cube root of mass in g, from penguins' flippers to swifts.
_WING_PER_MASS = (8.0, 75.0)
# The same of hatchlings, and of chicks above some 30 g, whose wings have begun to grow.
_CHICKS_WING, _GROWING_WING, _SMALL_MASS = 3.0, 6.0, 30.0
_SMALLEST_CHICK = 3.0
# Lengths as a part of the wing, generously.
_OF_WING = {"tarsus_mm": (0.04, 1.2), "culmen_mm": (0.02, 1.2), "tail_mm": (0.15, 1.6)}
_DENOMINATOR = re.compile(r"\d(?:[.,]\d)? ?(?:/|of) ?(\d{1,2})", re.ASCII | re.IGNORECASE)
_LEAST_NUMBERS = 20
# A wing below this, in mm, is more likely in another unit.
_LEAST_WING = 30.0
_MOST_GRADES = 9.0
_FAR = (3.0, 6.0, 12.0)  # times the middle half of the numbers, from its edges


def find_decimal(contents: ColumnContents) -> str | None:
    """Find the decimal mark from cells that leave no doubt.

    Parameters
    ----------
    contents : ColumnContents
        The column.

    Returns
    -------
    {"point", "comma"} or None
        None where no cell shows it or both occur.

    Examples
    --------
    >>> find_decimal(ColumnContents(cells={("190,5", "t"): 1}, missing={}, n_rows=1))
    'comma'
    """
    marks = {
        found[1]
        for text, kind in contents.cells
        if kind == "t" and (found := re.fullmatch(r"\D*\d*([.,])(?:\d{1,2}|\d{4,})\D*", text))
    }
    if len(marks) != 1:
        return None
    return "comma" if "," in marks else "point"


def draft_measure(column: DraftedColumn) -> ColumnRule:
    """Draft a column of masses or lengths.

    Parameters
    ----------
    column : DraftedColumn
        The column.

    Returns
    -------
    ColumnRule
        With a question, and the likely unit beside it, where no unit is stated or the numbers
        do not go with what the heading says.
    """
    match, contents = column.match, column.contents
    decimal = find_decimal(contents)
    rule = ColumnRule(
        heading=column.heading, fields=(match.field,), unit=match.unit, decimal=decimal,
        confidence=match.confidence, evidence=f"{match.evidence}; {contents.describe_numbers()}",
    )  # fmt: skip
    allowed = MASS_UNITS if match.field == "mass_g" else tuple(MILLIMETRES_PER_UNIT)
    if match.unit is not None and match.unit not in allowed:
        likely, _ = propose_unit(column)
        question = (
            f"Is this {match.field}? The unit {match.unit!r} that is named does not fit. "
            f"{contents.show()}"
        )
        return ask(column, question, rule=replace(rule, unit=likely), confidence=0.4)
    if column.differences:
        said = f"{len(column.differences)} cells are differences such as {column.differences[0]!r}"
        rule = replace(rule, evidence=f"{rule.evidence}; {said}: a bag taken off, most likely")
    if match.unit == "lb.oz":
        question = (
            "Is 2.5 here 2 lb 5 oz (unit: lb.oz) or two and a half pounds (unit: lb)? "
            f"{contents.show()}"
        )
        return ask(column, question, rule=rule)
    doubt = _find_doubt(column)
    if doubt:
        question = f"{doubt} Is it {match.field} all the same, and in which unit?"
        return ask(column, f"{question} {contents.show()}", rule=rule, confidence=0.4)
    if match.unit is not None:
        return rule if not contents.n_used else _check_unit(column, rule)
    base = "g" if match.field == "mass_g" else "mm"
    parse: Callable[..., NumberReading] = parse_mass if base == "g" else parse_length
    own = sum(
        count for (text, kind), count in contents.sample.items()
        if kind == "t" and parse(text, unit=None, decimal=decimal).value is not None
    )  # fmt: skip
    if own and own == sum(contents.sample.values()):
        return replace(rule, evidence=f"{rule.evidence}; each cell names its unit")
    return _ask_unit(column, rule, own)


def _find_doubt(column: DraftedColumn) -> str:
    contents = column.contents
    if not contents.n_used:
        return ""
    for what, said in (("date", "dates"), ("time", "times of day"), ("flag", "yes and no")):
        if contents.holds(what, least=0.5):
            return f"Its cells are {said}, no measures."
    if contents.holds("two numbers", least=0.5):
        return "Its cells hold two numbers each."
    few = {value for value, _ in contents.numbers}
    if (
        contents.n_used >= 8
        and len(few) <= 10
        and all(value.is_integer() and value <= _MOST_GRADES for value in few)
    ):
        return (
            f"Its cells are whole numbers up to {max(few, default=0):g}, as grades or counts are."
        )
    if column.match.scale_limits:
        low, high = column.match.scale_limits
        return f"The heading names grades from {low} to {high}, which is a score and no measure."
    return ""


def _ask_unit(column: DraftedColumn, rule: ColumnRule, own: int) -> ColumnRule:
    contents = column.contents
    is_mass = column.match.field == "mass_g"
    count = sum(number for _, number in contents.numbers)
    seen = "there is no number yet"
    if count:
        low, high = contents.quantile(0.0), contents.quantile(1.0)
        seen = f"{count} numbers from {low:g} to {high:g}"
    far = _name_far(contents)
    units = ", ".join(MASS_UNITS if is_mass else ("mm", "cm", "in"))
    likely, why = _read_titles(column)
    plain = "g" if is_mass else "mm"
    if column.unit_evidence and not own and likely in {None, plain} and (
        column.match.confidence >= CERTAIN
    ):  # fmt: skip
        told = [rule.evidence, why or column.unit_evidence, far.strip().rstrip(".")]
        evidence = "; ".join(text for text in told if text)
        settled = replace(rule, unit=plain, evidence=evidence, confidence=CERTAIN)
        ticks = word_ticks(contents)
        return ask(column, f"{ticks}{far}", rule=settled) if ticks else settled
    if likely is None:
        likely, why = propose_unit(column)
    proposal = f" Likely {likely}: {why}." if likely else ""
    named = f" {own} cells name their own." if own else ""
    if column.differences:
        named += (
            f" {len(column.differences)} cells are differences such as "
            f"{column.differences[0]!r}: was a bag taken off?"
        )
    question = (
        f"In which unit are bare numbers ({units})? Nothing says so; {seen}.{named}{proposal}{far}"
    )
    ticks = word_ticks(contents)
    if column.match.confidence < 0.9:
        question = f"Is this {column.match.field} ({column.match.evidence})? {question}"
    return ask(column, f"{question} {ticks}".strip(), rule=replace(rule, unit=likely))


def _read_titles(column: DraftedColumn) -> tuple[str | None, str]:
    """Find the one unit of mass or length that a title names."""
    allowed = set(GRAMS_PER_UNIT if column.match.field == "mass_g" else MILLIMETRES_PER_UNIT)
    for title in column.titles:
        units = read_units(title) & allowed
        if len(units) == 1:
            return units.pop(), f"a title says {title!r}"
    return None, ""


def propose_unit(column: DraftedColumn) -> tuple[str | None, str]:
    """Propose the unit of bare numbers, for a question.

    Parameters
    ----------
    column : DraftedColumn
        The column.

    Returns
    -------
    unit : str or None
        The unit that makes the numbers a bird's; None where no number or no unit does.
    why : str
        What speaks for it.
    """
    middle = column.contents.quantile(0.5)
    if middle is None or middle <= 0:
        return None, ""
    field = column.match.field
    if field == "mass_g":
        wing = column.medians.get("wing_mm")
        for unit in ("g", "kg", "lb", "oz"):
            grams = middle * GRAMS_PER_UNIT[unit]
            fits = _POSSIBLE[field][0] <= grams <= _POSSIBLE[field][1]
            if wing is not None and wing >= _LEAST_WING:
                fits = fits and _fits_wing(grams, wing)
            elif unit == "g":
                fits = fits and (middle >= 20 or _in_tenths(column.contents))
            if fits:
                return unit, f"half of the numbers lie above {middle:g}"
        return None, ""
    low, high = _POSSIBLE.get(field, (1.0, 1000.0))
    mass = column.medians.get("mass_g")
    if _SMALLEST_CHICK <= middle < low and mass is None:
        return None, ""  # mm of chicks or cm of grown birds: the numbers do not tell
    for unit in ("mm", "cm", "in"):
        length = middle * MILLIMETRES_PER_UNIT[unit]
        hatched = unit == "mm" and (field == "wing_mm" or (mass or 0.0) < _SMALL_MASS)
        fits = (_SMALLEST_CHICK if hatched else low) <= length <= high
        if field == "wing_mm" and mass is not None:
            least = _CHICKS_WING if mass < _SMALL_MASS else _GROWING_WING
            fits = fits and least <= length / mass ** (1 / 3) <= _WING_PER_MASS[1]
        if fits:
            return unit, f"half of the numbers lie above {middle:g}"
    return None, ""


def _in_tenths(contents: ColumnContents) -> bool:
    middle = contents.quantile(0.5) or 0.0
    return middle >= _POSSIBLE["mass_g"][0]


def _fits_wing(grams: float, wing: float) -> bool:
    ratio: float = wing / grams ** (1 / 3)
    return _WING_PER_MASS[0] <= ratio <= _WING_PER_MASS[1]


def _check_unit(column: DraftedColumn, rule: ColumnRule) -> ColumnRule:
    """Ask where the numbers do not go with the unit that is stated."""
    field, unit = column.match.field, column.match.unit or ""
    table = GRAMS_PER_UNIT if field == "mass_g" else MILLIMETRES_PER_UNIT
    middle = column.contents.quantile(0.5)
    if middle is None or unit not in table:
        return rule
    value = middle * table[unit]
    low, high = _POSSIBLE[field]
    base = "g" if field == "mass_g" else "mm"
    wing = column.medians.get("wing_mm")
    said = ""
    if not low <= value <= high:
        said = f"; {low:g} to {high:g} {base} is possible"
    elif wing is not None and wing >= _LEAST_WING:
        least, most = _OF_WING.get(field, (0.0, float("inf")))
        odd = not _fits_wing(value, wing) if base == "g" else not least <= value / wing <= most
        said = f", which does not go with a wing of {wing:g} mm" if odd else ""
    if not said:
        far = _name_far(column.contents)
        return replace(rule, evidence=f"{rule.evidence};{far}") if far else rule
    question = (
        f"The unit is said to be {unit}, but half of the numbers lie above {middle:g} {unit}"
        f"{said}. Is this {field}, and in which unit?"
    )
    return ask(column, f"{question} {column.contents.show()}", rule=rule, confidence=0.4)


def _name_far(contents: ColumnContents) -> str:
    """Name numbers that stand far from the rest."""
    low, high = contents.quantile(0.25), contents.quantile(0.75)
    total = sum(count for _, count in contents.numbers)
    if low is None or high is None or total < _LEAST_NUMBERS:
        return ""
    spread = max(high - low, 0.02 * high)
    for times in _FAR:
        reach = low - times * spread, high + times * spread
        outside = [(value, count) for value, count in contents.numbers
                   if not reach[0] <= value <= reach[1]]  # fmt: skip
        # Many are another species or sex, and no slips.
        if sum(count for _, count in outside) <= max(3.0, 0.002 * total):
            far = sorted({value for value, _ in outside})
            break
    else:
        return ""
    if not far:
        return ""
    return f" Far from the rest: {name_first_few([f'{value:g}' for value in far], limit=5)}."
