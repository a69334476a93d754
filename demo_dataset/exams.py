"""The 600 exams of the demo as a table, before anybody writes them into a messy sheet."""

from __future__ import annotations

import numpy as np
import pandas as pd
from scorers import SCORERS
from simulator import (
    FIRST_DAY,
    GROUPS,
    LAST_DAY,
    NO_CROP,
    SPECIES,
    draw_handlings,
    draw_hatch_years,
    draw_next_condition,
    draw_sizes,
)

N_EXAMS = 600
SHARE_REPEATED = 0.25
SITES = ("Skelbeck Hospital", "Orrinfold Aviary", "Vessel Point Field Station")
SITE_PROBABILITIES = (0.5, 0.25, 0.25)
SITE_LETTERS = {"Skelbeck Hospital": "SK", "Orrinfold Aviary": "OA"} | {
    "Vessel Point Field Station": "VP"
}
RING_MISSING = 0.3
MASS_MISSING = 0.04
KEEL_MISSING = 0.02
MASS_KNOWN = 0.3
BLIND = 0.6


def draw_exams(rng: np.random.Generator) -> pd.DataFrame:
    """Draw the exams, sorted by site and day, with the true sex and condition beside them."""
    birds = _draw_birds(rng)
    exams = _draw_handlings_of(rng, birds=birds)
    n = len(exams)
    exams["site"] = birds["site"].to_numpy()[exams["bird"]]
    exams["true_sex"] = birds["sex"].to_numpy()[exams["bird"]]
    exams["sex"] = np.where(birds["unsexed"].to_numpy()[exams["bird"]], "U", exams["true_sex"])
    exams["species"] = birds["species"].to_numpy()[exams["bird"]]
    exams["ring_number"] = birds["ring_number"].to_numpy()[exams["bird"]]
    exams.loc[rng.random(n) < MASS_MISSING, "mass_g"] = np.nan
    exams.loc[rng.random(n) < KEEL_MISSING, "keel"] = np.nan
    exams["mass_known_when_scored"] = rng.random(n) < MASS_KNOWN
    exams["keel_blind"] = rng.random(n) < BLIND
    exams["cage"] = rng.integers(1, 15, size=n)
    exams["site"] = pd.Categorical(exams["site"], categories=SITES, ordered=True)
    exams = exams.sort_values(["site", "exam_date", "bird"], kind="stable", ignore_index=True)
    exams["site"] = exams["site"].astype("str")
    return _number(exams)


def _draw_birds(rng: np.random.Generator) -> pd.DataFrame:
    """Draw the birds: shares of species exact, half of each species female."""
    group = np.concatenate(
        [2 * position + np.arange(kind.birds) % 2 for position, kind in enumerate(SPECIES)]
    )
    group = group[rng.permutation(group.size)]
    n = group.size
    species = [GROUPS[g][0] for g in group]
    rings = rng.permutation(90_000)[:n]
    return pd.DataFrame(
        {
            "group": group,
            "species": [kind.name for kind in species],
            "sex": [GROUPS[g][1] for g in group],
            "unsexed": rng.random(n) < np.array([kind.unsexed for kind in species]),
            "size": draw_sizes(rng, group=group),
            "site": np.array(SITES)[
                np.searchsorted(np.cumsum(SITE_PROBABILITIES)[:-1], rng.random(n), side="right")
            ],
            "ring_number": [
                None if chance < RING_MISSING else f"0{ring:05d}"
                for ring, chance in zip(rings, rng.random(n), strict=True)
            ],
            "n_exams": _draw_exam_counts(rng, n_birds=n),
        }
    )


def _draw_exam_counts(rng: np.random.Generator, *, n_birds: int) -> np.ndarray:
    """Give every fourth bird a second exam, and some of those more, 600 exams in all."""
    counts = np.ones(n_birds, dtype=np.int64)
    repeated = rng.permutation(n_birds)[: round(SHARE_REPEATED * n_birds)]
    counts[repeated] += 1
    more = rng.integers(0, repeated.size, size=N_EXAMS - counts.sum())
    np.add.at(counts, repeated[more], 1)
    return counts


def _draw_handlings_of(rng: np.random.Generator, *, birds: pd.DataFrame) -> pd.DataFrame:
    """Draw exam after exam of the birds, condition changing in between."""
    n_exams = birds["n_exams"].to_numpy()
    gaps = 4 + np.floor(rng.exponential(20.0, size=(n_exams.max(), len(birds)))).astype(np.int64)
    gaps[0] = 0
    days_since_first = np.cumsum(gaps, axis=0)
    span = days_since_first[n_exams - 1, np.arange(len(birds))]
    n_days = int((LAST_DAY - FIRST_DAY).astype(np.int64)) + 1
    first_day = FIRST_DAY + np.floor(rng.random(len(birds)) * (n_days - span)).astype(np.int64)
    hatch_year = draw_hatch_years(rng, date=first_day)
    condition = rng.standard_normal(len(birds))
    parts = []
    for number in range(int(n_exams.max())):
        if number:
            condition = draw_next_condition(rng, condition=condition)
        which = np.flatnonzero(n_exams > number)
        seen = draw_handlings(
            rng,
            group=birds["group"].to_numpy()[which],
            size=birds["size"].to_numpy()[which],
            condition=condition[which],
            date=first_day[which] + days_since_first[number, which],
            hatch_year=hatch_year[which],
        )
        parts.append(
            pd.DataFrame(
                {
                    "bird": which,
                    "exam_number": number + 1,
                    "last_exam": n_exams[which] == number + 1,
                    "exam_date": seen.date,
                    "age_class": seen.age,
                    "latent_condition": np.round(seen.condition, 6),
                    "mass_g": np.round(seen.mass_g),
                    "wing_mm": np.round(seen.wing_mm),
                    "tarsus_mm": np.round(seen.tarsus_mm, 1),
                    "keel": seen.grade,
                    "scorer": [SCORERS[position].code for position in seen.scorer],
                    "crop_fill": np.where(seen.crop == NO_CROP, "no_crop", seen.crop.astype(str)),
                    "gravid": seen.gravid,
                    "in_moult": seen.moult,
                }
            )
        )
    return pd.concat(parts, ignore_index=True)


def _number(exams: pd.DataFrame) -> pd.DataFrame:
    """Number birds in the order of their first exam at their site, and the exams in turn."""
    exams = exams.copy()
    letters = exams["site"].map(SITE_LETTERS)
    order = exams.groupby("site", sort=False)["bird"].transform(lambda bird: pd.factorize(bird)[0])
    exams["bird_id"] = [f"{a}-{i + 1:03d}" for a, i in zip(letters, order, strict=True)]
    turn = exams.groupby("site", sort=False).cumcount()
    exams["exam_id"] = [f"{a}X{i + 1:04d}" for a, i in zip(letters, turn, strict=True)]
    return exams.drop(columns="bird")
