"""What a study is asked to do, kept with its results."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from bodycond.columns import SIZE_COLUMNS
from bodycond.errors import ArgumentError, require_level
from bodycond.statistics.resampling import DEFAULT_RESAMPLES, DEFAULT_SEED


@dataclass(frozen=True, kw_only=True)
class StudySettings:
    """Settings of a study.

    Parameters
    ----------
    score : str, default "keel"
        Column of the grade to study.
    size : str, optional
        Column of the structural size for the scaled mass index. Default: the measure that
        correlates best with mass among those taken in at least half of the weighed birds.
    reference : str, optional
        Scorer that the others are compared with. Default: all pairs alike.
    resamples : int, default 2000
        Bootstrap resamples.
    seed : int, default 20240501
        Seed of every bootstrap.
    level : float, default 0.95
        Confidence level of intervals.

    Raises
    ------
    ArgumentError
        If the size is no structural measure, or the level is impossible.
    """

    score: str = "keel"
    size: str | None = None
    reference: str | None = None
    resamples: int = DEFAULT_RESAMPLES
    seed: int = DEFAULT_SEED
    level: float = 0.95

    def __post_init__(self) -> None:
        require_level(self.level)
        if self.size is not None and self.size not in SIZE_COLUMNS:
            raise ArgumentError(
                needed=f"The structural size is one of {', '.join(SIZE_COLUMNS)}",
                found=repr(self.size),
                then="Name one of them, or none to take the one that goes best with mass",
            )

    def to_dict(self) -> dict[str, Any]:
        """Give the settings for the manifest.

        Returns
        -------
        dict
            Names and values.
        """
        return asdict(self)
