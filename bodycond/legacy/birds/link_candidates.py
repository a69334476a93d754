"""Pairs of bird_ids that share enough of a ring or a number to be worth weighing."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd

from bodycond.legacy.birds.bird_identities import RING_PREFIX
from bodycond.legacy.birds.carried_rings import MOST_SHARING, Rings, join_relations
from bodycond.legacy.birds.link_assumptions import LinkAssumptions
from bodycond.legacy.birds.ring_forms import number_same


def find_candidates(
    rings: Rings, *, birds: pd.DataFrame, assumptions: LinkAssumptions, restarts: bool
) -> pd.DataFrame:
    """Find the pairs of identities that share a ring or a number, but for form or a slip.

    Parameters
    ----------
    rings : Rings
        The rings.
    birds : DataFrame
        Result of `summarise_birds`, with ``name``.
    assumptions : LinkAssumptions
        What is assumed of one bird's records.
    restarts : bool
        Numbering starts anew in several files, so that equal numbers say little.

    Returns
    -------
    DataFrame
        One row a pair: ``left`` below ``right``, ``ring_kind`` ("same", "prefix", "slip",
        "swap" or ""), ``ring_left``, ``ring_right`` (-1 for none), ``is_id``, ``same_id``, and
        the weights ``ring`` and ``number`` in bits.
    """
    members = rings.members[["bird", "ring", "is_id"]]
    shared = members[members["ring"].duplicated(keep=False)]
    met = shared.merge(shared, on="ring")
    met = met[met["bird_x"] < met["bird_y"]]
    same = pd.DataFrame(
        {
            "left": met["bird_x"], "right": met["bird_y"], "kind": "same",
            "ring_left": met["ring"], "ring_right": met["ring"],
            "is_id": met["is_id_x"] | met["is_id_y"], "ring": rings.same_bits,
        }
    )  # fmt: skip
    close = join_relations(members, rings.relations).assign(is_id=False)
    close["ring"] = rings.close_bits[close.pop("relation").to_numpy(dtype=np.intp)]
    species = birds["species"].to_numpy()
    left, right = close["left"].to_numpy(), close["right"].to_numpy()
    # Rings of two species lie close by chance alone.
    differ = pd.notna(species[left]) & pd.notna(species[right]) & (species[left] != species[right])
    found = pd.concat([same, close[~differ]], ignore_index=True)
    order = ["left", "right", "ring", "ring_left", "ring_right"]
    found = found.sort_values(order, ascending=[True, True, False, True, True])
    found = found.drop_duplicates(["left", "right"])
    found = found.rename(columns={"kind": "ring_kind"})
    pairs: pd.DataFrame = found.merge(
        _find_same_ids(birds), on=["left", "right"], how="outer", sort=True
    )
    pairs["ring_kind"] = pairs["ring_kind"].fillna("")
    for name in ("ring_left", "ring_right"):
        pairs[name] = pairs[name].fillna(-1).astype(np.intp)
    for name in ("is_id", "same_id"):
        pairs[name] = pairs[name].eq(True)
    ringed = np.isin(np.arange(len(birds)), members["bird"])
    both = ringed[pairs["left"].to_numpy()] & ringed[pairs["right"].to_numpy()]
    apart = np.where(both, rings.different_bits, 0.0)
    pairs["ring"] = np.where(pairs["ring_kind"] == "", apart, pairs["ring"])
    pairs["number"] = np.where(
        pairs["same_id"], _weigh_same_id(birds, assumptions=assumptions, restarts=restarts), 0.0
    )
    return pairs


def _find_same_ids(birds: pd.DataFrame) -> pd.DataFrame:
    names = birds["name"]
    table = pd.DataFrame({"bird": np.arange(len(birds)), "name": names.to_numpy()})
    by_ring = [str(name).startswith(RING_PREFIX) for name in names.to_numpy(dtype=object)]
    table = table[~np.array(by_ring, dtype=bool)]
    table["number"] = number_same(table["name"].tolist())
    sizes = table["number"].map(table["number"].value_counts())
    table = table[(sizes > 1) & (sizes <= MOST_SHARING)]
    met = table.merge(table, on="number")
    met = met[met["bird_x"] < met["bird_y"]]
    return pd.DataFrame({"left": met["bird_x"], "right": met["bird_y"], "same_id": True})


def _weigh_same_id(birds: pd.DataFrame, *, assumptions: LinkAssumptions, restarts: bool) -> float:
    n = max(len(birds), 2)
    # Numbers that start anew in each file meet by chance as often as there are numbers; others
    # meet only by a slip, like rings.
    slip = 1.0 if restarts else assumptions.ring_slip
    return math.log2(assumptions.id_same * n / slip)
