"""A calibration study: one scale's grades of birds that were graded on another scale too."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.errors import (
    ArgumentError,
    BodycondError,
    DegenerateDataError,
    name_first_few,
    require_columns,
)
from bodycond.scales import ScoreScale

FEWEST_BIRDS = 50
"""Birds that a calibration study needs, each graded by two scorers; a hundred are better."""

FEWEST_SCORERS = 2

FEW_BIRDS_AT_A_GRADE = 5
"""Birds at one grade below which its row of the table is called weak."""

CALIBRATION_COLUMNS = (
    "bird_id", "scorer", "from_grade", "to_grade", "from_scale", "to_scale", "chart_version",
    "rated_on", "species", "blind",
)  # fmt: skip

Numbers = npt.NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, eq=False)
class Calibration:
    """What a calibration study found.

    Parameters
    ----------
    from_scale, to_scale, chart_version : str
        Names of the scales, and the version of the charts.
    from_grades, to_grades : ndarray of float
        Grades that occur on the one scale, and all grades of the other.
    counts : ndarray of float, shape (from grades, to grades)
        Ratings.
    n_birds : ndarray of int
        Birds graded at each grade of the one scale.
    design_effect : float
        How much a rating of a bird that is rated again is worth less than one of a new bird.
    species, scorers : tuple of str
        The birds' species and the scorers, in order.
    first_day, last_day : str
        ISO dates of the first and the last rating.
    n_all_birds, n_ratings : int
        Birds and ratings used.
    left_out : mapping of str to int
        Ratings left out, by reason.
    """

    from_scale: str
    to_scale: str
    chart_version: str
    from_grades: Numbers
    to_grades: Numbers
    counts: Numbers
    n_birds: npt.NDArray[np.intp]
    design_effect: float
    species: tuple[str, ...]
    scorers: tuple[str, ...]
    first_day: str
    last_day: str
    n_all_birds: int
    n_ratings: int
    left_out: Mapping[str, int]


def read_calibration(
    calibration: pd.DataFrame | None,
    *,
    to_scale: ScoreScale,
    from_scale: str | None,
    chart_version: str | None,
) -> Calibration:
    """Check a calibration study and count its grades.

    Parameters
    ----------
    calibration : DataFrame or None
        One row a bird, scorer and round: `CALIBRATION_COLUMNS`, and ``round`` where a scorer
        graded a bird twice.
    to_scale : ScoreScale
        The scale that grades are converted to.
    from_scale : str or None
        Name of the scale that they are on; None takes the study's only one.
    chart_version : str or None
        Version of the charts; None takes the study's only one.

    Returns
    -------
    Calibration
        The study.

    Raises
    ------
    BodycondError
        If there is no study.
    MissingColumnError
        If a column is absent.
    ArgumentError
        If the study is of other scales, or mixes scales or charts, or holds a bird twice in one
        round of a scorer.
    DegenerateDataError
        If too few birds were graded blind by too few scorers.
    ScaleError
        If a grade is not on ``to_scale``.
    """
    if calibration is None:
        raise _refuse_without_study()
    require_columns(calibration.columns, CALIBRATION_COLUMNS, purpose="A calibration study")
    chosen = calibration.copy()
    names = {}
    for column, wanted in (
        ("to_scale", to_scale.name), ("from_scale", from_scale), ("chart_version", chart_version)
    ):  # fmt: skip
        chosen, names[column] = _choose_one(chosen, column=column, wanted=wanted)
    used, left_out = _leave_out(chosen)
    _require_once(used)
    _require_enough(used, left_out=left_out)
    to_positions = to_scale.positions(used["to_grade"].to_numpy(dtype=np.float64))
    from_grades, from_positions = np.unique(
        used["from_grade"].to_numpy(dtype=np.float64), return_inverse=True
    )
    birds, _ = pd.factorize(used["bird_id"].astype(str), sort=True)
    counts = np.zeros((from_grades.size, to_scale.n_grades))
    np.add.at(counts, (from_positions, to_positions), 1.0)
    days = used["rated_on"]
    return Calibration(
        **names, from_grades=from_grades, to_grades=to_scale.values, counts=counts,
        n_birds=np.array(
            [np.unique(birds[from_positions == row]).size for row in range(from_grades.size)],
            dtype=np.intp,
        ),
        design_effect=measure_design_effect(
            birds, from_positions=from_positions, to_positions=to_positions, counts=counts
        ),
        species=tuple(sorted(used["species"].astype(str).unique())),
        scorers=tuple(sorted(used["scorer"].astype(str).unique())),
        first_day=f"{days.min():%Y-%m-%d}", last_day=f"{days.max():%Y-%m-%d}",
        n_all_birds=int(birds.max()) + 1, n_ratings=len(used), left_out=left_out,
    )  # fmt: skip


def _refuse_without_study() -> BodycondError:
    return BodycondError(
        needed="Grades on another scale are converted by a calibration study alone, in which "
        f"at least {FEWEST_BIRDS} birds were graded on both scales by at least "
        f"{FEWEST_SCORERS} blinded scorers",
        found="no calibration",
        then="Keep the grades on their own scale, or make the study; there is no formula, "
        "since scales differ in their anchors and in what is felt",
    )


def _choose_one(
    table: pd.DataFrame, *, column: str, wanted: str | None
) -> tuple[pd.DataFrame, str]:
    found = sorted(table[column].dropna().astype(str).unique())
    if wanted is None and len(found) == 1:
        wanted = found[0]
    if wanted is None or wanted not in found:
        raise ArgumentError(
            needed=f"A calibration study is of one {column.replace('_', ' ')}"
            + (f", here {wanted!r}" if wanted is not None else ""),
            found=f"{column}: {name_first_few(map(repr, found)) or 'none named'}",
            then=f"Name the one that is meant with {column}=, exactly as the study writes it; two "
            "charts with one range of grades are two scales",
        )
    return table[table[column].astype("str") == wanted], wanted


def _leave_out(table: pd.DataFrame) -> tuple[pd.DataFrame, dict[str, int]]:
    blind = table["blind"].astype("boolean").fillna(False).to_numpy(dtype=bool)
    grades = table[["from_grade", "to_grade"]].apply(pd.to_numeric, errors="coerce")
    graded = grades.notna().all(axis=1).to_numpy(dtype=bool)
    days = pd.to_datetime(table["rated_on"], errors="coerce")
    named = (table[["bird_id", "scorer", "species"]].notna().all(axis=1) & days.notna()).to_numpy(
        dtype=bool
    )
    counted = {
        "not graded blind": ~blind,
        "without a grade on one of the scales": blind & ~graded,
        "without bird, scorer, species or day": blind & graded & ~named,
    }
    used = table.assign(
        from_grade=grades["from_grade"], to_grade=grades["to_grade"], rated_on=days
    )[blind & graded & named]
    return used, {reason: int(rows.sum()) for reason, rows in counted.items() if rows.any()}


def _require_once(used: pd.DataFrame) -> None:
    keys = [name for name in ("bird_id", "scorer", "round") if name in used.columns]
    twice = used[used.duplicated(keys)]
    if len(twice):
        raise ArgumentError(
            needed="A calibration study holds each bird once for each scorer and round",
            found="twice: "
            + name_first_few(f"bird {row.bird_id} of {row.scorer}" for row in twice.itertuples()),
            then="Take the second row out, or number the rounds in a column 'round'",
        )


def _require_enough(used: pd.DataFrame, *, left_out: Mapping[str, int]) -> None:
    scorers = used.groupby("bird_id")["scorer"].nunique()
    n_twice = int((scorers >= FEWEST_SCORERS).sum())
    if n_twice < FEWEST_BIRDS:
        lost = "".join(f"; {n} ratings {reason}" for reason, n in left_out.items())
        raise DegenerateDataError(
            needed=f"A calibration study needs {FEWEST_BIRDS} birds, each graded blind on both "
            f"scales by at least {FEWEST_SCORERS} scorers",
            found=f"{n_twice} such birds of {len(scorers)}, by {used['scorer'].nunique()} "
            f"scorers{lost}",
            then="Grade more birds; until then keep the grades on their own scale",
        )


def measure_design_effect(
    birds: npt.NDArray[np.intp],
    *,
    from_positions: npt.NDArray[np.intp],
    to_positions: npt.NDArray[np.intp],
    counts: Numbers,
) -> float:
    """Measure how much ratings of one bird resemble each other, as a factor of variance.

    Parameters
    ----------
    birds : ndarray of int
        The bird of each rating, from 0.
    from_positions, to_positions : ndarray of int
        Its grades, as rows and columns of ``counts``.
    counts : ndarray of float
        Ratings by grade.

    Returns
    -------
    float
        The mean over grades of the variance between birds to that of independent ratings, from 1
        (independent) to the mean number of ratings of a bird at a grade (all alike).

    Notes
    -----
    For each from grade with n ratings of B birds and shares p_k the variance of p_k is
    B / (B - 1) * sum over birds of (n_bk - p_k n_b)^2 / n^2; the effect is n / (K - 1) times the
    sum over the K grades that occur of this variance over p_k (first-order correction [1]_),
    averaged over from grades with weights n.

    References
    ----------
    .. [1] Rao JNK, Scott AJ (1981) The analysis of categorical data from complex sample surveys.
       Journal of the American Statistical Association 76:221-230.
    """
    effects, weights, repeats = [], [], []
    for row in range(counts.shape[0]):
        here = from_positions == row
        labels, own = np.unique(birds[here], return_inverse=True)
        occurring = np.flatnonzero(counts[row])
        n, n_birds = float(here.sum()), labels.size
        repeats.append((n, n_birds))
        if n_birds < 2 or occurring.size < 2:
            continue
        table = np.zeros((n_birds, counts.shape[1]))
        np.add.at(table, (own, to_positions[here]), 1.0)
        share = counts[row, occurring] / n
        off = table[:, occurring] - table.sum(axis=1, keepdims=True) * share
        variance = n_birds / (n_birds - 1) * (off**2).sum(axis=0) / n**2
        effects.append(n / (occurring.size - 1) * float((variance / share).sum()))
        weights.append(n)
    most = sum(n for n, _ in repeats) / max(sum(birds for _, birds in repeats), 1)
    mean = float(np.average(effects, weights=weights)) if effects else most
    return float(min(max(mean, 1.0), most))


def tabulate_conversion(study: Calibration, *, prior: float, level: float) -> pd.DataFrame:
    """Tabulate the probability of each grade given each grade of the other scale.

    Parameters
    ----------
    study : Calibration
        The study.
    prior : float
        Ratings' worth of prior, spread evenly over the grades.
    level : float
        Level of the intervals.

    Returns
    -------
    DataFrame
        ``from_grade``, ``to_grade``, ``probability`` (posterior mean), ``low``, ``high``,
        ``n_birds`` and ``n_ratings`` at the from grade, ``n_effective``, ``concentration`` (the
        posterior's parameter).
    """
    from scipy.stats import beta

    n_from, n_to = study.counts.shape
    alphas = prior / n_to + study.counts / study.design_effect
    totals = alphas.sum(axis=1, keepdims=True)
    tail = (1 - level) / 2
    low, high = (beta.ppf(share, alphas, totals - alphas) for share in (tail, 1 - tail))
    n_ratings = study.counts.sum(axis=1)
    # A grade never seen may be impossible, one always seen certain.
    low = np.where(study.counts == 0, 0.0, low)
    high = np.where(study.counts == n_ratings[:, np.newaxis], 1.0, high)
    return pd.DataFrame(
        {
            "from_grade": np.repeat(study.from_grades, n_to),
            "to_grade": np.tile(study.to_grades, n_from),
            "probability": (alphas / totals).ravel(),
            "low": low.ravel(),
            "high": high.ravel(),
            "n_birds": np.repeat(study.n_birds, n_to).astype(np.int64),
            "n_ratings": np.repeat(n_ratings, n_to).astype(np.int64),
            "n_effective": np.repeat(n_ratings / study.design_effect, n_to),
            "concentration": alphas.ravel(),
        }
    )
