"""Times of an OpenDocument spreadsheet, which are spans: a day and a half is one."""

from __future__ import annotations

import datetime as dt
import re

_SPAN = re.compile(r"(-?)P(?:(\d{1,6})D)?(?:T(?:(\d{1,7})H)?(?:(\d{1,9})M)?(?:(\d+(?:\.\d+)?)S)?)?")
_DAY = dt.timedelta(days=1)


def word_long_time(written: str) -> str:
    """Write a time of more than a day, or below zero, as one of another workbook is written.

    Parameters
    ----------
    written : str
        The time as the document has it.

    Returns
    -------
    str
        Days and time; empty for a time of day, which is read without this.

    Examples
    --------
    >>> word_long_time("PT38H00M00S"), word_long_time("PT08H30M00S")
    ('1 day, 14:00:00', '')
    """
    found = _SPAN.fullmatch(written)
    if found is None:
        return ""
    sign, days, hours, minutes, seconds = found.groups(default="")
    span = dt.timedelta(
        days=int(days or 0), hours=int(hours or 0), minutes=int(minutes or 0),
        seconds=float(seconds or 0),
    )  # fmt: skip
    if sign:
        return f"-{span}" if span else ""
    return str(span) if span >= _DAY else ""
