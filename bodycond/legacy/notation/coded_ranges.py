"""Ranges between two of a site's own codes for grades: 'L-M'."""

from __future__ import annotations

import re
from collections.abc import Mapping

from bodycond.legacy.notation.grades import give_interval, is_grade, to_grade
from bodycond.legacy.notation.marks import strip_marks
from bodycond.legacy.notation.readings import NumberReading, add_to_reason, hold_number
from bodycond.legacy.notation.texts import LONGEST_NOTATION, plain_text
from bodycond.scales import ScoreScale

_MARK = re.compile(r" ?(?:->|[-/~]|\bto\b|\bbis\b|\btot\b) ?")
_NUMBER = re.compile(r"\d{1,6}(?:[.,]\d{1,9})?", re.ASCII)


def parse_coded_range(
    text: str,
    *,
    codes: Mapping[str, str | tuple[float, float] | None],
    scale: ScoreScale,
) -> NumberReading | None:
    """Read a range whose ends are codes that the recipe explains.

    Parameters
    ----------
    text : str
        The cell's text; any text at all.
    codes : mapping of str to str, (float, float) or None
        The recipe's codes of the column: a grade, an interval of grades or no value.
    scale : ScoreScale
        The column's scale.

    Returns
    -------
    NumberReading or None
        The interval from the first code's grade to the second's; quarantined where the grades
        do not rise or a code has none, and where one code has a mark of doubt. None where the
        text is neither.

    Examples
    --------
    >>> fat = ScoreScale(name="fat 0 to 3", low=0, high=3, step=1)
    >>> reading = parse_coded_range("L-M", codes={"L": "1", "M": "2", "H": "3"}, scale=fat)
    >>> reading.low, reading.high, reading.value
    (1.0, 2.0, None)
    """
    plain, flags = strip_marks(plain_text(text))
    if len(plain) > LONGEST_NOTATION:
        return None
    folded = {code.strip().casefold(): value for code, value in codes.items()}
    folded |= {code.strip(): value for code, value in codes.items()}
    alone = _find_grades(plain, folded) if flags else ()
    if alone != () and not _NUMBER.fullmatch(plain):
        return _hold_doubted(text, plain, alone, flags, scale)
    for mark in _MARK.finditer(plain):
        ends = plain[: mark.start()].strip(), plain[mark.end() :].strip()
        known = [_find_grades(end, folded) for end in ends]
        coded = any(end in folded or end.casefold() in folded for end in ends)
        if not coded or any(found == () for found in known):
            continue
        if "->" in mark[0]:
            return hold_number(text, "two ratings in one cell", f"{ends[0]} and {ends[1]}")
        reading = _give_range(text, ends, known[0], known[1], scale)
        return add_to_reason(reading, "; ".join(flags), flags=flags)
    return None


def _find_grades(
    end: str, codes: Mapping[str, str | tuple[float, float] | None]
) -> tuple[float, ...] | None:
    """Give a code's lowest and highest grade, None for no value, nothing for no code."""
    for key in (end, end.casefold()):
        if key in codes:
            value = codes[key]
            if isinstance(value, str):
                written = value.strip()
                return (to_grade(written),) * 2 if _NUMBER.fullmatch(written) else None
            return value
    return (to_grade(end),) * 2 if _NUMBER.fullmatch(end) else ()


def _hold_doubted(
    text: str, code: str, grades: tuple[float, ...] | None, flags: tuple[str, ...],
    scale: ScoreScale,
) -> NumberReading:  # fmt: skip
    on_scale = grades and all(is_grade(grade, scale) for grade in grades)
    interval = (grades[0], grades[-1]) if grades and on_scale else None
    reason = "a grade that was doubted when written"
    return hold_number(text, reason, f"the recipe's code {code!r}", flags=flags, interval=interval)


def _give_range(
    text: str, ends: tuple[str, str], first: tuple[float, ...] | None,
    second: tuple[float, ...] | None, scale: ScoreScale,
) -> NumberReading:  # fmt: skip
    if not first or not second:
        missing = ends[0] if not first else ends[1]
        return hold_number(text, f"the recipe gives {missing!r} no grade")
    strangers = [grade for grade in (*first, *second) if not is_grade(grade, scale)]
    if strangers:
        return hold_number(text, f"{strangers[0]:g} is no grade of {scale.name!r}")
    if first[0] > second[0] or first[-1] >= second[-1]:
        likely = f"{ends[1]} to {ends[0]}, or a change from {ends[0]} to {ends[1]}"
        return hold_number(text, "two grades that do not rise", likely)
    reason = (
        f"a range from the recipe's code {ends[0]!r} to {ends[1]!r}: {first[0]:g} to {second[-1]:g}"
    )
    return give_interval(text, first[0], second[-1], scale, reason, "range")
