"""What is assumed of two records of one bird, where a table cannot tell it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from bodycond.errors import ArgumentError
from bodycond.legacy.birds.bird_identities import HARD_MEASURES


@dataclass(frozen=True, kw_only=True)
class LinkAssumptions:
    """What is assumed of two records of one bird; common practice with no source.

    Parameters
    ----------
    ring_same, ring_prefix, ring_nearly, ring_different : float
        How often two ringed records of one bird carry the same ring but for its form, a ring
        with a prefix lost, one with one slipped character, another ring (re-ringed).
    ring_slip : float
        How often a ring is written down as another bird's.
    id_same : float
        How often two case numbers of one bird differ in form alone.
    species_same, sex_same, age_same : float
        How often species, sex and possible hatch years agree in two records of one bird.
    measurement_error_mm : mapping of str to float
        SD of one measurement about the bird's true size, in mm, over the people of a network.
    measurement_slip : float
        How often a measurement is a slip and says nothing.
    day_mass_same : float
        How often two weighings of one bird at one place on one day differ by less than 5 %.
    alias_share : float
        Share of bird_ids that stand for a bird with another bird_id.
    reused_share : float
        Share of bird_ids given to a second bird, where numbering does not start anew.
    longest_life_years : float
        Longest time between two exams of one bird.

    Raises
    ------
    ArgumentError
        If a share is not between 0 and 1 or an error is not above 0.
    """

    ring_same: float = 0.80
    ring_prefix: float = 0.04
    ring_nearly: float = 0.08
    ring_different: float = 0.08
    ring_slip: float = 0.005
    id_same: float = 0.20
    species_same: float = 0.99
    sex_same: float = 0.95
    age_same: float = 0.95
    measurement_error_mm: Mapping[str, float] = field(
        default_factory=lambda: {"tarsus_mm": 0.8, "culmen_mm": 0.4, "hallux_mm": 0.5}, hash=False
    )
    measurement_slip: float = 0.02
    day_mass_same: float = 0.90
    alias_share: float = 0.05
    reused_share: float = 0.02
    longest_life_years: float = 40.0

    def __post_init__(self) -> None:
        for name, value in vars(self).items():
            shares = isinstance(value, float) and name != "longest_life_years"
            if shares and not 0.0 < value < 1.0:
                raise ArgumentError(
                    needed=f"{name} is a share strictly between 0 and 1",
                    found=f"{name}={value!r}",
                    then="Give a share such as 0.05",
                )
        errors = {name: self.measurement_error_mm.get(name, math.nan) for name in HARD_MEASURES}
        wrong = {name: error for name, error in errors.items() if not error > 0}
        if wrong:
            raise ArgumentError(
                needed=f"measurement_error_mm gives an SD above 0 for {', '.join(HARD_MEASURES)}",
                found=", ".join(f"{name}: {error}" for name, error in wrong.items()),
                then="Give the SD of repeated measurements by several people, in mm",
            )
