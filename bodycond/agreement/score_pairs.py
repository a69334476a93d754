"""From two columns of grades, or a long table of ratings, to complete pairs on one scale."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.errors import ArgumentError, ScaleError, name_first_few, require_columns
from bodycond.scales import ScoreScale, scale_from_scores
from bodycond.statistics.clusters import number_clusters


@dataclass(frozen=True, kw_only=True, eq=False)
class ScorePairs:
    """Complete pairs of grades with their birds.

    Parameters
    ----------
    first, second : ndarray of int, shape (n_rows,)
        Positions of the grades on the scale.
    clusters : ndarray of int, shape (n_rows,)
        Each row's bird, numbered from 0.
    scale : ScoreScale
        The scale.
    n_missing : int
        Rows left out because a grade was missing.
    notes : tuple of str
        What a reader should know of the pairs.
    """

    first: npt.NDArray[np.intp]
    second: npt.NDArray[np.intp]
    clusters: npt.NDArray[np.intp]
    scale: ScoreScale
    n_missing: int
    notes: tuple[str, ...]

    @property
    def n_birds(self) -> int:
        """How many birds the pairs come from.

        Returns
        -------
        int
            Different birds.
        """
        return int(self.clusters.max()) + 1 if self.clusters.size else 0

    @property
    def birds_repeat(self) -> bool:
        """Whether some bird has more than one pair.

        Returns
        -------
        bool
            True where pairs outnumber birds.
        """
        return self.first.size > self.n_birds


def collect_pairs(
    first: npt.ArrayLike,
    second: npt.ArrayLike,
    *,
    scale: ScoreScale | None,
    bird: npt.ArrayLike | None,
) -> ScorePairs:
    """Pair two scorers' grades row by row, leaving out and counting incomplete rows.

    Parameters
    ----------
    first, second : array_like of float, shape (n_rows,)
        Grades; NaN where a scorer gave none.
    scale : ScoreScale or None
        The scale, or None for the grades found.
    bird : array_like or None, shape (n_rows,)
        Labels of the birds; a missing label makes the row a bird of its own.

    Returns
    -------
    ScorePairs
        The complete pairs.

    Raises
    ------
    ArgumentError
        If the columns differ in length, or are Series whose indexes differ.
    ScaleError
        If a grade is no number, or is not on the scale.
    """
    _require_same_rows(first, second, bird)
    one, two = _read_grades(first, side="first"), _read_grades(second, side="second")
    complete = ~(np.isnan(one) | np.isnan(two))
    notes: list[str] = []
    if scale is None and complete.any():
        found = np.concatenate([one[complete], two[complete]])
        if np.unique(found).size == 1:
            # Nothing varies; any scale of two grades lets the coefficient state that itself.
            scale = ScoreScale(name="grades found", low=found[0], high=found[0] + 1, step=1)
        else:
            scale = scale_from_scores(found)
        notes.append(
            f"scale taken from the grades found: {scale.low:g} to {scale.high:g} in steps of "
            f"{scale.step:g}"
        )
    elif scale is None:
        scale = ScoreScale(name="no grades found", low=0, high=1, step=1)
    clusters = np.arange(int(complete.sum()), dtype=np.intp)
    if bird is not None:
        clusters = number_clusters(np.asarray(bird, dtype=object)[complete])
    return ScorePairs(
        first=scale.positions(one[complete]),
        second=scale.positions(two[complete]),
        clusters=clusters,
        scale=scale,
        n_missing=int((~complete).sum()),
        notes=tuple(notes),
    )


def _read_grades(column: npt.ArrayLike, *, side: str) -> npt.NDArray[np.float64]:
    given = pd.Series(column)
    numbers = pd.to_numeric(given.astype(object), errors="coerce")
    strangers = given[(numbers.isna() & given.notna()).to_numpy()]
    if len(strangers):
        raise ScaleError(
            needed="Grades to compare must be numbers, with NaN where a scorer gave no point grade",
            found=f"{len(strangers)} others in {side}: {name_first_few(map(repr, strangers))} at "
            f"rows {name_first_few(strangers.index)}",
            then="Read the notation first, or leave these grades out",
        )
    return np.asarray(numbers, dtype=np.float64)


def _require_same_rows(
    first: npt.ArrayLike, second: npt.ArrayLike, bird: npt.ArrayLike | None
) -> None:
    columns = {"first": first, "second": second} | ({} if bird is None else {"bird": bird})
    lengths = {name: len(np.atleast_1d(np.asarray(column))) for name, column in columns.items()}
    if len(set(lengths.values())) > 1:
        raise ArgumentError(
            needed="Grades to compare must be of the same birds, row by row",
            found=", ".join(f"{length} rows in {name}" for name, length in lengths.items()),
            then="Pass columns of one table, with NaN where a scorer gave no grade",
        )
    indexed = [column for column in columns.values() if isinstance(column, pd.Series)]
    if any(not indexed[0].index.equals(column.index) for column in indexed[1:]):
        raise ArgumentError(
            needed="Grades to compare must share one index",
            found="Series with different index labels",
            then="Join them on the bird first, or pass .to_numpy() if the rows do match",
        )


def pair_scorers(
    ratings: pd.DataFrame,
    *,
    first: str,
    second: str,
    score: str = "keel",
    bird: str = "bird_id",
    scorer: str = "scorer",
    within: tuple[str, ...] = ("session",),
) -> pd.DataFrame:
    """Put two scorers' first grades of the same birds side by side.

    Parameters
    ----------
    ratings : DataFrame
        Ratings, one row a scorer and exam.
    first, second : str
        The two scorers.
    score, bird, scorer : str
        Columns of the grade, the bird and the scorer.
    within : tuple of str, default ("session",)
        Columns that must agree for two grades to be of the same handling; absent and empty ones
        are passed over. A rating without a bird or without one of these is left out, since
        nobody can tell what it would pair with.

    Returns
    -------
    DataFrame
        One row a bird and handling that both graded: ``bird``, the ``within`` columns, ``first``
        and ``second``. Where a scorer graded a handling twice, the grade of the lowest ``round``
        counts, or the first in the table where there is no such column.

    Raises
    ------
    MissingColumnError
        If a column is absent.
    ArgumentError
        If one of the scorers has no ratings, or both are the same.
    """
    require_columns(ratings.columns, (score, bird, scorer), purpose="Pairing scorers")
    # Scorers may be numbers in the table; they are named by text in the call.
    labels = ratings[scorer].map(str, na_action="ignore")
    known = sorted(labels.dropna().unique())
    strangers = [name for name in (first, second) if name not in known]
    if strangers or first == second:
        raise ArgumentError(
            needed="first= and second= name two different scorers of the table",
            found=f"{first!r} and {second!r}; the table has {name_first_few(known, limit=12)}",
            then="Name two of them",
        )
    keys = [bird, *find_handling_columns(ratings, within=within)]
    ordered = ratings.assign(**{scorer: labels}).dropna(subset=keys)
    if "round" in ordered.columns:
        ordered = ordered.sort_values("round", kind="stable")
    once = ordered.drop_duplicates([*keys, scorer])
    sides = [
        once.loc[once[scorer] == name, [*keys, score]].rename(columns={score: side})
        for name, side in ((first, "first"), (second, "second"))
    ]
    return sides[0].merge(sides[1], on=keys, how="inner", validate="one_to_one")


def find_handling_columns(ratings: pd.DataFrame, *, within: tuple[str, ...]) -> list[str]:
    """Find which columns tell the handlings of a bird apart in this table.

    Parameters
    ----------
    ratings : DataFrame
        Ratings.
    within : tuple of str
        Columns that would.

    Returns
    -------
    list of str
        Those that are there and hold anything.
    """
    return [name for name in within if name in ratings.columns and ratings[name].notna().any()]
