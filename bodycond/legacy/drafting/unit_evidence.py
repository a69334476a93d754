"""Units that nobody states, told by what a bird can be: g and mm where nothing else is possible."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from itertools import product
from typing import NamedTuple

from bodycond.legacy.drafting.drafted_columns import DraftedColumn
from bodycond.legacy.headings.headings import CERTAIN, fold_heading
from bodycond.units import GRAMS_PER_UNIT, MILLIMETRES_PER_UNIT

MEASURED = ("mass_g", "wing_mm", "tarsus_mm", "culmen_mm", "hallux_mm", "tail_mm")
"""Fields whose units are weighed against one another."""

# Fewer numbers say nothing.
_LEAST_NUMBERS = 10
# From a hatchling to an emperor penguin, in g and mm. Common practice and from memory; limits of
# what a bird can be at all, much wider than what is plausible for a species.
_LARGEST = {
    "mass_g": 45_000.0, "wing_mm": 900.0, "tarsus_mm": 200.0, "culmen_mm": 250.0,
    "hallux_mm": 80.0, "tail_mm": 550.0,
}  # fmt: skip
_SMALLEST = {
    "mass_g": 0.5, "wing_mm": 3.0, "tarsus_mm": 3.0, "culmen_mm": 2.0, "hallux_mm": 1.0,
    "tail_mm": 1.0,
}  # fmt: skip
# Length in mm over the cube root of mass in g, of full-grown birds (common practice, from memory):
# wings from loons to frigatebirds, flippers apart; tarsi from frigatebirds to stilts.
_OF_MASS = {
    "wing_mm": (15.0, 75.0), "tarsus_mm": (1.3, 30.0), "culmen_mm": (1.2, 45.0),
    "hallux_mm": (0.5, 12.0), "tail_mm": (2.5, 80.0),
}  # fmt: skip
_FLIPPER = (8.0, 75.0)
_OF_WING = {"tarsus_mm": (0.03, 1.2), "culmen_mm": (0.02, 1.2), "tail_mm": (0.15, 1.6)}
# Of cells with letters, which can be units of their own.
_MOST_LETTERS = 0.05
# Feathers that vary so much, between the first and last tenth, are those of birds that grow.
_MOST_SPREAD = 3.0
_FEATHERS = frozenset({"wing_mm", "tail_mm"})
# 'Brood patch' and 'hatch year' speak of full-grown birds.
_CHICKS = re.compile(
    r"chick|nestling|hatch(?! ?year)|brood(?! ?patch)|fledg|pull|poussin|jeune|nichee|nestjong|"
    r"kuiken|pollo|pollu|pichon|kuken|jungv|ninhego|filhote|pulcin|nidiace|\bunge"
)


class _Measure(NamedTuple):
    """A column of bare or stated numbers: first tenth, middle, last tenth, possible units."""

    field: str
    low: float
    middle: float
    high: float
    units: tuple[str, ...]


def find_plain_units(columns: Sequence[DraftedColumn]) -> dict[str, str]:
    """Find the columns whose bare numbers can be g or mm alone.

    Every choice of units of the table's measures is tried. One is possible where each number lies
    within what a bird can be and, unless the table speaks of chicks or the lengths vary as those of
    growing birds do, lengths go with the mass and with the wing. A column is settled where every
    possible choice gives it g, or mm.

    Parameters
    ----------
    columns : sequence of DraftedColumn
        The columns of a table.

    Returns
    -------
    dict of str to str
        Evidence by field. Any other unit, and whatever several units explain, stays a question.
    """
    measures = _collect_measures(columns)
    grown = not _speaks_of_chicks(columns) and not any(
        each.field in _FEATHERS and each.high > _MOST_SPREAD * each.low for each in measures
    )
    flipper = any("flipper" in fold_heading(column.heading) for column in columns)
    ratios = {**_OF_MASS, **({"wing_mm": _FLIPPER} if flipper else {})}
    possible = [
        units for units in product(*(each.units for each in measures))
        if _is_possible(_scale(measures, units), ratios if grown else {})
    ]  # fmt: skip
    stated = {column.match.field for column in columns if column.match.unit is not None}
    found = {}
    for place, measure in enumerate(measures):
        plain = "g" if measure.field == "mass_g" else "mm"
        if {units[place] for units in possible} == {plain} and measure.field not in stated:
            beside = [each.field for each in measures if each is not measure] if grown else []
            found[measure.field] = _word(plain, measure, beside)
    return found


def _collect_measures(columns: Sequence[DraftedColumn]) -> list[_Measure]:
    """Take the first column of each field; a field of several is asked about anyway."""
    found: dict[str, _Measure] = {}
    for column in columns:
        field, unit = column.match.field, column.match.unit
        if field not in MEASURED or field in found or column.match.confidence < CERTAIN:
            continue
        contents = column.contents
        if _share_with_letters(column) > _MOST_LETTERS:
            continue
        middle = contents.quantile(0.5)
        if middle is None or sum(count for _, count in contents.numbers) < _LEAST_NUMBERS:
            continue
        known = ("g", "kg", "lb", "oz") if field == "mass_g" else ("mm", "cm", "in")
        table = _factors(field)
        units: tuple[str, ...] = (unit,) if unit is not None and unit in table else known
        low, high = contents.quantile(0.1) or 0.0, contents.quantile(0.9) or 0.0
        if low > 0:
            found[field] = _Measure(field, low, middle, high, units)
    return list(found.values())


def _share_with_letters(column: DraftedColumn) -> float:
    cells = column.contents.sample
    lettered = sum(
        count for (text, kind), count in cells.items()
        if kind == "t" and any(map(str.isalpha, text))
    )  # fmt: skip
    return lettered / max(sum(cells.values()), 1)


def _factors(field: str) -> Mapping[str, float]:
    return GRAMS_PER_UNIT if field == "mass_g" else MILLIMETRES_PER_UNIT


def _speaks_of_chicks(columns: Sequence[DraftedColumn]) -> bool:
    if any(
        column.match.field == "chick_age_days" and column.contents.holds("number", least=0.5)
        for column in columns
    ):
        return True
    first = columns[0]
    texts = [column.heading for column in columns] + [*first.titles, first.place]
    return any(_CHICKS.search(fold_heading(text)) for text in texts)


def _scale(measures: Sequence[_Measure], units: Sequence[str]) -> dict[str, _Measure]:
    scaled = {}
    for measure, unit in zip(measures, units, strict=True):
        factor = _factors(measure.field)[unit]
        low, middle, high = (each * factor for each in measure[1:4])
        scaled[measure.field] = _Measure(measure.field, low, middle, high, (unit,))
    return scaled


def _is_possible(
    measures: Mapping[str, _Measure], ratios: Mapping[str, tuple[float, float]]
) -> bool:
    for field, measure in measures.items():
        if measure.low < _SMALLEST[field] or measure.high > _LARGEST[field]:
            return False
    if not ratios:
        return True
    mass, wing = measures.get("mass_g"), measures.get("wing_mm")
    pairs = []
    if mass is not None:
        root = mass.middle ** (1 / 3)
        pairs += [(measures[field].middle / root, limits) for field, limits in ratios.items()
                  if field in measures]  # fmt: skip
    if wing is not None:
        pairs += [(measures[field].middle / wing.middle, limits)
                  for field, limits in _OF_WING.items() if field in measures]  # fmt: skip
    return all(low <= ratio <= high for ratio, (low, high) in pairs)


def _word(plain: str, measure: _Measure, beside: Sequence[str]) -> str:
    told = f" (with {', '.join(beside)})" if beside else ""
    return f"no unit is stated; only {plain} makes numbers about {measure.middle:g} a bird's{told}"
