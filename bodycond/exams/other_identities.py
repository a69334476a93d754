"""Rows whose measurements belong to another species or sex: wrong identity, or rows slipped.

A sparrowhawk filed as a buzzard has an ordinary mass for its size, since birds are of much the
same shape; only the measures themselves, against species and sex, tell the two apart. Where
some columns of a sheet have slipped by a row, part of the measures fits another bird and part
still fits this one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.exams.exam_groups import ExamGroups
from bodycond.exams.faults import make_findings
from bodycond.exams.robust_slips import FLAG_Z, Deviations
from bodycond.exams.slip_causes import BACK_WITHIN_Z

MIN_FITTING = 3
"""Fewest measures that must fit another group where not all of them do."""


@dataclass(frozen=True, kw_only=True, eq=False)
class _Match:
    """A row, the other groups that it fits (best first), and the measures that fit the best."""

    row: int
    others: npt.NDArray[np.intp]
    fitting: npt.NDArray[np.bool_]
    z_there: npt.NDArray[np.float64]


def find_other_identities(
    rows: npt.NDArray[np.intp], *, grouped: ExamGroups, deviations: Deviations
) -> tuple[pd.DataFrame, npt.NDArray[np.bool_]]:
    """Find rows whose measures fit another group of the table, all or most of them.

    Every measure that is far off in its own group must fit the other one; two of them must be
    off to the same side; and either all measures fit the other group or three of them and more
    than half.

    Parameters
    ----------
    rows : ndarray of int
        Positions of the rows with a measure that is far off.
    grouped : ExamGroups
        The groups.
    deviations : Deviations
        The measures.

    Returns
    -------
    tuple of (DataFrame, ndarray of bool)
        Findings, and the cells (exams by measures) that they explain.
    """
    explained = np.zeros(deviations.z.shape, dtype=bool)
    here = deviations.z[rows]
    # One measure off alone is a slip; two on the same side may be another bird altogether.
    smaller = (here <= -FLAG_Z / 2).sum(axis=1)
    larger = (here >= FLAG_Z / 2).sum(axis=1)
    candidates = rows[np.maximum(smaller, larger) >= 2]
    matches = [
        match
        for row in candidates
        if (match := _match_groups(int(row), deviations=deviations)) is not None
    ]
    for match in matches:
        explained[match.row] = match.fitting
    texts = [_word_match(match, grouped=grouped, deviations=deviations) for match in matches]
    findings = make_findings(
        [match.row for match in matches],
        column=[text[0] for text in texts],
        rule="other_identity",
        expected=[text[1] for text in texts],
        cure=[text[2] for text in texts],
        evidence=[text[3] for text in texts],
        blame=np.inf,
    )
    return findings, explained


def _match_groups(row: int, *, deviations: Deviations) -> _Match | None:
    spread = deviations.spread
    own = deviations.z[row]
    measured = np.isfinite(own)
    z = (deviations.logs[row] - spread.median) / spread.scale
    fits = (np.abs(z) < BACK_WITHIN_Z) & measured
    n_fit, n = fits.sum(axis=1), int(measured.sum())
    far = np.abs(own) >= FLAG_Z
    enough = (n_fit == n) | ((n_fit >= MIN_FITTING) & (2 * n_fit > n))
    possible = (fits | ~far).all(axis=1) & enough
    possible[deviations.reference[row]] = False
    others = np.flatnonzero(possible)
    if not others.size:
        return None
    misfit = [float(np.mean(z[other, fits[other]] ** 2)) for other in others]
    # More measures that fit are better evidence than a closer fit of fewer.
    others = others[np.lexsort((misfit, -n_fit[others]))]
    best = others[0]
    return _Match(row=row, others=others, fitting=fits[best], z_there=z[best])


def _word_match(
    match: _Match, *, grouped: ExamGroups, deviations: Deviations
) -> tuple[str, str, str, str]:
    own = grouped.groups.iloc[grouped.group[match.row]]
    others = [grouped.groups.iloc[position] for position in match.others]
    names = " or ".join(f"{other['species']}, sex {other['sex']}" for other in others)
    z_here = deviations.z[match.row]
    measured = np.isfinite(z_here)
    fitting = [name for name, fits in zip(deviations.measures, match.fitting, strict=True) if fits]
    rest = [
        name
        for name, fits, has in zip(deviations.measures, match.fitting, measured, strict=True)
        if has and not fits
    ]
    if rest:
        cure = (
            f"{', '.join(fitting)} fit {names}, {', '.join(rest)} not: the identity may be wrong, "
            "or columns of the sheet have slipped by a row; look at the neighbouring rows"
        )
    else:
        cure = (
            f"all measurements fit {names}: the identity may be wrong, or rows of the sheet have "
            "slipped; look at the neighbouring rows"
        )
    scores = "; ".join(
        f"{name} {here:.1f}" + (f", there {there:.1f}" if np.isfinite(there) else "")
        for name, here, there, has in zip(
            deviations.measures, z_here, match.z_there, measured, strict=True
        )
        if has
    )
    same = others[0]["species"] == own["species"] and own["sex"] in ("F", "M")
    expected = f"measurements of {own['species']}, sex {own['sex']}"
    return "sex" if same else "species", expected, cure, f"robust z: {scores}"
