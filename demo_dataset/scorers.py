"""Six invented scorers, how they grade, and the sessions in which they grade the same birds."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Dates = npt.NDArray[np.datetime64]

CUTPOINTS = (-1.6, -0.6, 0.5, 1.6)
RATING_NOISE_SD = 0.45
HALF_WIDTH = 0.25
DRIFT_A_MONTH = 0.02
DAYS_A_MONTH = 365.25 / 12.0
N_SESSIONS = 8
BIRDS_A_SESSION = 30
SESSION_MONTHS = 24
FIRST_SESSION = np.datetime64("2022-10-05", "D")
N_REPEATED_BIRDS = 20
DAYS_BEFORE_REPEAT = 2


@dataclass(frozen=True, kw_only=True)
class Scorer:
    """One scorer; severity is in units of latent condition, positive grades lower."""

    code: str
    severity: float = 0.0
    noise_sd: float = RATING_NOISE_SD
    drift_a_month: float = 0.0
    halves: bool = False
    cutpoints: tuple[float, float, float, float] = CUTPOINTS
    trait: str = "unbiased"


SCORERS: tuple[Scorer, ...] = (
    Scorer(code="S01", trait="the reference scorer: no bias, whole grades"),
    Scorer(code="S02", severity=0.4, trait="harsh: sees every bird 0.4 lower"),
    Scorer(code="S03", noise_sd=0.9, trait="noisy: twice the usual scatter"),
    Scorer(code="S04", halves=True, trait="gives a half grade within 0.25 of a cut-point"),
    Scorer(
        code="S05",
        cutpoints=(-2.4, -0.6, 0.5, 2.4),
        trait="avoids grades 1 and 5: outer cut-points at -2.4 and 2.4",
    ),
    Scorer(
        code="S06",
        drift_a_month=DRIFT_A_MONTH,
        trait="drifts: 0.02 harsher with each month of the sessions, from 0 at the first",
    ),
)
_SEVERITY = np.array([scorer.severity for scorer in SCORERS])
_NOISE_SD = np.array([scorer.noise_sd for scorer in SCORERS])
_DRIFT = np.array([scorer.drift_a_month for scorer in SCORERS])
_HALVES = np.array([scorer.halves for scorer in SCORERS])
_CUTPOINTS = np.array([scorer.cutpoints for scorer in SCORERS])

# Balanced incomplete block: 6 scorers, 10 birds, 3 scorers a bird, 5 birds a scorer, and every
# pair of scorers shares 2 birds.
BLOCK: tuple[tuple[int, int, int], ...] = (
    (0, 1, 2), (0, 1, 3), (0, 2, 4), (0, 3, 5), (0, 4, 5),
    (1, 2, 5), (1, 3, 4), (1, 4, 5), (2, 3, 4), (2, 3, 5),
)  # fmt: skip


def find_severity(*, scorer: Ints, date: Dates) -> Floats:
    """Give each rating's severity; the drift is 0 before the first session, held after the last."""
    months = (date - FIRST_SESSION).astype(np.int64) / DAYS_A_MONTH
    return np.asarray(_SEVERITY[scorer] + _DRIFT[scorer] * np.clip(months, 0.0, SESSION_MONTHS))


def grade_condition(
    rng: np.random.Generator, *, condition: Floats, scorer: Ints, date: Dates
) -> Floats:
    """Grade birds of given latent condition, one scorer (position in SCORERS) a bird."""
    perceived = (
        condition
        - find_severity(scorer=scorer, date=date)
        + _NOISE_SD[scorer] * rng.standard_normal(condition.size)
    )
    grade = np.ones(condition.size)
    for position in range(len(CUTPOINTS)):
        distance = perceived - _CUTPOINTS[scorer, position]
        near = _HALVES[scorer] & (np.abs(distance) < HALF_WIDTH)
        grade += np.where(near, 0.5, (distance > 0.0).astype(np.float64))
    return grade


def find_session_days() -> Dates:
    """Give the days of the sessions: the last is 24 months after the first."""
    offsets = np.linspace(0.0, SESSION_MONTHS * DAYS_A_MONTH, N_SESSIONS)
    return np.asarray(FIRST_SESSION + np.round(offsets).astype(np.int64))


def draw_ratings(rng: np.random.Generator) -> pd.DataFrame:
    """Draw the ratings of all sessions, one row a rating, in the order of the session book.

    Columns: session, session_number, bird_number (1 to 30), bird_id, scorer, round, rated_on,
    keel, latent_condition. Nobody repeats a bird that is at grade 1, for its welfare.
    """
    rows: list[dict[str, object]] = []
    for number, day in enumerate(find_session_days()):
        condition = rng.standard_normal(BIRDS_A_SESSION)
        twice = _choose_repeated(number, condition)
        for round_number, birds in ((1, range(BIRDS_A_SESSION)), (2, twice)):
            rated_on = day + (round_number - 1) * DAYS_BEFORE_REPEAT
            for bird in birds:
                three = np.array(BLOCK[bird % len(BLOCK)])
                grades = grade_condition(
                    rng,
                    condition=np.full(3, condition[bird]),
                    scorer=three,
                    date=np.full(3, rated_on),
                )
                rows += [
                    {
                        "session": f"session {number + 1}",
                        "session_number": number + 1,
                        "bird_number": bird + 1,
                        "bird_id": f"TR-{number * BIRDS_A_SESSION + bird + 1:03d}",
                        "scorer": SCORERS[scorer].code,
                        "round": round_number,
                        "rated_on": rated_on,
                        "keel": grade,
                        "latent_condition": round(float(condition[bird]), 6),
                    }
                    for scorer, grade in zip(three, grades, strict=True)
                ]
    return pd.DataFrame(rows)


def _choose_repeated(number: int, condition: Floats) -> list[int]:
    """Choose the birds of a session for the second round, so that every scorer repeats ten."""
    chosen: list[int] = []
    for repeat in range(N_REPEATED_BIRDS):
        if repeat * N_SESSIONS // N_REPEATED_BIRDS != number:
            continue
        same_three = range(repeat % len(BLOCK), BIRDS_A_SESSION, len(BLOCK))
        fit = [bird for bird in same_three if condition[bird] > CUTPOINTS[0]]
        chosen.append(fit[0])
    return sorted(chosen)
