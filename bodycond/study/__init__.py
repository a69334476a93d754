"""The whole job in one call: import, check, condition, agreement, figures, report, manifest."""

from bodycond.study.demo import run_demo
from bodycond.study.running import run_study
from bodycond.study.settings import StudySettings
from bodycond.study.study_result import StudyResult

__all__ = ["StudyResult", "StudySettings", "run_demo", "run_study"]
