"""What people decided about birds under several ids, checked for contradictions."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import pandas as pd

from bodycond.errors import ArgumentError, require_columns
from bodycond.legacy.birds.ring_forms import write_text

DECISIONS = ("same_bird", "different_birds")

DECISION_COLUMNS = ("decision", "bird_id", "same_as", "who", "why")


@dataclass(frozen=True, kw_only=True, eq=False)
class Decision:
    """One line of the decisions.

    Parameters
    ----------
    line : str
        The line's label in the table: its number, or the file and line that it was given in.
    same : bool
        True for one bird, False for two.
    bird_id, same_as : str
        The two names.
    who, why : str
        Who decided, and the reason.
    """

    line: str
    same: bool
    bird_id: str
    same_as: str
    who: str
    why: str

    def __str__(self) -> str:
        verb = "is the same bird as" if self.same else "is another bird than"
        place = f"line {self.line}" if self.line.isdigit() else self.line
        return f"{place}: {self.bird_id!r} {verb} {self.same_as!r} ({self.who})"


@dataclass(frozen=True, kw_only=True, eq=False)
class DecidedBirds:
    """Decisions that do not contradict one another.

    Parameters
    ----------
    lines : tuple of Decision
        The decisions.
    group : mapping of str to int
        The group of each name that was decided to be the same as another, or as itself.
    chosen : mapping of int to str
        The bird_id of each group.
    apart : frozenset of (int, int)
        Groups decided to be different birds, the lower number first.
    """

    lines: tuple[Decision, ...]
    group: Mapping[str, int]
    chosen: Mapping[int, str]
    apart: frozenset[tuple[int, int]]

    def settles(self, one: str, other: str) -> bool:
        """Tell whether a pair is decided, by a line or by what several lines imply.

        Parameters
        ----------
        one, other : str
            The two names.

        Returns
        -------
        bool
            True where nothing is left to ask.
        """
        if one not in self.group or other not in self.group:
            return False
        first, second = sorted((self.group[one], self.group[other]))
        return first == second or (first, second) in self.apart


def read_decisions(decisions: pd.DataFrame | None) -> DecidedBirds:
    """Check decisions and gather what they join.

    Parameters
    ----------
    decisions : DataFrame or None
        Columns ``decision`` ("same_bird" or "different_birds"; empty for what nobody has decided
        yet), ``bird_id``, ``same_as``, ``who``, ``why``.

    Returns
    -------
    DecidedBirds
        The decisions.

    Raises
    ------
    MissingColumnError
        If a column is absent.
    ArgumentError
        If a line is incomplete, if its decision is not one of the two, or if lines contradict
        one another.
    """
    if decisions is None:
        return DecidedBirds(lines=(), group={}, chosen={}, apart=frozenset())
    require_columns(decisions.columns, DECISION_COLUMNS, purpose="Deciding which birds are one")
    cells = decisions[list(DECISION_COLUMNS)].assign(
        # Ids that are numbers come back from a file as floats.
        bird_id=write_text(decisions["bird_id"]), same_as=write_text(decisions["same_as"])
    )  # fmt: skip
    lines = tuple(
        line
        for label, row in zip(cells.index, cells.to_dict("records"), strict=True)
        if (line := _read_line(label, {str(name): cell for name, cell in row.items()})) is not None
    )
    group = _join_names(lines)
    apart = set()
    for line in lines:
        if line.same:
            continue
        first, second = sorted((group[line.bird_id], group[line.same_as]))
        if first == second:
            path = _find_path(lines, line.bird_id, line.same_as)
            raise ArgumentError(
                needed="Decisions must not contradict one another",
                found="; ".join(str(step) for step in [*path, line]),
                then="Look at these birds again and take one of the lines out",
            )
        apart.add((first, second))
    return DecidedBirds(
        lines=lines, group=group, chosen=_choose_names(lines, group), apart=frozenset(apart)
    )


def _read_line(label: object, row: Mapping[str, object]) -> Decision | None:
    cells = {name: "" if pd.isna(row[name]) else str(row[name]) for name in row}  # type: ignore[call-overload]
    decision = cells["decision"].strip()
    if not decision:
        return None
    if decision not in DECISIONS:
        raise ArgumentError(
            needed=f"A decision is {' or '.join(repr(word) for word in DECISIONS)}, or empty",
            found=f"decision {decision!r} in line {label}",
            then="Write one of the two words",
        )
    lacking = [name for name in DECISION_COLUMNS[1:] if not cells[name].strip()]
    if lacking:
        raise ArgumentError(
            needed="A decision names two birds, who decided and why",
            found=f"line {label} without {' and '.join(lacking)}",
            then="Fill them in; a merge that nobody signed cannot be defended later",
        )
    if cells["bird_id"] == cells["same_as"]:
        raise ArgumentError(
            needed="A decision is about two names",
            found=f"line {label}: {cells['bird_id']!r} twice",
            then="Name the parts of one bird_id as the proposals name them",
        )
    return Decision(
        line=str(label), same=decision == "same_bird", bird_id=cells["bird_id"],
        same_as=cells["same_as"], who=cells["who"], why=cells["why"],
    )  # fmt: skip


def _join_names(lines: Sequence[Decision]) -> dict[str, int]:
    group: dict[str, int] = {}
    members: dict[int, list[str]] = {}
    for line in lines:
        for name in (line.bird_id, line.same_as):
            if name not in group:
                number = len(group)
                group[name], members[number] = number, [name]
        first, second = group[line.bird_id], group[line.same_as]
        if line.same and first != second:
            kept, gone = min(first, second), max(first, second)
            for name in members[gone]:
                group[name] = kept
            members[kept] += members.pop(gone)
    return group


def _find_path(lines: Sequence[Decision], start: str, end: str) -> list[Decision]:
    """The shortest chain of same_bird lines between two names."""
    came: dict[str, Decision | None] = {start: None}
    waiting = deque([start])
    while waiting and end not in came:
        name = waiting.popleft()
        for line in lines:
            if line.same and name in (line.bird_id, line.same_as):
                other = line.same_as if name == line.bird_id else line.bird_id
                if other not in came:
                    came[other] = line
                    waiting.append(other)
    path: list[Decision] = []
    name = end
    while (step := came[name]) is not None:
        path.append(step)
        name = step.bird_id if step.same_as == name else step.same_as
    return path[::-1]


def _choose_names(lines: Sequence[Decision], group: Mapping[str, int]) -> dict[int, str]:
    """Follow same_as from the first line of each group to its end."""
    following: dict[str, str] = {}
    for line in lines:
        if line.same:
            following.setdefault(line.bird_id, line.same_as)
    chosen: dict[int, str] = {}
    for line in lines:
        number = group[line.bird_id]
        if not line.same or number in chosen:
            continue
        name, seen = line.same_as, {line.bird_id, line.same_as}
        while name in following and following[name] not in seen:
            name = following[name]
            seen.add(name)
        chosen[number] = name
    return chosen
