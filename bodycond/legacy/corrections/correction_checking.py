"""Decisions checked before any is applied: every fault named with its file and line."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Sequence

from bodycond.errors import CorrectionError, name_first_few
from bodycond.legacy.corrections.correction_records import (
    BIRD_DECISIONS,
    CELL_DECISIONS,
    Correction,
)
from bodycond.legacy.corrections.held_spans import is_span

# Enough to mend a file in one go; more would not be read.
_MOST_FAULTS = 30

_CELL = re.compile(r"\$?([A-Za-z]{1,3})\$?([1-9][0-9]{0,9})")
_ROW = re.compile(r"\$?([1-9][0-9]{0,9}):\$?\1", re.ASCII)


def read_decision(text: str, *, corrected: str) -> str:
    """Read a decision as a person writes it.

    Parameters
    ----------
    text : str
        The decision; capitals and blanks do not matter.
    corrected : str
        What the cell should read as: enough of a decision where there is none.

    Returns
    -------
    str
        The decision; the empty text where there is none, or the words found where they are none.

    Examples
    --------
    >>> read_decision("No value", corrected=""), read_decision("", corrected="185")
    ('no_value', 'corrected')
    """
    tidy = "_".join(re.split(r"[\s_-]+", text.strip().casefold()))
    if not tidy and corrected.strip():
        return "corrected"
    return tidy


def read_cell(text: str, *, sheet: str) -> str:
    """Read a cell's address as spreadsheets and the quarantine write it.

    Parameters
    ----------
    text : str
        For example ``b7``, ``$B$7`` or ``intake!B7``; ``7:7`` for a row.
    sheet : str
        The sheet's name.

    Returns
    -------
    str
        For example ``B7``; the text as it is where it is no address.

    Examples
    --------
    >>> read_cell("intake!$b$7", sheet="intake"), read_cell("seven", sheet="intake")
    ('B7', 'seven')
    """
    tidy = text.removeprefix(f"{sheet}!").strip()
    row = _ROW.fullmatch(tidy)
    if row:
        return f"{row[1]}:{row[1]}"
    found = _CELL.fullmatch(tidy)
    return f"{found[1].upper()}{found[2]}" if found else tidy


def find_row(address: str) -> int | None:
    """Give the row that an address names whole, counted from 0.

    Parameters
    ----------
    address : str
        As `read_cell` gives it.

    Returns
    -------
    int or None
        None where the address is that of something else.

    Examples
    --------
    >>> find_row("7:7"), find_row("B7")
    (6, None)
    """
    found = _ROW.fullmatch(address)
    return int(found[1]) - 1 if found else None


def check_corrections(rows: Sequence[Correction], *, faults: Sequence[str] = ()) -> None:
    """Raise one error that names every fault of some decisions.

    Parameters
    ----------
    rows : sequence of Correction
        The decisions.
    faults : sequence of str, optional
        Faults found while they were read.

    Raises
    ------
    CorrectionError
        If there are such, one is incomplete or unknown, or two contradict each other.
    """
    found = [f"{row.given_in}: {fault}" for row in rows for fault in _find_faults(row)]
    found = [*faults, *found, *_find_contradictions(rows), *_find_crossed_links(rows)]
    if found:
        raise CorrectionError(
            needed="Each correction must say what is decided, by whom and why, and no two may "
            "contradict each other",
            found=_join_faults(found),
            then="Mend these lines; nothing was applied",
        )


def _join_faults(faults: Sequence[str]) -> str:
    more = len(faults) - _MOST_FAULTS
    tail = [f"and {more} more"] if more > 0 else []
    return "; ".join([*faults[:_MOST_FAULTS], *tail])


def _find_faults(row: Correction) -> list[str]:
    if row.decision not in {*CELL_DECISIONS, *BIRD_DECISIONS}:
        known = ", ".join((*CELL_DECISIONS, *BIRD_DECISIONS))
        return [f"the decision {row.decision!r} is none of {known}"]
    faults = [f"{name} is empty" for name in ("who", "why") if not getattr(row, name)]
    if row.decision in CELL_DECISIONS:
        faults += _find_cell_faults(row)
    else:
        faults += _find_bird_faults(row)
    if row.decided_on and not _is_iso_date(row.decided_on):
        faults.append(f"decided_on is {row.decided_on!r} and no date as in 2024-05-31")
    return faults


def _find_cell_faults(row: Correction) -> list[str]:
    faults = [
        f"{name} is empty, and {row.decision} is about a cell"
        for name in ("file", "sheet", "cell")
        if not getattr(row, name)
    ]
    if find_row(row.cell) is not None:
        if row.decision != "not_exam":
            faults.append(f"cell is {row.cell!r}: not_exam alone is about a whole row")
    elif is_span(row.cell):
        faults.append(
            f"cell is {row.cell!r}: a whole column or sheet is decided in the recipe, not here"
        )
    elif row.cell and not _CELL.fullmatch(row.cell):
        faults.append(f"cell is {row.cell!r} and no address as in B7")
    faults += [
        f"{name} is filled, and {row.decision} is about a cell"
        for name in ("bird_id", "same_as")
        if getattr(row, name)
    ]
    if row.decision != "corrected":
        if row.corrected:
            faults.append(f"corrected is {row.corrected!r}, and {row.decision} takes no text")
    elif not row.corrected.strip():
        faults.append("corrected is empty; where the cell holds no value, decide no_value")
    elif row.corrected == row.raw:
        faults.append("corrected is what the cell holds; to keep it so, decide as_written")
    return faults


def _find_bird_faults(row: Correction) -> list[str]:
    faults = [
        f"{name} is empty, and {row.decision} is about two birds"
        for name in ("bird_id", "same_as")
        if not getattr(row, name)
    ]
    faults += [
        f"{name} is filled, and {row.decision} is about birds"
        for name in ("file", "sheet", "cell", "raw", "corrected")
        if getattr(row, name)
    ]
    if row.bird_id and row.bird_id == row.same_as:
        faults.append(f"bird_id and same_as are one and the same, {row.bird_id!r}")
    return faults


def _is_iso_date(text: str) -> bool:
    if not re.fullmatch(r"\d{4}-\d\d-\d\d", text, re.ASCII):
        return False
    try:
        dt.date.fromisoformat(text)
    except ValueError:
        return False
    return True


def _find_contradictions(rows: Iterable[Correction]) -> list[str]:
    """Find cells that are decided twice and differently."""
    first: dict[tuple[str, ...], Correction] = {}
    faults = []
    for row in rows:
        if row.decision not in CELL_DECISIONS:
            continue
        # Of two texts that a cell is said to hold, one is stale; that shows when they meet it.
        before = first.setdefault((*row.place, row.raw), row)
        if (before.decision, before.corrected) != (row.decision, row.corrected):
            faults.append(
                f"{before.given_in} and {row.given_in} decide {row.sheet}!{row.cell} of "
                f"{row.file} differently: {_word_decision(before)} and {_word_decision(row)}"
            )
    return faults


def _word_decision(row: Correction) -> str:
    return f"{row.decision} {row.corrected!r}" if row.corrected else row.decision


def _find_crossed_links(rows: Iterable[Correction]) -> list[str]:
    """Find birds that are said to be different and, over any number of steps, one."""
    above: dict[str, str] = {}

    def _find_root(bird: str) -> str:
        while above.get(bird, bird) != bird:
            above[bird] = above.get(above[bird], above[bird])
            bird = above[bird]
        return bird

    links = [row for row in rows if row.decision in BIRD_DECISIONS and row.bird_id and row.same_as]
    same = [row for row in links if row.decision == "same_bird"]
    for row in same:
        above[_find_root(row.bird_id)] = _find_root(row.same_as)
    faults = []
    for row in links:
        if row.decision == "same_bird" or row.bird_id == row.same_as:
            continue
        root = _find_root(row.bird_id)
        if root == _find_root(row.same_as):
            by = [link.given_in for link in same if _find_root(link.bird_id) == root]
            faults.append(
                f"{row.given_in} says that {row.bird_id!r} and {row.same_as!r} are different "
                f"birds, and they are one by {name_first_few(by)}"
            )
    return faults
