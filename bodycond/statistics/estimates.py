"""One shape for every single-number estimate: value, interval, n, method, or the reason why not."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

import pandas as pd

from bodycond.references import cite
from bodycond.rounding import word_interval


@dataclass(frozen=True, kw_only=True, eq=False)
class Estimate:
    """An estimate with its interval, or the reason why there is none.

    Parameters
    ----------
    name : str
        What is estimated, in words.
    value, se, low, high : float
        Estimate, standard error and limits; NaN where undefined.
    level : float
        Confidence level of the interval.
    n : int
        Independent units (birds).
    n_rows : int
        Rows used.
    n_missing : int
        Rows left out because a value was missing.
    interval_method : str
        How the interval was made.
    reason : str
        Why something above is undefined; empty where all is defined.
    notes : tuple of str
        What a reader of the number should know.
    references : tuple of str
        Keys of `bodycond.references.REFERENCES`.
    """

    name: str
    value: float
    se: float
    low: float
    high: float
    level: float
    n: int
    n_rows: int
    n_missing: int
    interval_method: str
    reason: str = ""
    notes: tuple[str, ...] = ()
    references: tuple[str, ...] = ()

    def to_frame(self) -> pd.DataFrame:
        """Give the estimate as a table of one row, unrounded.

        Returns
        -------
        DataFrame
            One column a field; notes joined by a semicolon.
        """
        row = {item.name: getattr(self, item.name) for item in fields(self)}
        row["notes"] = "; ".join(self.notes)
        row["references"] = "; ".join(self.references)
        return pd.DataFrame([row])

    def summary(self) -> str:
        """Write the estimate in one or more lines.

        Returns
        -------
        str
            Value, interval, n and notes, rounded by the interval's width.
        """
        words = word_interval(self.value, self.low, self.high, level=self.level)
        birds = f"n = {self.n} bird{'' if self.n == 1 else 's'}"
        rows = "" if self.n_rows == self.n else f", {self.n_rows} rows"
        lines = [f"{self.name}: {words}; {birds}{rows}; {self.interval_method}"]
        if self.n_missing:
            lines.append(f"{self.n_missing} rows left out: a value was missing")
        if self.reason:
            lines.append(self.reason)
        return "\n".join([*lines, *self.notes])

    def methods(self) -> str:
        """Give the sentence that a methods section would carry.

        Returns
        -------
        str
            The sentence, then the references.
        """
        name = f"{self.name[:1].upper()}{self.name[1:]}"
        interval = (
            "without an interval"
            if math.isnan(self.low)
            else f"with a {100 * self.level:g} % interval ({self.interval_method})"
        )
        return f"{name} was estimated {interval}. {cite(self.references)}".strip()
