"""Numbers of any kind: counts, per cents, measures of the user's own."""

from __future__ import annotations

import re

from bodycond.legacy.notation.marks import ABOVE, find_limit, strip_marks
from bodycond.legacy.notation.numerals import Decimal, read_plain_number
from bodycond.legacy.notation.readings import (
    NumberReading,
    give_number,
    hold_number,
    say_script,
)
from bodycond.legacy.notation.texts import (
    LONGEST_NOTATION,
    explain_special,
    fold_text,
    plain_text,
)

_PER_CENT = re.compile(r"(.*?) ?%")


def parse_number(
    text: str,
    *,
    decimal: Decimal | None = None,
    low: float | None = None,
    high: float | None = None,
    unit: str | None = None,
) -> NumberReading:
    """Read a number of any kind, inside limits where there are any.

    Parameters
    ----------
    text : str
        The cell's text; any text at all.
    decimal : {"point", "comma"}, optional
        The column's decimal mark. Default unknown.
    low, high : float, optional
        Documented limits; a number outside them is quarantined. Default none.
    unit : str, optional
        The column's unit, any word; it is taken off where a cell repeats it. Default none.

    Returns
    -------
    NumberReading
        The number; a per cent sign is taken off and said.

    Examples
    --------
    >>> parse_number("3", low=0, high=1).reason
    '3 is outside the documented 0 to 1'
    >>> parse_number("90+%").likely
    '90 or more'
    """
    special = explain_special(text)
    if special is not None:
        return NumberReading(raw=text, outcome=special[0], reason=special[1])
    plain = plain_text(text)
    if len(plain) > LONGEST_NOTATION:
        return hold_number(text, "a long text and no number")
    reading = say_script(_read_number(text, plain, decimal=decimal, unit=unit))
    value = reading.value
    if value is None or ((low is None or value >= low) and (high is None or value <= high)):
        return reading
    bounds = f"{'no limit' if low is None else f'{low:g}'} to " + (
        "no limit" if high is None else f"{high:g}"
    )
    reason = f"{value:g} is outside the documented {bounds}"
    return hold_number(text, reason, flags=reading.flags)


def _read_number(
    text: str, plain: str, *, decimal: Decimal | None, unit: str | None
) -> NumberReading:
    limit, rest = find_limit(plain)
    if limit:
        side = limit.split(" ", maxsplit=1)[0]
        return hold_number(text, "a limit and no number", f"{side} {rest}", flags=(limit,))
    rest, flags = strip_marks(plain)
    if not rest:
        return hold_number(text, "a mark and no value", flags=flags)
    reasons = list(flags)
    if rest.startswith("'") and rest[1:2].isdigit():
        rest = rest[1:]
        reasons.append("an apostrophe in front taken off")
    per_cent = _PER_CENT.fullmatch(rest)
    if per_cent:
        rest = per_cent[1]
        reasons.append("per cent sign taken off")
    elif unit and fold_text(rest).endswith(fold_text(unit)) and len(unit) < len(rest):
        rest = rest[: len(rest) - len(unit)].rstrip()
        reasons.append(f"unit {unit!r} taken off")
    more = re.fullmatch(r"(\d+(?:[.,]\d+)?) ?\+", rest, re.ASCII)
    if more:
        return hold_number(text, "a limit and no number", f"{more[1]} or more", flags=(ABOVE,))
    sign = -1.0 if rest.startswith("-") else 1.0
    value, changed, problem = read_plain_number(rest.lstrip("+-").strip(), decimal=decimal)
    if re.match(r"[+-] ?[+-]", rest) or value is None:
        return _explain_number(text, rest, problem or "not a number", decimal=decimal, flags=flags)
    reason = "; ".join(part for part in (*reasons, changed) if part)
    return give_number(text, value * sign, reason, flags=flags)


def _explain_number(
    text: str, rest: str, problem: str, *, decimal: Decimal | None, flags: tuple[str, ...]
) -> NumberReading:
    between = re.fullmatch(r"([\d.,]+) ?%? ?(?:-|to|bis) ?([\d.,]+)", rest, re.ASCII)
    if between:
        ends = [read_plain_number(part, decimal=decimal)[0] for part in between.groups()]
        if ends[0] is not None and ends[1] is not None and ends[0] < ends[1]:
            return hold_number(
                text, "an interval and no number", f"between {ends[0]:g} and {ends[1]:g}",
                flags=flags, interval=(ends[0], ends[1]),
            )  # fmt: skip
    one = re.fullmatch(r"[^\d-]*(-?\d+(?:[.,]\d+)?)[^\d.,]*", rest, re.ASCII)
    if problem == "not a number" and one:
        return hold_number(text, "a number with words or marks beside it", one[1], flags=flags)
    return hold_number(text, problem, flags=flags)
