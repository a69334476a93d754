"""Grades as people write them: points, intervals, and everything that is neither.

The rules never give a grade that the text does not give: '3+' is an interval, '4/9' belongs to
another scale, and '2-Mar' was a range until a spreadsheet made a date of it.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable
from typing import Literal

from bodycond.legacy.notation.readings import (
    NumberReading,
    plain_text,
    says_missing,
    word_missing,
)
from bodycond.scales import KEEL_SCALE, ScoreScale

Slash = Literal["of_scale", "range"]
SLASHES: tuple[Slash, ...] = ("of_scale", "range")

_GRADE = r"\d+(?:[.,]\d+)?|\d+ 1/2"
_PLAIN = re.compile(r"\d+(?:\.\d+)?", re.ASCII)
_HALVES = re.compile(r"(\d+)(?: |-)?1/2", re.ASCII)
_SIGNED = re.compile(rf"({_GRADE}) ?([+-])", re.ASCII)
_SLASH = re.compile(rf"({_GRADE}) ?(/|of|out of) ?({_GRADE})", re.ASCII | re.IGNORECASE)
_RANGE = re.compile(rf"({_GRADE}) ?(-|to|~|bis|a|tot) ?({_GRADE})", re.ASCII | re.IGNORECASE)
_TWO_RATINGS = re.compile(
    rf"({_GRADE}) ?(?:\( ?(?:was|now|then|before)? ?({_GRADE}) ?\)|(?:->|>|=>) ?({_GRADE}))",
    re.ASCII | re.IGNORECASE,
)
_PREFIXED = re.compile(rf"([a-z]+)[ .:=]*({_GRADE})", re.ASCII | re.IGNORECASE)
_DOUBTED = re.compile(rf"[~*?]? ?({_GRADE}) ?[?*]?", re.ASCII)
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_DAY_MONTH = re.compile(r"(\d{1,2})[-/. ]([a-z]{3})[a-z]*(?:[-/. ]\d{2,4})?", re.IGNORECASE)
_MONTH_DAY = re.compile(r"([a-z]{3})[a-z]*[-/. ](\d{1,2})", re.IGNORECASE)
_DATE = re.compile(r"(\d{1,2})[-/.](\d{1,2})[-/.]\d{2,4}", re.ASCII)
_ISO_DATE = re.compile(r"\d{4}-(\d{2})-(\d{2})(?: .*)?", re.ASCII)
_ROMAN = {"i": 1, "ii": 2, "iii": 3, "iv": 4, "v": 5, "vi": 6, "vii": 7, "viii": 8, "ix": 9}
# Days since the spreadsheets' day 0: 1982 to 2064.
_SERIALS = (30000, 60000)
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
    plain = plain_text(text)
    if says_missing(text):
        return NumberReading(raw=text, outcome="accepted", reason=word_missing(text))
    dated = _explain_date(text, plain)
    if dated is not None:
        return dated
    if scale is None:
        return _hold(text, "the column has no score scale in the recipe")
    for prefix in prefixes:
        if plain.casefold().startswith(prefix.casefold()):
            plain = plain[len(prefix) :].lstrip(" .:=")
    reading = _read_slash(text, plain, scale, slash)
    if reading is not None:
        return reading
    for read in (_read_point, _read_signed, _read_range, _read_other):
        reading = read(text, plain, scale)
        if reading is not None:
            return reading
    return _hold(text, "a word and no grade: the site's codebook must say what it meant")


def _hold(text: str, reason: str, likely: str = "") -> NumberReading:
    return NumberReading(raw=text, outcome="quarantined", reason=reason, likely=likely)


def _to_grade(written: str) -> float:
    halves = _HALVES.fullmatch(written)
    return int(halves[1]) + 0.5 if halves else float(written.replace(",", "."))


def _explain_date(text: str, plain: str) -> NumberReading | None:
    first: int | None = None
    second = 0
    for pattern in (_DAY_MONTH, _MONTH_DAY, _DATE, _ISO_DATE):
        match = pattern.fullmatch(plain)
        if not match:
            continue
        parts = [_to_month(part) for part in match.groups()]
        if None not in parts:
            first, second = sorted(int(part or 0) for part in parts)
            break
    if first is None and re.fullmatch(r"\d{5}", plain, re.ASCII):
        serial = int(plain)
        if _SERIALS[0] <= serial <= _SERIALS[1]:
            day = dt.date(1899, 12, 30) + dt.timedelta(days=serial)
            first, second = sorted((day.day, day.month))
    if first is None:
        return None
    likely = f"{first}-{second} or {second}-{first}, turned into a date by a spreadsheet"
    return _hold(text, "a date and no grade", likely)


def _to_month(part: str) -> int | None:
    if part.isdigit():
        return int(part)
    word = part[:3].casefold()
    return _MONTHS.index(word) + 1 if word in _MONTHS else None


def _read_point(text: str, plain: str, scale: ScoreScale) -> NumberReading | None:
    if _PLAIN.fullmatch(plain):
        return _give_point(text, float(plain), scale)
    if re.fullmatch(r"\d+,\d+", plain, re.ASCII):
        return _give_point(text, float(plain.replace(",", ".")), scale, "decimal comma")
    if _HALVES.fullmatch(plain) and not re.fullmatch(r"\d+1/2", plain):
        return _give_point(text, _to_grade(plain), scale, "half written out")
    return None


def _give_point(text: str, grade: float, scale: ScoreScale, changed: str = "") -> NumberReading:
    if not bool(scale.contains([grade])[0]):
        inside = scale.low <= grade <= scale.high
        why = "between the grades" if inside else "outside the scale"
        return _hold(text, f"{grade:g} is {why} {scale.name!r}", _guess_slip(grade, scale))
    return NumberReading(
        raw=text, outcome="converted" if changed else "accepted", reason=changed, value=grade,
        low=grade, high=grade,
    )  # fmt: skip


def _guess_slip(grade: float, scale: ScoreScale) -> str:
    if grade < 10 or grade > 99 or not float(grade).is_integer():
        return ""
    tens, ones = divmod(int(grade), 10)
    if tens == ones and bool(scale.contains([tens])[0]):
        return f"{tens}, its key struck twice"
    if bool(scale.contains([grade / 10])[0]):
        return f"{grade / 10:g}, its point lost"
    return ""


def _give_interval(
    text: str, low: float, high: float, scale: ScoreScale, reason: str, flag: str
) -> NumberReading:
    outside = [grade for grade in (low, high) if not scale.low <= grade <= scale.high]
    if outside:
        return _hold(text, f"{outside[0]:g} is outside the scale {scale.name!r}")
    return NumberReading(
        raw=text, outcome="converted", reason=reason, flags=(flag,), low=low, high=high
    )


def _read_signed(text: str, plain: str, scale: ScoreScale) -> NumberReading | None:
    signed = _SIGNED.fullmatch(plain)
    if not signed:
        return None
    grade = _to_grade(signed[1])
    if not bool(scale.contains([grade])[0]):
        return _hold(text, f"{grade:g} is no grade of {scale.name!r}")
    if signed[2] == "+":
        high = min(grade + 0.5, scale.high)
        return _give_interval(
            text, grade, high, scale, "plus: between the grade and the next half", "plus"
        )
    low = max(grade - 0.5, scale.low)
    reason = "minus: between the half below and the grade; may also be a dash"
    return _give_interval(text, low, grade, scale, reason, "minus")


def _read_slash(
    text: str, plain: str, scale: ScoreScale, meaning: Slash | None
) -> NumberReading | None:
    slash = _SLASH.fullmatch(plain)
    if not slash:
        return None
    first, second = _to_grade(slash[1]), _to_grade(slash[3])
    of_scale = f"{first:g} of {second:g}"
    names_scale = second == scale.high and first < second
    if slash[2] != "/" or meaning == "of_scale":
        if second == scale.high:
            return _give_point(text, first, scale, f"'{slash[2]}{second:g}' names the scale")
        return _hold(text, f"another scale: {of_scale} is not on {scale.name!r}", of_scale)
    neighbours = abs(second - first) in {0.5, 1.0}
    on_scale = scale.low <= min(first, second) and max(first, second) <= scale.high
    if meaning is None and names_scale and neighbours:
        return _hold(text, "two readings", f"{of_scale}, or a range from {first:g} to {second:g}")
    if meaning is None and names_scale:
        return _give_point(text, first, scale, f"'/{second:g}' names the scale")
    if neighbours and on_scale and first > second:
        likely = f"{second:g} to {first:g}, or a change from {first:g} to {second:g}"
        return _hold(text, "two grades in falling order", likely)
    if neighbours and on_scale:
        return _give_range(text, first, second, scale, slash=True)
    return _hold(text, f"another scale: {of_scale} is not on {scale.name!r}", of_scale)


def _give_range(
    text: str, first: float, second: float, scale: ScoreScale, *, slash: bool
) -> NumberReading:
    half_on_scale = slash and second != 0 and bool(scale.contains([first / second])[0])
    if half_on_scale:
        return _hold(
            text, "two readings",
            f"{first / second:g}, or a range from {first:g} to {second:g}",
        )  # fmt: skip
    flag = "range, or half?" if (first, second) == (1.0, 2.0) else "range"
    reason = f"a range from {first:g} to {second:g}"
    return _give_interval(text, first, second, scale, reason, flag)


def _read_range(text: str, plain: str, scale: ScoreScale) -> NumberReading | None:
    between = _RANGE.fullmatch(plain)
    if not between:
        return None
    first, second = _to_grade(between[1]), _to_grade(between[3])
    strangers = [grade for grade in (first, second) if not bool(scale.contains([grade])[0])]
    if strangers:
        return _hold(text, f"{strangers[0]:g} is no grade of {scale.name!r}")
    if first >= second:
        likely = f"{second:g} to {first:g}, or a change from {first:g} to {second:g}"
        return _hold(text, "two grades that do not rise", likely)
    return _give_range(text, first, second, scale, slash=False)


def _read_other(text: str, plain: str, scale: ScoreScale) -> NumberReading | None:
    roman = plain.casefold()
    if roman == "iiii":
        return NumberReading(
            raw=text, outcome="quarantined", reason="a Roman numeral that is not written so",
            likely="4", low=4.0, high=4.0,
        )  # fmt: skip
    if roman in _ROMAN:
        return _give_point(text, float(_ROMAN[roman]), scale, "Roman numeral")
    two = _TWO_RATINGS.fullmatch(plain)
    if two:
        other = two[2] or two[3]
        return _hold(text, "two ratings in one cell", f"{two[1]} and {other}")
    prefixed = _PREFIXED.fullmatch(plain)
    if prefixed and prefixed[1].casefold() in _SCALE_PREFIXES:
        grade = _to_grade(prefixed[2])
        return NumberReading(
            raw=text, outcome="quarantined", low=grade, high=grade,
            reason=f"{prefixed[1]!r} names no scale; the recipe can say that it means this one",
            likely=f"{grade:g}",
        )  # fmt: skip
    doubted = _DOUBTED.fullmatch(plain)
    if doubted:
        return _hold(text, "a grade that was doubted when written", doubted[1])
    if re.search(r"\d", plain):
        return _hold(text, "a notation that is not known")
    return None
