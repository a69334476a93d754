"""Caption of the two-scorer table, with kappa and the companions without which it misleads."""

from __future__ import annotations

import numpy as np

from bodycond.agreement import TwoScorerComparison
from bodycond.figures.agreement_table import explain_empty_table
from bodycond.figures.caption_phrases import FigureDescription, word_count
from bodycond.rounding import word_interval


def describe_agreement_table(comparison: TwoScorerComparison) -> FigureDescription:
    """Describe what `draw_agreement_table` draws, with kappa and its companions.

    Parameters
    ----------
    comparison : TwoScorerComparison
        The comparison.

    Returns
    -------
    FigureDescription
        Caption and alternative text.
    """
    first, second = comparison.first_name, comparison.second_name
    counts = comparison.table.to_numpy(dtype=np.int64)
    total, same = int(counts.sum()), int(np.trace(counts))
    kappa = comparison.kappa
    sentences = [
        f"Grades given by {first} (upwards) and {second} (to the right) to the same birds, "
        f"{comparison.scale.name}."
    ]
    if total:
        sentences.append(
            "Cells: how often both grades were given, shaded by the count, empty where never; "
            "black frames: the same grade from both; right and top: totals."
        )
        sentences += _word_estimates(comparison)
    else:
        sentences.append(f"Empty. {explain_empty_table(comparison)}.")
    if kappa.n_missing:
        sentences.append(
            f"{word_count(kappa.n_missing, 'row')} left out, where one of the two gave no grade."
        )
    alt = (
        f"Table of {total} pairs of grades by {first} and {second}; {same} lie on the diagonal of "
        "equal grades."
        if total
        else f"Empty table: no bird was graded by both {first} and {second}."
    )
    return FigureDescription(caption=" ".join(sentences), alt_text=alt)


def _word_estimates(comparison: TwoScorerComparison) -> list[str]:
    kappa = comparison.kappa
    sentences = [
        f"n = {word_count(kappa.n, 'bird')}, {word_count(kappa.n_rows, 'pair')} of grades."
    ]
    for estimate in comparison.estimates:
        words = word_interval(estimate.value, estimate.low, estimate.high, level=estimate.level)
        why = f" ({estimate.reason})" if estimate.reason else ""
        sentences.append(f"{estimate.name[:1].upper()}{estimate.name[1:]}: {words}{why}.")
    methods = list(dict.fromkeys(each.interval_method for each in comparison.estimates))
    of_which = ["", ""] if len(methods) == 1 else ["kappa by ", "the others by "]
    listed = "; ".join(f"{of}{how}" for of, how in zip(of_which, methods, strict=False))
    return [*sentences, f"Intervals: {listed}."]
