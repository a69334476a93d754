"""What a number format writes that the number does not hold: zeros, marks among digits, words."""

from __future__ import annotations

import re
from typing import NamedTuple

# Zeros with dashes, slashes or blanks among them, as ring numbers and years-and-numbers have them.
_ZEROS = re.compile(r"0[0\-/ ]*0")
# Letters that are quoted, fill or colour; digits; and anything else, which can be a date's letters.
_PIECES = re.compile(
    r'\\(?P<one>.)|"(?P<many>[^"]*)"|\[[^\]]*\]|[_*].|(?P<number>General|[#0?][#0?,.]*)|(?P<other>.)'
)
_PLAIN_MARKS = frozenset(" -+().,")
_QUOTED = re.compile(r'\\(.)|"([^"]*)"')


class ShownWords(NamedTuple):
    """Words that a format writes beside a number.

    Parameters
    ----------
    before, behind : str
        The words; both empty where there are none.
    digits : int, default 1
        Digits that a whole number has at least.
    """

    before: str
    behind: str
    digits: int = 1

    def show(self, number: str) -> str:
        """Write a number with its words.

        Parameters
        ----------
        number : str
            The number as it is stored.

        Returns
        -------
        str
            As the sheet shows it, every stored decimal kept.
        """
        whole = number.zfill(self.digits) if number.isdecimal() else number
        return f"{self.before}{whole}{self.behind}"


NO_WORDS = ShownWords("", "")


def read_zeros(code: str) -> str:
    """Read a number format that writes zeros in front or marks among the digits.

    Parameters
    ----------
    code : str
        The format's code.

    Returns
    -------
    str
        Zeros and marks; empty for any other format.

    Examples
    --------
    >>> read_zeros("000\\\\-00000"), read_zeros("0.00")
    ('000-00000', '')
    """
    first = code.split(";")[0]
    # A stroke that is not quoted makes the number a fraction.
    if "/" in _QUOTED.sub("", first):
        return ""
    plain = _QUOTED.sub(lambda found: found[1] or found[2] or "", first)
    return plain if _ZEROS.fullmatch(plain) else ""


def read_words(code: str) -> ShownWords:
    """Read a number format that writes words beside the number, as ``0.00" kg"`` does.

    Parameters
    ----------
    code : str
        The format's code.

    Returns
    -------
    ShownWords
        The words; none for any other format, those of dates and percentages among them.

    Examples
    --------
    >>> read_words('0.00" kg"').behind, read_words('"AB "0000').show("45")
    (' kg', 'AB 0045')
    >>> read_words("dd/mm/yyyy") == NO_WORDS
    True
    """
    said = ["", ""]
    number = ""
    for found in _PIECES.finditer(code.split(";")[0]):
        quoted = found["one"] or found["many"]
        if quoted is not None:
            said[bool(number)] += quoted
        elif found["number"]:
            number = number or found["number"]
        elif found["other"] and found["other"] not in _PLAIN_MARKS:
            return NO_WORDS
    if not number:
        return NO_WORDS
    return make_words(*said, digits=len(number) if set(number) == {"0"} else 1)


def make_words(before: str, behind: str, *, digits: int) -> ShownWords:
    """Put together what a format writes beside a number.

    Parameters
    ----------
    before, behind : str
        Texts on both sides.
    digits : int
        Digits that a whole number has at least.

    Returns
    -------
    ShownWords
        None where the texts hold no letter.
    """
    if not any(map(str.isalpha, before + behind)):
        return NO_WORDS
    return ShownWords(before, behind, digits)


def show_number(digits: str, zeros: str) -> str:
    """Show a whole number in such a format.

    Parameters
    ----------
    digits : str
        The number's digits.
    zeros : str
        As `read_zeros` gives.

    Returns
    -------
    str
        The number as a spreadsheet program shows it.

    Examples
    --------
    >>> show_number("12345", "0000000"), show_number("87761234", "000-00000")
    ('0012345', '877-61234')
    """
    left = list(digits.zfill(zeros.count("0")))
    shown = [left.pop() if mark == "0" else mark for mark in reversed(zeros)]
    return "".join([*left, *reversed(shown)])
