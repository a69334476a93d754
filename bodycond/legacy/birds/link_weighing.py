"""Every pair of ids, and of parts of one id, with the weight of each field."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.legacy.birds.bird_identities import PART_DIMENSIONS, summarise_birds
from bodycond.legacy.birds.carried_rings import Rings, collect_rings
from bodycond.legacy.birds.link_assumptions import LinkAssumptions
from bodycond.legacy.birds.link_candidates import find_candidates
from bodycond.legacy.birds.link_evidence import (
    Population,
    describe_population,
    weigh_day_masses,
    weigh_pairs,
)
from bodycond.legacy.birds.link_parts import DOUBT_BITS, find_restarting_sources, weigh_parts
from bodycond.legacy.birds.link_words import find_conflicts

# Species, sex, age and three measures that all agree seldom add more.
_MOST_BITS_OF_FIELDS = 15.0

FIELDS = ("ring", "number", "species", "sex", "age", "tarsus_mm", "culmen_mm", "hallux_mm", "day")


@dataclass(frozen=True, kw_only=True, eq=False)
class LinkTable:
    """What every step needs of the exams.

    Parameters
    ----------
    exams : DataFrame
        Result of `prepare_exams`.
    codes : ndarray of int
        The identity of each exam.
    birds : DataFrame
        Result of `summarise_birds`, with ``name``; birds examined earlier come first.
    population : Population
        How common things are.
    rings : Rings
        The rings.
    restarting : frozenset of str
        Sources whose numbering starts anew.
    assumptions : LinkAssumptions
        What is assumed of one bird's records.
    """

    exams: pd.DataFrame
    codes: npt.NDArray[np.intp]
    birds: pd.DataFrame
    population: Population
    rings: Rings
    restarting: frozenset[str]
    assumptions: LinkAssumptions


def read_table(facts: pd.DataFrame, *, assumptions: LinkAssumptions) -> LinkTable:
    """Gather what every step needs.

    Parameters
    ----------
    facts : DataFrame
        Result of `prepare_exams`.
    assumptions : LinkAssumptions
        What is assumed of one bird's records.

    Returns
    -------
    LinkTable
        The table.
    """
    # Earlier birds get lower numbers, so that the later id is proposed to be the earlier bird.
    first = facts.groupby("name", sort=True)["date"].min().reset_index()
    first = first.sort_values(["date", "name"], kind="stable", ignore_index=True)
    place = pd.Series(np.arange(len(first)), index=first["name"])
    codes = place.loc[facts["name"]].to_numpy(dtype=np.intp)
    birds = summarise_birds(facts, codes=codes).assign(name=first["name"].to_numpy(dtype=object))
    return LinkTable(
        exams=facts, codes=codes, birds=birds,
        population=describe_population(birds, exams=facts),
        rings=collect_rings(facts, codes=codes, birds=birds, assumptions=assumptions),
        restarting=find_restarting_sources(facts), assumptions=assumptions,
    )  # fmt: skip


def weigh_candidates(table: LinkTable) -> pd.DataFrame:
    """Weigh the pairs of ids that share a ring or a number.

    Parameters
    ----------
    table : LinkTable
        The table.

    Returns
    -------
    DataFrame
        Result of `find_candidates` with one column of bits a field, ``weight`` and ``margin``.
    """
    pairs = find_candidates(
        table.rings, birds=table.birds, assumptions=table.assumptions,
        restarts=bool(table.restarting),
    )  # fmt: skip
    prior = math.log2(2 * table.assumptions.alias_share / max(len(table.birds) - 1, 1))
    sides = [pairs[side].to_numpy(dtype=np.intp) for side in ("left", "right")]
    # Rings in series make many pairs of no promise: measures are looked at where they can help.
    promise = pairs["ring"].to_numpy() + pairs["number"].to_numpy() + prior
    hopeful = (promise >= -_MOST_BITS_OF_FIELDS) | (pairs["ring_kind"] == "same").to_numpy()
    weights = weigh_pairs(
        *(table.birds.iloc[side[hopeful]].reset_index(drop=True) for side in sides),
        population=table.population, assumptions=table.assumptions,
    )  # fmt: skip
    weights.index = pairs.index[hopeful]
    pairs = pairs.join(weights.reindex(pairs.index, fill_value=0.0))
    pairs["weight"] = pairs[[name for name in FIELDS if name in pairs.columns]].sum(axis=1)
    pairs["margin"] = pairs["weight"] + prior
    return pairs


def add_day_masses(pairs: pd.DataFrame, *, table: LinkTable) -> pd.DataFrame:
    """Compare masses of one day and place, for pairs few enough to look their exams up.

    Parameters
    ----------
    pairs : DataFrame
        Result of `weigh_candidates`, or rows of it numbered from 0.
    table : LinkTable
        The table.

    Returns
    -------
    DataFrame
        The pairs with ``day`` (bits), ``day_left``, ``day_right`` (g) and the sums renewed.
    """
    met = table.exams.assign(bird=table.codes)
    met = met[met["date"].notna() & met["site"].notna() & (met["mass_g"] > 0)]
    met = met.drop_duplicates(["bird", "date", "site"])[["bird", "date", "site", "mass_g"]]
    keyed = pairs[["left", "right"]].assign(pair=np.arange(len(pairs)))
    both = keyed.merge(met, left_on="left", right_on="bird").merge(
        met, left_on=["right", "date", "site"], right_on=["bird", "date", "site"]
    )
    both = both.sort_values(["pair", "date", "site"]).drop_duplicates("pair")
    masses = both.set_index("pair")[["mass_g_x", "mass_g_y"]].reindex(keyed["pair"])
    bits = weigh_day_masses(
        masses["mass_g_x"].to_numpy(), masses["mass_g_y"].to_numpy(),
        population=table.population, assumptions=table.assumptions,
    )  # fmt: skip
    added = pairs.assign(
        day=bits, day_left=masses["mass_g_x"].to_numpy(), day_right=masses["mass_g_y"].to_numpy()
    )
    return added.assign(weight=added["weight"] + bits, margin=added["margin"] + bits)


def weigh_doubts(table: LinkTable) -> pd.DataFrame:
    """Weigh the parts of each id that may be two birds.

    Parameters
    ----------
    table : LinkTable
        The table.

    Returns
    -------
    DataFrame
        Pairs of `weigh_parts` to list, with all that their words need.
    """
    found = []
    for dimension in PART_DIMENSIONS:
        weighed = weigh_parts(
            table.exams, codes=table.codes, dimension=dimension, rings=table.rings,
            population=table.population, assumptions=table.assumptions,
            restarting=table.restarting,
        )  # fmt: skip
        pairs = weighed.pairs
        if dimension != "ring":
            conflict = find_conflicts(pairs).any(axis=1)
            pairs = pairs[(pairs["margin"] < DOUBT_BITS) | conflict]
        sides = {
            side: weighed.parts.iloc[pairs[side].to_numpy(dtype=np.intp)].reset_index(drop=True)
            for side in ("left", "right")
        }
        pairs = pairs.reset_index(drop=True).assign(bird=sides["left"]["bird"])
        for side, rows in sides.items():
            pairs[f"{side}_facts"] = pd.Series(rows.to_dict("records"), dtype=object)
            pairs[f"{side}_name"] = rows["name"]
        found.append(pairs)
    # What file and year already show is not said again by species and sex.
    shown = set(found[1]["bird"])
    found[2] = found[2][~found[2]["bird"].isin(shown)]
    found[3] = found[3][~found[3]["bird"].isin(shown | set(found[2]["bird"]))]
    return pd.concat(found, ignore_index=True)
