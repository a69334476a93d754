"""Digits with decimal and thousands marks, which mean different things in different countries."""

from __future__ import annotations

import re
from typing import Literal

Decimal = Literal["point", "comma"]

_FRACTION = re.compile(r"(\d{1,9})[ -](\d{1,3})/(\d{1,3})", re.ASCII)
_APOSTROPHES = re.compile(r"\d{1,3}(?:'\d{3})+(?:[.,]\d+)?", re.ASCII)
_GROUPED = re.compile(r"\d{1,3}(?:[., ]\d{3})+", re.ASCII)
# Two different marks leave one reading: the last is the decimal mark.
_BOTH_MARKS = re.compile(r"\d{1,3}(?:([., ])\d{3})(?:\1\d{3})*(?!\1)([.,])\d+", re.ASCII)


def read_plain_number(number: str, *, decimal: Decimal | None) -> tuple[float | None, str, str]:
    """Read a number written in digits.

    Parameters
    ----------
    number : str
        The digits with their marks; no unit, no sign.
    decimal : {"point", "comma"} or None
        The column's decimal mark, None where it is not known.

    Returns
    -------
    value : float or None
        The number; None where there is none or more than one reading.
    changed : str
        What was worked out to get it; empty for a plain number.
    problem : str
        Why there is none.

    Examples
    --------
    >>> read_plain_number("1.050,5", decimal=None)
    (1050.5, 'thousands mark taken out', '')
    """
    number = number.strip()
    fraction = _FRACTION.fullmatch(number)
    if fraction and int(fraction[3]) > int(fraction[2]) > 0:
        value = int(fraction[1]) + int(fraction[2]) / int(fraction[3])
        return value, "fraction written out", ""
    if re.fullmatch(r"\d+", number, re.ASCII):
        return float(number), "", ""
    if re.fullmatch(r"\d+([.,]\d+)?e[+-]?\d{1,2}", number, re.ASCII | re.IGNORECASE):
        return float(number.replace(",", ".")), "scientific notation written out", ""
    if _APOSTROPHES.fullmatch(number):
        digits = number.replace("'", "").replace(",", ".")
        return float(digits), "thousands mark taken out", ""
    both = _BOTH_MARKS.fullmatch(number)
    if both and decimal in {None, "comma" if both[2] == "," else "point"}:
        whole, _, part = number.rpartition(both[2])
        digits = re.sub(r"\D", "", whole)
        return float(f"{digits}.{part}"), "thousands mark taken out", ""
    if _GROUPED.fullmatch(number) and not re.match(r"0", number):
        return _read_grouped(number, decimal=decimal)
    if re.fullmatch(r"\d*\.\d+|\d+\.", number, re.ASCII):
        if decimal == "comma":
            return None, "", f"{number!r} has a point in a column of decimal commas"
        return float(number), "", ""
    if re.fullmatch(r"\d*,\d+", number, re.ASCII):
        if decimal == "point":
            return None, "", f"{number!r} has a comma in a column of decimal points"
        return float(number.replace(",", ".")), "decimal comma", ""
    return None, "", "not a number" if number else "empty"


def _read_grouped(number: str, *, decimal: Decimal | None) -> tuple[float | None, str, str]:
    marks = {mark for mark in number if not mark.isdigit()}
    mark = {"point": ".", "comma": ","}.get(decimal or "", "")
    single = len(re.findall(r"[., ]", number)) == 1
    if re.match(r"\d{3} ", number):
        return None, "", f"{number!r} can be one number or two"
    if not mark and not single and len(marks) == 1 and " " not in marks:
        # A number has one decimal mark: the same mark twice leaves one reading.
        return float(re.sub(r"\D", "", number)), "thousands mark taken out", ""
    if not mark:
        problem = f"{number!r} can be a decimal or thousands: the column's decimal mark is unknown"
        return None, "", problem
    if marks == {mark}:
        if not single:
            return None, "", f"{number!r} has more than one decimal mark"
        value = float(number.replace(",", "."))
        return value, "decimal comma" if mark == "," else "", ""
    if mark in marks:
        return None, "", f"{number!r} has a decimal mark where thousands would stand"
    return float(re.sub(r"\D", "", number)), "thousands mark taken out", ""
