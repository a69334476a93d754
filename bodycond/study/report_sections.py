"""What the report says, section by section, made from the study's own results."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import pandas as pd

from bodycond.exams.faults import RULES, count_faults
from bodycond.rounding import word_interval
from bodycond.study.agreement_tables import table_headline_pair, table_scorer_pairs
from bodycond.study.analysis import AGREEMENT, StudyAnalysis, word_gap
from bodycond.study.cautions import CAUTIONS
from bodycond.study.condition_sections import Figures, compose_condition
from bodycond.study.group_words import name_birds
from bodycond.study.import_tables import (
    OUTCOMES,
    table_files,
    table_flags,
    table_quarantine,
    table_reconciliation,
)
from bodycond.study.methods_section import compose_methods
from bodycond.study.report import ReportSection
from bodycond.study.report_tables import word_cell

if TYPE_CHECKING:
    from bodycond.exams import ExamCheck
    from bodycond.legacy import LegacyImport

_MOST_QUESTIONS = 40
_MOST_GROUPS_IN_SHORT = 2


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
        _compose_short(imported, check, analysis),
        _compose_data(imported, questions),
        _compose_flags(check, flags),
        *compose_condition(analysis, figures),
        _compose_agreement(analysis, figures),
        compose_methods(imported, check, analysis),
        ReportSection(anchor="cautions", heading="Cautions", cautions=CAUTIONS),
        ReportSection(
            anchor="provenance", heading="How to make this again", points=tuple(provenance)
        ),
    ]


def _compose_short(
    imported: LegacyImport, check: ExamCheck, analysis: StudyAnalysis
) -> ReportSection:
    exams = imported.exams
    points = [
        f"{len(exams)} exams of {exams['bird_id'].nunique()} birds and "
        f"{exams['species'].nunique()} species, and {len(imported.ratings)} ratings, were read "
        f"from {int(imported.files['readable'].sum())} of {len(imported.files)} files.",
        _word_cells(imported),
        f"The check found {len(check.faults)} faults for somebody to look at, and changed nothing.",
        *_word_mass(analysis),
        *_word_agreement(analysis),
        *(word_gap(row) for row in analysis.not_done.to_dict("records")),
    ]
    return ReportSection(anchor="short", heading="In short", points=tuple(points))


def _word_cells(imported: LegacyImport) -> str:
    counts = imported.reconciliation[["raw_cells", *OUTCOMES]].sum()
    words = {name: word_cell(int(count)) for name, count in counts.items()}
    missing = int(counts["raw_cells"] - counts[list(OUTCOMES)].sum())
    return (
        f"Of {words['raw_cells']} filled cells, {words['accepted']} were accepted as they stand, "
        f"{words['converted']} converted (units, dates and codes; each in tables/ledger.csv), "
        f"{words['quarantined']} held back with a reason and {words['set_aside']} set aside as "
        f"headings, totals or columns not asked for; {word_cell(missing)} are unaccounted for."
    )


def _word_mass(analysis: StudyAnalysis) -> list[str]:
    if analysis.condition is None:
        return []
    fit = analysis.condition.linear
    fitted = fit.groups.loc[fit.groups["reason"] == ""]
    largest = fitted.sort_values("n_birds", ascending=False, kind="stable")
    points = []
    for row in largest.head(_MOST_GROUPS_IN_SHORT).to_dict("records"):
        percent = word_interval(
            row["percent_per_grade"], row["percent_low"], row["percent_high"], unit="%",
            level=fit.level,
        )  # fmt: skip
        points.append(
            f"{name_birds(row)}: mass changes by {percent} per grade; {row['n_birds']} birds, "
            f"{row['n_rows']} exams."
        )
    if len(fitted) > len(points):
        points.append(
            f"These are the {len(points)} groups with most birds; {len(fitted) - len(points)} "
            "more stand under Mass by score."
        )
    return points


def _word_agreement(analysis: StudyAnalysis) -> list[str]:
    pair = analysis.headline_pair
    if pair is None:
        return []
    kappa, signed = (
        word_interval(each.value, each.low, each.high, level=each.level)
        for each in (pair.kappa, pair.signed_difference)
    )
    return [
        f"{pair.first_name} and {pair.second_name}: quadratic weighted kappa {kappa}; mean signed "
        f"difference in grades, {pair.second_name} minus {pair.first_name}, {signed}; "
        f"{pair.kappa.n} birds."
    ]


def _compose_data(imported: LegacyImport, questions: Sequence[str]) -> ReportSection:
    tables = [table_files(imported), table_reconciliation(imported)]
    if len(imported.quarantine):
        tables.append(table_quarantine(imported.quarantine))
    paragraphs = []
    shown = list(questions)[:_MOST_QUESTIONS]
    if questions:
        paragraphs.append(
            f"The recipe was drafted from the files; questions left open: {len(questions)}. What "
            "they concern was held back. Answer them in draft_recipe.yaml, save it under a name of "
            "your own and run the study again with --recipe."
        )
        if len(questions) > len(shown):
            shown.append(f"and {len(questions) - len(shown)} more, in draft_recipe.yaml")
    return ReportSection(
        anchor="data",
        heading="What came in, and what did not",
        paragraphs=tuple(paragraphs),
        points=(*shown, *imported.notes),
        tables=tuple(tables),
    )


def _compose_flags(check: ExamCheck, flags: pd.DataFrame) -> ReportSection:
    meanings = {rule.name: rule.meaning for rule in RULES}
    found = flags.loc[flags["found_by"] == "check"]
    points = [
        f"{str(row['rule']).replace('_', ' ').capitalize()} ({row['n_faults']}): "
        f"{meanings[row['rule']]}."
        for row in count_faults(check.faults).to_dict("records")
    ]
    points += [
        f"Rule not run: {row.rule}. {row.reason}" for row in check.not_run.itertuples(index=False)
    ]
    opening = (
        "Nothing below was changed. Each line is a question for the person who knows the bird or "
        "the sheet; a likely cure is a proposal."
        if len(found)
        else "The check found no fault."
    )
    return ReportSection(
        anchor="flags",
        heading="What to look at",
        paragraphs=(opening,),
        points=tuple(points),
        tables=(table_flags(found),) if len(found) else (),
    )


def _compose_agreement(analysis: StudyAnalysis, figures: Figures) -> ReportSection:
    pair = analysis.headline_pair
    paragraphs = analysis.why_not(AGREEMENT) or (
        "Kappa depends on how varied the birds were as much as on the scorers, and a signed "
        "difference and noise can give the same kappa; read the rows together. The scorer named "
        "first is who the other is compared with, and no standard of truth.",
    )
    return ReportSection(
        anchor="agreement",
        heading="Agreement between scorers",
        paragraphs=paragraphs,
        figures=tuple(figures.get("agreement", [])),
        tables=(table_headline_pair(pair), table_scorer_pairs(analysis.agreement))
        if pair is not None and analysis.agreement is not None
        else (),
    )
