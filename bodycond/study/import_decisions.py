"""The import report's sections on what people decide: questions, birds, corrections."""

from __future__ import annotations

from collections.abc import Sequence

from bodycond.study.import_cell_tables import MOST_ROWS, table_any
from bodycond.study.import_findings import ImportFindings
from bodycond.study.report import ReportSection
from bodycond.study.visible_texts import show_text, word_rest

_LONGEST_POINT = 400

_LINK_HEADINGS = {
    "bird_id": "Bird", "same_as": "May be", "kind": "What was seen", "strength": "Strength",
    "evidence_for": "For one bird", "evidence_against": "Against", "example_bird_id": "An exam",
    "example_same_as": "An exam of the other",
}  # fmt: skip
_LOG_HEADINGS = {
    "given_in": "Given in", "outcome": "What became of it", "decision": "Decision", "file": "File",
    "sheet": "Sheet", "cell": "Cell", "raw": "Written", "corrected": "Corrected to",
    "bird_id": "Bird", "same_as": "Same as", "who": "Who", "why": "Why", "decided_on": "Decided on",
}  # fmt: skip


def compose_questions(findings: ImportFindings) -> ReportSection:
    """Compose the questions that the recipe leaves open.

    Parameters
    ----------
    findings : ImportFindings
        The import.

    Returns
    -------
    ReportSection
        The section.
    """
    questions = findings.imported.recipe.questions
    opening = (
        f"The recipe leaves {len(questions)} questions open. What they concern is held back until "
        "they are answered in the recipe."
        if questions
        else "The recipe leaves no question open."
    )
    return ReportSection(
        anchor="questions",
        heading="Questions still open",
        paragraphs=(opening,),
        points=cut_list(questions, "recipe.yaml"),
    )


def compose_links(findings: ImportFindings) -> ReportSection:
    """Compose the proposals which birds are the same.

    Parameters
    ----------
    findings : ImportFindings
        The import.

    Returns
    -------
    ReportSection
        The section.
    """
    links = findings.links
    if links.empty:
        return ReportSection(
            anchor="links",
            heading="Birds that may be the same",
            paragraphs=(
                "No two birds look like one bird under two numbers. A bird re-ringed and "
                "renumbered at once leaves no trace in the tables.",
            ),
        )
    return ReportSection(
        anchor="links",
        heading="Birds that may be the same",
        paragraphs=(
            "Each row proposes that two numbers stand for one bird, or asks whether one number "
            "stands for two, with the evidence. None was applied: write decision (same_bird or "
            "different_birds), who and why in bird_links.csv and give it back as corrections. "
            "Until then each number counts as a bird of its own.",
        ),
        tables=(
            table_any(
                links, headings=_LINK_HEADINGS, caption="Proposals, not applied.",
                file="bird_links.csv",
            ),
        ),
    )  # fmt: skip


def compose_corrections(findings: ImportFindings) -> ReportSection:
    """Compose what became of each correction.

    Parameters
    ----------
    findings : ImportFindings
        The import.

    Returns
    -------
    ReportSection
        The section.
    """
    log = findings.imported.corrections_log
    if findings.given is None:
        return ReportSection(
            anchor="corrections",
            heading="Corrections",
            paragraphs=("No corrections were given.",),
        )
    applied = log["applied"].astype(bool)
    tables = [
        table_any(
            log.loc[chosen], headings=_LOG_HEADINGS, caption=caption, file="corrections_log.csv"
        )
        for chosen, caption in (
            (~applied, "Not applied: these changed nothing."),
            (applied, "Applied; what was written stays in the ledger."),
        )
        if chosen.any()
    ]
    return ReportSection(
        anchor="corrections",
        heading="Corrections",
        paragraphs=tuple(map(show_text, findings.word_corrections()[:1])),
        points=cut_list(
            [*findings.word_corrections()[1:], *findings.given.notes], "corrections_log.csv"
        ),
        tables=tuple(tables),
    )


def cut_list(texts: Sequence[str], file: str) -> tuple[str, ...]:
    """Cut a list that is too long to be read, and say where all of it stands.

    Parameters
    ----------
    texts : sequence of str
        The list.
    file : str
        The file that has all.

    Returns
    -------
    tuple of str
        Its first texts, fit to be shown.
    """
    shown = tuple(show_text(text, limit=_LONGEST_POINT) for text in texts[:MOST_ROWS])
    rest = word_rest(len(texts), MOST_ROWS, file).strip()
    return (*shown, rest) if rest else shown
