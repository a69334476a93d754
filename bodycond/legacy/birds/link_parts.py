"""Parts of one bird_id that may be two birds: by ring, by file and year, by species, by sex."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.legacy.birds.bird_identities import RING_PREFIX, name_parts, summarise_birds
from bodycond.legacy.birds.carried_rings import Rings
from bodycond.legacy.birds.link_assumptions import LinkAssumptions
from bodycond.legacy.birds.link_evidence import Population, weigh_pairs
from bodycond.legacy.birds.ring_forms import clean_number

MOST_STEPS = 5
"""Parts of one bird_id are compared with those up to five before them in time."""

DOUBT_BITS = math.log2(10)
"""An id is listed where the odds that it is one bird are below ten to one, or a field conflicts."""

_FEWEST_NUMBERS = 10
_FEWEST_INFORMED = 5
_INFORMED_BITS = 1.0


@dataclass(frozen=True, kw_only=True, eq=False)
class PartPairs:
    """Pairs of parts, weighed.

    Parameters
    ----------
    pairs : DataFrame
        ``left``, ``right`` (rows of ``parts``), ``dimension``, ``restarts``, ``prior``,
        ``margin`` and one column of bits a field.
    parts : DataFrame
        Result of `summarise_birds` for the parts, with ``name``, ``bird``, ``ring``.
    """

    pairs: pd.DataFrame
    parts: pd.DataFrame


def find_restarting_sources(exams: pd.DataFrame) -> frozenset[str]:
    """Find the files or years whose case numbers begin at 1 again.

    Parameters
    ----------
    exams : DataFrame
        Result of `prepare_exams`.

    Returns
    -------
    frozenset of str
        Sources, as `label_sources` labels them; empty unless there are two.
    """
    ids = [name if isinstance(name, str) else "" for name in exams["bird_id"].to_numpy(object)]
    cleaned = [clean_number(text) for text in ids]
    numbers = [
        float(text) if text.isascii() and text.isdigit() and len(text) <= 5 else np.nan
        for text in cleaned
    ]
    table = pd.DataFrame({"source": label_sources(exams), "number": numbers, "id": ids})
    table = table[table["id"] != ""].drop_duplicates(["source", "id"])
    found = []
    for source, rows in table.groupby("source"):
        plain = rows["number"].dropna()
        if len(plain) < max(_FEWEST_NUMBERS, 0.8 * len(rows)) or plain.min() > 10:
            continue
        half = plain.max() / 2
        # A register that goes on has few of its low numbers left in a later year.
        if plain[plain <= half].nunique() >= half / 2:
            found.append(str(source))
    return frozenset(found) if len(found) > 1 else frozenset()


def label_sources(exams: pd.DataFrame) -> npt.NDArray[np.object_]:
    """Label each exam by its file and year.

    Parameters
    ----------
    exams : DataFrame
        Result of `prepare_exams`.

    Returns
    -------
    ndarray of object
        The labels; "" where neither is known.
    """
    files, file_names = pd.factorize(exams["source_file"])
    years, year_numbers = pd.factorize(exams["year"])
    # The last of each stands for what is not known, which has the code -1.
    first = np.array([*(f"{name}|" for name in file_names), "|"], dtype=object)
    second = np.array([*(f"{int(year)}" for year in year_numbers), ""], dtype=object)
    return np.asarray(first[files] + second[years], dtype=object)


def weigh_parts(
    exams: pd.DataFrame,
    *,
    codes: npt.NDArray[np.intp],
    dimension: str,
    rings: Rings,
    population: Population,
    assumptions: LinkAssumptions,
    restarting: frozenset[str],
) -> PartPairs:
    """Weigh the parts of each identity against one another.

    Parameters
    ----------
    exams : DataFrame
        Result of `prepare_exams`.
    codes : ndarray of int
        The identity of each exam.
    dimension : {"ring", "source", "species", "sex"}
        What parts an identity.
    rings : Rings
        The rings.
    population : Population
        How common things are.
    assumptions : LinkAssumptions
        What is assumed of one bird's records.
    restarting : frozenset of str
        Sources whose numbering starts anew.

    Returns
    -------
    PartPairs
        The pairs.
    """
    key = {"ring": "number"}.get(dimension, dimension)
    table = _select_parted(exams, codes=codes, dimension=dimension, key=key, rings=rings)
    numbers: npt.NDArray[np.intp] = np.asarray(
        table.groupby(["bird", key], sort=False).ngroup(), dtype=np.intp
    )
    parts = summarise_birds(table, codes=numbers)
    first = table.iloc[parts["example"].to_numpy(dtype=np.intp)]
    parts["name"] = first["part_name"].to_numpy(dtype=object)
    parts["bird"] = first["bird"].to_numpy(dtype=np.intp)
    parts["restarts"] = first["source"].isin(restarting).to_numpy(dtype=bool)
    parts["example"] = first["position"].to_numpy(dtype=np.intp)
    parts["ring"] = _take_rings(table, numbers=numbers, n=len(parts))
    pairs = _pair_parts(parts)
    left, right = (
        parts.iloc[pairs[side].to_numpy(dtype=np.intp)].reset_index(drop=True)
        for side in ("left", "right")
    )
    weights = weigh_pairs(left, right, population=population, assumptions=assumptions)
    weights["ring"] = _weigh_part_rings(left, right, rings=rings)
    pairs = pd.concat([pairs, weights], axis=1)
    pairs["dimension"] = dimension
    pairs["restarts"] = (left["restarts"] & right["restarts"]).to_numpy(dtype=bool) & (
        dimension == "source"
    )
    total = weights.sum(axis=1).to_numpy(dtype=np.float64)
    pairs["weight"] = total
    pairs["prior"] = _find_priors(total, restarts=pairs["restarts"].to_numpy(), assumed=assumptions)
    pairs["margin"] = pairs["weight"] + pairs["prior"]
    return PartPairs(pairs=pairs, parts=parts)


def _select_parted(
    exams: pd.DataFrame, *, codes: npt.NDArray[np.intp], dimension: str, key: str, rings: Rings
) -> pd.DataFrame:
    """The exams of identities that have two parts or more, with the names of the parts."""
    table = exams.assign(
        position=np.arange(len(exams)),
        bird=codes,
        number=rings.of_exam,
        source=label_sources(exams),
    )
    table["part_name"] = name_parts(exams, dimension=dimension)
    table = table[table["part_name"].notna()]
    if dimension == "ring":
        by_ring = [str(name).startswith(RING_PREFIX) for name in table["name"].to_numpy(object)]
        table = table[~np.array(by_ring, dtype=bool)]
    n_keys = table.groupby("bird")[key].nunique()
    return table[table["bird"].isin(n_keys.index[n_keys > 1])].reset_index(drop=True)


def _take_rings(
    table: pd.DataFrame, *, numbers: npt.NDArray[np.intp], n: int
) -> npt.NDArray[np.intp]:
    """The one ring of each part, or -1 where it has none or several."""
    carried = pd.DataFrame({"part": numbers, "ring": table["number"].to_numpy(dtype=np.intp)})
    carried = carried[carried["ring"] >= 0].drop_duplicates()
    carried = carried[~carried["part"].duplicated(keep=False)]
    made = np.full(n, -1, dtype=np.intp)
    made[carried["part"].to_numpy(dtype=np.intp)] = carried["ring"].to_numpy(dtype=np.intp)
    return made


def _pair_parts(parts: pd.DataFrame) -> pd.DataFrame:
    ordered = parts.sort_values(["bird", "first_date", "name"], kind="stable")
    bird = ordered["bird"].to_numpy(dtype=np.intp)
    place = ordered.index.to_numpy(dtype=np.intp)
    lefts, rights = [], []
    for step in range(1, MOST_STEPS + 1):
        same = bird[step:] == bird[:-step]
        lefts.append(place[:-step][same])
        rights.append(place[step:][same])
    return pd.DataFrame(
        {"left": np.concatenate(lefts), "right": np.concatenate(rights)}, dtype=np.intp
    )


def _weigh_part_rings(
    left: pd.DataFrame, right: pd.DataFrame, *, rings: Rings
) -> npt.NDArray[np.float64]:
    one, other = left["ring"].to_numpy(), right["ring"].to_numpy()
    close = pd.DataFrame(
        {
            "one": np.minimum(rings.relations.first, rings.relations.second),
            "other": np.maximum(rings.relations.first, rings.relations.second),
            "bits": rings.close_bits,
        }
    )
    pairs = pd.DataFrame({"one": np.minimum(one, other), "other": np.maximum(one, other)})
    bits = pairs.merge(close, on=["one", "other"], how="left")["bits"].to_numpy(dtype=np.float64)
    weight = np.where(np.isnan(bits), rings.different_bits, bits)
    weight = np.where(one == other, rings.same_bits, weight)
    return np.asarray(np.where((one < 0) | (other < 0), 0.0, weight))


def _find_priors(
    weights: npt.NDArray[np.float64],
    *,
    restarts: npt.NDArray[np.bool_],
    assumed: LinkAssumptions,
) -> npt.NDArray[np.float64]:
    """Log odds that one id is one bird; where numbering starts anew, from the pairs themselves."""
    usual = math.log2((1 - assumed.reused_share) / assumed.reused_share)
    informed = weights[restarts & (np.abs(weights) >= _INFORMED_BITS)]
    share = 0.5
    if informed.size >= _FEWEST_INFORMED:
        ratio = np.exp2(np.clip(informed, -60, 60))
        for _ in range(200):
            # Expectation and maximisation for the share of a mixture with known components.
            share = float(np.mean(share * ratio / (share * ratio + 1 - share)))
            share = min(max(share, 0.01), 0.99)
    return np.where(restarts, math.log2(share / (1 - share)), usual)
