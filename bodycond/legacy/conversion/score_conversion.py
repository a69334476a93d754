"""Grades on another scale, converted by a calibration study into a distribution and no grade."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from bodycond.errors import ArgumentError, DegenerateDataError, name_first_few, require_level
from bodycond.legacy.conversion.converted_scores import ScoreConversion, require_whole
from bodycond.legacy.conversion.score_calibration import read_calibration, tabulate_conversion
from bodycond.legacy.conversion.score_placing import list_notes, place_scores
from bodycond.scales import KEEL_SCALE, ScoreScale

__all__ = ["ScoreConversion", "convert_scores"]

DEFAULT_PRIOR = 1.0
"""One rating's worth, spread evenly over the grades."""


def convert_scores(
    scores: pd.Series | Sequence[float],
    *,
    calibration: pd.DataFrame | None = None,
    to_scale: ScoreScale = KEEL_SCALE,
    from_scale: str | None = None,
    chart_version: str | None = None,
    species: pd.Series | str | None = None,
    seed: int | None = None,
    draws: int = 0,
    prior: float = DEFAULT_PRIOR,
    level: float = 0.95,
) -> ScoreConversion:
    """Give the distribution of grades on one scale for scores on another, by a calibration study.

    Parameters
    ----------
    scores : Series or sequence of float
        Point grades on the other scale; NaN where there is none.
    calibration : DataFrame
        The study: one row a bird and scorer with ``bird_id``, ``scorer``, ``from_grade``,
        ``to_grade``, ``from_scale``, ``to_scale``, ``chart_version``, ``rated_on``, ``species``,
        ``blind``, and ``round`` where a scorer graded a bird twice.
    to_scale : ScoreScale, default KEEL_SCALE
        The scale to convert to; its name must be the study's.
    from_scale, chart_version : str, optional
        Which of the study's scales and charts the scores are on. Default the only one.
    species : Series or str, optional
        Species of the scores, to be held against the study's.
    seed : int, optional
        Seed of ``imputed``; needed where ``draws`` is above 0.
    draws : int, default 0
        Imputed sets to keep with the result.
    prior : float, default 1
        Ratings' worth of prior, spread evenly over the grades of ``to_scale``.
    level : float, default 0.95
        Level of the intervals.

    Returns
    -------
    ScoreConversion
        Probabilities with intervals, and draws for multiple imputation. A score at a grade that
        the study never saw is not converted, with the reason; nothing is extrapolated.

    Raises
    ------
    BodycondError
        If there is no calibration study.
    MissingColumnError
        If the study lacks a column.
    ArgumentError
        If the study is of other scales, or an option is impossible.
    DegenerateDataError
        If the study has fewer than 50 birds graded blind on both scales by two scorers, or no
        score can be converted.
    ScaleError
        If a grade of the study is not on ``to_scale``.

    Notes
    -----
    With n_jk ratings at grade k among those at grade j of the other scale, the row j of the table
    has the posterior Dirichlet(prior / K + n_jk / d), K grades. The design effect d is the mean
    ratio of the variance between birds to that of independent ratings [1]_, so that two scorers
    of one bird count as less than two birds. The prior is even [2]_ and worth one rating. Limits
    are quantiles of the beta marginals, but 0 for a grade that the study never saw there and 1 for
    one that it always saw. Rows are taken as independent although a bird may stand
    in two of them. A draw takes a table from the posterior and grades from the table: proper
    multiple imputation [3]_. Rubin's rules are then cautious: the imputed scores play no part in
    the table, so that the noise of single grades is counted twice [4]_; in the recovery tests
    nominal 95 % intervals held a mean in 98 %. That other scorers than the study's may grade
    otherwise is not in the intervals.

    References
    ----------
    .. [1] Rao JNK, Scott AJ (1981) The analysis of categorical data from complex sample surveys.
       Journal of the American Statistical Association 76:221-230.
    .. [2] Perks W (1947) Some observations on inverse probability including a new indifference
       rule. Journal of the Institute of Actuaries 73:285-334.
    .. [3] Rubin DB (1987) Multiple imputation for nonresponse in surveys. Wiley, New York.
    .. [4] Reiter JP, Raghunathan TE (2007) The multiple adaptations of multiple imputation.
       Journal of the American Statistical Association 102:1462-1471.

    Examples
    --------
    >>> study = pd.DataFrame(
    ...     [(f"b{n}", who, n % 4, 1 + n % 4, "0 to 3", "keel 1 to 5", "2", "2024-05-01",
    ...       "Buteo buteo", True) for n in range(60) for who in ("S1", "K2")],
    ...     columns=["bird_id", "scorer", "from_grade", "to_grade", "from_scale", "to_scale",
    ...              "chart_version", "rated_on", "species", "blind"],
    ... )
    >>> conversion = convert_scores([0, 3, 5], calibration=study)
    >>> conversion.scores["converted"].tolist()
    [True, True, False]
    >>> round(float(conversion.table["probability"].iloc[0]), 3)
    0.944
    """
    require_level(level)
    _require_options(seed=seed, draws=draws, prior=prior)
    study = read_calibration(
        calibration, to_scale=to_scale, from_scale=from_scale, chart_version=chart_version
    )
    given = scores if isinstance(scores, pd.Series) else pd.Series(list(scores))
    table = tabulate_conversion(study, prior=prior, level=level)
    placed, species_note = place_scores(given, study=study, species=species)
    if not placed["converted"].any():
        raise DegenerateDataError(
            needed="Converting needs a score at a grade that the calibration study saw: "
            f"{name_first_few(f'{grade:g}' for grade in study.from_grades)}",
            found=f"{len(placed)} scores; "
            + (name_first_few(placed["reason"].unique()) or "none given"),
            then="Check that the scores are on the study's scale; grades that no bird of the "
            "study had are not extrapolated",
        )
    return ScoreConversion(
        table=table, scores=placed, from_scale=study.from_scale, to_scale=study.to_scale,
        chart_version=study.chart_version, species=study.species, scorers=study.scorers,
        first_day=study.first_day, last_day=study.last_day, n_birds=study.n_all_birds,
        n_ratings=study.n_ratings, design_effect=study.design_effect, prior=float(prior),
        level=level, seed=seed, n_draws=draws, notes=(*species_note, *list_notes(study)),
    )  # fmt: skip


def _require_options(*, seed: int | None, draws: int, prior: float) -> None:
    require_whole(draws, argument="draws", lowest=0)
    if seed is not None:
        require_whole(seed, argument="seed", lowest=0)
    elif draws:
        raise ArgumentError(
            needed="draws= needs seed=, so that the imputed grades can be repeated",
            found=f"draws={draws}, seed=None",
            then="Give any whole number as the seed and keep it with the analysis",
        )
    if not prior > 0 or not np.isfinite(prior):
        raise ArgumentError(
            needed="prior= is a number of ratings above 0",
            found=f"prior={prior!r}",
            then=f"Use the default of {DEFAULT_PRIOR:g}",
        )
