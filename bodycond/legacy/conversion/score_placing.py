"""Scores held against a calibration study: which can be converted, and what must be said."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.errors import ArgumentError, name_first_few
from bodycond.legacy.conversion.score_calibration import FEW_BIRDS_AT_A_GRADE, Calibration


def place_scores(
    scores: pd.Series, *, study: Calibration, species: pd.Series | str | None
) -> tuple[pd.DataFrame, list[str]]:
    """Find which scores are at a grade that the study saw, and whose species it did not have.

    Parameters
    ----------
    scores : Series
        Grades on the study's other scale.
    study : Calibration
        The study.
    species : Series, str or None
        Species of the scores.

    Returns
    -------
    tuple of (DataFrame, list of str)
        ``from_grade``, ``converted``, ``reason`` and ``note`` on the index of the scores; what a
        reader must know of the species.

    Raises
    ------
    ArgumentError
        If there are not as many species as scores.
    """
    grades = pd.to_numeric(scores, errors="coerce").to_numpy(dtype=np.float64, na_value=np.nan)
    places = np.clip(np.searchsorted(study.from_grades, grades), 0, study.from_grades.size - 1)
    seen = np.isclose(study.from_grades[places], grades, rtol=0, atol=1e-9)
    reasons = np.array(
        [
            "" if known else "no point grade" if np.isnan(grade)
            else f"grade {grade:g} was given to no bird of the calibration study"
            for known, grade in zip(seen, grades, strict=True)
        ],
        dtype=object,
    )  # fmt: skip
    notes, foreign = _compare_species(scores, study=study, species=species)
    placed = pd.DataFrame(
        {
            "from_grade": np.where(seen, study.from_grades[places], grades),
            "converted": seen,
            "reason": pd.array(reasons, dtype="str"),
            "note": pd.array(foreign, dtype="str"),
        },
        index=scores.index,
    )
    return placed, notes


def _compare_species(
    scores: pd.Series, *, study: Calibration, species: pd.Series | str | None
) -> tuple[list[str], npt.NDArray[np.object_]]:
    names = ", ".join(study.species)
    if species is None:
        return (
            [f"The species of the scores were not given; the calibration study is of {names}"],
            np.full(len(scores), "", dtype=object),
        )
    if isinstance(species, str):
        given: list[object] = [species] * len(scores)
    else:
        given = list(species)
    if len(given) != len(scores):
        raise ArgumentError(
            needed="species= is one name, or one a score",
            found=f"{len(given)} names for {len(scores)} scores",
            then="Take both from the same rows",
        )
    known = [str(name) if not pd.isna(name) else "unknown species" for name in given]  # type: ignore[call-overload]
    foreign = [
        "" if name in study.species else f"{name} is not in the calibration study" for name in known
    ]
    counts = pd.Series([name for name in known if name not in study.species]).value_counts()
    notes = [
        f"{count} score{'' if count == 1 else 's'} of {name}, which the calibration study does not "
        f"have ({names}): "
        "that their grades convert alike is an assumption"
        for name, count in sorted(counts.items())
    ]
    return notes, np.array(foreign, dtype=object)


def list_notes(study: Calibration) -> list[str]:
    """Say what a reader of a conversion must know of the study.

    Parameters
    ----------
    study : Calibration
        The study.

    Returns
    -------
    list of str
        Sentences without a full stop.
    """
    notes = []
    if len(study.species) > 1:
        notes.append(
            f"The calibration study pools {len(study.species)} species; it does not tell whether "
            "they convert alike"
        )
    weak = [
        f"{grade:g} ({count} bird{'' if count == 1 else 's'})"
        for grade, count in zip(study.from_grades, study.n_birds, strict=True)
        if count < FEW_BIRDS_AT_A_GRADE
    ]
    if weak:
        notes.append(
            f"Fewer than {FEW_BIRDS_AT_A_GRADE} birds of the study stand behind "
            f"{name_first_few(weak)}: there the prior weighs and the intervals are wide"
        )
    notes += [f"Ratings of the study left out: {reason}: {count}"
              for reason, count in study.left_out.items()]  # fmt: skip
    return notes
