"""The import report: a page on which a sceptic can follow every cell."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from bodycond.study.cautions import CAUTIONS
from bodycond.study.finding_files import FoundFiles
from bodycond.study.import_cell_tables import table_columns_read, table_held, table_reasons
from bodycond.study.import_decisions import (
    compose_corrections,
    compose_links,
    compose_questions,
    cut_list,
)
from bodycond.study.import_findings import ImportFindings
from bodycond.study.import_sheet_tables import (
    table_checks,
    table_sheets,
    table_source_files,
    table_unseen,
)
from bodycond.study.manifest import list_versions
from bodycond.study.report import ReportSection, render_report
from bodycond.study.report_tables import ReportTable
from bodycond.study.visible_texts import show_text
from bodycond.tables_on_disk import hash_file

_LONGEST_POINT = 400


def render_import_report(
    findings: ImportFindings,
    found: FoundFiles,
    *,
    recipe: Path,
    corrections: Sequence[Path],
    made: Sequence[str],
) -> str:
    """Write the report of an import.

    Parameters
    ----------
    findings : ImportFindings
        The import.
    found : FoundFiles
        The files read, and what was left out.
    recipe : Path
        The recipe's file.
    corrections : sequence of Path
        The corrections' files.
    made : sequence of str
        Names of the files written beside the page.

    Returns
    -------
    str
        HTML that needs nothing beside it.
    """
    sections = [
        _compose_answer(findings, found),
        _compose_sheets(findings),
        _compose_columns(findings),
        _compose_held(findings),
        _compose_reasons(
            findings, outcome="converted", anchor="converted", heading="What was converted",
            caption="Cells whose value is not written as it was, by reason and field; the raw text "
            "of each stands beside its value in ledger.parquet.",
            nothing="No cell was converted.",
        ),
        _compose_reasons(
            findings, outcome="set_aside", anchor="aside", heading="What was set aside",
            caption="Cells that are no values of exams or are not wanted, by reason; each stands "
            "in ledger.parquet.",
            nothing="No cell was set aside.",
        ),
        compose_questions(findings),
        compose_links(findings),
        compose_corrections(findings),
        _compose_notes(findings),
        _compose_next(findings, recipe=recipe, made=made),
        ReportSection(anchor="cautions", heading="Cautions", cautions=CAUTIONS),
        _compose_provenance(recipe, corrections),
    ]  # fmt: skip
    return render_report(
        title="Import of old exam sheets",
        question="What came in, what did not and why: an account of every filled cell.",
        sections=sections,
        closing="Made by bodycond. The sheets themselves were not changed.",
    )


def _compose_answer(findings: ImportFindings, found: FoundFiles) -> ReportSection:
    answer, *more = findings.word_answer()
    files = findings.imported.files
    unread = files.loc[~files["readable"].astype(bool)]
    points = [
        *more,
        *(f"Not read: {show_text(problem, limit=_LONGEST_POINT)}" for problem in unread["problem"]),
        *(f"Not read: {show_text(problem, limit=_LONGEST_POINT)}" for problem in found.problems),
        *map(show_text, found.describe_left_out()),
        *findings.word_corrections(),
    ]
    return ReportSection(
        anchor="answer",
        heading="The answer",
        paragraphs=(answer,),
        points=cut_list(points, "manifest.json"),
        tables=(table_checks(findings),),
    )


def _compose_sheets(findings: ImportFindings) -> ReportSection:
    tables: list[ReportTable | None] = [
        table_source_files(findings.imported),
        table_sheets(findings),
        table_unseen(findings.imported),
    ]
    return ReportSection(
        anchor="sheets",
        heading="Files and sheets",
        tables=tuple(table for table in tables if table is not None),
    )


def _compose_columns(findings: ImportFindings) -> ReportSection:
    known = len(findings.columns) > 0
    return ReportSection(
        anchor="columns",
        heading="What each column was taken for",
        paragraphs=() if known else ("The recipe names no column.",),
        tables=(table_columns_read(findings),) if known else (),
    )


def _compose_held(findings: ImportFindings) -> ReportSection:
    held = findings.quarantine
    paragraph = (
        "A held cell is empty in exams.csv until somebody decides. None was guessed at."
        if len(held)
        else "No cell was held back."
    )
    return ReportSection(
        anchor="held",
        heading="What was held back",
        paragraphs=(paragraph,),
        tables=(table_held(held),) if len(held) else (),
    )


def _compose_reasons(
    findings: ImportFindings, *, outcome: str, anchor: str, heading: str, caption: str, nothing: str
) -> ReportSection:
    table = table_reasons(findings, outcome=outcome, caption=caption)
    return ReportSection(
        anchor=anchor,
        heading=heading,
        paragraphs=() if table else (nothing,),
        tables=(table,) if table else (),
    )


def _compose_notes(findings: ImportFindings) -> ReportSection:
    notes = findings.imported.notes
    return ReportSection(
        anchor="notes",
        heading="Changed headings, repeated tables and other notes",
        paragraphs=() if notes else ("Nothing else is to be said of the sheets.",),
        points=cut_list(notes, "notes.csv"),
    )


def _compose_next(findings: ImportFindings, *, recipe: Path, made: Sequence[str]) -> ReportSection:
    marked = [name for name in made if name.startswith("marked/")]
    steps = []
    if findings.imported.recipe.questions:
        steps.append(f"Answer the open questions in {show_text(recipe.name)}.")
    if marked:
        listed = ", ".join(map(show_text, marked[:5]))
        more = f" and {len(marked) - 5} more" if len(marked) > 5 else ""
        steps.append(
            f"Walk through the marked workbooks with the person who typed the sheets: {listed}"
            f"{more}. Fill in decision, corrected, who and why in the list of held cells."
        )
    if len(findings.links):
        steps.append(
            "Decide which of the proposed birds are the same: in bird_links.csv write same_bird "
            "or different_birds as decision, and who and why, in the rows that you can tell; "
            "leave the others empty."
        )
    steps.append(
        "Run the import again with what came back; what was written before stays on record."
        if steps
        else "Nothing is open. To make the same tables again, run the import again."
    )
    corrected = ["--corrections", "FILLED_IN..."] if marked or len(findings.links) else []
    words = ["bodycond import FILES... --recipe", show_text(recipe.name), *corrected, "--out DIR"]
    return ReportSection(
        anchor="next",
        heading="What to do next",
        points=tuple(steps),
        commands=(" ".join(words),),
    )


def _compose_provenance(recipe: Path, corrections: Sequence[Path]) -> ReportSection:
    versions = ", ".join(f"{name} {version}" for name, version in list_versions().items())
    return ReportSection(
        anchor="provenance",
        heading="How to make this again",
        points=(
            f"Recipe: {show_text(recipe.name)}, SHA-256 {hash_file(recipe)}; a copy is recipe.yaml "
            "beside this page.",
            *(
                f"Corrections: {show_text(path.name)}, SHA-256 {hash_file(path)}."
                for path in corrections
            ),
            f"Versions: {versions}.",
            "Inputs and outputs with their SHA-256: manifest.json. It holds no clock time: the "
            "same files and recipe give the same bytes.",
        ),
    )
