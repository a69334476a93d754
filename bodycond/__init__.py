"""Body-condition research on birds of prey: import, checks, condition models, scorer agreement.

The parts are `bodycond.legacy` (old sheets in), `bodycond.exams` (trustworthy tables),
`bodycond.condition` (mass, size and keel score), `bodycond.agreement` (how alike scorers score),
`bodycond.figures` (drawing) and `bodycond.study` (the whole job in one call).
"""

from __future__ import annotations

from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING

from bodycond.errors import (
    ArgumentError,
    BodycondError,
    CorrectionError,
    DegenerateDataError,
    GateWarning,
    MissingColumnError,
    MixedGroupsError,
    RecipeError,
    ScaleError,
    UnreadableFileError,
)
from bodycond.scales import KEEL_SCALE, ScoreScale

if TYPE_CHECKING:
    from bodycond import agreement, condition, exams, figures, legacy, study

__version__ = "0.1.0"

__all__ = [
    "KEEL_SCALE",
    "ArgumentError",
    "BodycondError",
    "CorrectionError",
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
    "figures",
    "legacy",
    "study",
]

_PARTS = ("agreement", "condition", "exams", "figures", "legacy", "study")


def __getattr__(name: str) -> ModuleType:
    """Import a part when it is first asked for, so that ``import bodycond`` stays quick."""
    if name in _PARTS:
        return import_module(f"bodycond.{name}")
    raise AttributeError(f"module 'bodycond' has no attribute {name!r}")
