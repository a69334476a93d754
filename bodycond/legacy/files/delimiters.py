"""What parts the cells of a text file, found from all of its lines."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}

# A delimiter that no line of the table holds, for a file of one column.
NO_DELIMITER = "\x1f"

_LINE_END = re.compile(r"\r\n|\r|\n")
_NAMED = re.compile(r"sep=([^\w\s\"]|\t)[ \t,;]*(?:[\r\n]|\Z)", re.IGNORECASE)
# Commas inside numbers part no cells where another delimiter does.
_NUMBER_WITH_COMMA = re.compile(
    r"(?<=[;\t|])[ ]*[-+]?\d+,\d+[ ]*(?=[;\t|\r\n]|\Z)|(?<=[\r\n])[ ]*[-+]?\d+,\d+[ ]*(?=[;\t|])"
)
_NUMBER_ALONE = re.compile(r"[ ]*[-+]?\d+,\d+[ ]*")

# A cell in quotation marks that are closed; one letter stands for it where cells are counted.
_QUOTED = re.compile(r'(?:(?<=[,;\t|\r\n ])|\A)"(?:[^"]++|"")*+"(?=[ ]*+(?:[,;\t|\r\n]|\Z))')

# A buffer of text takes four bytes a character; beyond this the lines are sought one by one.
QUICK_LENGTH = 15_000_000

# Half of the lines alike are a table; so are two lines together with three cells each.
_TABLE_SHARE = 0.5
_NEAR = 0.05


@dataclass(frozen=True, kw_only=True, eq=False)
class DelimiterEvidence:
    """What speaks for one delimiter.

    Parameters
    ----------
    delimiter : str
        The character.
    width : int
        Cells that most lines have under it.
    lines : int
        Lines that are not blank.
    alike : int
        Lines of just that many cells.
    holding : int
        Lines that hold the delimiter at all.
    together : bool
        Two lines one below the other have the same three cells or more.
    """

    delimiter: str
    width: int
    lines: int
    alike: int
    holding: int
    together: bool

    @property
    def score(self) -> float:
        """Weigh lines that are alike above lines that only hold the delimiter.

        Returns
        -------
        float
            From 0 to 1.
        """
        return (0.6 * self.alike + 0.4 * self.holding) / max(self.lines, 1)

    @property
    def makes_table(self) -> bool:
        """Tell whether the delimiter parts cells at all, or only stands in the text.

        Returns
        -------
        bool
            True where half of the lines are alike, or lines together are.
        """
        return self.width > 1 and (
            self.alike >= _TABLE_SHARE * self.lines or self.together or self.score >= _TABLE_SHARE
        )


def iterate_lines(text: str) -> Iterator[str]:
    """Give a text's lines with their ends, whichever of LF, CR and CRLF these are.

    Parameters
    ----------
    text : str
        The text.

    Yields
    ------
    str
        One line.

    Examples
    --------
    >>> list(iterate_lines("a\\r\\nb\\rc"))
    ['a\\r\\n', 'b\\r', 'c']
    """
    if len(text) <= QUICK_LENGTH:
        yield from io.StringIO(text, newline="")
        return
    start = 0
    for match in _LINE_END.finditer(text):
        yield text[start : match.end()]
        start = match.end()
    if start < len(text):
        yield text[start:]


def find_delimiter(text: str) -> tuple[str, bool]:
    """Find the delimiter under which most lines have the same number of cells.

    Parameters
    ----------
    text : str
        The file's text.

    Returns
    -------
    tuple of (str, bool)
        The delimiter, and whether the first line names it (``sep=;``). For a file of one column
        the delimiter is `NO_DELIMITER`.

    Examples
    --------
    >>> find_delimiter("Ring;Mass\\nA1;185,5\\nA2;190,0\\n")
    (';', False)
    """
    named = _NAMED.match(text)
    if named:
        return named[1], True
    return choose_delimiter(weigh_delimiters(text)), False


def choose_delimiter(evidence: list[DelimiterEvidence]) -> str:
    """Choose the delimiter for which most speaks.

    Parameters
    ----------
    evidence : list of DelimiterEvidence
        As `weigh_delimiters` gives.

    Returns
    -------
    str
        The delimiter, or `NO_DELIMITER` where none makes a table.
    """
    tables = [one for one in evidence if one.makes_table]
    if not tables:
        return NO_DELIMITER
    best = max(one.score for one in tables)
    near = [one for one in tables if one.score >= best - _NEAR]
    # Of delimiters that fit alike the one with more cells; of these the less usual in a text.
    order = ";\t|,"
    return max(near, key=lambda one: (one.width, -order.index(one.delimiter))).delimiter


def weigh_delimiters(text: str) -> list[DelimiterEvidence]:
    """Count cells line by line under each delimiter, cells in quotation marks left out.

    Parameters
    ----------
    text : str
        The file's text.

    Returns
    -------
    list of DelimiterEvidence
        One a delimiter.
    """
    parts = [_count_cells(piece) for piece in _cut(text)]
    counts = {
        delimiter: np.concatenate([part[delimiter] for part in parts]) for delimiter in DELIMITERS
    }
    rivals = any(counts[rival].any() for rival in ";\t|")
    if "," in text and not rivals and _is_column_of_numbers(text):
        counts[","] = np.zeros_like(counts[","])
    return [_sum_up(delimiter, found) for delimiter, found in counts.items()]


def _cut(text: str) -> Iterator[str]:
    """Cut a long text at line ends, so that the counts of one piece fit into memory."""
    start = 0
    while len(text) - start > QUICK_LENGTH:
        end = 1 + text.rfind("\n", start, start + QUICK_LENGTH)
        end = end if end > start else start + QUICK_LENGTH
        yield text[start:end]
        start = end
    yield text[start:]


def _count_cells(text: str) -> dict[str, npt.NDArray[np.int32]]:
    counts = _count_in_lines(text)
    bare = text
    if counts is None:
        # A mark without its pair in the line: cells of several lines, or inches and ditto marks.
        bare = _QUOTED.sub("q", text).replace('"', "q")
        counts = _count_in_lines(bare) or {}
    if "," in bare and any(rival in bare for rival in ";\t|"):
        without = _count_in_lines(_NUMBER_WITH_COMMA.sub("", bare))
        counts |= {} if without is None else {",": without[","]}
    return counts


def _count_in_lines(text: str) -> dict[str, npt.NDArray[np.int32]] | None:
    """Count each delimiter in each line that is not blank, outside quotation marks.

    None where a line has a mark without its pair.
    """
    codes = np.frombuffer(text.encode("ascii", errors="replace"), dtype=np.uint8)
    # CRLF ends a blank line more, which does not count.
    ends = np.flatnonzero((codes == ord("\n")) | (codes == ord("\r")))
    marks = np.flatnonzero(codes == ord('"'))
    n_lines = len(ends) + 1
    if (np.bincount(np.searchsorted(ends, marks), minlength=n_lines) % 2).any():
        return None
    blank = np.diff(np.concatenate([[-1], ends, [len(codes)]])) == 1
    counts = {}
    for delimiter in DELIMITERS:
        places = np.flatnonzero(codes == ord(delimiter))
        if len(marks):
            places = places[np.searchsorted(marks, places) % 2 == 0]
        found = np.bincount(np.searchsorted(ends, places), minlength=n_lines)
        counts[delimiter] = found[~blank].astype(np.int32)
    return counts


def _is_column_of_numbers(bare: str) -> bool:
    """Tell whether commas stand in whole numbers alone, under a heading that has none."""
    if not _NUMBER_ALONE.fullmatch(bare.rstrip("\r\n").rpartition("\n")[2]):
        return False
    lines = [line.strip("\r\n") for line in iterate_lines(bare)]
    others = [line for line in lines if line and not _NUMBER_ALONE.fullmatch(line)]
    return bool(others) and not any("," in line for line in others)


def _sum_up(delimiter: str, counts: npt.NDArray[np.int32]) -> DelimiterEvidence:
    frequencies = np.bincount(counts) if len(counts) else np.zeros(1, dtype=np.int64)
    frequencies[0] = 0
    alike = int(frequencies.max())
    usual = int(np.flatnonzero(frequencies == alike)[-1]) if alike else 0
    together = bool(((counts[1:] == counts[:-1]) & (counts[1:] >= 2)).any())
    return DelimiterEvidence(
        delimiter=delimiter, width=usual + 1, lines=len(counts), alike=alike,
        holding=int((counts > 0).sum()), together=together,
    )  # fmt: skip
