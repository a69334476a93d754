"""Grades as people write them: points, intervals, and everything that is neither.

The rules never give a grade that the text does not give: '3+' is an interval, '4/9' belongs to
another scale, and '2-Mar' was a range until a spreadsheet made a date of it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Literal

from bodycond.legacy.notation.grades import GRADE, HALVES, give_interval, is_grade, to_grade
from bodycond.legacy.notation.marks import find_limit, strip_marks
from bodycond.legacy.notation.readings import (
    NumberReading,
    add_to_reason,
    give_number,
    hold_number,
    say_script,
)
from bodycond.legacy.notation.score_dates import explain_date
from bodycond.legacy.notation.texts import LONGEST_NOTATION, explain_special, plain_text
from bodycond.legacy.notation.words import ROMAN_NUMBERS
from bodycond.scales import KEEL_SCALE, ScoreScale

Slash = Literal["of_scale", "range"]
SLASHES: tuple[Slash, ...] = ("of_scale", "range")

# A grade stored in single precision comes back with noise below this.
_FLOAT_NOISE = 1e-6

_PLAIN = re.compile(r"\d+(?:\.\d+)?", re.ASCII)
# Most cells of a large sheet.
_FAST = re.compile(r"\d(?:\.\d)?", re.ASCII)
_SIGNED = re.compile(rf"({GRADE}) ?([+-])", re.ASCII)
_SLASH = re.compile(rf"({GRADE}) ?(/|of|out of) ?({GRADE})", re.ASCII | re.IGNORECASE)
_RANGE = re.compile(rf"({GRADE}) ?(-|to|~|bis|a|\u00e0|tot) ?({GRADE})", re.IGNORECASE)
_TWO_RATINGS = re.compile(
    rf"({GRADE}) ?(?:\( ?(?:was|now|then|before)? ?({GRADE}) ?\)|(?:->|>|=>) ?({GRADE}))",
    re.ASCII | re.IGNORECASE,
)
_PREFIXED = re.compile(rf"([a-z]+)[ .:=]*({GRADE})", re.ASCII | re.IGNORECASE)
_WORD = "a word and no grade: the site's codebook must say what it meant"
_SCALE_PREFIXES = frozenset({"bcs", "bc", "cs", "keel", "k", "ks", "pm", "score"})


def parse_score(
    text: str,
    *,
    scale: ScoreScale | None = KEEL_SCALE,
    prefixes: Iterable[str] = (),
    slash: Slash | None = None,
) -> NumberReading:
    """Read a grade on a scale.

    Parameters
    ----------
    text : str
        The cell's text; any text at all. A date cell comes in ISO form.
    scale : ScoreScale or None, default KEEL_SCALE
        The scale that the recipe gives the column; None holds every grade back.
    prefixes : iterable of str
        Words before a grade that the site uses for this scale, for example ``("BCS",)``.
    slash : {"of_scale", "range"}, optional
        What a slash means in the column: '4/5' is 4 on a scale to 5, or 4 to 5. Default
        unknown: '2.5/5' and '2/3' leave one reading each, '4/5' is quarantined.

    Returns
    -------
    NumberReading
        ``value`` is the point grade, None where only an interval is known.

    Examples
    --------
    >>> reading = parse_score("3+")
    >>> reading.value, reading.low, reading.high
    (None, 3.0, 3.5)
    >>> parse_score("2-Mar").likely
    '2-3 or 3-2, turned into a date by a spreadsheet'
    """
    if scale is not None and _FAST.fullmatch(text) and is_grade(float(text), scale):
        return give_number(text, float(text), "")
    special = explain_special(text)
    if special is not None:
        return NumberReading(raw=text, outcome=special[0], reason=special[1])
    plain = plain_text(text)
    if len(plain) > LONGEST_NOTATION:
        return hold_number(text, _WORD)
    dated = explain_date(text, plain, scale)
    if dated is not None:
        return dated
    if scale is None:
        return hold_number(text, "the column has no score scale in the recipe")
    for prefix in prefixes:
        if plain.casefold().startswith(prefix.casefold()):
            plain = plain[len(prefix) :].lstrip(" .:=")
    quoted = plain.startswith("'") and plain[1:2].isdigit()
    reading = say_script(_read_grade(text, plain[1:] if quoted else plain, scale, slash))
    return add_to_reason(reading, "an apostrophe in front taken off") if quoted else reading


def _read_grade(text: str, plain: str, scale: ScoreScale, slash: Slash | None) -> NumberReading:
    reading = _read_slash(text, plain, scale, slash)
    if reading is not None:
        return reading
    for read in (_read_point, _read_signed, _read_range, _read_other):
        reading = read(text, plain, scale)
        if reading is not None:
            return reading
    trace = "a trace; which grade that is stands in no cell" if plain.casefold() == "t" else ""
    return hold_number(text, _WORD, trace)


def _read_point(text: str, plain: str, scale: ScoreScale) -> NumberReading | None:
    if _PLAIN.fullmatch(plain):
        return _give_point(text, float(plain), scale)
    if re.fullmatch(r"\d+,\d+", plain, re.ASCII):
        return _give_point(text, float(plain.replace(",", ".")), scale, "decimal comma")
    if HALVES.fullmatch(plain) and not re.fullmatch(r"\d+1/2", plain):
        return _give_point(text, to_grade(plain), scale, "half written out")
    return None


def _give_point(text: str, grade: float, scale: ScoreScale, changed: str = "") -> NumberReading:
    if is_grade(grade, scale):
        return give_number(text, grade, changed)
    inside = scale.low <= grade <= scale.high
    if inside:
        nearest = scale.low + round((grade - scale.low) / scale.step) * scale.step
        if abs(nearest - grade) < _FLOAT_NOISE:
            return give_number(text, nearest, f"{nearest:g} with the noise of a stored number")
    why = "between the grades" if inside else "outside the scale"
    return hold_number(text, f"{grade:g} is {why} {scale.name!r}", _guess_slip(grade, scale))


def _guess_slip(grade: float, scale: ScoreScale) -> str:
    if grade < 10 or grade > 99 or not float(grade).is_integer():
        return ""
    tens, ones = divmod(int(grade), 10)
    if tens == ones and is_grade(tens, scale):
        return f"{tens}, its key struck twice"
    if is_grade(grade / 10, scale):
        return f"{grade / 10:g}, its point lost"
    return ""


def _read_signed(text: str, plain: str, scale: ScoreScale) -> NumberReading | None:
    signed = _SIGNED.fullmatch(plain)
    if not signed:
        return None
    grade = to_grade(signed[1])
    if not is_grade(grade, scale):
        return hold_number(text, f"{grade:g} is no grade of {scale.name!r}")
    if signed[2] == "+":
        high = min(grade + 0.5, scale.high)
        return give_interval(
            text, grade, high, scale, "plus: between the grade and the next half", "plus"
        )
    low = max(grade - 0.5, scale.low)
    reason = "minus: between the half below and the grade; may also be a dash"
    return give_interval(text, low, grade, scale, reason, "minus")


def _read_slash(
    text: str, plain: str, scale: ScoreScale, meaning: Slash | None
) -> NumberReading | None:
    slash = _SLASH.fullmatch(plain)
    if not slash:
        return None
    first, second = to_grade(slash[1]), to_grade(slash[3])
    of_scale = f"{first:g} of {second:g}"
    names_scale = second == scale.high and first <= second
    if slash[2] != "/" or meaning == "of_scale":
        if second == scale.high:
            return _give_point(text, first, scale, f"'{slash[2]}{second:g}' names the scale")
        return hold_number(text, f"another scale: {of_scale} is not on {scale.name!r}", of_scale)
    neighbours = abs(second - first) in {0.5, 1.0}
    on_scale = is_grade(first, scale) and is_grade(second, scale)
    if meaning is None and names_scale and neighbours:
        likely = f"{of_scale}, or a range from {first:g} to {second:g}"
        return hold_number(text, "two readings", likely)
    if meaning is None and names_scale:
        return _give_point(text, first, scale, f"'/{second:g}' names the scale")
    if neighbours and on_scale and first > second:
        likely = f"{second:g} to {first:g}, or a change from {first:g} to {second:g}"
        return hold_number(text, "two grades in falling order", likely)
    if neighbours and on_scale:
        return _give_range(text, first, second, scale, slash=True)
    return hold_number(text, f"another scale: {of_scale} is not on {scale.name!r}", of_scale)


def _give_range(
    text: str, first: float, second: float, scale: ScoreScale, *, slash: bool
) -> NumberReading:
    if slash and second != 0 and is_grade(first / second, scale):
        likely = f"{first / second:g}, or a range from {first:g} to {second:g}"
        return hold_number(text, "two readings", likely)
    flag, reason = "range", f"a range from {first:g} to {second:g}"
    if (first, second) == (1.0, 2.0):
        flag, reason = "range, or half?", f"{reason}; may also be a half"
    return give_interval(text, first, second, scale, reason, flag)


def _read_range(text: str, plain: str, scale: ScoreScale) -> NumberReading | None:
    between = _RANGE.fullmatch(plain)
    if not between:
        return None
    first, second = to_grade(between[1]), to_grade(between[3])
    strangers = [grade for grade in (first, second) if not is_grade(grade, scale)]
    if strangers:
        return hold_number(text, f"{strangers[0]:g} is no grade of {scale.name!r}")
    if first >= second:
        likely = f"{second:g} to {first:g}, or a change from {first:g} to {second:g}"
        return hold_number(text, "two grades that do not rise", likely)
    return _give_range(text, first, second, scale, slash=False)


def _read_other(text: str, plain: str, scale: ScoreScale) -> NumberReading | None:
    roman = plain.casefold()
    if roman == "iiii":
        known = (4.0, 4.0) if is_grade(4.0, scale) else None
        return hold_number(text, "a Roman numeral that is not written so", "4", interval=known)
    if roman in ROMAN_NUMBERS:
        return _give_point(text, float(ROMAN_NUMBERS[roman]), scale, "Roman numeral")
    two = _TWO_RATINGS.fullmatch(plain)
    if two:
        other = two[2] or two[3]
        return hold_number(text, "two ratings in one cell", f"{two[1]} and {other}")
    prefixed = _PREFIXED.fullmatch(plain)
    if prefixed and prefixed[1].casefold() in _SCALE_PREFIXES:
        grade = to_grade(prefixed[2])
        reason = f"{prefixed[1]!r} names no scale; the recipe can say that it means this one"
        known = (grade, grade) if is_grade(grade, scale) else None
        return hold_number(text, reason, f"{grade:g}", interval=known)
    return _explain_doubt(text, plain, scale)


def _explain_doubt(text: str, plain: str, scale: ScoreScale) -> NumberReading | None:
    limit, rest = find_limit(plain)
    if limit and re.search(r"\d", rest):
        side = limit.split(" ", maxsplit=1)[0]
        return hold_number(text, "a limit and no grade", f"{side} {rest}", flags=(limit,))
    rest, flags = strip_marks(plain)
    if flags and re.fullmatch(GRADE, rest, re.ASCII):
        grade = to_grade(rest)
        known = (grade, grade) if is_grade(grade, scale) else None
        reason = "a grade that was doubted when written"
        return hold_number(text, reason, rest, flags=flags, interval=known)
    if flags and re.search(r"\d", rest):
        return hold_number(text, "a notation that is not known", rest, flags=flags)
    if re.search(r"\d", plain):
        return hold_number(text, "a notation that is not known")
    return None
