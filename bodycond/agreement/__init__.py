"""How alike scorers score: coefficients on fixed grades, with intervals that respect the bird."""

from bodycond.agreement.score_pairs import pair_scorers
from bodycond.agreement.scorer_pairs import ScorerPairs, compare_scorer_pairs
from bodycond.agreement.two_scorers import TwoScorerComparison, compare_two_scorers
from bodycond.agreement.weighted_kappa import KappaEstimate, weighted_kappa

__all__ = [
    "KappaEstimate",
    "ScorerPairs",
    "TwoScorerComparison",
    "compare_scorer_pairs",
    "compare_two_scorers",
    "pair_scorers",
    "weighted_kappa",
]
