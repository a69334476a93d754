"""Invented birds and their exams: every number of the demo data set starts here.

The functions are vectorised and know nothing of files, so that the same code draws the 600 exams
of the demo and the million birds a group from which `truths.py` computes the estimands.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scorers import SCORERS, grade_condition

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]
Dates = npt.NDArray[np.datetime64]

SIZE_EXPONENT = 2.6
SEASON_AMPLITUDE = 0.03
SEASON_PEAK_DAY = 15.0
DAYS_A_YEAR = 365.25
GRAVID_EFFECT = 0.12
GRAVID_PROBABILITY = 0.3
GRAVID_MONTHS = (4, 5)
CROP_EFFECT = 0.015
CROP_PROBABILITIES = (0.55, 0.20, 0.12, 0.08, 0.05)
MOULT_EFFECT = -0.02
MOULT_PROBABILITY = 0.6
MOULT_MONTHS = (4, 5, 6, 7, 8, 9, 10)
RESIDUAL_SD = 0.04
WING_ERROR_SD = 0.007
TARSUS_ERROR_SD = 0.010
WING_MISSING = 0.04
WING_MISSING_MORE_IN_MOULT = 0.20
TARSUS_MISSING = 0.19
TARSUS_MISSING_AT_GRADE_1 = 0.40
CONDITION_CORRELATION = 0.7
AGE_UNKNOWN = 0.05
JUVENILE_PROBABILITY = 0.35
JUVENILE_MONTHS = (7, 8, 9, 10, 11, 12)
IMMATURE_PROBABILITY = 0.2
FIRST_DAY = np.datetime64("2019-01-01", "D")
LAST_DAY = np.datetime64("2024-12-31", "D")
NO_CROP = -1


@dataclass(frozen=True, kw_only=True)
class Species:
    """One species of the scenario, with the constants of its birds; pairs are (F, M)."""

    name: str
    english: str
    birds: int
    owl: bool
    unsexed: float
    size_sd: float
    condition_effect: float
    mass0_g: tuple[float, float]
    wing0_mm: tuple[float, float]
    tarsus0_mm: tuple[float, float]


# Typical masses, and middles of the wing and tarsus ranges, of full-grown birds in Europe.
SPECIES: tuple[Species, ...] = (
    Species(
        name="Falco tinnunculus", english="Common Kestrel", birds=114, owl=False, unsexed=0.04,
        size_sd=0.045, condition_effect=0.08,
        mass0_g=(217.0, 186.0), wing0_mm=(256.0, 247.0), tarsus0_mm=(40.5, 39.5),
    ),
    Species(
        name="Accipiter nisus", english="Eurasian Sparrowhawk", birds=76, owl=False, unsexed=0.0,
        size_sd=0.025, condition_effect=0.11,
        mass0_g=(260.0, 150.0), wing0_mm=(237.0, 201.0), tarsus0_mm=(61.0, 52.5),
    ),
    Species(
        name="Buteo buteo", english="Common Buzzard", birds=95, owl=False, unsexed=0.08,
        size_sd=0.045, condition_effect=0.08,
        mass0_g=(969.0, 781.0), wing0_mm=(395.0, 378.0), tarsus0_mm=(76.0, 75.0),
    ),
    Species(
        name="Strix aluco", english="Tawny Owl", birds=57, owl=True, unsexed=0.10,
        size_sd=0.045, condition_effect=0.08,
        mass0_g=(524.0, 426.0), wing0_mm=(276.0, 264.0), tarsus0_mm=(50.0, 48.0),
    ),
    Species(
        name="Tyto alba", english="Barn Owl", birds=38, owl=True, unsexed=0.10,
        size_sd=0.025, condition_effect=0.11,
        mass0_g=(355.0, 310.0), wing0_mm=(294.0, 291.0), tarsus0_mm=(60.0, 59.0),
    ),
)  # fmt: skip
SEXES = ("F", "M")

# Group g is species g // 2 and sex g % 2; one row a group, so that arrays of groups index it.
GROUPS: tuple[tuple[Species, str], ...] = tuple((kind, sex) for kind in SPECIES for sex in SEXES)
_MASS0 = np.array([kind.mass0_g[SEXES.index(sex)] for kind, sex in GROUPS])
_WING0 = np.array([kind.wing0_mm[SEXES.index(sex)] for kind, sex in GROUPS])
_TARSUS0 = np.array([kind.tarsus0_mm[SEXES.index(sex)] for kind, sex in GROUPS])
_SIZE_SD = np.array([kind.size_sd for kind, _ in GROUPS])
_CONDITION_EFFECT = np.array([kind.condition_effect for kind, _ in GROUPS])
_OWL = np.array([kind.owl for kind, _ in GROUPS])
_FEMALE = np.array([sex == "F" for _, sex in GROUPS])


@dataclass(frozen=True, kw_only=True)
class Handlings:
    """What happened and was measured in each exam; all arrays have shape (n,).

    Masses are in g and lengths in mm, unrounded; NaN where a length was not measured.
    `crop` is 0 to 4, `NO_CROP` for owls. `age` is "juvenile", "immature", "adult" or "unknown".
    """

    group: Ints
    date: Dates
    age: npt.NDArray[np.str_]
    condition: Floats
    scorer: Ints
    grade: Floats
    mass_g: Floats
    wing_mm: Floats
    tarsus_mm: Floats
    crop: Ints
    gravid: Flags
    moult: Flags


def draw_dates(rng: np.random.Generator, *, n: int) -> Dates:
    """Draw n exam days, every day of 2019 to 2024 being equally likely."""
    n_days = int((LAST_DAY - FIRST_DAY).astype(np.int64)) + 1
    return np.asarray(FIRST_DAY + rng.integers(0, n_days, size=n))


def find_months(date: Dates) -> Ints:
    """Give the calendar month, 1 to 12, of each day."""
    return np.asarray(date.astype("datetime64[M]").astype(np.int64) % 12 + 1)


def find_days_of_year(date: Dates) -> Ints:
    """Give the day of the year, counted from 1."""
    return np.asarray((date - date.astype("datetime64[Y]")).astype(np.int64) + 1)


def find_years(date: Dates) -> Ints:
    """Give the calendar year of each day."""
    return np.asarray(date.astype("datetime64[Y]").astype(np.int64) + 1970)


def draw_hatch_years(rng: np.random.Generator, *, date: Dates) -> Ints:
    """Draw the year in which each bird hatched, given its first exam; 0 where nobody knows.

    Fledged young of the year are met from July on, as they leave the nest.
    """
    chance = rng.random((3, date.size))
    may_be_young = np.isin(find_months(date), JUVENILE_MONTHS)
    years_old = np.where(
        may_be_young & (chance[0] < JUVENILE_PROBABILITY),
        0,
        np.where(chance[1] < IMMATURE_PROBABILITY, 1, 3),
    )
    return np.where(chance[2] < AGE_UNKNOWN, 0, find_years(date) - years_old)


def name_ages(*, hatch_year: Ints, date: Dates) -> npt.NDArray[np.str_]:
    """Name the age class at the exam from calendar years; age has no effect on mass here."""
    years_old = find_years(date) - hatch_year
    ages = np.select([years_old == 0, years_old == 1], ["juvenile", "immature"], "adult")
    return np.where(hatch_year == 0, "unknown", ages)


def draw_sizes(rng: np.random.Generator, *, group: Ints) -> Floats:
    """Draw each bird's true size as ln L - ln L0 of its species and sex."""
    return np.asarray(rng.standard_normal(group.size) * _SIZE_SD[group])


def draw_next_condition(rng: np.random.Generator, *, condition: Floats) -> Floats:
    """Draw a bird's condition at its next exam; each exam by itself stays N(0, 1)."""
    fresh = rng.standard_normal(condition.size)
    rho = CONDITION_CORRELATION
    return np.asarray(rho * condition + np.sqrt(1.0 - rho**2) * fresh)


def draw_handlings(
    rng: np.random.Generator,
    *,
    group: Ints,
    size: Floats,
    condition: Floats,
    date: Dates,
    hatch_year: Ints,
) -> Handlings:
    """Draw what the exams of given birds on given days would show, a random scorer grading."""
    n = group.size
    month = find_months(date)
    scorer = rng.integers(0, len(SCORERS), size=n)
    grade = grade_condition(rng, condition=condition, scorer=scorer, date=date)
    crop = np.searchsorted(np.cumsum(CROP_PROBABILITIES)[:-1], rng.random(n), side="right")
    crop = np.where(_OWL[group], NO_CROP, crop)
    moult = np.isin(month, MOULT_MONTHS) & (rng.random(n) < MOULT_PROBABILITY)
    laying_season = _FEMALE[group] & np.isin(month, GRAVID_MONTHS)
    gravid = laying_season & (rng.random(n) < GRAVID_PROBABILITY)
    log_mass = (
        np.log(_MASS0[group])
        + SIZE_EXPONENT * size
        + _CONDITION_EFFECT[group] * condition
        + SEASON_AMPLITUDE
        * np.cos(2.0 * np.pi * (find_days_of_year(date) - SEASON_PEAK_DAY) / DAYS_A_YEAR)
        + GRAVID_EFFECT * gravid
        + CROP_EFFECT * np.maximum(crop, 0)
        + MOULT_EFFECT * moult
        + RESIDUAL_SD * rng.standard_normal(n)
    )
    wing = _WING0[group] * np.exp(size + WING_ERROR_SD * rng.standard_normal(n))
    tarsus = _TARSUS0[group] * np.exp(size + TARSUS_ERROR_SD * rng.standard_normal(n))
    no_wing = rng.random(n) < WING_MISSING + WING_MISSING_MORE_IN_MOULT * moult
    no_tarsus = rng.random(n) < np.where(grade == 1.0, TARSUS_MISSING_AT_GRADE_1, TARSUS_MISSING)
    return Handlings(
        group=group,
        date=date,
        age=name_ages(hatch_year=hatch_year, date=date),
        condition=condition,
        scorer=scorer,
        grade=grade,
        mass_g=np.exp(log_mass),
        wing_mm=np.where(no_wing, np.nan, wing),
        tarsus_mm=np.where(no_tarsus, np.nan, tarsus),
        crop=crop,
        gravid=gravid,
        moult=moult,
    )


def draw_group(rng: np.random.Generator, *, group: int, n: int) -> Handlings:
    """Draw one exam each of n birds of one species and sex."""
    groups = np.full(n, group)
    date = draw_dates(rng, n=n)
    return draw_handlings(
        rng,
        group=groups,
        size=draw_sizes(rng, group=groups),
        condition=rng.standard_normal(n),
        date=date,
        hatch_year=draw_hatch_years(rng, date=date),
    )
