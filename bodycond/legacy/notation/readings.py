"""What a parser says about one cell: its value or why there is none, and the text as it stood."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import Literal, TypeVar

Outcome = Literal["accepted", "converted", "quarantined", "set_aside"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Reading:
    """How a cell was read.

    Parameters
    ----------
    raw : str
        The text as it stood.
    outcome : {"accepted", "converted", "quarantined", "set_aside"}
        ``accepted`` where the value is what the text says or the text says that there is none,
        ``converted`` where something was worked out, ``quarantined`` where the text needs a
        person.
    reason : str
        Why, unless the text was plain.
    likely : str
        For a quarantined cell: what it probably means; never applied.
    flags : tuple of str
        What was written beside the value: doubt, a wrap, approximation.
    """

    raw: str
    outcome: Outcome
    reason: str = ""
    likely: str = ""
    flags: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class NumberReading(Reading):
    """A mass, length, count or grade.

    Parameters
    ----------
    raw, outcome, reason, likely : str
        As in `Reading`.
    flags : tuple of str
        As in `Reading`.
    value : float, optional
        The number in the column's unit; None where missing or only an interval is known.
    low, high : float, optional
        The interval; both equal the value where that is known.
    """

    value: float | None = None
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class TextReading(Reading):
    """A code, a name or free text.

    Parameters
    ----------
    raw, outcome, reason, likely : str
        As in `Reading`.
    flags : tuple of str
        As in `Reading`.
    value : str, optional
        The code or text; None where missing.
    """

    value: str | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class FlagReading(Reading):
    """A yes or no.

    Parameters
    ----------
    raw, outcome, reason, likely : str
        As in `Reading`.
    flags : tuple of str
        As in `Reading`.
    value : bool, optional
        None where missing.
    """

    value: bool | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class DateReading(Reading):
    """A day, or a month or year where no more is known.

    Parameters
    ----------
    raw, outcome, reason, likely : str
        As in `Reading`.
    flags : tuple of str
        As in `Reading`.
    value : date, optional
        The day; the first day of the month or year where only that is known.
    precision : {"day", "month", "year"}, optional
        How exactly the date is known.
    """

    value: dt.date | None = None
    precision: str | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class TimeReading(Reading):
    """A time of day.

    Parameters
    ----------
    raw, outcome, reason, likely : str
        As in `Reading`.
    flags : tuple of str
        As in `Reading`.
    value : time, optional
        None where missing.
    """

    value: dt.time | None = None


AnyReading = TypeVar("AnyReading", bound=Reading)


def add_to_reason(reading: AnyReading, said: str, *, flags: tuple[str, ...] = ()) -> AnyReading:
    """Say one thing more about a reading; an accepted value is then a converted one.

    Parameters
    ----------
    reading : Reading
        The reading.
    said : str
        What to say; empty for nothing.
    flags : tuple of str
        What was written beside the value.

    Returns
    -------
    Reading
        A new reading.
    """
    if not said and not flags:
        return reading
    reasons = "; ".join(part for part in (reading.reason, said) if part)
    has_value = reading.outcome == "accepted" and not reading.reason
    return replace(
        reading, reason=reasons, flags=(*reading.flags, *flags),
        outcome="converted" if has_value else reading.outcome,
    )  # fmt: skip


def say_script(reading: AnyReading) -> AnyReading:
    """Say of a value that its digits were written in another script.

    Parameters
    ----------
    reading : Reading
        The reading.

    Returns
    -------
    Reading
        The same where its digits are plain.
    """
    if reading.raw.isascii() or reading.outcome == "quarantined":
        return reading
    if any(letter.isdecimal() and not letter.isascii() for letter in reading.raw):
        return add_to_reason(reading, "digits of another script")
    return reading


def hold_number(
    text: str,
    reason: str,
    likely: str = "",
    *,
    flags: tuple[str, ...] = (),
    interval: tuple[float, float] | None = None,
) -> NumberReading:
    """Hold a cell that should be a number.

    Parameters
    ----------
    text : str
        The cell's text.
    reason : str
        Why it is held.
    likely : str
        What it probably means.
    flags : tuple of str
        What was written beside it.
    interval : (float, float), optional
        The limits that it gives.

    Returns
    -------
    NumberReading
        Quarantined, without a value.
    """
    low, high = interval if interval is not None else (None, None)
    return NumberReading(
        raw=text, outcome="quarantined", reason=reason, likely=likely, flags=flags, low=low,
        high=high,
    )  # fmt: skip


def give_number(
    text: str, value: float, reason: str, *, flags: tuple[str, ...] = ()
) -> NumberReading:
    """Give a number, as converted where there is a reason.

    Parameters
    ----------
    text : str
        The cell's text.
    value : float
        The number.
    reason : str
        What was worked out; empty for a plain number.
    flags : tuple of str
        What was written beside it.

    Returns
    -------
    NumberReading
        Its interval is the number itself.
    """
    outcome: Literal["accepted", "converted"] = "converted" if reason else "accepted"
    return NumberReading(
        raw=text, outcome=outcome, reason=reason, flags=flags, value=value, low=value, high=value
    )
