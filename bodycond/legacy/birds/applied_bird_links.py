"""Decisions about birds under several ids, carried out on a copy of the exams."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.errors import ArgumentError, name_first_few
from bodycond.legacy.birds.bird_identities import PART_DIMENSIONS, collect_facts, name_parts
from bodycond.legacy.birds.bird_link_decisions import DecidedBirds, Decision, read_decisions

AS_WRITTEN = "bird_id_as_written"
"""Column that keeps the bird_id of before any decision."""


def apply_bird_links(exams: pd.DataFrame, *, decisions: pd.DataFrame) -> pd.DataFrame:
    """Give every exam the bird_id that was decided for its bird; what was written is kept.

    Parameters
    ----------
    exams : DataFrame
        Exams.
    decisions : DataFrame
        Columns ``decision`` ("same_bird" or "different_birds"; a line without one changes
        nothing), ``bird_id``, ``same_as``, ``who``, ``why``; birds are named as
        `propose_bird_links` names them. ``different_birds`` about two parts of one bird_id, such
        as ``"12 (file 2004.csv, year 2004)"``, makes two birds of them.

    Returns
    -------
    DataFrame
        A copy in which ``bird_id`` is one a decided bird: the id at the end of the chain of
        ``same_as`` that the group's first line begins. ``bird_id_as_written`` keeps the old one;
        where the column is there already, decisions are about what it holds, so that applying
        them twice changes nothing more.

    Raises
    ------
    MissingColumnError
        If a column of the decisions is absent.
    ArgumentError
        If a line is incomplete or names nobody in the table, if lines contradict one another, or
        if a bird_id is both split and joined as a whole.

    Examples
    --------
    >>> exams = pd.DataFrame({"bird_id": ["K7", "k-7", "K8"]})
    >>> decided = pd.DataFrame(
    ...     [("same_bird", "k-7", "K7", "S1", "same tarsus, same ring")],
    ...     columns=["decision", "bird_id", "same_as", "who", "why"],
    ... )
    >>> apply_bird_links(exams, decisions=decided)["bird_id"].tolist()
    ['K7', 'K7', 'K8']
    """
    decided = read_decisions(decisions)
    base = AS_WRITTEN if AS_WRITTEN in exams.columns else "bird_id"
    facts = collect_facts(exams, bird=base)
    names = _list_names(facts)
    known = _gather_names(names)
    strangers = [line for line in decided.lines if not {line.bird_id, line.same_as} <= known]
    if strangers:
        raise ArgumentError(
            needed="Decisions name birds that are in the table of exams",
            found=name_first_few(strangers),
            then="Write the ids as the exams have them, blanks and zeros included, or take the "
            "lines of other tables out",
        )
    wholes = {
        part: whole
        for column in names[1:]
        for part, whole in zip(column, names[0], strict=True)
        if part is not None
    }
    _require_whole_or_split(decided, wholes=wholes)
    changed = exams.copy()
    before = _write_ids(exams, base=base, named=facts["bird_id"])
    after = _rename(before, names=names, decided=decided, wholes=wholes)
    if AS_WRITTEN not in exams.columns:
        changed[AS_WRITTEN] = (
            exams[base] if base in exams.columns else pd.Series(None, exams.index, dtype="str")
        )
    changed["bird_id"] = pd.array(after, dtype="str")
    return changed


def find_known_birds(exams: pd.DataFrame) -> frozenset[str]:
    """Find every name that a decision can call a bird by: ids, rings of no id, parts of an id.

    Parameters
    ----------
    exams : DataFrame
        Exams.

    Returns
    -------
    frozenset of str
        The names.

    Examples
    --------
    >>> sorted(find_known_birds(pd.DataFrame({"bird_id": ["K7"], "sex": ["F"]})))
    ['K7', 'K7 (sex F)']
    """
    base = AS_WRITTEN if AS_WRITTEN in exams.columns else "bird_id"
    return _gather_names(_list_names(collect_facts(exams, bird=base)))


def _list_names(facts: pd.DataFrame) -> list[npt.NDArray[np.object_]]:
    """The name of each exam's bird, then the names of the parts that the exam belongs to."""
    parts = [name_parts(facts, dimension=dimension) for dimension in PART_DIMENSIONS]
    return [
        facts["name"].to_numpy(dtype=object),
        *(np.array(names, dtype=object) for names in parts),
    ]


def _gather_names(names: Sequence[npt.NDArray[np.object_]]) -> frozenset[str]:
    return frozenset(name for column in names for name in column if isinstance(name, str))


def _write_ids(exams: pd.DataFrame, *, base: str, named: pd.Series) -> npt.NDArray[np.object_]:
    """The ids as text; a cell that names nobody ("n/a") stays what it is."""
    if base not in exams.columns:
        return named.to_numpy(dtype=object)
    written = [
        text if text is not None else None if pd.isna(cell) else str(cell)
        for text, cell in zip(named, exams[base], strict=True)
    ]
    return np.array(written, dtype=object)


def _find_splits(decided: DecidedBirds, *, wholes: Mapping[str, str]) -> dict[str, Decision]:
    """The ids of which two parts were decided to be two birds, and the line that says so."""
    found: dict[str, Decision] = {}
    for line in decided.lines:
        one, other = wholes.get(line.bird_id), wholes.get(line.same_as)
        if not line.same and one is not None and one == other:
            found.setdefault(one, line)
    return found


def _require_whole_or_split(decided: DecidedBirds, *, wholes: Mapping[str, str]) -> None:
    splits = _find_splits(decided, wholes=wholes)
    for line in decided.lines:
        for name in (line.bird_id, line.same_as):
            if line.same and name in splits:
                raise ArgumentError(
                    needed="A bird_id that was split into parts cannot be joined as a whole",
                    found=f"{splits[name]}; {line}",
                    then="Name the part that is meant in the second line",
                )


def _rename(
    before: npt.NDArray[np.object_],
    *,
    names: Sequence[npt.NDArray[np.object_]],
    decided: DecidedBirds,
    wholes: Mapping[str, str],
) -> list[str | None]:
    new_names = _list_new_names(decided, wholes=wholes)
    after: list[str | None] = []
    for position, old in enumerate(before):
        new = {new_names[column[position]] for column in names if column[position] in new_names}
        if len(new) > 1:
            raise ArgumentError(
                needed="Decisions give each exam one bird_id",
                found=f"an exam of {names[0][position]!r} (row {position + 1} of the table) would "
                f"get {' and '.join(repr(name) for name in sorted(new))}",
                then="Split a bird_id by one thing alone: ring, file and year, species or sex",
            )
        after.append(new.pop() if new else old)
    return after


def _list_new_names(decided: DecidedBirds, *, wholes: Mapping[str, str]) -> dict[str, str]:
    """The bird_id that each decided name gets; names that keep theirs are left out."""
    splits = _find_splits(decided, wholes=wholes)
    members: dict[int, list[str]] = {}
    for name, number in decided.group.items():
        members.setdefault(number, []).append(name)
    new: dict[str, str] = {}
    for number, names in members.items():
        # Parts of one id that were decided to be one bird leave that id as it is.
        within = {wholes.get(name) for name in names}
        if len(within) == 1 and None not in within and not within & set(splits):
            continue
        chosen = decided.chosen.get(number)
        for name in names:
            if chosen is not None:
                new[name] = chosen
            elif wholes.get(name) in splits:
                new[name] = name
    return new
