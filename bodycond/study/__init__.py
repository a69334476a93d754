"""The whole job in one call: import, check, condition, agreement, figures, report, manifest."""

from bodycond.study.demo import run_demo
from bodycond.study.drafting_files import DraftRun, run_draft
from bodycond.study.finding_files import FoundFiles, collect_files, find_files
from bodycond.study.import_run import ImportRun
from bodycond.study.importing_files import run_import
from bodycond.study.running import run_study
from bodycond.study.settings import StudySettings
from bodycond.study.study_result import StudyResult

__all__ = [
    "DraftRun",
    "FoundFiles",
    "ImportRun",
    "StudyResult",
    "StudySettings",
    "collect_files",
    "find_files",
    "run_demo",
    "run_draft",
    "run_import",
    "run_study",
]
