"""Times of day as people write them; half of the day and seconds are never made up."""

from __future__ import annotations

import datetime as dt
import re
from typing import Literal

from bodycond.errors import ArgumentError
from bodycond.legacy.notation.marks import strip_marks
from bodycond.legacy.notation.readings import TimeReading, add_to_reason, say_script
from bodycond.legacy.notation.texts import LONGEST_NOTATION, explain_special, fold_text

# What can stand behind a date; group 1 is the time.
TIME_BEHIND_DATE = re.compile(
    r"(?:t| |, ?| at | um | a )(\d{1,2}[:h]\d{2}(?::\d{2}(?:[.,]\d+)?)?(?: ?[ap]\.?m\.?)?"
    r"(?: ?z|[+-]\d{2}:?\d{2})?|\d{3,4}|\d{1,2} ?[ap]\.?m\.?)(?: uhr| hrs?| h)?$",
    re.ASCII,
)
_CLOCK = re.compile(
    r"(\d{1,2})[:h](\d{2})(?::(\d{2})(?:[.,]\d+)?)? ?([ap])?\.?(?:(?<=[ap])m|(?<=[ap]\.)m)?\.?"
    r"(?: ?z|[+-]\d{2}:?\d{2})?",
    re.ASCII,
)
_HOUR = re.compile(r"(\d{1,2}) ?([ap])\.?m\.?", re.ASCII)
_RUN = re.compile(r"(\d{1,2})(\d{2})", re.ASCII)
_DOTTED = re.compile(r"(\d{1,2})[.,](\d{2})", re.ASCII)
_FRACTION = re.compile(r"0?[.,]\d+(?:e-\d{1,2})?|\d(?:\.\d+)?e-\d{1,2}", re.ASCII)
_WORD_BEHIND = re.compile(r" ?(uhr|hrs|hr|hours|h|uur|heures)\.?$")
_DATE_BEFORE = re.compile(r"(?:\d{4}-\d{2}-\d{2}|\d{1,2}[-/.]\d{1,2}[-/.]\d{2,4})(?:t|,? )(.+)")
_NOON = frozenset({"noon", "midday", "mittag", "midi", "mediodia", "mezzogiorno"})


def parse_time(text: str, *, clock: Literal[12, 24] | None = None) -> TimeReading:
    """Read a time of day.

    Parameters
    ----------
    text : str
        The cell's text; any text at all.
    clock : {12, 24}, optional
        Hours that the column's clock shows. On a clock of 12 hours a time without its half of
        the day is quarantined. Default: times stand as written.

    Returns
    -------
    TimeReading
        The time.

    Raises
    ------
    ArgumentError
        If the clock is neither; no text raises.

    Examples
    --------
    >>> parse_time("830").value, parse_time("7:00 pm").value
    (datetime.time(8, 30), datetime.time(19, 0))
    >>> parse_time("11544").likely
    '01:15:44, or 11:54 with a digit too many'
    """
    if clock not in {None, 12, 24}:
        raise ArgumentError(
            needed="clock= takes 12 or 24", found=f"clock={clock!r}", then="Choose one of them"
        )
    special = explain_special(text)
    if special is not None:
        return TimeReading(raw=text, outcome=special[0], reason=special[1])
    plain = fold_text(text)
    if len(plain) > LONGEST_NOTATION:
        return _hold(text, "a long text and no time")
    rest, flags = strip_marks(plain)
    reading = _read_time(text, rest)
    half_open = reading.value is not None and 1 <= reading.value.hour <= 12
    if clock == 12 and half_open and reading.value is not None and not _names_half(rest):
        shown = reading.value.replace(hour=reading.value.hour % 12)
        later = shown.replace(hour=shown.hour + 12)
        return _hold(
            text, "a time without its half of the day", f"{_show(shown)} or {_show(later)}"
        )
    return say_script(add_to_reason(reading, "; ".join(flags), flags=flags))


def _names_half(rest: str) -> bool:
    return rest in _NOON or re.search(r"\d ?[ap]\.?m\.?$", rest) is not None


def _hold(text: str, reason: str, likely: str = "") -> TimeReading:
    return TimeReading(raw=text, outcome="quarantined", reason=reason, likely=likely)


def _show(time: dt.time) -> str:
    return time.isoformat(timespec="seconds" if time.second else "minutes")


def _make_time(hour: int, minute: int, second: int = 0) -> dt.time | None:
    if hour < 24 and minute < 60 and second < 60:
        return dt.time(hour, minute, second)
    return None


def _give(text: str, time: dt.time | None, reason: str) -> TimeReading:
    if time is None:
        return _hold(text, "no such time of day")
    return TimeReading(
        raw=text, outcome="converted" if reason else "accepted", reason=reason, value=time
    )


def _read_time(text: str, rest: str) -> TimeReading:
    dated = _DATE_BEFORE.fullmatch(rest)
    if dated:
        rest = dated[1]
    reasons = ["the date beside it is left out"] if dated else []
    word = _WORD_BEHIND.search(rest)
    if word and rest[: word.start()][-1:].isdigit():
        rest = rest[: word.start()]
        reasons.append(f"{word[1]!r} taken off")
    if rest in _NOON:
        return _give(text, dt.time(12, 0), f"{text.strip()!r} is 12:00")
    clock, hour = _CLOCK.fullmatch(rest), _HOUR.fullmatch(rest)
    if clock or hour:
        return _read_clock(text, clock, hour, reasons)
    run = _RUN.fullmatch(rest)
    if run and not (len(rest) == 3 and rest.startswith("00")):
        reasons.append("hours and minutes run in one")
        return _give(text, _make_time(int(run[1]), int(run[2])), "; ".join(reasons))
    if _FRACTION.fullmatch(rest):
        return _read_fraction(text, float(rest.replace(",", ".")))
    return _explain_time(text, rest, named=bool(word))


def _read_clock(
    text: str, clock: re.Match[str] | None, short: re.Match[str] | None, reasons: list[str]
) -> TimeReading:
    if clock:
        hour, minute, second = int(clock[1]), int(clock[2]), int(clock[3] or 0)
        half = clock[4]
    elif short:
        hour, minute, second, half = int(short[1]), 0, 0, short[2]
    if half is None and hour > 23 and second == 0:
        likely = f"{hour} min {minute} s, if it is a duration"
        if (hour, minute) == (24, 0):
            likely = "midnight"
        return _hold(text, "no such time of day", likely)
    if half is None:
        return _give(text, _make_time(hour, minute, second), "; ".join(reasons))
    if not 1 <= hour <= 12:
        return _hold(text, f"hour {hour} with a half of the day beside it")
    reasons.append("before noon" if half == "a" else "after noon")
    hour = hour % 12 + (12 if half == "p" else 0)
    return _give(text, _make_time(hour, minute, second), "; ".join(reasons))


def _read_fraction(text: str, part: float) -> TimeReading:
    seconds = round(part * 86400)
    if not 0 < seconds < 86400:
        return _hold(text, "a number and no time", "00:00, or no value")
    minutes, second = divmod(seconds, 60)
    return _give(text, dt.time(minutes // 60, minutes % 60, second), "a fraction of a day")


def _explain_time(text: str, rest: str, *, named: bool) -> TimeReading:
    dotted = _DOTTED.fullmatch(rest)
    if dotted:
        hour, part = int(dotted[1]), int(dotted[2])
        as_clock = _make_time(hour, part)
        if named:
            return _give(text, as_clock, "hours and minutes with a point")
        seconds = round(part / 100 * 3600)
        as_hours = _make_time(hour, seconds // 60, seconds % 60)
        likely = " or ".join(_show(time) for time in (as_clock, as_hours) if time is not None)
        return _hold(text, "minutes or parts of an hour behind the mark", likely)
    five = re.fullmatch(r"(\d)(\d{2})(\d{2})", rest, re.ASCII)
    if five:
        exact = _make_time(*(int(part) for part in five.groups()))
        short = _make_time(int(rest[:2]), int(rest[2:4]))
        shown = [_show(exact)] if exact else []
        shown += [f"{_show(short)} with a digit too many"] if short else []
        return _hold(text, "five digits make no time", ", or ".join(shown))
    hour_alone = re.fullmatch(r"\d{1,2}", rest, re.ASCII)
    if hour_alone:
        time = _make_time(int(rest), 0)
        if named:
            return _give(text, time, "the hour alone")
        zero = ", or no value" if int(rest) == 0 else ""
        return _hold(text, "a number and no time", f"{_show(time)}{zero}" if time else "")
    ends = re.fullmatch(r"(\d{1,2}:?\d{2}) ?(?:-|to|bis) ?(\d{1,2}:?\d{2})", rest, re.ASCII)
    if ends:
        return _hold(text, "a span of time", f"from {ends[1]} to {ends[2]}")
    return _hold(text, "not a time of day")
