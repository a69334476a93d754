"""Birds that proposed links would join, and those groups that hold two birds after all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.legacy.birds.link_assumptions import LinkAssumptions
from bodycond.legacy.birds.link_evidence import Population, weigh_pairs
from bodycond.legacy.birds.link_words import CONFLICT_BELOW, find_conflicts, word_evidence
from bodycond.legacy.birds.ring_forms import join_components

MOST_COMPARED = 40
"""Members of a group that are all compared with one another."""

GROUP_COLUMNS = ("group", "bird_id", "same_as", "n_members", "n_exams", "conflict")


def group_birds(
    edges: pd.DataFrame,
    *,
    birds: pd.DataFrame,
    doubted: Mapping[int, str],
    decided_apart: frozenset[tuple[int, int]],
    population: Population,
    assumptions: LinkAssumptions,
) -> pd.DataFrame:
    """Gather what the links would join, and look for conflicts within.

    Parameters
    ----------
    edges : DataFrame
        ``left``, ``right`` and ``proposed`` (False for what was decided already).
    birds : DataFrame
        Result of `summarise_birds`, with ``name``; earlier birds come first.
    doubted : mapping of int to str
        Identities that may be two birds themselves, and the kind of doubt.
    decided_apart : frozenset of (int, int)
        Pairs that were decided to be different birds.
    population : Population
        How common things are.
    assumptions : LinkAssumptions
        What is assumed of one bird's records.

    Returns
    -------
    DataFrame
        One row a member of each group; ``conflict`` is empty where the group may be one bird.
    """
    if edges.empty:
        return pd.DataFrame(columns=list(GROUP_COLUMNS))
    left, right = (edges[name].to_numpy(dtype=np.intp) for name in ("left", "right"))
    labels = join_components(len(birds), first=left, second=right)
    wanted = np.unique(labels[left[edges["proposed"].to_numpy(dtype=bool)]])
    members = pd.Series(np.arange(len(birds))).groupby(labels).agg(list)
    groups: list[list[int]] = sorted(members.loc[wanted])
    conflicts = _find_conflicts(
        groups, birds=birds, doubted=doubted, decided_apart=decided_apart,
        population=population, assumptions=assumptions,
    )  # fmt: skip
    names, n_exams = birds["name"].tolist(), birds["n_exams"].tolist()
    rows = [
        (
            number, names[member], names[group[0]], len(group), n_exams[member],
            "; ".join(conflict),
        )
        for number, (group, conflict) in enumerate(zip(groups, conflicts, strict=True), start=1)
        for member in group
    ]  # fmt: skip
    return pd.DataFrame(rows, columns=list(GROUP_COLUMNS))


def _find_conflicts(
    groups: Sequence[Sequence[int]],
    *,
    birds: pd.DataFrame,
    doubted: Mapping[int, str],
    decided_apart: frozenset[tuple[int, int]],
    population: Population,
    assumptions: LinkAssumptions,
) -> list[list[str]]:
    pairs = [
        (number, *pair)
        for number, group in enumerate(groups)
        if len(group) <= MOST_COMPARED
        for pair in combinations(group, 2)
    ]
    table = np.array(pairs, dtype=np.intp).reshape(-1, 3)
    one, other = (birds.iloc[table[:, side]].reset_index(drop=True) for side in (1, 2))
    weights = weigh_pairs(one, other, population=population, assumptions=assumptions)
    conflicts: list[list[str]] = [
        [f"{birds['name'].iloc[member]} may be two birds itself ({doubted[member]})"
         for member in group if member in doubted]
        for group in groups
    ]  # fmt: skip
    for number, group in enumerate(groups):
        if len(group) > MOST_COMPARED:
            conflicts[number].append(f"{len(group)} members, too many to compare one by one")
    bad = find_conflicts(weights).to_numpy(dtype=bool)
    for row in np.flatnonzero(bad.any(axis=1)):
        bits = {
            name: float(weights[name].iloc[row])
            for name, is_bad in zip(CONFLICT_BELOW, bad[row], strict=True)
            if is_bad
        }
        first, second = (part.iloc[row].to_dict() for part in (one, other))
        words = word_evidence(bits, left=first, right=second)[1]
        conflicts[table[row, 0]].append(f"{first['name']} and {second['name']}: {words}")
    for number, first_bird, second_bird in pairs:
        if (first_bird, second_bird) in decided_apart:
            names = birds["name"].iloc[[first_bird, second_bird]].tolist()
            conflicts[number].append(f"{names[0]} and {names[1]} were decided to be two birds")
    return conflicts


def pair_positions(pairs: Sequence[tuple[str, str]], *, names: pd.Series) -> npt.NDArray[np.intp]:
    """Find where the two names of each pair stand, passing over names that are not there.

    Parameters
    ----------
    pairs : sequence of (str, str)
        Names.
    names : Series of str
        The identities' names.

    Returns
    -------
    ndarray of int, shape (n, 2)
        Positions, the lower first.
    """
    place = {name: position for position, name in enumerate(names)}
    found = [
        sorted((place[one], place[other]))
        for one, other in pairs
        if one in place and other in place and one != other
    ]
    return np.array(found, dtype=np.intp).reshape(-1, 2)
