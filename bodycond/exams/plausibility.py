"""Values that are unlikely for their species and sex, each blamed on its likeliest column."""

from __future__ import annotations

import math
import statistics
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.columns import find_column
from bodycond.exams.ask_limits import AskLimits, find_displaced_groups, mark_beyond_limits
from bodycond.exams.exam_groups import ExamGroups
from bodycond.exams.faults import make_findings
from bodycond.exams.other_identities import find_other_identities
from bodycond.exams.robust_slips import FLAG_Z, SIZE_POWER, Deviations
from bodycond.exams.slip_causes import (
    BACK_WITHIN_Z,
    Suspicion,
    find_candidates,
    word_arbitration,
    word_cure,
)
from bodycond.exams.tables import describe_limits

Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, kw_only=True, eq=False)
class _Case:
    """All that is known of the exams, and where each rule speaks: arrays of exams by measures."""

    grouped: ExamGroups
    deviations: Deviations
    limits: AskLimits
    hard: Flags
    far: Flags
    beyond: Flags
    by_size: Flags
    displaced: Flags


def find_implausible(
    *,
    grouped: ExamGroups,
    deviations: Deviations,
    limits: AskLimits,
    gravid: pd.Series,
) -> list[pd.DataFrame]:
    """Find implausible measures, one finding a cell, with the slips that would explain them.

    Parameters
    ----------
    grouped : ExamGroups
        Which species and sex each exam belongs to.
    deviations : Deviations
        Distances from species and sex.
    limits : AskLimits
        The limits of the species table.
    gravid : Series of bool
        True for birds that carry an egg, whose mass may be over the ceiling.

    Returns
    -------
    list of DataFrame
        Findings of the rules ``outside_hard_range``, ``robust_z``, ``species_limits``,
        ``mass_for_size`` and ``other_identity``. A cell that breaks several of them is listed
        once, under the first, and the others are named in the evidence.
    """
    far = np.abs(deviations.z) >= FLAG_Z
    beyond = mark_beyond_limits(deviations, grouped=grouped, limits=limits, gravid=gravid)
    hard = _mark_beyond_hard_range(deviations)
    quiet = ~(far | beyond | hard).any(axis=1)
    by_size = np.zeros_like(far)
    if "mass_g" in deviations.measures:
        mass = deviations.measures.index("mass_g")
        by_size[:, mass] = quiet & (np.abs(deviations.size_z) >= FLAG_Z)
    case = _Case(
        grouped=grouped, deviations=deviations, limits=limits, hard=hard, far=far, beyond=beyond,
        by_size=by_size,
        displaced=find_displaced_groups(deviations, grouped=grouped, limits=limits),
    )  # fmt: skip
    identity, explained = find_other_identities(
        np.flatnonzero(far.any(axis=1)), grouped=grouped, deviations=deviations
    )
    # Measures that together fit another species are one finding and not one each; what is
    # impossible for any bird of prey is still listed.
    doubted = (far | beyond | by_size) & ~explained | hard
    findings = [identity]
    for rule, cells in (
        ("outside_hard_range", hard),
        ("robust_z", far & ~hard),
        ("species_limits", beyond & ~far & ~hard),
        ("mass_for_size", by_size),
    ):
        where = np.argwhere(cells & doubted)
        if len(where):
            findings.append(_describe_cells(where, rule=rule, case=case))
    return findings


def _mark_beyond_hard_range(deviations: Deviations) -> Flags:
    hard = np.zeros(deviations.values.shape, dtype=bool)
    for place, measure in enumerate(deviations.measures):
        column = find_column(measure)
        if column is not None and column.low is not None and column.high is not None:
            values = deviations.values[:, place]
            hard[:, place] = (values < column.low) | (values > column.high)
    return hard


def _describe_cells(where: npt.NDArray[np.intp], *, rule: str, case: _Case) -> pd.DataFrame:
    measures = case.deviations.measures
    texts: list[tuple[str, str, str]] = []
    blames: list[float] = []
    for row, place in where.tolist():
        doubt = _raise_doubt(row, place, case=case)
        texts.append(_word_cell(doubt, row=row, place=place, rule=rule, case=case))
        discord = abs(doubt.deviation - doubt.expected) / doubt.scale
        alone = abs(doubt.z) if math.isfinite(doubt.z) else 0.0
        blames.append(discord if math.isfinite(discord) else alone)
    return make_findings(
        where[:, 0],
        column=[measures[place] for place in where[:, 1]],
        rule=rule,
        expected=[text[0] for text in texts],
        cure=[text[1] for text in texts],
        evidence=[text[2] for text in texts],
        blame=blames,
    )


def _word_cell(
    doubt: Suspicion, *, row: int, place: int, rule: str, case: _Case
) -> tuple[str, str, str]:
    """Write what was expected of a cell, its cure and the evidence."""
    usual = _word_usual(row, place, deviations=case.deviations)
    ask = f"{doubt.low:.4g} to {doubt.high:.4g}" if math.isfinite(doubt.low) else ""
    said = [f"robust z {doubt.z:.1f} (usual {usual})"] if math.isfinite(doubt.z) else []
    expected, cure = usual, ""
    if rule == "outside_hard_range":
        column = find_column(doubt.column)
        expected = describe_limits(column) if column is not None else ""
    elif rule == "species_limits":
        expected = ask
    elif rule == "mass_for_size":
        expected = "mass in proportion to the cube of the bird's lengths"
        said = [f"z {doubt.z:.1f} alone, {case.deviations.size_z[row]:.1f} for its size"]
        cure = (
            f"mass {doubt.value:g} g and the bird's length{'s' if len(doubt.others) > 1 else ''} "
            "do not go together: read the sheet for all of them"
        )
    if case.beyond[row, place]:
        said.append(f"species table asks outside {ask}")
    evidence = "; ".join([*said, word_arbitration(doubt)])
    return expected, cure or word_cure(doubt, candidates=find_candidates(doubt)), evidence


def _word_usual(row: int, place: int, *, deviations: Deviations) -> str:
    reference = deviations.reference[row]
    if reference < 0 or not math.isfinite(deviations.spread.median[reference, place]):
        return ""
    centre = float(deviations.spread.median[reference, place])
    width = FLAG_Z * float(deviations.spread.scale[reference, place])
    return f"{math.exp(centre - width):.4g} to {math.exp(centre + width):.4g}"


def _raise_doubt(row: int, place: int, *, case: _Case) -> Suspicion:
    """Gather what is known of a cell and of the sound measures beside it."""
    deviations, measures = case.deviations, case.deviations.measures
    unsound = case.hard[row] | case.beyond[row]
    sound = [
        other
        for other, z in enumerate(deviations.z[row].tolist())
        if other != place and abs(z) < BACK_WITHIN_Z and not unsound[other]
    ]
    sizes = [float(deviations.deviation[row, other]) / _power(measures[other]) for other in sound]
    reference, group = int(deviations.reference[row]), int(case.grouped.group[row])
    # Among birds that are nearly all recorded in another unit, only the limits can judge.
    judged = reference >= 0 and not case.displaced[reference, place]
    return Suspicion(
        column=measures[place],
        value=float(deviations.values[row, place]),
        z=float(deviations.z[row, place]) if judged else math.nan,
        scale=float(deviations.spread.scale[reference, place]) if judged else math.nan,
        low=float(case.limits.low[group, place]) if group >= 0 else math.nan,
        high=float(case.limits.high[group, place]) if group >= 0 else math.nan,
        expected=statistics.median(sizes) * _power(measures[place]) if sizes else math.nan,
        deviation=float(deviations.deviation[row, place]),
        others=tuple(f"{measures[other]} {deviations.values[row, other]:g}" for other in sound),
    )


def _power(measure: str) -> float:
    return SIZE_POWER if measure == "mass_g" else 1.0
