"""What each field says for or against two records being one bird, in bits.

Probabilistic record linkage: a field's weight is log2(m / u), where m is how often it would agree
as it does if both records were one bird, and u how often if they were two. u comes from the table
itself; m is an assumption (`LinkAssumptions`).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.legacy.birds.bird_identities import HARD_MEASURES
from bodycond.legacy.birds.link_assumptions import LinkAssumptions

Numbers = npt.NDArray[np.float64]

FEWEST_FOR_SPREAD = 10
"""Birds below which a spread of measures is too uncertain to say what is rare."""

MAD_TO_SD = 1.4826

# Further out than this a measure is a slip or another species: both speak against one bird, but
# only a little, and agreement of two such values says nothing.
_FARTHEST_Z = 5.0
_FAR_OFF_BITS = -2.0


@dataclass(frozen=True, kw_only=True, eq=False)
class Population:
    """How common things are in the table.

    Parameters
    ----------
    n : int
        Identities.
    species_share : Series
        Share of identities of each species.
    sex_share : float
        Share of pairs of one species, both sexed, that are of one sex.
    hatch_share : float
        Share of pairs whose possible hatch years overlap.
    measures : mapping of str to mapping
        By measure: median and robust SD between birds by species and sex; a species' own (sex
        "") and the table's (species "" too) stand in where a group is too small.
    mass_spread : float
        Robust SD of log mass within species and sex.
    """

    n: int
    species_share: pd.Series
    sex_share: float
    hatch_share: float
    measures: Mapping[str, Mapping[tuple[str, str], tuple[float, float]]]
    mass_spread: float


def describe_population(birds: pd.DataFrame, *, exams: pd.DataFrame) -> Population:
    """Count how common each value is among the identities.

    Parameters
    ----------
    birds : DataFrame
        Result of `summarise_birds`.
    exams : DataFrame
        Result of `prepare_exams`.

    Returns
    -------
    Population
        The shares and spreads.
    """
    return Population(
        n=len(birds),
        species_share=birds["species"].value_counts(normalize=True),
        sex_share=_share_same_sex(birds),
        hatch_share=_share_same_hatch(birds),
        measures={name: _describe_measure(birds, name) for name in HARD_MEASURES},
        mass_spread=_spread_mass(exams),
    )


def _share_same_sex(birds: pd.DataFrame) -> float:
    counts = birds.dropna(subset=["sex"]).groupby(["species", "sex"], dropna=False).size()
    if counts.empty:
        return 0.5
    by_species = counts.groupby("species", dropna=False).sum()
    pairs = float((by_species**2).sum())
    return min(max(float((counts**2).sum()) / pairs, 0.05), 0.95)


def _share_same_hatch(birds: pd.DataFrame) -> float:
    known = birds[np.isfinite(birds["hatch_low"]) & np.isfinite(birds["hatch_high"])]
    if len(known) < FEWEST_FOR_SPREAD:
        return 0.5
    shares = known["hatch_high"].value_counts(normalize=True)
    # A juvenile's hatch year is one of two, so neighbouring years overlap too.
    return min(max(float((shares**2).sum()) * 2, 0.02), 0.95)


def _describe_measure(
    birds: pd.DataFrame, measure: str
) -> dict[tuple[str, str], tuple[float, float]]:
    known = birds.loc[birds[measure].notna(), ["species", "sex", measure]]
    found: dict[tuple[str, str], tuple[float, float]] = {}
    keyed = [
        (("", ""), known[measure]),
        *(((str(key), ""), rows) for key, rows in known.groupby("species")[measure]),
        *(
            ((str(key[0]), str(key[1])), rows)
            for key, rows in known.groupby(["species", "sex"])[measure]
        ),
    ]
    for key, values in keyed:
        if len(values) >= FEWEST_FOR_SPREAD:
            median = float(values.median())
            found[key] = (median, MAD_TO_SD * float((values - median).abs().median()))
    return found


def _spread_mass(exams: pd.DataFrame) -> float:
    positive = exams[exams["mass_g"] > 0]
    if len(positive) < FEWEST_FOR_SPREAD:
        return float("nan")
    logs = np.log(positive["mass_g"])
    keys = [positive["species"], positive["sex"]]
    off = logs - logs.groupby(keys, dropna=False).transform("median")
    return max(MAD_TO_SD * float(off.abs().median()), 0.02)


def weigh_pairs(
    left: pd.DataFrame,
    right: pd.DataFrame,
    *,
    population: Population,
    assumptions: LinkAssumptions,
) -> pd.DataFrame:
    """Weigh what species, sex, age and hard measures say of each pair.

    Parameters
    ----------
    left, right : DataFrame
        Rows of `summarise_birds`, pair by pair.
    population : Population
        How common things are.
    assumptions : LinkAssumptions
        What is assumed of one bird's records.

    Returns
    -------
    DataFrame
        One row a pair, one column a field: the weight in bits, 0 where the field says nothing.
    """
    made = {
        "species": _weigh_species(left, right, population=population, assumptions=assumptions),
        "sex": _weigh_sex(left, right, population=population, assumptions=assumptions),
        "age": _weigh_ages(left, right, population=population, assumptions=assumptions),
    }
    for name in HARD_MEASURES:
        made[name] = _weigh_measure(
            left, right, name, groups=population.measures[name], assumptions=assumptions
        )
    return pd.DataFrame(made)


def _weigh_species(
    left: pd.DataFrame, right: pd.DataFrame, *, population: Population, assumptions: LinkAssumptions
) -> Numbers:
    share = population.species_share
    common = left["species"].map(share).to_numpy(dtype=np.float64)
    same = (left["species"].to_numpy() == right["species"].to_numpy()) & ~np.isnan(common)
    known = left["species"].notna().to_numpy() & right["species"].notna().to_numpy()
    by_chance = float((share**2).sum())
    apart = math.log2((1 - assumptions.species_same) / max(1 - by_chance, 1e-3))
    agreed = np.maximum(np.log2(assumptions.species_same / np.where(same, common, 1.0)), 0.0)
    return np.asarray(np.where(known, np.where(same, agreed, min(apart, 0.0)), 0.0))


def _weigh_sex(
    left: pd.DataFrame, right: pd.DataFrame, *, population: Population, assumptions: LinkAssumptions
) -> Numbers:
    known = left["sex"].notna().to_numpy() & right["sex"].notna().to_numpy()
    same = left["sex"].to_numpy() == right["sex"].to_numpy()
    agreed = math.log2(assumptions.sex_same / population.sex_share)
    apart = math.log2((1 - assumptions.sex_same) / (1 - population.sex_share))
    return np.asarray(np.where(known, np.where(same, agreed, apart), 0.0))


def _weigh_ages(
    left: pd.DataFrame, right: pd.DataFrame, *, population: Population, assumptions: LinkAssumptions
) -> Numbers:
    low = np.fmax(left["hatch_low"].to_numpy(), right["hatch_low"].to_numpy())
    high = np.fmin(left["hatch_high"].to_numpy(), right["hatch_high"].to_numpy())
    bounded = np.isfinite(low) & np.isfinite(high)
    both = np.isfinite(left["hatch_low"].to_numpy()) & np.isfinite(right["hatch_low"].to_numpy())
    agreed = math.log2(assumptions.age_same / population.hatch_share)
    apart = math.log2((1 - assumptions.age_same) / (1 - population.hatch_share))
    weight = np.where(
        bounded & (low > high), min(apart, 0.0), np.where(bounded & both, max(agreed, 0.0), 0.0)
    )
    span = np.fmax(left["last_year"], right["last_year"]) - np.fmin(
        left["first_year"], right["first_year"]
    )
    return np.asarray(np.where(span > assumptions.longest_life_years, min(apart, -4.0), weight))


def _weigh_measure(
    left: pd.DataFrame,
    right: pd.DataFrame,
    name: str,
    *,
    groups: Mapping[tuple[str, str], tuple[float, float]],
    assumptions: LinkAssumptions,
) -> Numbers:
    """Log ratio of the joint normal density of one bird's two means to that of two birds'."""
    centre, total = _find_groups(left, right, groups=groups)
    error = assumptions.measurement_error_mm[name]
    between = np.maximum(total**2 - error**2, (error / 2) ** 2)
    x = left[name].to_numpy(dtype=np.float64) - centre
    y = right[name].to_numpy(dtype=np.float64) - centre
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        own_x = between + error**2 / left[f"{name}_n"].to_numpy(dtype=np.float64)
        own_y = between + error**2 / right[f"{name}_n"].to_numpy(dtype=np.float64)
        determinant = own_x * own_y - between**2
        joint = (own_y * x**2 - 2 * between * x * y + own_x * y**2) / determinant
        apart = x**2 / own_x + y**2 / own_y
        log_ratio = 0.5 * (np.log(own_x * own_y / determinant) + apart - joint)
        slip = assumptions.measurement_slip
        weight = np.log2((1 - slip) * np.exp(log_ratio) + slip)
        far = np.maximum(np.abs(x) / np.sqrt(own_x), np.abs(y) / np.sqrt(own_y)) > _FARTHEST_Z
    weight = np.where(far, np.clip(weight, _FAR_OFF_BITS, 0.0), weight)
    return np.asarray(np.where(np.isfinite(x) & np.isfinite(y), weight, 0.0))


def _find_groups(
    left: pd.DataFrame,
    right: pd.DataFrame,
    *,
    groups: Mapping[tuple[str, str], tuple[float, float]],
) -> tuple[Numbers, Numbers]:
    """Centre and spread of the group that both are of, or of all birds where they differ."""
    nothing = (float("nan"), float("nan"))
    species, names = _number_common(left["species"], right["species"])
    sex, sexes = _number_common(left["sex"], right["sex"])
    table = np.array(
        [
            groups.get((a, b)) or groups.get((a, "")) or groups.get(("", "")) or nothing
            for a in names
            for b in sexes
        ],
        dtype=np.float64,
    )
    place = species * len(sexes) + sex
    return table[place, 0], table[place, 1]


def _number_common(left: pd.Series, right: pd.Series) -> tuple[npt.NDArray[np.intp], list[str]]:
    """Number what both sides agree on; the last number, named "", is for where they do not."""
    codes, found = pd.factorize(np.concatenate([left.to_numpy(object), right.to_numpy(object)]))
    one, other = codes[: len(left)], codes[len(left) :]
    agreed = np.where((one == other) & (one >= 0), one, len(found))
    return np.asarray(agreed, dtype=np.intp), [*map(str, found), ""]


def weigh_day_masses(
    left_g: Numbers, right_g: Numbers, *, population: Population, assumptions: LinkAssumptions
) -> Numbers:
    """Weigh two masses taken at one place on one day.

    Parameters
    ----------
    left_g, right_g : ndarray of float
        The masses, pair by pair; NaN where there is none.
    population : Population
        How common things are.
    assumptions : LinkAssumptions
        What is assumed of one bird's records.

    Returns
    -------
    ndarray of float
        Weights in bits. To have met on that day says nothing in itself: brood mates do.
    """
    spread = population.mass_spread
    if not spread > 0:
        return np.zeros(left_g.shape)
    by_chance = min(max(math.erf(0.05 / (2 * spread)), 0.02), 0.95)
    with np.errstate(invalid="ignore", divide="ignore"):
        off = np.abs(np.log(left_g / right_g))
    same = max(math.log2(assumptions.day_mass_same / by_chance), 0.0)
    apart = min(math.log2((1 - assumptions.day_mass_same) / (1 - by_chance)), 0.0)
    return np.asarray(np.where(np.isfinite(off), np.where(off < 0.05, same, apart), 0.0))
