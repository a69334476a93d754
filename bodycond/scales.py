"""Ordinal score scales with fixed grades, whatever grades happen to occur in the data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from bodycond.errors import ScaleError, name_first_few

# Grades are read from text and computed as low + k * step; this is far below any real step
# and far above rounding error.
GRADE_TOLERANCE = 1e-9


@dataclass(frozen=True)
class ScoreScale:
    """An ordinal scale of equally spaced grades.

    The grades are fixed by the scale and not by the data: an agreement coefficient whose
    weights came from the grades found would change when nobody used grade 4.

    Parameters
    ----------
    name : str
        What the scale is called in tables and messages; say the chart and its direction.
    low, high : float
        Lowest and highest grade.
    step : float
        Distance between neighbouring grades, for example 0.5 where halves are allowed.
    grades : mapping of float to str, optional
        Words for some or all grades. Default none.

    Raises
    ------
    ScaleError
        If the limits are not finite and ascending, if the step does not divide them, or if a
        word belongs to no grade.

    Examples
    --------
    >>> fat = ScoreScale(name="keel fat 0 to 4", low=0, high=4, step=0.5)
    >>> fat.n_grades
    9
    >>> fat.whole_grades
    array([0., 1., 2., 3., 4.])
    """

    name: str
    low: float
    high: float
    step: float
    grades: Mapping[float, str] = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        limits = (self.low, self.high, self.step)
        if not all(np.isfinite(limit) for limit in limits) or not self.low < self.high:
            raise ScaleError(
                needed="A score scale needs a finite low below a finite high",
                found=f"low={self.low}, high={self.high}, step={self.step} in {self.name!r}",
                then="Give the lowest and the highest grade of the chart",
            )
        steps = (self.high - self.low) / self.step if self.step > 0 else np.nan
        if not np.isfinite(steps) or abs(steps - round(steps)) > GRADE_TOLERANCE:
            raise ScaleError(
                needed="A score scale needs a positive step that divides high - low",
                found=f"step={self.step} from {self.low} to {self.high} in {self.name!r}",
                then="Use 1 for whole grades, 0.5 where half grades are allowed",
            )
        strangers = [grade for grade in self.grades if not self.contains([grade])[0]]
        if strangers:
            raise ScaleError(
                needed=f"Words can be given to grades of {self.name!r} alone",
                found=f"words for {name_first_few(strangers)}",
                then=f"Use grades from {self.low:g} to {self.high:g} in steps of {self.step:g}",
            )

    @property
    def values(self) -> npt.NDArray[np.float64]:
        """Every grade in ascending order, shape (n_grades,).

        Returns
        -------
        ndarray of float
            The grades.
        """
        return self.low + self.step * np.arange(self.n_grades, dtype=np.float64)

    @property
    def n_grades(self) -> int:
        """How many grades the scale has, used or not.

        Returns
        -------
        int
            The number of grades.
        """
        return round((self.high - self.low) / self.step) + 1

    @property
    def whole_grades(self) -> npt.NDArray[np.float64]:
        """The grades that are whole numbers, in ascending order.

        Returns
        -------
        ndarray of float
            The whole grades.
        """
        values = self.values
        return values[np.abs(values - np.round(values)) < GRADE_TOLERANCE]

    def contains(self, scores: npt.ArrayLike) -> npt.NDArray[np.bool_]:
        """Tell which scores are grades of this scale.

        Parameters
        ----------
        scores : array_like of float
            Scores of any shape; NaN is never on a scale.

        Returns
        -------
        ndarray of bool
            True where a score equals a grade.
        """
        array = np.asarray(scores, dtype=np.float64)
        with np.errstate(invalid="ignore"):
            steps = (array - self.low) / self.step
            nearest = np.round(steps)
            on_grid = np.abs(steps - nearest) * self.step < GRADE_TOLERANCE
            inside = (nearest >= 0) & (nearest < self.n_grades)
        return np.asarray(on_grid & inside)

    def positions(self, scores: npt.ArrayLike) -> npt.NDArray[np.intp]:
        """Give each score's position on the scale, counted from 0.

        Parameters
        ----------
        scores : array_like of float
            Scores, all of them grades of this scale.

        Returns
        -------
        ndarray of int
            Positions 0 to ``n_grades - 1``.

        Raises
        ------
        ScaleError
            If a score is missing or is not a grade.
        """
        array = np.asarray(scores, dtype=np.float64)
        inside = self.contains(array)
        if not inside.all():
            raise ScaleError(
                needed=f"Scores must be grades of {self.name!r}: {self.low:g} to {self.high:g} "
                f"in steps of {self.step:g}",
                found=f"{int((~inside).sum())} others: "
                f"{name_first_few(f'{score:g}' for score in np.unique(array[~inside]))}",
                then="Correct them, or name the scale that they belong to with scale=",
            )
        return np.round((array - self.low) / self.step).astype(np.intp)


def scale_from_scores(scores: npt.ArrayLike, *, name: str = "grades found") -> ScoreScale:
    """Build a scale from the grades that occur, for use where ``scale=None`` was asked.

    Parameters
    ----------
    scores : array_like of float
        Scores; NaN is left out.
    name : str, default "grades found"
        The scale's name.

    Returns
    -------
    ScoreScale
        The coarsest equally spaced scale that holds every score found.

    Raises
    ------
    ScaleError
        If there are fewer than two different scores, or no step of 1, 1/2, 1/4 or 1/10 holds
        them.

    Examples
    --------
    >>> scale_from_scores([1, 2.5, 4]).step
    0.5
    """
    array = np.asarray(scores, dtype=np.float64)
    found = np.unique(array[np.isfinite(array)])
    if found.size < 2:
        raise ScaleError(
            needed="scale=None needs at least two different grades to make a scale from",
            found=f"{found.size} different grade{'' if found.size == 1 else 's'}",
            then="Name the scale with scale=",
        )
    for step in (1.0, 0.5, 0.25, 0.1):
        steps = (found - found[0]) / step
        if np.all(np.abs(steps - np.round(steps)) < GRADE_TOLERANCE):
            return ScoreScale(name=name, low=float(found[0]), high=float(found[-1]), step=step)
    raise ScaleError(
        needed="scale=None needs grades on a grid of 1, 1/2, 1/4 or 1/10",
        found=f"grades {name_first_few(f'{grade:g}' for grade in found)}",
        then="Name the scale with scale=",
    )


KEEL_SCALE = ScoreScale(
    name="keel 1 to 5",
    low=1.0,
    high=5.0,
    step=0.5,
    grades={1.0: "emaciated", 2.0: "thin", 3.0: "moderate", 4.0: "well muscled", 5.0: "overweight"},
)
"""Flight muscle along the keel, 1 (emaciated) to 5 (overweight), halves allowed: 9 grades."""
