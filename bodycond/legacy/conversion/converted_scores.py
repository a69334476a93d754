"""Probabilities of grades on one scale for grades on another, and draws from them."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd

from bodycond.errors import ArgumentError
from bodycond.legacy.conversion.score_calibration import Numbers
from bodycond.references import cite
from bodycond.tables_on_disk.stored_results import ResultKind, load_result, save_result

_KIND = ResultKind(
    name="score conversion", word="conversion", with_index=True,
    rows="Convert the scores with exam_id as their index",
)  # fmt: skip


@dataclass(frozen=True, kw_only=True, eq=False)
class ScoreConversion:
    """Probabilities of grades on one scale for grades given on another.

    Parameters
    ----------
    table : DataFrame
        ``from_grade``, ``to_grade``, ``probability``, ``low``, ``high``, ``n_birds``,
        ``n_ratings``, ``n_effective``, ``concentration``.
    scores : DataFrame
        On the index of the scores: ``from_grade``, ``converted`` (flag), ``reason`` why not,
        ``note``.
    from_scale, to_scale, chart_version : str
        Names of the scales and version of the charts.
    species, scorers : tuple of str
        Of the calibration study.
    first_day, last_day : str
        ISO dates of the study's ratings.
    n_birds, n_ratings : int
        Of the study.
    design_effect : float
        Factor by which ratings of one bird that resemble each other widen the variance.
    prior, level : float
        Ratings' worth of prior, and level of the intervals.
    seed : int or None
        Seed of ``imputed``.
    n_draws : int
        Columns of ``imputed``.
    notes : tuple of str
        What a reader must know: species that the study did not have, weak grades, rows left out.
    """

    table: pd.DataFrame
    scores: pd.DataFrame
    from_scale: str
    to_scale: str
    chart_version: str
    species: tuple[str, ...]
    scorers: tuple[str, ...]
    first_day: str
    last_day: str
    n_birds: int
    n_ratings: int
    design_effect: float
    prior: float
    level: float
    seed: int | None
    n_draws: int
    notes: tuple[str, ...]

    @property
    def imputed(self) -> pd.DataFrame:
        """The imputed grades that the call asked for.

        Returns
        -------
        DataFrame
            `draws` of ``n_draws`` and ``seed``; no columns where none were asked for.
        """
        if self.seed is None:
            return pd.DataFrame(index=self.scores.index)
        return self.draws(self.n_draws, seed=self.seed)

    def draws(self, m: int, *, seed: int) -> pd.DataFrame:
        """Draw m sets of grades for multiple imputation.

        Each set first draws the table of probabilities from its posterior and then every grade
        from the table, so that the spread between sets holds what the study does not know.
        Analyse each set and join the results by Rubin's rules; no set is the grades.

        Parameters
        ----------
        m : int
            Sets; twenty or more where standard errors matter.
        seed : int
            Seed of NumPy's PCG64 generator.

        Returns
        -------
        DataFrame
            Columns ``draw_1`` to ``draw_m`` on the index of the scores; NaN where a score could
            not be converted.

        Raises
        ------
        ArgumentError
            If m or the seed is no whole number, or m is below 1 or the seed below 0.
        """
        require_whole(m, argument="m", lowest=1)
        require_whole(seed, argument="seed", lowest=0)
        generator = np.random.default_rng(seed)
        from_grades, to_grades, alphas = self._spread("concentration")
        converted = self.scores["converted"].to_numpy(dtype=bool)
        rows = np.searchsorted(
            from_grades,
            self.scores.loc[converted, "from_grade"].to_numpy(dtype=np.float64),
        )
        columns = {}
        for number in range(1, m + 1):
            gammas = generator.standard_gamma(alphas)
            steps = np.cumsum(gammas / gammas.sum(axis=1, keepdims=True), axis=1)[:, :-1]
            # A uniform number lies beyond as many steps as the position of its grade.
            places = (generator.random(rows.size)[:, np.newaxis] > steps[rows]).sum(axis=1)
            drawn = np.full(converted.size, np.nan)
            drawn[converted] = to_grades[places]
            columns[f"draw_{number}"] = drawn
        return pd.DataFrame(columns, index=self.scores.index)

    def probabilities(self) -> pd.DataFrame:
        """Give each score's probabilities of the grades.

        Returns
        -------
        DataFrame
            One column a grade (``probability_3.5``) on the index of the scores; NaN where a
            score could not be converted.
        """
        from_grades, to_grades, shares = self._spread("probability")
        names = [f"probability_{grade:g}" for grade in to_grades]
        grid = pd.DataFrame(shares, index=from_grades, columns=names)
        wanted = self.scores["from_grade"].where(self.scores["converted"])
        return grid.reindex(wanted).set_axis(self.scores.index)

    def _spread(self, column: str) -> tuple[Numbers, Numbers, Numbers]:
        """From grades, to grades, and a column of the table as a matrix of the two."""
        from_grades = np.unique(self.table["from_grade"].to_numpy(dtype=np.float64))
        to_grades = np.unique(self.table["to_grade"].to_numpy(dtype=np.float64))
        values = self.table.sort_values(["from_grade", "to_grade"])[column]
        shape = (from_grades.size, to_grades.size)
        return from_grades, to_grades, values.to_numpy(dtype=np.float64).reshape(shape)

    def to_frame(self) -> pd.DataFrame:
        """Give the table of probabilities, unrounded.

        Returns
        -------
        DataFrame
            A copy of ``table``, the names of the scales in front.
        """
        frame = self.table.copy()
        frame.insert(0, "from_scale", self.from_scale)
        frame.insert(1, "to_scale", self.to_scale)
        return frame

    def summary(self) -> str:
        """Write what was converted by which study, the likeliest grades, and what was not.

        Returns
        -------
        str
            The lines.
        """
        converted = self.scores["converted"]
        lines = [
            f"{int(converted.sum())} of {len(self.scores)} scores on {self.from_scale!r} have a "
            f"distribution on {self.to_scale!r}, by a calibration study of {self.n_birds} birds "
            f"({', '.join(self.species)}), {self.n_ratings} ratings by {len(self.scorers)} "
            f"scorers, {self.first_day} to {self.last_day}, chart {self.chart_version}",
        ]
        for grade, rows in self.table.groupby("from_grade"):
            lines.append(f"{self.from_scale} {grade:g}: {_word_likeliest(rows)}")
        reasons = self.scores.loc[~converted, "reason"].value_counts(sort=False)
        lines += [f"Not converted: {reason}: {count}" for reason, count in reasons.items()]
        return "\n".join([*lines, *self.notes])

    def methods(self) -> str:
        """Give the sentences that a methods section would carry.

        Returns
        -------
        str
            The sentences, then the references.
        """
        left = len(self.scores) - int(self.scores["converted"].sum())
        return (
            f"{len(self.scores) - left} scores on the scale {self.from_scale!r} entered by the "
            f"probabilities of grades on {self.to_scale!r} that a calibration study found "
            f"({self.n_birds} birds, {', '.join(self.species)}; {len(self.scorers)} blinded "
            f"scorers; {self.first_day} to {self.last_day}; chart {self.chart_version}); {left} "
            "could not be converted and were left out. The probabilities have Dirichlet "
            f"posteriors with a prior worth {self.prior:g} rating, spread evenly over the grades, "
            "and counts divided by a design effect of "
            f"{self.design_effect:.2f}, since a bird had several ratings. They were carried on by "
            "multiple imputation, each set with a table of its own from the posterior. No score "
            f"was replaced by a single grade. {cite(['rao_1981', 'perks_1947', 'rubin_1987'])}"
        )

    def save(self, path: str | Path) -> None:
        """Write the conversion as JSON, from which `load` gives every number back.

        Parameters
        ----------
        path : str or Path
            Where to write.

        Raises
        ------
        ArgumentError
            If the scores' index holds anything but text or whole numbers, or a part was changed
            into what would not come back as it is.
        """
        save_result(self, Path(path), kind=_KIND)

    @classmethod
    def load(cls, path: str | Path) -> ScoreConversion:
        """Read a conversion that was saved.

        Parameters
        ----------
        path : str or Path
            The file.

        Returns
        -------
        ScoreConversion
            The conversion.

        Raises
        ------
        UnreadableFileError
            If the file is absent, damaged or of another format version.
        """
        return load_result(cls, Path(path), kind=_KIND)


def _word_likeliest(rows: pd.DataFrame) -> str:
    best = rows.sort_values(["probability", "to_grade"], ascending=[False, True]).head(3)
    names = ["to_grade", "probability", "low", "high"]
    words = [
        f"{grade:g} in {100 * share:.0f} % ({100 * low:.0f} to {100 * high:.0f} %)"
        for grade, share, low, high in best[names].to_numpy(dtype=np.float64)
    ]
    return f"{', '.join(words)}; {rows['n_birds'].iloc[0]} birds"


def require_whole(value: int, *, argument: str, lowest: int) -> None:
    """Raise unless an argument is a whole number from some number up.

    Parameters
    ----------
    value : int
        What was given.
    argument : str
        The argument's name, for the message.
    lowest : int
        The lowest number that makes sense.

    Raises
    ------
    ArgumentError
        If it is anything else.
    """
    whole = isinstance(value, int | np.integer) and not isinstance(value, bool)
    if not whole or value < lowest:
        raise ArgumentError(
            needed=f"{argument}= is a whole number from {lowest} up",
            found=f"{argument}={value!r}",
            then="Give such a number",
        )
