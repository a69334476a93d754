"""Body-condition research on birds of prey: import, checks, condition models, scorer agreement.

The parts are `bodycond.legacy` (old sheets in), `bodycond.exams` (trustworthy tables),
`bodycond.condition` (mass, size and keel score), `bodycond.agreement` (how alike scorers score),
`bodycond.figures` (drawing) and `bodycond.study` (the whole job in one call).
"""

from bodycond import agreement, condition, exams, legacy
from bodycond.errors import (
    ArgumentError,
    BodycondError,
    DegenerateDataError,
    GateWarning,
    MissingColumnError,
    MixedGroupsError,
    RecipeError,
    ScaleError,
    UnreadableFileError,
)
from bodycond.scales import KEEL_SCALE, ScoreScale

__version__ = "0.1.0"

__all__ = [
    "KEEL_SCALE",
    "ArgumentError",
    "BodycondError",
    "DegenerateDataError",
    "GateWarning",
    "MissingColumnError",
    "MixedGroupsError",
    "RecipeError",
    "ScaleError",
    "ScoreScale",
    "UnreadableFileError",
    "__version__",
    "agreement",
    "condition",
    "exams",
    "legacy",
]
