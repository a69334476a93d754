"""Units of mass and length, converted by exact factors and never in silence.

One pound is 453.59237 g and one inch 25.4 mm by definition (international yard and pound
agreement of 1959); an ounce is a sixteenth of a pound.
"""

from __future__ import annotations

from bodycond.errors import require_choice

GRAMS_PER_UNIT: dict[str, float] = {
    "g": 1.0,
    "kg": 1000.0,
    "lb": 453.59237,
    "oz": 453.59237 / 16.0,
}
MILLIMETRES_PER_UNIT: dict[str, float] = {"mm": 1.0, "cm": 10.0, "in": 25.4}

# Units that a cell can state of itself, and that no column is kept in.
GRAMS_PER_WRITTEN_UNIT: dict[str, float] = {**GRAMS_PER_UNIT, "grain": 453.59237 / 7000.0}
MILLIMETRES_PER_WRITTEN_UNIT: dict[str, float] = {**MILLIMETRES_PER_UNIT, "ft": 304.8, "m": 1000.0}

MASS_UNIT_WORDS: dict[str, str] = {
    **dict.fromkeys(
        ("g", "gr", "gm", "gms", "grs", "gram", "grams", "gramm", "gramme", "grammes", "gramo",
         "gramos", "grammo", "grammi", "grama", "gramas"), "g"),
    **dict.fromkeys(
        ("kg", "kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramm", "kilogramme",
         "kilogrammes", "kilogramo", "kilogramos"), "kg"),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds", "#"), "lb"),
    **dict.fromkeys(("oz", "ozs", "ounce", "ounces"), "oz"),
    **dict.fromkeys(("grain", "grains"), "grain"),
}  # fmt: skip
"""Units of mass as people write them, in lower case without accents."""

LENGTH_UNIT_WORDS: dict[str, str] = {
    **dict.fromkeys(
        ("mm", "mms", "millimetre", "millimetres", "millimeter", "millimeters", "milimetro",
         "milimetros"), "mm"),
    **dict.fromkeys(
        ("cm", "cms", "centimetre", "centimetres", "centimeter", "centimeters", "zentimeter",
         "centimetro", "centimetros"), "cm"),
    **dict.fromkeys(("in", "ins", "inch", "inches", '"', "''"), "in"),
    **dict.fromkeys(("ft", "foot", "feet"), "ft"),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), "m"),
}  # fmt: skip
"""Units of length as people write them, in lower case without accents."""


def to_grams(value: float, *, unit: str) -> float:
    """Convert a mass to grams.

    Parameters
    ----------
    value : float
        The mass in ``unit``.
    unit : {"g", "kg", "lb", "oz"}
        Its unit.

    Returns
    -------
    float
        The mass in g.

    Raises
    ------
    ArgumentError
        If the unit is unknown.

    Examples
    --------
    >>> round(to_grams(2, unit="lb") + to_grams(5, unit="oz"), 1)
    1048.9
    """
    require_choice(unit, GRAMS_PER_UNIT, argument="unit")
    return value * GRAMS_PER_UNIT[unit]


def to_millimetres(value: float, *, unit: str) -> float:
    """Convert a length to millimetres.

    Parameters
    ----------
    value : float
        The length in ``unit``.
    unit : {"mm", "cm", "in"}
        Its unit.

    Returns
    -------
    float
        The length in mm.

    Raises
    ------
    ArgumentError
        If the unit is unknown.
    """
    require_choice(unit, MILLIMETRES_PER_UNIT, argument="unit")
    return value * MILLIMETRES_PER_UNIT[unit]
