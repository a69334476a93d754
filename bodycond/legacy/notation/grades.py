"""A written grade as a number, and an interval of grades on its scale."""

from __future__ import annotations

import re

from bodycond.legacy.notation.readings import NumberReading, hold_number
from bodycond.scales import GRADE_TOLERANCE, ScoreScale

GRADE = r"\d{1,9}(?:[.,]\d{1,17})?|\d{1,3} 1/2"
"""Pattern of a written grade, to build others from."""

HALVES = re.compile(r"(\d{1,3})(?: |-)?1/2", re.ASCII)


def to_grade(written: str) -> float:
    """Give the number that a written grade stands for.

    Parameters
    ----------
    written : str
        Digits with a point or comma, or halves written out.

    Returns
    -------
    float
        The number.

    Examples
    --------
    >>> to_grade("2 1/2"), to_grade("2,5")
    (2.5, 2.5)
    """
    halves = HALVES.fullmatch(written)
    return int(halves[1]) + 0.5 if halves else float(written.replace(",", "."))


def is_grade(grade: float, scale: ScoreScale) -> bool:
    """Tell whether a number is a grade, as `ScoreScale.contains` does for many.

    Parameters
    ----------
    grade : float
        The number.
    scale : ScoreScale
        The scale.

    Returns
    -------
    bool
        True for a grade of the scale.

    Examples
    --------
    >>> from bodycond.scales import KEEL_SCALE
    >>> is_grade(2.5, KEEL_SCALE), is_grade(2.3, KEEL_SCALE), is_grade(6, KEEL_SCALE)
    (True, False, False)
    """
    if not scale.low - scale.step < grade < scale.high + scale.step:
        return False
    steps = (grade - scale.low) / scale.step
    nearest = round(steps)
    return abs(steps - nearest) * scale.step < GRADE_TOLERANCE and 0 <= nearest < scale.n_grades


def give_interval(
    text: str, low: float, high: float, scale: ScoreScale, reason: str, flag: str
) -> NumberReading:
    """Give an interval of grades, or hold one that leaves the scale.

    Parameters
    ----------
    text : str
        The cell's text.
    low, high : float
        The limits.
    scale : ScoreScale
        The column's scale.
    reason : str
        What was worked out.
    flag : str
        What was written.

    Returns
    -------
    NumberReading
        Without a value.
    """
    outside = [grade for grade in (low, high) if not scale.low <= grade <= scale.high]
    if outside:
        return hold_number(text, f"{outside[0]:g} is outside the scale {scale.name!r}")
    return NumberReading(
        raw=text, outcome="converted", reason=reason, flags=(flag,), low=low, high=high
    )
