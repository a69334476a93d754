"""The report's sections on condition."""

from __future__ import annotations

from bodycond.columns import word_label
from bodycond.study.analysis import (
    CONDITION,
    MASS_BY_SCORE,
    SCALED_MASS,
    ConditionResults,
    StudyAnalysis,
)
from bodycond.study.condition_tables import (
    table_expected_mass,
    table_index_by_keel,
    table_left_out,
    table_percent_per_grade,
    table_scaled_mass,
    table_sensitivity,
    table_size_candidates,
)
from bodycond.study.report import ReportFigure, ReportSection
from bodycond.study.report_tables import table_of_frame

Figures = dict[str, list[ReportFigure]]


def compose_condition(analysis: StudyAnalysis, figures: Figures) -> list[ReportSection]:
    """Compose the sections on mass by score, scaled mass and what was left out.

    Parameters
    ----------
    analysis : StudyAnalysis
        Results.
    figures : dict of str to list of ReportFigure
        Figures by section.

    Returns
    -------
    list of ReportSection
        The sections.
    """
    results = analysis.condition
    if results is None:
        reasons = analysis.why_not(CONDITION)
        return [ReportSection(anchor="mass", heading="Mass by score", paragraphs=reasons)]
    return [
        _compose_mass(results, figures, missing=analysis.why_not(MASS_BY_SCORE)),
        _compose_scaled(results, figures, missing=analysis.why_not(SCALED_MASS)),
        _compose_left_out(results),
    ]


def _compose_mass(
    results: ConditionResults, figures: Figures, *, missing: tuple[str, ...]
) -> ReportSection:
    fit = results.linear
    tables = [table_percent_per_grade(fit)] if len(fit.groups) else []
    if len(fit.expected):
        tables.append(table_expected_mass(fit))
    return ReportSection(
        anchor="mass",
        heading="Mass by score",
        paragraphs=(
            *missing,
            "Each species and sex is fitted apart, and birds of unknown sex are a group of their "
            "own. The linear form takes every grade as the same step; the factor form, which does "
            "not, is in tables/mass_by_keel_factor.csv. The estimates describe these birds under "
            "the grades that these scorers gave: grades are felt with error, which draws the "
            "change per grade towards nothing, and age, season, crop and moult are not adjusted "
            "for.",
        ),
        figures=tuple(figures.get("mass", [])),
        tables=tuple(tables),
    )


def _compose_scaled(
    results: ConditionResults, figures: Figures, *, missing: tuple[str, ...]
) -> ReportSection:
    fit = results.scaled_mass
    paragraphs, tables = list(missing), []
    if fit is not None:
        chosen = (
            "was chosen because it correlates best with mass in these same birds, which makes the "
            "index exploratory"
            if results.size_chosen
            else "was named beforehand"
        )
        paragraphs.append(
            f"The structural size, {word_label(fit.size)}, {chosen}. Where size and mass are "
            "weakly correlated the exponent is noise, and the gates say so. The index keeps some "
            "correlation with size by construction (in tables/scaled_mass_groups.csv), and "
            "nothing here validates it as a measure of condition: mass itself stands beside it "
            "as the benchmark."
        )
        tables.append(table_scaled_mass(fit))
    if results.index_by_keel is not None:
        tables.append(table_index_by_keel(results.index_by_keel))
    if len(results.size_candidates):
        tables.append(table_size_candidates(results))
    return ReportSection(
        anchor="scaled-mass",
        heading="Scaled mass",
        paragraphs=tuple(paragraphs),
        figures=(*figures.get("size", []), *figures.get("index", [])),
        tables=tuple(tables),
    )


def _compose_left_out(results: ConditionResults) -> ReportSection:
    tables = []
    if len(results.chosen.left_out):
        tables.append(
            table_of_frame(
                results.chosen.left_out,
                caption="Exams and single values that no condition model uses. Where a column is "
                "named, the exam stays and that value alone is set aside.",
                headings={"reason": "Reason", "column": "Column", "n_exams": "Exams"},
            )
        )
    return ReportSection(
        anchor="sensitivity",
        heading="Exams left out, and what that changes",
        paragraphs=(
            f"Of {results.n_exams} exams, {len(results.chosen.exams)} enter the condition "
            "models; each model then uses those that have what it needs. A flagged mass may be a "
            "slip or a truly thin bird, and leaving out the second kind flatters a result: the "
            "sensitivity table shows each estimate with flagged values kept. Birds too ill to be "
            "measured in full are missing for a reason that has to do with condition; no missing "
            "value was filled in.",
        ),
        tables=(*tables, *table_left_out(results), table_sensitivity(results)),
    )
