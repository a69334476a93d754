"""The evidence for and against two records being one bird, in words with its values."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import PurePath
from typing import Any

import numpy as np
import pandas as pd

from bodycond.legacy.birds.bird_identities import HARD_MEASURES

SURE_BITS = 10.0
"""Odds of a thousand to one."""

LIKELY_BITS = 3.33
"""Odds of ten to one."""

ONE_SURE, ONE_LIKELY = "one bird, very likely", "one bird, likely"
UNCLEAR = "unclear"
TWO_LIKELY, TWO_SURE = "two birds, likely", "two birds, very likely"

_FIELD_WORDS: Mapping[str, str] = {
    "ring": "ring",
    "number": "number",
    "species": "species",
    "sex": "sex",
    "age": "hatch year",
    "day": "mass on one day at one place",
    "tarsus_mm": "tarsus",
    "culmen_mm": "culmen",
    "hallux_mm": "hallux",
}

PLACE_FIELDS = ("source_file", "source_sheet", "source_row", "exam_id", "date")

CONFLICT_BELOW: Mapping[str, float] = {
    "species": 0.0,
    "sex": 0.0,
    "age": 0.0,
    **dict.fromkeys(HARD_MEASURES, -3.0),
}
"""Bits below which a field is a conflict, whatever the others say: any for what does not vary."""


def find_conflicts(bits: pd.DataFrame) -> pd.DataFrame:
    """Find the fields that speak clearly against one bird.

    Parameters
    ----------
    bits : DataFrame
        One row a pair, one column a field.

    Returns
    -------
    DataFrame
        True where a field is a conflict; the columns of `CONFLICT_BELOW`.
    """
    return bits[list(CONFLICT_BELOW)].lt(pd.Series(CONFLICT_BELOW), axis="columns")


def word_strength(margin: float, *, conflict: bool) -> str:
    """Say how strong the evidence is.

    Parameters
    ----------
    margin : float
        Log odds that both records are one bird, in bits.
    conflict : bool
        True where a field speaks clearly against one bird.

    Returns
    -------
    str
        One of five phrases. With a conflict it is at best unclear.

    Examples
    --------
    >>> word_strength(12.0, conflict=False), word_strength(12.0, conflict=True)
    ('one bird, very likely', 'unclear')
    """
    if margin >= LIKELY_BITS and not conflict:
        return ONE_SURE if margin >= SURE_BITS else ONE_LIKELY
    if margin <= -LIKELY_BITS:
        return TWO_SURE if margin <= -SURE_BITS else TWO_LIKELY
    return UNCLEAR


def word_place(exam: Mapping[Any, Any]) -> str:
    """Say where an exam stands.

    Parameters
    ----------
    exam : mapping
        Row of `prepare_exams`.

    Returns
    -------
    str
        File, sheet and row, or the exam's number, or its date.
    """
    parts = []
    if exam["source_file"]:
        parts.append(str(exam["source_file"]))
    # The only sheet of a text file is called as the file is.
    if exam["source_sheet"] and exam["source_sheet"] != PurePath(str(exam["source_file"])).stem:
        parts.append(f"sheet {exam['source_sheet']}")
    if not pd.isna(exam["source_row"]):
        parts.append(f"row {exam['source_row']:.0f}")
    if not parts and exam["exam_id"]:
        parts.append(f"exam {exam['exam_id']}")
    if not parts and not pd.isna(exam["date"]):
        parts.append(f"exam of {pd.Timestamp(exam['date']):%Y-%m-%d}")
    return ", ".join(parts) or "place not recorded"


def word_evidence(
    bits: Mapping[str, float], *, left: Mapping[Any, Any], right: Mapping[Any, Any]
) -> tuple[str, str]:
    """Write the fields that speak for and against one bird, strongest first.

    Parameters
    ----------
    bits : mapping of str to float
        Weight of each field.
    left, right : mapping
        The two records; ``ring_text`` is the ring as written.

    Returns
    -------
    tuple of (str, str)
        Evidence for, and against; empty where there is none.
    """
    said = []
    for name, weight in bits.items():
        if weight == 0 or not np.isfinite(weight):
            continue
        said.append((weight, f"{_word_values(name, left, right)} ({weight:+.1f})"))
    said.sort(key=lambda pair: (-abs(pair[0]), pair[1]))
    return (
        "; ".join(text for weight, text in said if weight > 0),
        "; ".join(text for weight, text in said if weight < 0),
    )


def _word_values(name: str, left: Mapping[Any, Any], right: Mapping[Any, Any]) -> str:
    word = _FIELD_WORDS[name]
    if name in HARD_MEASURES:
        return f"{word} {_word_mean(left, name)} and {_word_mean(right, name)} mm"
    if name == "ring":
        return f"ring {left['ring_text']!r} and {right['ring_text']!r}"
    if name == "number":
        return f"number {left['name']!r} and {right['name']!r}"
    if name == "age":
        return (
            f"hatched {_word_years(left)} and {_word_years(right)}, examined "
            f"{left['first_year']:.0f} to {left['last_year']:.0f} and "
            f"{right['first_year']:.0f} to {right['last_year']:.0f}"
        )
    if name == "day":
        return f"{word}: {left['day_mass_g']:g} and {right['day_mass_g']:g} g"
    if left[name] == right[name]:
        return f"{word} {left[name]} in both"
    return f"{word} {left[name]} and {right[name]}"


def _word_mean(bird: Mapping[Any, Any], name: str) -> str:
    count = int(bird[f"{name}_n"])
    return f"{bird[name]:.1f}" + (f" (mean of {count})" if count > 1 else "")


def _word_years(bird: Mapping[Any, Any]) -> str:
    low, high = (float(bird[name]) for name in ("hatch_low", "hatch_high"))
    if np.isfinite(low) and np.isfinite(high):
        return f"{low:.0f}" if low == high else f"{low:.0f} to {high:.0f}"
    return f"{high:.0f} or before" if np.isfinite(high) else "in a year unknown"
