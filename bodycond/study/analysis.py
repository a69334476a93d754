"""Everything that a study computes from checked tables: condition, agreement, sensitivity."""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from typing import Any

import pandas as pd

from bodycond.agreement import ScorerPairs, TwoScorerComparison, compare_scorer_pairs
from bodycond.columns import SIZE_COLUMNS
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
from bodycond.errors import BodycondError, DegenerateDataError, GateWarning
from bodycond.scales import ScoreScale
from bodycond.study.choosing_exams import ChosenExams, choose_exams
from bodycond.study.settings import StudySettings

# A size is a candidate where at least half of the weighed birds have it; a group counts towards
# the choice of size where it has birds enough for its correlation to mean something.
_LEAST_SHARE_MEASURED = 0.5
_LEAST_BIRDS_TO_CHOOSE = 20


@dataclass(frozen=True, kw_only=True, eq=False)
class ConditionResults:
    """Condition estimates of a study.

    Parameters
    ----------
    chosen : ChosenExams
        The exams used and left out.
    linear, factor : MassByKeel
        Mass by score, as a slope and level by level.
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

    chosen: ChosenExams
    linear: MassByKeel
    factor: MassByKeel
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
    headline_pair : TwoScorerComparison or None
        The pair shown in full.
    not_done : DataFrame
        ``part``, ``reason`` and ``asked``: True where the data offered it and it failed.
    """

    condition: ConditionResults | None
    agreement: ScorerPairs | None
    headline_pair: TwoScorerComparison | None
    not_done: pd.DataFrame

    def why_not(self, part: str) -> tuple[str, ...]:
        """Give the reasons why a part could not be done.

        Parameters
        ----------
        part : {"condition", "scaled mass", "agreement"}
            The part.

        Returns
        -------
        tuple of str
            The reasons; empty where the part was done.
        """
        return tuple(self.not_done.loc[self.not_done["part"] == part, "reason"].astype(str))


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
    condition = agreement = headline = None
    try:
        condition = _analyse_condition(exams, faults, settings=settings, scale=scale)
    except BodycondError as error:
        not_done.append(("condition", str(error), True))
    else:
        if condition.scaled_mass is None:
            not_done.append(("scaled mass", "no structural size was measured often enough", True))
    if ratings.empty:
        not_done.append(("agreement", "the files hold no ratings by several scorers", False))
    else:
        try:
            agreement, headline = _analyse_agreement(ratings, settings=settings, scale=scale)
        except BodycondError as error:
            not_done.append(("agreement", str(error), True))
    return StudyAnalysis(
        condition=condition,
        agreement=agreement,
        headline_pair=headline,
        not_done=pd.DataFrame(not_done, columns=["part", "reason", "asked"]),
    )


def _analyse_condition(
    exams: pd.DataFrame, faults: pd.DataFrame, *, settings: StudySettings, scale: ScoreScale
) -> ConditionResults:
    chosen = choose_exams(exams, faults, score=settings.score)
    options: dict[str, Any] = {
        "score": settings.score, "scale": scale, "level": settings.level,
    }  # fmt: skip
    linear = fit_mass_by_keel(chosen.exams, form="linear", **options)
    factor = fit_mass_by_keel(chosen.exams, form="factor", **options)
    candidates = compare_sizes(chosen.exams, level=settings.level)
    size = settings.size or choose_size(candidates, chosen.exams)
    scaled = points = by_keel = index = None
    if size is not None:
        scaled = fit_scaled_mass(chosen.exams, size=size, level=settings.level)
        points = collect_mass_on_size(scaled, chosen.exams)
        with warnings.catch_warnings():
            # The gates stand in the fit's table and in the report; a study prints them there.
            warnings.simplefilter("ignore", GateWarning)
            usable = chosen.exams.loc[scaled.usable_rows(chosen.exams)]
            if len(usable):
                index = scaled.index(usable).reindex(exams.index)
                by_keel = tabulate_index_by_keel(
                    scaled, chosen.exams, score=settings.score, resamples=settings.resamples,
                    seed=settings.seed, level=settings.level,
                )  # fmt: skip
    if linear.groups.empty or (linear.groups["reason"] != "").all():
        reasons = "; ".join(linear.summary().splitlines()[1:4])
        raise DegenerateDataError(
            needed=f"A study of {settings.score} needs one species and sex with weighed, graded "
            "birds",
            found=reasons or "no exam with species, sex, mass and grade",
            then="Look at the quarantine and the questions: a column may be waiting for its unit "
            "or scale",
        )
    return ConditionResults(
        chosen=chosen,
        linear=linear,
        factor=factor,
        size_candidates=candidates,
        scaled_mass=scaled,
        mass_on_size=points,
        index_by_keel=by_keel,
        index=index,
        sensitivity=_vary_choices(exams, faults, size=size, settings=settings, options=options),
    )


def compare_sizes(exams: pd.DataFrame, *, level: float) -> pd.DataFrame:
    """Correlate log mass with every structural measure, group by group.

    Parameters
    ----------
    exams : DataFrame
        Exams.
    level : float
        Confidence level.

    Returns
    -------
    DataFrame
        ``size``, ``species``, ``sex``, ``n``, ``r``, ``r_low``, ``r_high``, ``slope``, ``reason``.
    """
    tables = [
        fit_scaled_mass(exams, size=name, level=level).groups.assign(size=name)
        for name in SIZE_COLUMNS
        if name in exams.columns and exams[name].notna().any()
    ]
    columns = ["size", "species", "sex", "n", "r", "r_low", "r_high", "slope", "reason"]
    if not tables:
        return pd.DataFrame(columns=columns)
    return pd.concat(tables, ignore_index=True)[columns]


def choose_size(candidates: pd.DataFrame, exams: pd.DataFrame) -> str | None:
    """Choose the measure that correlates best with mass, as Peig and Green (2009) advise.

    Parameters
    ----------
    candidates : DataFrame
        Result of `compare_sizes`.
    exams : DataFrame
        The exams, to see how often each measure was taken.

    Returns
    -------
    str or None
        Column of the size; None where none was measured in half of the weighed birds.
    """
    weighed = exams.loc[exams["mass_g"].notna()]
    common = [
        name
        for name in SIZE_COLUMNS
        if name in weighed.columns and weighed[name].notna().mean() >= _LEAST_SHARE_MEASURED
    ]
    if not common:
        return None
    enough = candidates.loc[
        candidates["size"].isin(common) & (candidates["n"] >= _LEAST_BIRDS_TO_CHOOSE)
    ]
    if enough.empty:
        return common[0]
    weighted = (enough["r"] * enough["n"]).groupby(enough["size"]).sum()
    means = weighted / enough["n"].groupby(enough["size"]).sum()
    return max(common, key=lambda name: float(means.get(name, float("-inf"))))


def _vary_choices(
    exams: pd.DataFrame,
    faults: pd.DataFrame,
    *,
    size: str | None,
    settings: StudySettings,
    options: dict[str, Any],
) -> pd.DataFrame:
    tables = []
    for name, choice in (
        ("as reported", {}),
        ("flagged values kept", {"keep_flagged": True}),
        ("empty crops only", {"empty_crop_only": True}),
    ):
        chosen = choose_exams(exams, faults, score=settings.score, **choice).exams
        linear = fit_mass_by_keel(chosen, form="linear", **options).groups
        table = linear[
            ["species", "sex", "n_birds", "percent_per_grade", "percent_low", "percent_high"]
        ]
        if size is not None:
            lines = fit_scaled_mass(chosen, size=size, level=settings.level).groups
            kept = ["species", "sex", "n", "slope", "slope_low", "slope_high"]
            named = lines[kept].rename(columns={"n": "n_birds_in_line"})
            table = table.merge(named, on=["species", "sex"], how="outer")
        tables.append(table.assign(exams=name))
    return pd.concat(tables, ignore_index=True)


def _analyse_agreement(
    ratings: pd.DataFrame, *, settings: StudySettings, scale: ScoreScale
) -> tuple[ScorerPairs, TwoScorerComparison]:
    pairs = compare_scorer_pairs(
        ratings, score=settings.score, scale=scale, reference=settings.reference,
        resamples=settings.resamples, seed=settings.seed, level=settings.level,
    )  # fmt: skip
    return pairs, pairs.comparisons[0]
