"""The report's methods: the material, what was done, what the files cannot tell, references."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pandas as pd

from bodycond.errors import name_first_few
from bodycond.references import split_references
from bodycond.study.analysis import StudyAnalysis
from bodycond.study.report import ReportSection

if TYPE_CHECKING:
    from bodycond.exams import ExamCheck
    from bodycond.legacy import LegacyImport

_MOST_NAMES = 8

# What a methods section must say and no table of exams holds.
NOT_STATED = (
    "Not stated in the files, for the authors to add: licences and ethical review; how and with "
    "what scale birds were weighed, its resolution and calibration, and whether they had been fed; "
    "who measured, by which landmarks, and the measures' repeatability; the keel chart and the "
    "scorers' training; which questions were planned before the data were seen."
)

EXPLORATORY = (
    "Everything here is exploratory unless it was planned beforehand. Intervals are for one "
    "estimate at a time and are not corrected for the number of species, sexes, measures and "
    "pairs of scorers; among many, one in twenty 95 % intervals misses by chance alone."
)


def compose_methods(
    imported: LegacyImport, check: ExamCheck, analysis: StudyAnalysis
) -> ReportSection:
    """Compose the methods from what each result says of itself.

    Parameters
    ----------
    imported : LegacyImport
        What came in.
    check : ExamCheck
        What the check found.
    analysis : StudyAnalysis
        Results.

    Returns
    -------
    ReportSection
        Paragraphs, then the references.
    """
    paragraphs = [describe_material(imported.exams)] if len(imported.exams) else []
    references: set[str] = set()
    for result in list_described(imported, check, analysis):
        sentences, cited = split_references(result.methods())
        paragraphs.append(sentences)
        references |= set(cited)
    return ReportSection(
        anchor="methods",
        heading="Methods and references",
        paragraphs=(*paragraphs, EXPLORATORY, NOT_STATED),
        points=tuple(sorted(references)),
    )


def list_described(imported: LegacyImport, check: ExamCheck, analysis: StudyAnalysis) -> list[Any]:
    """List every result that has a methods text.

    Parameters
    ----------
    imported : LegacyImport
        What came in.
    check : ExamCheck
        What the check found.
    analysis : StudyAnalysis
        Results.

    Returns
    -------
    list
        The results that exist.
    """
    condition = analysis.condition
    results = [imported, check]
    if condition is not None:
        results += [condition.linear, condition.scaled_mass, condition.index_by_keel]
    return [result for result in (*results, analysis.agreement) if result is not None]


def describe_material(exams: pd.DataFrame) -> str:
    """Say of which birds, when and where the exams are.

    Parameters
    ----------
    exams : DataFrame
        Imported exams.

    Returns
    -------
    str
        The sentences.
    """
    birds = exams.groupby("species")["bird_id"].nunique().sort_values(
        ascending=False, kind="stable"
    )  # fmt: skip
    dates = exams["exam_date"].dropna()
    span = f"from {dates.min():%Y-%m-%d} to {dates.max():%Y-%m-%d}" if len(dates) else "not dated"
    sites = sorted(exams["site"].dropna().astype(str).unique())
    species = name_first_few(
        (f"{name} ({count} birds)" for name, count in birds.items()), limit=_MOST_NAMES
    )
    return (
        f"The exams are {span}, of {species or 'species not named'}. "
        f"Sites: {name_first_few(sites, limit=_MOST_NAMES) or 'not stated'}."
    )
