"""Every pair of scorers in a long table of ratings, compared on the birds that both graded."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import pandas as pd

from bodycond.agreement.score_pairs import find_handling_columns, pair_scorers
from bodycond.agreement.two_scorers import TwoScorerComparison, compare_two_scorers
from bodycond.errors import DegenerateDataError, name_first_few, require_columns
from bodycond.scales import KEEL_SCALE, ScoreScale
from bodycond.statistics.resampling import DEFAULT_RESAMPLES, DEFAULT_SEED


@dataclass(frozen=True, kw_only=True, eq=False)
class ScorerPairs:
    """Comparisons of all pairs of scorers.

    Parameters
    ----------
    comparisons : tuple of TwoScorerComparison
        One a pair that graded at least one bird in common, most birds first.
    not_compared : DataFrame
        Pairs without a bird in common: ``first``, ``second``, ``reason``.
    n_ratings, n_without_grade : int
        Ratings in the table, and those that hold no point grade ('3+', missing).
    n_unplaced : int
        Ratings that cannot be paired, since their bird, scorer or handling is missing.
    """

    comparisons: tuple[TwoScorerComparison, ...]
    not_compared: pd.DataFrame
    n_ratings: int
    n_without_grade: int
    n_unplaced: int

    def to_frame(self) -> pd.DataFrame:
        """Give every estimate of every pair in a row of its own, unrounded.

        Returns
        -------
        DataFrame
            The rows of `TwoScorerComparison.to_frame`, pair after pair.
        """
        return pd.concat([pair.to_frame() for pair in self.comparisons], ignore_index=True)

    def summary(self) -> str:
        """Write each pair's headline in a line, then what was left out.

        Returns
        -------
        str
            The lines.
        """
        lines = [
            f"{pair.first_name} and {pair.second_name}: {pair.kappa.summary()}"
            for pair in self.comparisons
        ]
        lines += [
            f"{row.first} and {row.second}: not compared: {row.reason}"
            for row in self.not_compared.itertuples()
        ]
        lines.append(f"{self.n_without_grade} of {self.n_ratings} ratings hold no point grade")
        if self.n_unplaced:
            lines.append(f"{self.n_unplaced} ratings lack their bird, scorer or handling")
        return "\n".join(lines)

    def methods(self) -> str:
        """Give the sentences that a methods section would carry.

        Returns
        -------
        str
            The sentences, then the references.
        """
        return (
            "Each pair of scorers was compared on the birds that both graded, each bird once a "
            "session by its first grade. " + self.comparisons[0].methods()
        )


def compare_scorer_pairs(
    ratings: pd.DataFrame,
    *,
    score: str = "keel",
    bird: str = "bird_id",
    scorer: str = "scorer",
    within: tuple[str, ...] = ("session",),
    scale: ScoreScale | None = KEEL_SCALE,
    reference: str | None = None,
    resamples: int = DEFAULT_RESAMPLES,
    seed: int = DEFAULT_SEED,
    level: float = 0.95,
) -> ScorerPairs:
    """Compare every pair of scorers on the birds that both graded.

    Parameters
    ----------
    ratings : DataFrame
        Ratings, one row a scorer and exam.
    score, bird, scorer : str
        Columns of the grade, the bird and the scorer.
    within : tuple of str, default ("session",)
        Columns that must agree for two grades to be of the same handling.
    scale : ScoreScale or None, default KEEL_SCALE
        The scale.
    reference : str, optional
        Scorer to put first in each pair and before other pairs, so that signed differences are
        the other scorer's minus the reference's.
    resamples, seed : int
        Bootstrap resamples (default 2000) and seed (default 20240501).
    level : float, default 0.95
        Confidence level.

    Returns
    -------
    ScorerPairs
        The comparisons.

    Raises
    ------
    MissingColumnError
        If a column is absent.
    DegenerateDataError
        If no two scorers graded one bird, or the reference shares none with another.
    ScaleError
        If a grade is not on the scale.
    """
    require_columns(ratings.columns, (score, bird, scorer), purpose="Comparing scorers")
    names = sorted(
        (str(name) for name in ratings[scorer].dropna().unique()),
        key=lambda name: (name != reference, name),
    )
    comparisons, left_out = [], []
    for first, second in combinations(names, 2):
        side_by_side = pair_scorers(
            ratings, first=first, second=second, score=score, bird=bird, scorer=scorer,
            within=within,
        ).dropna(subset=["first", "second"])  # fmt: skip
        if side_by_side.empty:
            left_out.append((first, second, "no bird was graded by both"))
            continue
        comparisons.append(
            compare_two_scorers(
                side_by_side["first"], side_by_side["second"], names=(first, second), scale=scale,
                bird=side_by_side[bird], resamples=resamples, seed=seed, level=level,
            )
        )  # fmt: skip
    if not comparisons:
        raise DegenerateDataError(
            needed="Comparing scorers needs one bird that two scorers graded",
            found=f"{len(names)} scorer{'' if len(names) == 1 else 's'}, no bird in common",
            then="Give the ratings of a scoring session, one row a scorer and bird",
        )
    if reference is not None and all(pair.first_name != reference for pair in comparisons):
        raise DegenerateDataError(
            needed=f"The reference scorer {reference!r} must share a bird with another scorer",
            found=f"scorers {name_first_few(names, limit=12)}",
            then="Name another reference scorer, or none",
        )
    comparisons.sort(
        key=lambda pair: (
            pair.first_name != reference, -pair.kappa.n, pair.first_name, pair.second_name
        )
    )  # fmt: skip
    return ScorerPairs(
        comparisons=tuple(comparisons),
        not_compared=pd.DataFrame(left_out, columns=["first", "second", "reason"]),
        n_ratings=len(ratings),
        n_without_grade=int(ratings[score].isna().sum()),
        n_unplaced=_count_unplaced(ratings, bird=bird, scorer=scorer, within=within),
    )


def _count_unplaced(
    ratings: pd.DataFrame, *, bird: str, scorer: str, within: tuple[str, ...]
) -> int:
    keys = [bird, scorer, *find_handling_columns(ratings, within=within)]
    return int(ratings[keys].isna().any(axis=1).sum())
