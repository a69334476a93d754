"""The truths of the demo data set: the simulator's constants, and the estimands they lead to.

A fit recovers estimands and not constants: the slope of log mass on the grade is not the effect
of the latent condition, and the standardised major axis is not the exponent of size. So each
estimand is computed here by the formula that a study uses, on so many birds that its own error
hardly matters; that error is given beside it.
"""

from __future__ import annotations

import itertools
from dataclasses import asdict
from typing import Any

import exams
import numpy as np
import numpy.typing as npt
import scorers
import simulator
from scorers import SCORERS, find_session_days, grade_condition
from simulator import GROUPS, NO_CROP, draw_group

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

N_BIRDS = 1_000_000
CHUNK = 250_000
N_BATCHES = 10
GRADES = np.arange(1.0, 5.01, 0.5)
SAMPLES = {
    "every_exam": "one exam of a random bird on a random day of 2019 to 2024: every age, every "
    "crop, gravid birds and birds in moult included",
    "adult_exam": "the same, adults alone (age class adult; unknown ages left out)",
    "adult_empty_crop": "adults with crop 0 or 1 or no crop (owls), gravid birds left out, birds "
    "in moult included",
}
STATEMENT = {
    "size": "ln mass on ln length among exams with that length measured (tarsus is missing more "
    "often at grade 1, wing more often in moult): sma_slope = sign(r) sd(ln mass) / sd(ln "
    "length); ols_slope; r; size0_mm = arithmetic mean of the length",
    "keel": "ordinary least squares of ln mass on the grade as a number, all grades including "
    "halves: per_cent_per_grade = 100 (exp(slope) - 1); by_grade gives the share of exams, the "
    "median mass, the geometric mean mass and the mass fitted by the line exp(intercept + slope "
    "grade), for grades with at least 1 exam in 10,000. random_scorer: the exam's own scorer, "
    "each of the six equally likely, with the drift of the exam's day; S01: the reference "
    "scorer grading the same birds",
    "agreement": "Cohen's kappa of two scorers who each grade the same birds once, latent "
    "condition N(0, 1), on the day of a random session, on the 9 grades 1, 1.5, ... 5: "
    "unweighted, linear and quadratic in the grades' distance (whole grades alone give the same "
    "on 5 grades). peers: two unbiased scorers like S01; S01_and_S0x: as named; S0x_again: one "
    "scorer twice. mean_difference = second - first",
    "monte_carlo_se": "standard error of the estimand itself, from 10 batches",
    "left_out": "one exam a bird, so no repeats; birds whose sex was recorded as U are in the "
    "group of their true sex; nothing is done for rounding when written, the notations that lose "
    "a grade, missing masses and grades (at random) and planted errors",
}


def compute_truths(*, n: int = N_BIRDS, seed: int) -> dict[str, Any]:
    """Compute constants and estimands from n birds a group; seeds are [seed, 6 or 7, ...]."""
    return {
        "n_birds_per_group": n,
        "seed": seed,
        "samples": SAMPLES,
        "statement": STATEMENT,
        "constants": list_constants(),
        "groups": [compute_group(group, n=n, seed=seed) for group in range(len(GROUPS))],
        "grade_shares": compute_grade_shares(n=n, seed=seed),
        "agreement": compute_agreement(n=n, seed=seed),
    }


def list_constants() -> dict[str, Any]:
    """List every constant of the simulator: numbers in capitals, the species, the scorers."""
    constants: dict[str, Any] = {}
    for module in (simulator, scorers, exams):
        for name, value in vars(module).items():
            if (
                name.isupper()
                and not name.startswith("_")
                and isinstance(value, int | float | tuple)
            ):
                constants[name.lower()] = value
    constants["species"] = [asdict(kind) for kind in simulator.SPECIES]
    constants["scorers"] = [asdict(scorer) for scorer in SCORERS]
    del constants["groups"]
    constants["session_days"] = [str(day) for day in find_session_days()]
    return constants


def compute_group(group: int, *, n: int, seed: int) -> dict[str, Any]:
    """Compute the estimands of one species and sex in each sample."""
    drawn = _draw_columns(group, n=n, seed=seed)
    kind, sex = GROUPS[group]
    adult = drawn["adult"]
    masks = {
        "every_exam": np.ones(n, dtype=np.bool_),
        "adult_exam": adult,
        "adult_empty_crop": adult & drawn["empty_crop"] & ~drawn["gravid"],
    }
    samples = {}
    for name, mask in masks.items():
        part = {column: values[mask] for column, values in drawn.items()}
        samples[name] = {
            "n": int(mask.sum()),
            "median_mass_g": float(np.exp(np.median(part["log_mass"]))),
            "size": {
                size: compute_size_slopes(part["log_mass"], part[size])
                for size in ("tarsus_mm", "wing_mm")
            },
            "keel": {
                scorer: compute_keel_slope(part["log_mass"], part[scorer])
                for scorer in ("random_scorer", "S01")
            },
        }
    return {"species": kind.name, "sex": sex, "samples": samples}


def _draw_columns(group: int, *, n: int, seed: int) -> dict[str, npt.NDArray[Any]]:
    """Draw n birds in chunks, since a million at once would need much memory."""
    chunks: list[dict[str, npt.NDArray[Any]]] = []
    for number, start in enumerate(range(0, n, CHUNK)):
        rng = np.random.default_rng([seed, 6, group, number])
        seen = draw_group(rng, group=group, n=min(CHUNK, n - start))
        by_reference = grade_condition(
            rng,
            condition=seen.condition,
            scorer=np.zeros(seen.group.size, dtype=np.int64),
            date=seen.date,
        )
        chunks.append(
            {
                "log_mass": np.log(seen.mass_g),
                "tarsus_mm": seen.tarsus_mm,
                "wing_mm": seen.wing_mm,
                "random_scorer": seen.grade,
                "S01": by_reference,
                "adult": seen.age == "adult",
                "empty_crop": (seen.crop <= 1) | (seen.crop == NO_CROP),
                "gravid": seen.gravid,
            }
        )
    return {name: np.concatenate([chunk[name] for chunk in chunks]) for name in chunks[0]}


def compute_size_slopes(log_mass: Floats, size_mm: Floats) -> dict[str, Any]:
    """Compute the slopes of ln mass on ln length, where the length was measured."""
    measured = ~np.isnan(size_mm)
    y, x = log_mass[measured], np.log(size_mm[measured])

    def slopes(part: slice) -> Floats:
        covariance = np.cov(x[part], y[part])
        sd_x, sd_y = np.sqrt(np.diag(covariance))
        r = covariance[0, 1] / (sd_x * sd_y)
        return np.array([np.sign(r) * sd_y / sd_x, covariance[0, 1] / sd_x**2, r])

    names = ("sma_slope", "ols_slope", "r")
    whole, errors = slopes(slice(None)), _find_errors(slopes, n=x.size)
    return {
        "n": int(x.size),
        "size0_mm": float(size_mm[measured].mean()),
        **dict(zip(names, map(float, whole), strict=True)),
        "monte_carlo_se": dict(zip(names, map(float, errors), strict=True)),
    }


def compute_keel_slope(log_mass: Floats, grade: Floats) -> dict[str, Any]:
    """Compute the line of ln mass on the grade, and the masses that go with each grade."""

    def line(part: slice) -> Floats:
        covariance = np.cov(grade[part], log_mass[part])
        slope = covariance[0, 1] / covariance[0, 0]
        intercept = log_mass[part].mean() - slope * grade[part].mean()
        return np.array([intercept, slope, 100.0 * np.expm1(slope)])

    names = ("intercept", "slope", "per_cent_per_grade")
    whole, errors = line(slice(None)), _find_errors(line, n=grade.size)
    by_grade = []
    for level in GRADES:
        at_level = log_mass[grade == level]
        if at_level.size < grade.size / 10_000:
            continue
        by_grade.append(
            {
                "keel": float(level),
                "share": at_level.size / grade.size,
                "median_mass_g": float(np.exp(np.median(at_level))),
                "geometric_mean_mass_g": float(np.exp(at_level.mean())),
                "line_mass_g": float(np.exp(whole[0] + whole[1] * level)),
            }
        )
    return {
        **dict(zip(names, map(float, whole), strict=True)),
        "monte_carlo_se": dict(zip(names, map(float, errors), strict=True)),
        "by_grade": by_grade,
    }


def compute_grade_shares(*, n: int, seed: int) -> dict[str, dict[str, float]]:
    """Compute how often each scorer gives each grade, on the days of the sessions."""
    shares = {}
    for position, scorer in enumerate(SCORERS):
        grades = _rate(np.random.default_rng([seed, 7, 0, position]), n=n, pair=(position,))[0]
        shares[scorer.code] = {
            f"{level:g}": float(np.mean(grades == level))
            for level in GRADES
            if np.any(grades == level)
        }
    return shares


def compute_agreement(*, n: int, seed: int) -> dict[str, dict[str, Any]]:
    """Compute the kappas of pairs of scorers."""
    pairs = {"peers": (0, 0)}
    pairs |= {f"S01_and_{SCORERS[other].code}": (0, other) for other in range(1, len(SCORERS))}
    pairs |= {f"{SCORERS[one].code}_again": (one, one) for one in range(1, len(SCORERS))}
    found: dict[str, dict[str, Any]] = {}
    for number, (name, pair) in enumerate(pairs.items()):
        first, second = _rate(np.random.default_rng([seed, 7, 1, number]), n=n, pair=pair)

        def measures(part: slice, first: Floats = first, second: Floats = second) -> Floats:
            return compute_kappas(first[part], second[part])

        names = ("unweighted", "linear", "quadratic", "exact_agreement", "mean_difference")
        whole, errors = measures(slice(None)), _find_errors(measures, n=n)
        found[name] = {
            **dict(zip(names, map(float, whole), strict=True)),
            "monte_carlo_se": dict(zip(names, map(float, errors), strict=True)),
        }
    return found


def _rate(rng: np.random.Generator, *, n: int, pair: tuple[int, ...]) -> list[Floats]:
    """Let scorers grade the same n birds, each bird on the day of a random session."""
    condition = rng.standard_normal(n)
    days = find_session_days()
    date = days[rng.integers(0, days.size, size=n)]
    return [
        grade_condition(rng, condition=condition, scorer=np.full(n, one), date=date) for one in pair
    ]


def compute_kappas(first: Floats, second: Floats) -> Floats:
    """Compute kappa with no, linear and quadratic weights, exact agreement, mean difference."""
    low, high = (np.round(2.0 * (grades - 1.0)).astype(np.int64) for grades in (first, second))
    table = np.bincount(low * GRADES.size + high, minlength=GRADES.size**2)
    observed = table.reshape(GRADES.size, GRADES.size) / first.size
    expected = np.outer(observed.sum(axis=1), observed.sum(axis=0))
    distance = np.abs(GRADES[:, None] - GRADES[None, :])
    kappas = [
        1.0 - (weight * observed).sum() / (weight * expected).sum()
        for weight in (distance > 0.0, distance, distance**2)
    ]
    return np.array([*kappas, np.trace(observed), np.mean(second - first)])


def _find_errors(measure: Any, *, n: int) -> Floats:
    """Give the standard error of a measure of n birds from its scatter over batches of them."""
    edges = np.linspace(0, n, N_BATCHES + 1).astype(np.int64)
    batches = [measure(slice(start, stop)) for start, stop in itertools.pairwise(edges)]
    return np.asarray(np.std(batches, axis=0, ddof=1) / np.sqrt(N_BATCHES))
