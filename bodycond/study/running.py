"""The whole job: files in; tables, figures, report and manifest out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from bodycond.errors import ArgumentError
from bodycond.scales import KEEL_SCALE, ScoreScale
from bodycond.study.analysis import analyse_study
from bodycond.study.drawn_figures import draw_study_figures
from bodycond.study.flags import list_flags
from bodycond.study.manifest import list_versions, write_manifest
from bodycond.study.report import render_report
from bodycond.study.report_sections import compose_sections
from bodycond.study.settings import StudySettings
from bodycond.study.study_result import StudyResult
from bodycond.study.written_tables import name_tables, write_tables
from bodycond.tables_on_disk import write_text

if TYPE_CHECKING:
    from bodycond.legacy import ImportRecipe, LegacyImport

STAGES = (
    "reading the recipe",
    "importing",
    "checking",
    "estimating",
    "drawing",
    "writing tables",
    "writing the report",
)


def run_study(
    files: Sequence[str | Path],
    *,
    out: str | Path,
    recipe: str | Path | None = None,
    settings: StudySettings | None = None,
    title: str = "Body condition study",
    progress: Callable[[str], None] | None = None,
) -> StudyResult:
    """Run the whole job on files and write everything to a folder.

    Parameters
    ----------
    files : sequence of path
        Workbooks and text files.
    out : path
        Folder to write to; made if need be.
    recipe : path, optional
        Import recipe. Without one a draft is written to ``draft_recipe.yaml``, what it is
        certain of is used, and the rest is listed as questions.
    settings : StudySettings, optional
        What to study. Default settings if absent.
    title : str, default "Body condition study"
        Heading of the report.
    progress : callable, optional
        Called with the name of each stage as it begins.

    Returns
    -------
    StudyResult
        Results and files.

    Raises
    ------
    UnreadableFileError
        If no file can be read.
    RecipeError
        If the recipe cannot be carried out.
    ArgumentError
        If the score named is not in the imported table.
    """
    from bodycond.exams import check_exams
    from bodycond.legacy import import_legacy

    folder = Path(out)
    settings = settings or StudySettings()
    say = progress or (lambda _stage: None)
    paths = [Path(file) for file in files]
    outputs: list[Path] = []
    say(STAGES[0])
    used, recipe_path, questions = _take_recipe(paths, recipe, folder, outputs)
    say(STAGES[1])
    imported = import_legacy(paths, used)
    scale = find_score_scale(imported, used, score=settings.score)
    say(STAGES[2])
    check = check_exams(imported.exams)
    flags = list_flags(imported.exams, check.faults, imported.quarantine)
    say(STAGES[3])
    analysis = analyse_study(
        imported.exams, imported.ratings, check.faults, settings=settings, scale=scale
    )
    say(STAGES[4])
    figures, drawn = draw_study_figures(analysis, folder / "figures")
    outputs += drawn
    say(STAGES[5])
    outputs += write_tables(name_tables(imported, flags, analysis), folder / "tables")
    if analysis.condition is not None and analysis.condition.scaled_mass is not None:
        analysis.condition.scaled_mass.save(folder / "scaled_mass_fit.json")
        outputs.append(folder / "scaled_mass_fit.json")
    say(STAGES[6])
    sections = compose_sections(
        imported, check, flags, analysis, questions=questions, figures=figures,
        provenance=_word_provenance(settings, recipe_path),
    )  # fmt: skip
    page = render_report(
        title=title,
        question=f"How does body mass go with {settings.score}, and how alike do scorers grade?",
        sections=sections,
        closing="Made by bodycond. A score is no diagnosis.",
    )
    write_text(folder / "report.html", page)
    outputs.append(folder / "report.html")
    outputs.append(
        write_manifest(
            folder,
            inputs=[(row["file"], row["sha256"]) for row in imported.files.to_dict("records")],
            recipe=recipe_path,
            settings=settings.to_dict(),
            outputs=outputs,
        )
    )
    return StudyResult(
        folder=folder,
        imported=imported,
        check=check,
        flags=flags,
        analysis=analysis,
        questions=questions,
        outputs=tuple(outputs),
    )


def find_score_scale(imported: LegacyImport, recipe: ImportRecipe, *, score: str) -> ScoreScale:
    """Find the one scale that a score column was imported on.

    Parameters
    ----------
    imported : LegacyImport
        The import.
    recipe : ImportRecipe
        Its recipe, which knows the scales.
    score : str
        Column of the grade.

    Returns
    -------
    ScoreScale
        The scale; the keel scale where the column holds no grade.

    Raises
    ------
    ArgumentError
        If the column is not a score of the table, or its grades are on several scales.
    """
    name = f"{score}_scale"
    if name not in imported.exams.columns:
        known = [column[:-6] for column in imported.exams.columns if column.endswith("_scale")]
        raise ArgumentError(
            needed=f"--score names a score column; {score!r} has none",
            found=f"score columns {', '.join(known) or 'none'}",
            then="Name one of them, or give the column its scale in the recipe",
        )
    tables = [table for table in (imported.exams, imported.ratings) if name in table.columns]
    found = sorted({str(scale) for table in tables for scale in table[name].dropna().unique()})
    if not found:
        return KEEL_SCALE
    scale = recipe.find_scale(found[0])
    if len(found) > 1 or scale is None:
        raise ArgumentError(
            needed=f"One study takes grades of {score} on one scale",
            found=f"grades on {', '.join(found)}",
            then="Study the files of each scale apart; scales are not converted",
        )
    return scale


def _take_recipe(
    paths: Sequence[Path], recipe: str | Path | None, folder: Path, outputs: list[Path]
) -> tuple[ImportRecipe, Path, tuple[str, ...]]:
    from bodycond.legacy import ImportRecipe, draft_recipe

    if recipe is not None:
        return ImportRecipe.load(Path(recipe)), Path(recipe), ()
    drafted = draft_recipe(paths)
    target = folder / "draft_recipe.yaml"
    drafted.save(target)
    outputs.append(target)
    return drafted, target, tuple(drafted.questions)


def _word_provenance(settings: StudySettings, recipe: Path) -> list[str]:
    versions = ", ".join(f"{name} {version}" for name, version in list_versions().items())
    chosen = ", ".join(
        f"{name} {value if value is not None else 'not set'}"
        for name, value in settings.to_dict().items()
    )
    return [
        f"Recipe: {recipe.name}.",
        f"Settings: {chosen}.",
        f"Versions: {versions}.",
        "Inputs and outputs with their SHA-256: manifest.json, beside this page.",
    ]
