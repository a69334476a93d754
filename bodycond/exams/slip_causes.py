"""What may have happened to a suspicious value: candidate slips, tried and never applied."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bodycond.exams.robust_slips import FLAG_Z
from bodycond.units import GRAMS_PER_UNIT, MILLIMETRES_PER_UNIT

BACK_WITHIN_Z = 3.0
"""A candidate counts only if it brings the value this near to its species and sex: 3 birds in
1000 are further away, and a slip that is undone leaves a bird like any other."""

_POUND, _OUNCE = GRAMS_PER_UNIT["lb"], GRAMS_PER_UNIT["oz"]
_POUNDS_PER_KG = GRAMS_PER_UNIT["kg"] / _POUND

WEAK_WITHIN_Z = 1.5
"""The same for slips that are weak evidence: swapped digits explain one difference in nine by
chance, and a pound for a kilogram is a small step in a variable species."""

MASS_FACTORS: tuple[tuple[str, float, bool], ...] = (
    ("tenfold too small", 10.0, False),
    ("tenfold too large", 0.1, False),
    ("a hundredfold too small", 100.0, False),
    ("a hundredfold too large", 0.01, False),
    ("kilograms written for grams", 1000.0, False),
    ("a thousandfold too large", 0.001, False),
    ("pounds written for grams", _POUND, False),
    ("ounces written for grams", _OUNCE, False),
    ("pounds taken for kilograms", 1 / _POUNDS_PER_KG, True),
    ("kilograms taken for pounds", _POUNDS_PER_KG, True),
)
"""Slip in words, the factor that undoes it, and whether the evidence is weak by nature."""

LENGTH_FACTORS: tuple[tuple[str, float, bool], ...] = (
    (
        "centimetres written for millimetres, or tenfold too small",
        MILLIMETRES_PER_UNIT["cm"],
        False,
    ),
    ("tenfold too large", 0.1, False),
    ("inches written for millimetres", MILLIMETRES_PER_UNIT["in"], False),
    ("a hundredfold too small", 100.0, False),
    ("a hundredfold too large", 0.01, False),
)
"""The same for lengths in mm."""


@dataclass(frozen=True, kw_only=True)
class Suspicion:
    """A value in doubt, with what is known of it and of the bird's other measures.

    Parameters
    ----------
    column : str
        The measure.
    value : float
        As recorded.
    z : float
        Robust z within species and sex; NaN where there are too few birds.
    scale : float
        Robust standard deviation of its log; NaN likewise.
    low, high : float
        Limits of the species' table, used where z is not known; NaN where there are none.
    expected : float
        Log deviation that the bird's other measures lead one to expect; NaN where there is no
        other measure to arbitrate.
    deviation : float
        Its log deviation from the median of species and sex.
    others : tuple of str
        The other measures that arbitrate, as "tail_mm 222".
    """

    column: str
    value: float
    z: float
    scale: float
    low: float
    high: float
    expected: float
    deviation: float
    others: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Candidate:
    """A slip that would explain a value.

    Parameters
    ----------
    slip : str
        The slip in words.
    value : float
        What the value would be without it.
    z : float
        Its robust z then; NaN where there are too few birds.
    discord : float
        Distance from what the other measures lead one to expect, in robust standard
        deviations; NaN without other measures.
    weak : bool
        True for slips that fit by chance too easily to be believed alone.
    """

    slip: str
    value: float
    z: float
    discord: float
    weak: bool


def find_candidates(doubt: Suspicion) -> list[Candidate]:
    """Find the slips that would explain a value, the best supported first.

    A factor is a candidate only if it brings the value back to its species and sex and the
    bird's other measures, where it has any, then agree. Swapped digits and pounds taken for
    kilograms fit by chance too often: they need another measure that agrees closely.

    Parameters
    ----------
    doubt : Suspicion
        The value.

    Returns
    -------
    list of Candidate
        Possibly empty.
    """
    factors = MASS_FACTORS if doubt.column == "mass_g" else LENGTH_FACTORS
    trials = [(slip, doubt.value * factor, weak) for slip, factor, weak in factors]
    trials += [("two digits swapped", swapped, True) for swapped in _swap_digits(doubt.value)]
    found = [
        candidate
        for slip, value, weak in trials
        if (candidate := _try_value(doubt, slip=slip, value=value, weak=weak)) is not None
    ]
    return sorted(found, key=lambda one: (one.weak, _rank_fit(one)))


def _rank_fit(candidate: Candidate) -> float:
    parts = [abs(part) for part in (candidate.z, candidate.discord) if math.isfinite(part)]
    return max(parts, default=0.0)


def _try_value(doubt: Suspicion, *, slip: str, value: float, weak: bool) -> Candidate | None:
    if value <= 0 or doubt.value <= 0:
        return None
    shift = math.log(value / doubt.value)
    if not math.isfinite(doubt.z):
        inside = doubt.low <= value <= doubt.high  # False where a limit is NaN
        unarbitrated = Candidate(slip=slip, value=value, z=math.nan, discord=math.nan, weak=weak)
        return unarbitrated if inside and not weak else None
    z = doubt.z + shift / doubt.scale
    discord = (doubt.deviation + shift - doubt.expected) / doubt.scale
    if abs(z) >= (WEAK_WITHIN_Z if weak else BACK_WITHIN_Z):
        return None
    if math.isfinite(discord):
        if abs(discord) >= (WEAK_WITHIN_Z if weak else FLAG_Z):
            return None
    elif weak:
        return None
    return Candidate(slip=slip, value=value, z=z, discord=discord, weak=weak)


def _swap_digits(value: float) -> list[float]:
    text = f"{value:g}"
    whole = text.split(".")[0]
    if not whole.isdigit():
        return []
    rest = text[len(whole) :]
    swapped = []
    for place in range(len(whole) - 1):
        first, second = whole[place], whole[place + 1]
        # A leading zero is not a way in which the number is written down.
        if first != second and not (place == 0 and second == "0"):
            swapped.append(float(whole[:place] + second + first + whole[place + 2 :] + rest))
    return swapped


def word_cure(doubt: Suspicion, *, candidates: list[Candidate]) -> str:
    """Write candidate slips as the cure to consider.

    Parameters
    ----------
    doubt : Suspicion
        The value.
    candidates : list of Candidate
        What `find_candidates` gave.

    Returns
    -------
    str
        Candidates in their order, or what is left to do where there is none.
    """
    unit = doubt.column.rsplit("_", 1)[-1]
    name = doubt.column.rsplit("_", 1)[0]
    if doubt.value <= 0:
        slip = "a dash or a difference" if doubt.value < 0 else "'not taken'"
        return (
            f"{name} {doubt.value:g} {unit} may stand for {slip}: look at the sheet, and leave the "
            "cell empty where nothing was measured"
        )
    if not candidates:
        if len(doubt.others) >= 2:
            return (
                f"no single slip explains {name} {doubt.value:g} {unit}, and the other measures "
                "fit the bird: look at the sheet, or leave this one out"
            )
        return f"no single slip explains {name} {doubt.value:g} {unit}: look at the sheet"
    words = []
    for candidate in candidates:
        scores = (
            f"z {doubt.z:.1f} becomes {candidate.z:.1f}"
            if math.isfinite(candidate.z)
            else "within the species' limits"
        )
        weak = "; weak evidence, wants a second reading or more such rows" if candidate.weak else ""
        words.append(
            f"{name} {doubt.value:g} {unit} may be {candidate.value:.4g} {unit} "
            f"({candidate.slip}: {scores}{weak})"
        )
    return "; or ".join(words)


def word_arbitration(doubt: Suspicion) -> str:
    """Say what the bird's other measures tell of the value.

    Parameters
    ----------
    doubt : Suspicion
        The value.

    Returns
    -------
    str
        One clause.
    """
    if not doubt.others:
        return "no other measure to arbitrate"
    plural = "s" if len(doubt.others) == 1 else ""
    return f"{', '.join(doubt.others)} fit{plural} the species and sex"
