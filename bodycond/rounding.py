"""Numbers in words: the one place where results are rounded for reading."""

from __future__ import annotations

import math


def round_to_interval(value: float, low: float, high: float) -> tuple[str, str, str]:
    """Round an estimate and its limits by the width of its interval.

    Two significant digits of the interval's half width are kept, which is as much as the data
    support; an estimate without an interval gets three significant digits.

    Parameters
    ----------
    value, low, high : float
        The estimate and its limits, in the same unit; limits may be NaN.

    Returns
    -------
    tuple of str
        The three as text; "not defined" for NaN.

    Examples
    --------
    >>> round_to_interval(2.52036, 1.7684, 3.5921)
    ('2.52', '1.77', '3.59')
    """
    half_width = (high - low) / 2.0
    if math.isfinite(half_width) and half_width > 0:
        decimals = 1 - math.floor(math.log10(half_width))
    elif math.isfinite(value) and value != 0:
        decimals = 2 - math.floor(math.log10(abs(value)))
    else:
        decimals = 2
    decimals = min(max(decimals, 0), 6)
    # Adding 0.0 turns the -0.0 of a small negative number into 0.0: "-0.00" reads as a mistake.
    first, second, third = (
        f"{round(number, decimals) + 0.0:.{decimals}f}" if math.isfinite(number) else "not defined"
        for number in (value, low, high)
    )
    return first, second, third


def word_interval(value: float, low: float, high: float, *, unit: str = "", level: float) -> str:
    """Write an estimate with its interval as a reader expects it.

    Parameters
    ----------
    value, low, high : float
        The estimate and its limits.
    unit : str, default ""
        Unit to put behind the estimate.
    level : float
        Confidence level, for example 0.95.

    Returns
    -------
    str
        For example ``"2.52 (95 % interval 1.77 to 3.59)"``.

    Examples
    --------
    >>> word_interval(2.52036, 1.7684, 3.5921, level=0.95)
    '2.52 (95 % interval 1.77 to 3.59)'
    """
    if not math.isfinite(value):
        return "not defined"
    first, second, third = round_to_interval(value, low, high)
    behind = f" {unit}" if unit else ""
    if not (math.isfinite(low) and math.isfinite(high)):
        return f"{first}{behind} (no interval)"
    return f"{first}{behind} ({100 * level:g} % interval {second} to {third})"


def word_grams(mass_g: float) -> str:
    """Write a mass, to the gram, or to a tenth of one below 100 g.

    Parameters
    ----------
    mass_g : float
        The mass.

    Returns
    -------
    str
        The digits, without the unit.

    Examples
    --------
    >>> word_grams(963.4), word_grams(88.94)
    ('963', '88.9')
    """
    if not math.isfinite(mass_g):
        return "not defined"
    return f"{mass_g:.0f}" if abs(mass_g) >= 99.95 else f"{mass_g:.1f}"


def word_p_value(p: float) -> str:
    """Write a p-value, never as zero.

    Parameters
    ----------
    p : float
        The p-value.

    Returns
    -------
    str
        For example ``"p = 0.031"`` or ``"p < 0.001"``.
    """
    if not math.isfinite(p):
        return "p not defined"
    return "p < 0.001" if p < 0.001 else f"p = {p:.3f}"
