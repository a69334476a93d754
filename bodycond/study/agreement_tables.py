"""Agreement between scorers as tables of words for the report."""

from __future__ import annotations

from bodycond.agreement import ScorerPairs, TwoScorerComparison
from bodycond.study.report_tables import (
    ReportTable,
    short_interval,
    without_empty_columns,
    word_level,
)


def table_headline_pair(pair: TwoScorerComparison) -> ReportTable:
    """Print one pair of scorers in full.

    Parameters
    ----------
    pair : TwoScorerComparison
        The pair.

    Returns
    -------
    ReportTable
        One row an estimate.
    """
    rows = [
        (
            f"{estimate.name[:1].upper()}{estimate.name[1:]}",
            short_interval(estimate.value, estimate.low, estimate.high),
            str(estimate.n),
            "; ".join(part for part in (estimate.reason, *estimate.notes) if part),
        )
        for estimate in pair.estimates
    ]
    return without_empty_columns(
        ReportTable(
            caption=f"{pair.first_name} and {pair.second_name} on {pair.scale.name}: the pair with "
            "most birds in common, or the first of them.",
            headings=("Statistic", f"Estimate ({word_level(pair.kappa.level)})", "Birds", "Remark"),
            rows=tuple(rows),
        )
    )


def table_scorer_pairs(pairs: ScorerPairs) -> ReportTable:
    """Print every pair's kappa and signed difference.

    Parameters
    ----------
    pairs : ScorerPairs
        The pairs.

    Returns
    -------
    ReportTable
        One row a pair.
    """
    rows = []
    for pair in pairs.comparisons:
        kappa, signed = pair.kappa, pair.signed_difference
        rows.append(
            (
                f"{pair.first_name}, {pair.second_name}",
                short_interval(kappa.value, kappa.low, kappa.high),
                short_interval(signed.value, signed.low, signed.high),
                str(kappa.n),
                kappa.reason,
            )
        )
    interval = word_level(pairs.comparisons[0].kappa.level)
    return without_empty_columns(ReportTable(
        caption="Every pair of scorers: quadratic weighted kappa, and mean signed difference in "
        f"grades, second minus first. {len(rows)} pairs are compared without correction for their "
        "number, and are not ranked.",
        headings=("Pair", f"Kappa ({interval})", f"Signed difference ({interval})", "Birds",
                  "Remark"),
        rows=tuple(rows),
    ))  # fmt: skip
