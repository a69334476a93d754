"""What the report says, section by section, made from the study's own results."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import pandas as pd

from bodycond.errors import name_first_few
from bodycond.references import split_references
from bodycond.rounding import word_interval
from bodycond.study.analysis import StudyAnalysis
from bodycond.study.cautions import CAUTIONS
from bodycond.study.condition_sections import compose_condition
from bodycond.study.report import ReportFigure, ReportSection
from bodycond.study.report_tables import table_agreement, table_flags, table_of_frame

if TYPE_CHECKING:
    from bodycond.exams import ExamCheck
    from bodycond.legacy import LegacyImport

Figures = dict[str, list[ReportFigure]]
_MOST_FLAGS = 40
_MOST_QUESTIONS = 40


def compose_sections(
    imported: LegacyImport,
    check: ExamCheck,
    flags: pd.DataFrame,
    analysis: StudyAnalysis,
    *,
    questions: Sequence[str],
    figures: Figures,
    provenance: Sequence[str],
) -> list[ReportSection]:
    """Compose every section of the report.

    Parameters
    ----------
    imported : LegacyImport
        What came in.
    check : ExamCheck
        What the check found.
    flags : DataFrame
        Everything to look at, as `list_flags` gives it.
    analysis : StudyAnalysis
        Results.
    questions : sequence of str
        What a drafted recipe could not decide.
    figures : dict of str to list of ReportFigure
        Figures by section: "mass", "size", "index", "agreement".
    provenance : sequence of str
        Versions, seed and settings, in words.

    Returns
    -------
    list of ReportSection
        The sections in reading order.
    """
    return [
        _compose_short(imported, flags, analysis),
        _compose_data(imported, questions),
        _compose_flags(check, flags),
        *compose_condition(analysis, figures),
        _compose_agreement(analysis, figures),
        _compose_methods(imported, check, analysis),
        ReportSection(anchor="cautions", heading="Cautions", cautions=CAUTIONS),
        ReportSection(
            anchor="provenance", heading="How to make this again", points=tuple(provenance)
        ),
    ]


def _compose_short(
    imported: LegacyImport, flags: pd.DataFrame, analysis: StudyAnalysis
) -> ReportSection:
    exams = imported.exams
    counts = imported.reconciliation[["raw_cells", "accepted", "converted", "quarantined",
                                      "set_aside"]].sum()  # fmt: skip
    points = [
        f"{len(exams)} exams of {exams['bird_id'].nunique()} birds and "
        f"{exams['species'].nunique()} species, and {len(imported.ratings)} ratings, were read "
        f"from {len(imported.files)} files.",
        f"Of {counts['raw_cells']} cells, {counts['accepted']} were accepted as they stand, "
        f"{counts['converted']} converted, {counts['quarantined']} held back with a reason and "
        f"{counts['set_aside']} set aside as headings, totals or columns not asked for. None was "
        "changed in silence, none is missing.",
        f"{len(flags)} values or rows are listed for somebody to look at.",
    ]
    if analysis.condition is not None:
        groups = analysis.condition.linear.groups
        fitted = groups.loc[groups["reason"] == ""].sort_values("n_birds", ascending=False)
        for row in fitted.head(2).to_dict("records"):
            percent = word_interval(
                row["percent_per_grade"], row["percent_low"], row["percent_high"], unit="%",
                level=analysis.condition.linear.level,
            )  # fmt: skip
            points.append(
                f"{row['species']}, {row['sex']}: mass is higher by {percent} per grade; "
                f"{row['n_birds']} birds, {row['n_rows']} exams."
            )
    if analysis.headline_pair is not None:
        pair = analysis.headline_pair
        kappa = word_interval(
            pair.kappa.value, pair.kappa.low, pair.kappa.high, level=pair.kappa.level
        )
        points.append(
            f"{pair.first_name} and {pair.second_name}: quadratic weighted kappa {kappa}; "
            f"{pair.kappa.n} birds."
        )
    points += [f"Not done: {row.part}. {row.reason}" for row in analysis.not_done.itertuples()]
    return ReportSection(anchor="short", heading="In short", points=tuple(points))


def _compose_data(imported: LegacyImport, questions: Sequence[str]) -> ReportSection:
    tables = [
        table_of_frame(
            imported.files.assign(sha256=imported.files["sha256"].str[:12]),
            caption="Files, with the first digits of their SHA-256; the manifest has all of them.",
            headings={
                "file": "File", "sheets": "Sheets", "sha256": "SHA-256", "problem": "Problem",
            },
        ),
        table_of_frame(
            imported.reconciliation.assign(
                place=imported.reconciliation["file"] + ", " + imported.reconciliation["sheet"]
            ),
            caption="Where every cell and every row went, by sheet. Raw cells are accepted, "
            "converted, held back or set aside; rows are exams, ratings, held, or no exams.",
            headings={
                "place": "File, sheet",
                "raw_cells": "Raw cells",
                "accepted": "Accepted", "converted": "Converted", "quarantined": "Held back",
                "set_aside": "Set aside", "rows_in": "Rows", "exams_out": "Exams",
                "ratings_out": "Ratings", "rows_held": "Rows held", "rows_not_exams": "No exams",
            },
        ),
    ]  # fmt: skip
    quarantine = imported.quarantine
    if len(quarantine):
        reasons = (
            quarantine.assign(target=quarantine["target"].str.removeprefix("exams."))
            .groupby(["target", "reason"], dropna=False)
            .agg(
                n=("raw", "size"),
                examples=("raw", lambda raw: name_first_few(raw.unique(), limit=3)),
            )
            .reset_index()
            .sort_values("n", ascending=False, kind="stable")
        )
        tables.append(
            table_of_frame(
                reasons,
                caption="Cells held back, by reason; the raw text is kept, with its address, in "
                "tables/quarantine.csv.",
                headings={"reason": "Reason", "target": "Meant for", "n": "Cells",
                          "examples": "As written"},
                most=_MOST_FLAGS,
            )
        )  # fmt: skip
    paragraphs = list(imported.notes)
    shown = list(questions)[:_MOST_QUESTIONS]
    if questions:
        paragraphs.append(
            f"The recipe was drafted from the files and leaves {len(questions)} questions open. "
            "What they concern was held back. Answer them in draft_recipe.yaml and run the study "
            "again with --recipe."
        )
        if len(questions) > len(shown):
            shown.append(f"and {len(questions) - len(shown)} more, in draft_recipe.yaml")
    return ReportSection(
        anchor="data",
        heading="What came in, and what did not",
        paragraphs=tuple(paragraphs),
        points=tuple(shown),
        tables=tuple(tables),
    )


def _compose_flags(check: ExamCheck, flags: pd.DataFrame) -> ReportSection:
    paragraphs = [
        "Nothing below was changed. Each line is a question for the person who knows the bird or "
        "the sheet; a likely cure is a proposal."
    ]
    not_run = [
        f"Rule not run: {row.rule}. {row.reason}" for row in check.not_run.itertuples(index=False)
    ]
    found = flags.loc[flags["found_by"] == "check"] if len(flags) else flags
    tables = (table_flags(found, most=_MOST_FLAGS),) if len(found) else ()
    if not len(found):
        paragraphs.append("The check found no fault.")
    return ReportSection(
        anchor="flags",
        heading="What to look at",
        paragraphs=tuple(paragraphs),
        points=tuple(not_run),
        tables=tables,
    )


def _compose_agreement(analysis: StudyAnalysis, figures: Figures) -> ReportSection:
    paragraphs = analysis.why_not("agreement") or (
        "Kappa depends on how varied the birds were as much as on the scorers, and a signed "
        "difference and noise can give the same kappa; read the rows together.",
    )
    return ReportSection(
        anchor="agreement",
        heading="Agreement between scorers",
        paragraphs=paragraphs,
        figures=tuple(figures.get("agreement", [])),
        tables=tuple(table_agreement(analysis)),
    )


def _compose_methods(
    imported: LegacyImport, check: ExamCheck, analysis: StudyAnalysis
) -> ReportSection:
    results: list[Any] = [imported, check]
    if analysis.condition is not None:
        parts = analysis.condition
        results += [parts.linear, parts.scaled_mass, parts.index_by_keel]
    results.append(analysis.agreement)
    paragraphs, references = [], set()
    for result in results:
        if result is None:
            continue
        sentences, cited = split_references(result.methods())
        paragraphs.append(sentences)
        references |= set(cited)
    return ReportSection(
        anchor="methods",
        heading="Methods and references",
        paragraphs=tuple(paragraphs),
        points=tuple(sorted(references)),
    )
