"""The report's sections on condition."""

from __future__ import annotations

import pandas as pd

from bodycond.columns import label_column
from bodycond.study.analysis import StudyAnalysis
from bodycond.study.condition_tables import (
    table_expected_mass,
    table_index_by_keel,
    table_percent_per_grade,
    table_scaled_mass,
    table_sensitivity,
    table_size_candidates,
)
from bodycond.study.report import ReportFigure, ReportSection
from bodycond.study.report_tables import table_of_frame


def compose_condition(
    analysis: StudyAnalysis, figures: dict[str, list[ReportFigure]]
) -> list[ReportSection]:
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
        return [
            ReportSection(
                anchor="mass", heading="Mass by score", paragraphs=analysis.why_not("condition")
            )
        ]
    left_out = table_of_frame(
        results.chosen.left_out,
        caption="Exams and values that the condition models do not use.",
        headings={"reason": "Reason", "column": "Column", "n_exams": "Exams"},
    )
    fit_left_out = table_of_frame(
        pd.concat([results.linear.excluded.assign(model="mass by score")]
                  + ([results.scaled_mass.excluded.assign(model="scaled mass")]
                     if results.scaled_mass is not None else [])),
        caption="Exams that a model could not use.",
        headings={"model": "Model", "reason": "Reason", "n_rows": "Exams"},
    )  # fmt: skip
    sections = [
        ReportSection(
            anchor="mass",
            heading="Mass by score",
            paragraphs=(
                "Fits are apart by species and sex; unknown sex is a level of its own. The linear "
                "form assumes that every grade is the same step; the factor form, in "
                "tables/mass_by_keel_factor.csv, does not.",
            ),
            figures=tuple(figures.get("mass", [])),
            tables=(table_percent_per_grade(results.linear), table_expected_mass(results.linear)),
        )
    ]
    scaled = [
        table for table in (table_scaled_mass(results), table_index_by_keel(results)) if table
    ]
    size = results.scaled_mass.size if results.scaled_mass is not None else None
    sections.append(
        ReportSection(
            anchor="scaled-mass",
            heading="Scaled mass",
            paragraphs=(
                f"The structural size is {label_column(size)}. Where size and mass are weakly "
                "correlated the exponent is noise, and the gates say so. The index keeps a "
                "built-in correlation with size (in tables/scaled_mass_groups.csv), and nothing "
                "here validates it: mass itself stands beside it as the benchmark.",
            )
            if size
            else ("No structural size was measured often enough for a scaled mass index.",),
            figures=(*figures.get("size", []), *figures.get("index", [])),
            tables=(*scaled, table_size_candidates(results)),
        )
    )
    sections.append(
        ReportSection(
            anchor="sensitivity",
            heading="Exams left out, and what it matters",
            tables=(left_out, fit_left_out, table_sensitivity(results)),
        )
    )
    return sections
