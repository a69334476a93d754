"""Everything that a study computes from checked tables: condition, agreement, sensitivity."""

from __future__ import annotations

import warnings
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import pandas as pd

from bodycond.agreement import ScorerPairs, TwoScorerComparison, compare_scorer_pairs
from bodycond.condition import (
    IndexByKeel,
    MassByKeel,
    MassOnSize,
    ScaledMassFit,
    collect_mass_on_size,
    fit_mass_by_keel,
    fit_scaled_mass,
    tabulate_index_by_keel,
)
from bodycond.condition.groups import word_excluded
from bodycond.errors import BodycondError, GateWarning, name_first_few
from bodycond.scales import ScoreScale
from bodycond.study.choosing_exams import ChosenExams, choose_exams
from bodycond.study.group_words import name_birds
from bodycond.study.sensitivity import vary_choices
from bodycond.study.settings import StudySettings
from bodycond.study.size_choice import choose_size, compare_sizes

CONDITION, MASS_BY_SCORE, SCALED_MASS, AGREEMENT = (
    "condition", "mass by score", "scaled mass", "agreement",
)  # fmt: skip
"""Parts of a study that can be missing."""


@dataclass(frozen=True, kw_only=True, eq=False)
class ConditionResults:
    """Condition estimates of a study.

    Parameters
    ----------
    n_exams : int
        Exams imported, before any was left out.
    chosen : ChosenExams
        The exams used and left out.
    linear, factor : MassByKeel
        Mass by score, as a slope and level by level.
    size_chosen : bool
        True where the size was chosen by its correlation with mass, False where it was named.
    size_candidates : DataFrame
        ``size``, the ``by`` columns, ``n``, ``r``, ``r_low``, ``r_high``, ``slope`` of each
        structural measure.
    scaled_mass : ScaledMassFit or None
        The index; None where no size was measured.
    mass_on_size : MassOnSize or None
        Its points and lines.
    index_by_keel : IndexByKeel or None
        The index at each grade.
    index : Series or None
        Scaled mass in g on the exams' index.
    sensitivity : DataFrame
        The same estimates with other choices of exams.
    """

    n_exams: int
    chosen: ChosenExams
    linear: MassByKeel
    factor: MassByKeel
    size_chosen: bool
    size_candidates: pd.DataFrame
    scaled_mass: ScaledMassFit | None
    mass_on_size: MassOnSize | None
    index_by_keel: IndexByKeel | None
    index: pd.Series | None
    sensitivity: pd.DataFrame


@dataclass(frozen=True, kw_only=True, eq=False)
class StudyAnalysis:
    """What a study computed, and what it could not and why.

    Parameters
    ----------
    condition : ConditionResults or None
        None where there is nothing to fit.
    agreement : ScorerPairs or None
        None where no bird was graded by two scorers.
    not_done : DataFrame
        ``part``, ``reason`` and ``asked``: True where the data offered it and it failed.
    """

    condition: ConditionResults | None
    agreement: ScorerPairs | None
    not_done: pd.DataFrame

    @property
    def headline_pair(self) -> TwoScorerComparison | None:
        """The pair of scorers shown in full.

        Returns
        -------
        TwoScorerComparison or None
            The pair with most birds in common, among those with the reference scorer where one
            was named; None without agreement.
        """
        return None if self.agreement is None else self.agreement.comparisons[0]

    def why_not(self, part: str) -> tuple[str, ...]:
        """Give the reasons why a part could not be done.

        Parameters
        ----------
        part : {"condition", "mass by score", "scaled mass", "agreement"}
            The part.

        Returns
        -------
        tuple of str
            The reasons; empty where the part was done.
        """
        return tuple(self.not_done.loc[self.not_done["part"] == part, "reason"].astype(str))


def word_gap(row: Mapping[Any, Any]) -> str:
    """Say which part of a study is missing and why.

    Parameters
    ----------
    row : mapping
        A row of `StudyAnalysis.not_done`.

    Returns
    -------
    str
        The sentences.
    """
    return f"Not done: {row['part']}. {str(row['reason']).rstrip('.')}."


def analyse_study(
    exams: pd.DataFrame,
    ratings: pd.DataFrame,
    faults: pd.DataFrame,
    *,
    settings: StudySettings,
    scale: ScoreScale,
) -> StudyAnalysis:
    """Compute everything that the tables allow.

    Parameters
    ----------
    exams, ratings : DataFrame
        Imported tables.
    faults : DataFrame
        Faults that the check found.
    settings : StudySettings
        What was asked for.
    scale : ScoreScale
        Scale of the score.

    Returns
    -------
    StudyAnalysis
        Results, and the reasons for what is missing.
    """
    not_done: list[tuple[str, str, bool]] = []
    condition = agreement = None
    if exams.empty:
        # Ratings alone are a study of their own; no exams and no ratings are a failure.
        not_done.append((CONDITION, "The files hold no exams", ratings.empty))
    else:
        try:
            condition = _analyse_condition(exams, faults, settings=settings, scale=scale)
        except BodycondError as error:
            not_done.append((CONDITION, str(error), True))
        else:
            not_done += _find_gaps(condition)
    if ratings.empty:
        asked = settings.reference is not None
        not_done.append((AGREEMENT, "The files hold no ratings by several scorers", asked))
    else:
        try:
            agreement = _analyse_agreement(ratings, settings=settings, scale=scale)
        except BodycondError as error:
            not_done.append((AGREEMENT, str(error), True))
    return StudyAnalysis(
        condition=condition,
        agreement=agreement,
        not_done=pd.DataFrame(not_done, columns=["part", "reason", "asked"]),
    )


def _analyse_condition(
    exams: pd.DataFrame, faults: pd.DataFrame, *, settings: StudySettings, scale: ScoreScale
) -> ConditionResults:
    chosen = choose_exams(exams, faults, score=settings.score)
    options: dict[str, Any] = {
        "score": settings.score, "scale": scale, "level": settings.level,
    }  # fmt: skip
    candidates = compare_sizes(chosen.exams, level=settings.level)
    size = settings.size or choose_size(candidates, chosen.exams)
    scaled = points = by_keel = index = None
    if size is not None:
        scaled = fit_scaled_mass(chosen.exams, size=size, level=settings.level)
        points = collect_mass_on_size(scaled, chosen.exams)
        index, by_keel = _apply_index(scaled, chosen.exams, settings=settings)
    return ConditionResults(
        n_exams=len(exams),
        chosen=chosen,
        linear=fit_mass_by_keel(chosen.exams, form="linear", **options),
        factor=fit_mass_by_keel(chosen.exams, form="factor", **options),
        size_chosen=settings.size is None,
        size_candidates=candidates,
        scaled_mass=scaled,
        mass_on_size=points,
        index_by_keel=by_keel,
        index=None if index is None else index.reindex(exams.index),
        sensitivity=vary_choices(
            exams, faults, score=settings.score, size=size, level=settings.level, options=options
        ),
    )


def _apply_index(
    scaled: ScaledMassFit, exams: pd.DataFrame, *, settings: StudySettings
) -> tuple[pd.Series | None, IndexByKeel | None]:
    usable = exams.loc[scaled.usable_rows(exams)]
    if usable.empty:
        return None, None
    with warnings.catch_warnings():
        # The gates stand in the fit's table and in the report; a study prints them there.
        warnings.simplefilter("ignore", GateWarning)
        index = scaled.index(usable)
        if usable[settings.score].isna().all():
            return index, None
        by_keel = tabulate_index_by_keel(
            scaled, exams, score=settings.score, resamples=settings.resamples,
            seed=settings.seed, level=settings.level,
        )  # fmt: skip
    return index, by_keel


def _find_gaps(condition: ConditionResults) -> list[tuple[str, str, bool]]:
    """Name the parts of condition for which not one species and sex gave a result."""
    gaps = []
    linear, scaled = condition.linear, condition.scaled_mass
    if (linear.groups["reason"] != "").all():
        why = _word_reasons(linear.groups["reason"], linear)
        gaps.append((MASS_BY_SCORE, f"No species and sex could be fitted. {why}", True))
    if scaled is None:
        why = "No structural size was measured in half of the weighed birds"
        gaps.append((SCALED_MASS, why, True))
    elif condition.index is None:
        reasons = scaled.groups["reason"].where(
            scaled.groups["reason"] != "", scaled.groups["gates"]
        )
        why = _word_reasons(reasons, scaled)
        gaps.append((SCALED_MASS, f"No species and sex has a usable index. {why}", True))
    return gaps


def _word_reasons(reasons: pd.Series, fit: MassByKeel | ScaledMassFit) -> str:
    groups = [
        f"{name_birds(group)}: {reason}"
        for group, reason in zip(fit.groups.to_dict("records"), reasons, strict=True)
    ]
    left_out = word_excluded(fit.excluded, by=fit.by, what="exams")
    return name_first_few([*groups, *left_out])


def _analyse_agreement(
    ratings: pd.DataFrame, *, settings: StudySettings, scale: ScoreScale
) -> ScorerPairs:
    return compare_scorer_pairs(
        ratings, score=settings.score, scale=scale, reference=settings.reference,
        resamples=settings.resamples, seed=settings.seed, level=settings.level,
    )  # fmt: skip
