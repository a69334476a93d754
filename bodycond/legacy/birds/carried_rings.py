"""Which bird carries which ring, which rings lie close, and what each of it weighs."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.legacy.birds.link_assumptions import LinkAssumptions
from bodycond.legacy.birds.ring_forms import FEWEST_FOR_SLIPS, join_number, number_same
from bodycond.legacy.birds.ring_relations import RingRelations, relate_rings
from bodycond.legacy.birds.ring_slips import sample_slip_crowds

MOST_SHARING = 20
"""A ring under more ids than this is a placeholder, or a heading that slipped in."""

# Fewer pairs of birds of one species but two sexes say too little of how often rings lie close.
_FEWEST_PAIRS = 100

# A ring with no other neighbour in reach of one slip tells more than one amid its series.
_CROWDED = (1, 3, 9)


@dataclass(frozen=True, kw_only=True, eq=False)
class Rings:
    """The rings of a table.

    Parameters
    ----------
    members : DataFrame
        One row an identity and ring: ``bird``, ``ring`` (number of the ring, whatever its form),
        ``is_id`` (True where the bird_id itself reads like another's ring).
    relations : RingRelations
        Rings that might be slips of each other.
    of_exam : ndarray of int
        The ring of each exam, -1 where there is none.
    same_bits, different_bits : float
        Weight of two records with one ring, but for form, and with two that have nothing in
        common.
    close_bits : ndarray of float
        Weight of each pair of ``relations``.
    n_widely_shared : int
        Rings or numbers under so many ids that they name nobody.
    """

    members: pd.DataFrame
    relations: RingRelations
    of_exam: npt.NDArray[np.intp]
    same_bits: float
    different_bits: float
    close_bits: npt.NDArray[np.float64]
    n_widely_shared: int


def collect_rings(
    exams: pd.DataFrame,
    *,
    codes: npt.NDArray[np.intp],
    birds: pd.DataFrame,
    assumptions: LinkAssumptions,
) -> Rings:
    """Collect which identity carries which ring, and which rings lie close.

    Parameters
    ----------
    exams : DataFrame
        Result of `prepare_exams`.
    codes : ndarray of int
        The identity of each exam.
    birds : DataFrame
        Result of `summarise_birds`, with ``name``.
    assumptions : LinkAssumptions
        What is assumed of one bird's records.

    Returns
    -------
    Rings
        The rings and their weights.
    """
    ringed = exams["ring"].notna().to_numpy(dtype=bool)
    texts, positions = np.unique(exams.loc[ringed, "ring"].astype(str), return_inverse=True)
    unringed = np.setdiff1d(np.arange(len(birds)), codes[ringed])
    # A case number that is another record's ring: the column was used for both.
    ids = [
        (bird, name)
        for bird, name in zip(unringed.tolist(), birds["name"].iloc[unringed], strict=True)
        if len(join_number(name)) >= FEWEST_FOR_SLIPS
    ]
    every = [*map(str, texts), *(name for _, name in ids)]
    distinct, back = np.unique(np.array(every, dtype=object), return_inverse=True)
    same = number_same([str(text) for text in distinct])[back]
    of_exam = np.full(len(exams), -1, dtype=np.intp)
    of_exam[ringed] = same[: len(texts)][positions]
    members = pd.DataFrame({"bird": codes[ringed], "ring": of_exam[ringed], "is_id": False})
    borrowed = pd.DataFrame(
        {"bird": [bird for bird, _ in ids], "ring": same[len(texts) :], "is_id": True}
    )
    borrowed = borrowed[borrowed["ring"].isin(members["ring"])]
    members = pd.concat([members, borrowed.astype(members.dtypes.to_dict())])
    members = members.drop_duplicates(["bird", "ring"]).sort_values(["ring", "bird"])
    counts = members["ring"].value_counts()
    wide = counts.index[counts > MOST_SHARING]
    members = members[~members["ring"].isin(wide)].reset_index(drop=True)
    relations = relate_rings([str(text) for text in texts], same=same[: len(texts)])
    return Rings(
        members=members,
        relations=relations,
        of_exam=of_exam,
        same_bits=math.log2(assumptions.ring_same * max(len(birds), 2) / assumptions.ring_slip),
        different_bits=math.log2(assumptions.ring_different),
        close_bits=_weigh_close(members, relations, birds=birds, assumptions=assumptions),
        n_widely_shared=len(wide),
    )


def _weigh_close(
    members: pd.DataFrame,
    relations: RingRelations,
    *,
    birds: pd.DataFrame,
    assumptions: LinkAssumptions,
) -> npt.NDArray[np.float64]:
    """Weight of rings that lie close, by how crowded the rings are around the lonelier one."""
    prefix = relations.kind == "prefix"
    ends = np.concatenate([relations.first[~prefix], relations.second[~prefix]])
    degree = np.bincount(
        ends, minlength=int(relations.numbers.max()) + 1 if relations.numbers.size else 0
    )
    lonelier = np.minimum(degree[relations.first], degree[relations.second])
    crowd = np.where(prefix, 0, np.searchsorted(_CROWDED, lonelier))
    usual = {("prefix", 0): assumptions.ring_prefix}
    for kind in sorted({"slip", "swap"} & set(relations.kind)):
        # Mistyping and swapping are taken to be equally frequent.
        shares = _share_crowds(relations, degree=degree, kind=kind)
        usual |= {(kind, n): assumptions.ring_nearly / 2 * share for n, share in enumerate(shares)}
    related = join_relations(members, relations)
    place = related["relation"].to_numpy(dtype=np.intp)
    bits = np.zeros(relations.first.size)
    for (kind, number), expected in usual.items():
        of_class = (relations.kind == kind) & (crowd == number)
        if of_class.any():
            share = _share_by_chance(related[of_class[place]], birds=birds)
            bits[of_class] = math.log2(expected / share)
    return bits


def _share_crowds(
    relations: RingRelations, *, degree: npt.NDArray[np.intp], kind: str
) -> npt.NDArray[np.float64]:
    """How often a slip lands in each surrounding; half a slip more in each, so none is 0."""
    around = degree[relations.numbers] if relations.numbers.size else degree
    crowds = sample_slip_crowds(relations.forms, degree=around, kind=kind)
    counts = np.bincount(np.searchsorted(_CROWDED, crowds), minlength=len(_CROWDED) + 1) + 0.5
    return np.asarray(counts / counts.sum())


def _share_by_chance(related: pd.DataFrame, *, birds: pd.DataFrame) -> float:
    """How often rings of two birds lie so close, from pairs that cannot be one bird.

    Series of rings go to one species at a time, so pairs of one species and two sexes stand for
    all; counting every pair would count the very slips that are looked for.
    """
    species, sex = birds["species"].fillna("").to_numpy(), birds["sex"].to_numpy()
    left, right = related["left"].to_numpy(), related["right"].to_numpy()
    females, males = (pd.Series(species[sex == code]).value_counts() for code in ("F", "M"))
    possible = float((females * males).sum())
    if possible >= _FEWEST_PAIRS:
        apart = (species[left] == species[right]) & (
            ((sex[left] == "F") & (sex[right] == "M")) | ((sex[left] == "M") & (sex[right] == "F"))
        )
        return min((float(apart.sum()) + 0.5) / possible, 1.0)
    n = len(birds)
    return min((len(related) + 0.5) / max(n * (n - 1) / 2, 1.0), 1.0)


def join_relations(members: pd.DataFrame, relations: RingRelations) -> pd.DataFrame:
    """Give the pairs of identities whose rings might be slips of each other.

    Parameters
    ----------
    members : DataFrame
        Which identity carries which ring.
    relations : RingRelations
        Rings that lie close.

    Returns
    -------
    DataFrame
        ``left`` below ``right``, ``kind``, ``ring_left``, ``ring_right``, and ``relation``, the
        position in ``relations``.
    """
    carried = members.loc[~members["is_id"], ["bird", "ring"]]
    close = pd.DataFrame(
        {
            "ring_left": relations.first,
            "ring_right": relations.second,
            "kind": relations.kind,
            "relation": np.arange(relations.first.size, dtype=np.intp),
        }
    )
    met = close.merge(
        carried.rename(columns={"bird": "left", "ring": "ring_left"}), on="ring_left"
    ).merge(carried.rename(columns={"bird": "right", "ring": "ring_right"}), on="ring_right")
    return _order(met[met["left"] != met["right"]])


def _order(pairs: pd.DataFrame) -> pd.DataFrame:
    turned = (pairs["left"] > pairs["right"]).to_numpy(dtype=bool)
    swapped = pairs.copy(deep=True)
    for left, right in (("left", "right"), ("ring_left", "ring_right")):
        swapped[left] = np.where(turned, pairs[right], pairs[left])
        swapped[right] = np.where(turned, pairs[left], pairs[right])
    return swapped
