"""What the cells of one column look like: different texts with their counts, numbers, patterns."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from bodycond.errors import name_first_few
from bodycond.legacy.drafting.cell_patterns import (
    BINOMIAL,
    FOUR_LETTERS,
    INITIALS,
    NUMBER,
    PATTERNS,
)
from bodycond.legacy.notation import fold_text, plain_text

# Different texts that are looked at one by one; of more, this many from all of the column.
LOOKED_AT = 1000
# Numbers are quick to read, and rare ones far from the rest are to be found.
NUMBERS_LOOKED_AT = 20_000

DITTO_TEXTS = frozenset({'"', "''", "ditto", "do."})
# Of a share of cells below this a column is not said to hold a kind of thing.
_MOST = 0.8


@dataclass(frozen=True, kw_only=True, eq=False)
class ColumnContents:
    """The cells of one column, each different text once.

    Parameters
    ----------
    cells : mapping of (str, str) to int
        How often each text occurs, by text and letter of its kind, in the order met; without
        empty cells, ditto marks and texts that stand for no value.
    missing : mapping of str to int
        Texts that stand for no value in any column, and how often.
    n_rows : int
        Rows of data.
    """

    cells: Mapping[tuple[str, str], int]
    missing: Mapping[str, int]
    n_rows: int

    @cached_property
    def n_used(self) -> int:
        """Count the cells that hold a value.

        Returns
        -------
        int
            Their number.
        """
        return sum(self.cells.values())

    @cached_property
    def sample(self) -> dict[tuple[str, str], int]:
        """Give the different cells that are looked at one by one.

        Returns
        -------
        dict of (str, str) to int
            All of them where there are few; else evenly spread ones.
        """
        items = list(self.cells.items())
        if len(items) <= LOOKED_AT:
            return dict(items)
        places = np.linspace(0, len(items) - 1, LOOKED_AT).astype(int)
        return dict(items[place] for place in places)

    @cached_property
    def _folded(self) -> list[tuple[str, str, int]]:
        return [
            (fold_text(text).rstrip("."), kind, count)
            for (text, kind), count in self.sample.items()
        ]

    def share(self, what: str) -> float:
        """Give the share of cells that look like something.

        Parameters
        ----------
        what : str
            A name such as ``"date"``, ``"sex"``, ``"ring"`` or ``"number"``.

        Returns
        -------
        float
            0 to 1; 0 for an empty column.
        """
        if what == "number":
            total = sum(self._numeric_cells.values())
            return sum(count for _, count in self.numbers) / total if total else 0.0
        total = sum(self.sample.values())
        if not total:
            return 0.0
        if what in {"binomial", "four letters", "initials"}:
            form = {"binomial": BINOMIAL, "four letters": FOUR_LETTERS, "initials": INITIALS}[what]
            fitting = sum(
                count for (text, _), count in self.sample.items() if form.fullmatch(text.strip())
            )
        else:
            form = PATTERNS[what]
            letter = {"date": "d", "time": "h", "flag": "b"}.get(what, "")
            fitting = sum(
                count for text, kind, count in self._folded
                if kind == letter or ((kind != "n" or what == "ring") and form.fullmatch(text))
            )  # fmt: skip
        return fitting / total

    def holds(self, what: str, *, least: float = _MOST) -> bool:
        """Tell whether most cells look like something.

        Parameters
        ----------
        what : str
            As in `share`.
        least : float, default 0.8
            Share that is needed.

        Returns
        -------
        bool
            False for an empty column.
        """
        return self.share(what) >= least

    @cached_property
    def _numeric_cells(self) -> Mapping[tuple[str, str], int]:
        return self.cells if len(self.cells) <= NUMBERS_LOOKED_AT else self.sample

    @cached_property
    def numbers(self) -> list[tuple[float, int]]:
        """Give the numbers of the cells looked at, units and marks taken off.

        Returns
        -------
        list of (float, int)
            Value and count.
        """
        found = []
        for (text, kind), count in self._numeric_cells.items():
            if kind == "n":
                found.append((float(text), count))
            elif kind == "t" and (match := NUMBER.fullmatch(plain_text(text))):
                value = _to_number(match[1])
                if value is not None:
                    found.append((value, count))
        return found

    @cached_property
    def _ordered(self) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.int64]]:
        values = np.array([value for value, _ in self.numbers], dtype="float64")
        counts = np.array([count for _, count in self.numbers], dtype="int64")
        order = np.argsort(values, kind="stable")
        return values[order], np.cumsum(counts[order])

    def quantile(self, share: float) -> float | None:
        """Give a quantile of the numbers.

        Parameters
        ----------
        share : float
            0 to 1.

        Returns
        -------
        float or None
            None where there is no number.
        """
        if not self.numbers:
            return None
        values, counts = self._ordered
        place = int(np.searchsorted(counts, share * counts[-1], side="left"))
        return float(values[min(place, len(values) - 1)])

    def describe_numbers(self) -> str:
        """Say how many numbers there are, and from where to where.

        Returns
        -------
        str
            A part of a sentence.
        """
        if not self.numbers:
            return "no numbers" if self.n_used else "it is empty"
        low, middle, high = (self.quantile(share) for share in (0.0, 0.5, 1.0))
        count = sum(number for _, number in self.numbers)
        return f"{count} numbers from {low:g} to {high:g}, half of them above {middle:g}"

    def show(self, *, limit: int = 6) -> str:
        """Say what the column holds.

        Parameters
        ----------
        limit : int, default 6
            How many different texts are named.

        Returns
        -------
        str
            A sentence.
        """
        if not self.cells:
            told = f" but {name_first_few(map(repr, self.missing))}" if self.missing else ""
            return f"It is empty{told}."
        texts = list(dict.fromkeys(text.strip() for text, _ in self.cells))
        named = [
            repr(text if len(text) <= 40 else f"{text[:37]}...") for text in texts[: limit + 1]
        ]
        more = len(texts) - limit
        shown = ", ".join(named[:limit]) + (f" and {more} more" if more > 0 else "")
        return f"It holds {shown}."


def _to_number(text: str) -> float | None:
    marks = re.findall(r"[.,]", text)
    if marks and (len(marks) > 1 or re.fullmatch(r"[-+]?[1-9]\d{0,2},\d{3}", text)):
        last = marks[-1]
        if len(set(marks)) == 1:
            text = text.replace(last, "")
        else:
            text = text.replace("." if last == "," else ",", "")
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return None
