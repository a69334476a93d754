"""The whole job: files in; tables, figures, report and manifest out."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from bodycond.columns import word_label
from bodycond.errors import ArgumentError, name_first_few
from bodycond.scales import KEEL_SCALE, ScoreScale
from bodycond.study.analysis import StudyAnalysis, analyse_study
from bodycond.study.drawn_figures import draw_study_figures
from bodycond.study.flags import list_flags
from bodycond.study.manifest import list_versions, read_earlier_outputs, write_manifest
from bodycond.study.report import ReportSection, render_report
from bodycond.study.report_sections import compose_sections
from bodycond.study.settings import StudySettings
from bodycond.study.study_result import StudyResult
from bodycond.study.written_tables import name_tables, write_tables
from bodycond.tables_on_disk import hash_file, write_text

if TYPE_CHECKING:
    import pandas as pd

    from bodycond.exams import ExamCheck
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
        If the score or the reference scorer named is not in the imported tables, or a draft that
        somebody edited would be replaced.
    """
    from bodycond.exams import check_exams
    from bodycond.legacy import import_legacy

    folder = Path(out)
    settings = settings or StudySettings()
    say = progress or (lambda _stage: None)
    paths = [Path(file) for file in files]
    earlier = read_earlier_outputs(folder)
    say(STAGES[0])
    used, recipe_path, questions = _take_recipe(paths, recipe, folder, earlier)
    say(STAGES[1])
    imported = import_legacy(paths, used)
    scale = find_score_scale(imported, used, score=settings.score)
    _require_reference(imported, settings.reference)
    say(STAGES[2])
    check = check_exams(imported.exams)
    flags = list_flags(imported.exams, check.faults, imported.quarantine)
    say(STAGES[3])
    analysis = analyse_study(
        imported.exams, imported.ratings, check.faults, settings=settings, scale=scale
    )
    outputs = _write_results(
        folder, imported, check, flags, analysis, questions=questions, settings=settings,
        recipe=recipe_path, title=title, say=say,
    )  # fmt: skip
    if recipe is None:
        outputs.append(recipe_path)
    inputs = [(row["file"], row["sha256"]) for row in imported.files.to_dict("records")]
    manifest = write_manifest(
        folder, inputs=inputs, recipe=recipe_path, settings=settings.to_dict(), outputs=outputs
    )
    return StudyResult(
        folder=folder,
        imported=imported,
        check=check,
        flags=flags,
        analysis=analysis,
        questions=questions,
        outputs=(*outputs, manifest),
        left_over=_find_left_over(folder, earlier, [*outputs, recipe_path]),
    )


def _write_results(
    folder: Path,
    imported: LegacyImport,
    check: ExamCheck,
    flags: pd.DataFrame,
    analysis: StudyAnalysis,
    *,
    questions: Sequence[str],
    settings: StudySettings,
    recipe: Path,
    title: str,
    say: Callable[[str], None],
) -> list[Path]:
    """Draw the figures, write the tables and the report; give every file written."""
    say(STAGES[4])
    figures, outputs = draw_study_figures(analysis, folder / "figures")
    say(STAGES[5])
    outputs += write_tables(name_tables(imported, flags, analysis), folder / "tables")
    outputs += _save_index(analysis, folder)
    say(STAGES[6])
    sections = compose_sections(
        imported, check, flags, analysis, questions=questions, figures=figures,
        provenance=_word_provenance(settings, recipe),
    )  # fmt: skip
    return [*outputs, _write_report(folder, title=title, score=settings.score, sections=sections)]


def _save_index(analysis: StudyAnalysis, folder: Path) -> list[Path]:
    condition = analysis.condition
    if condition is None or condition.scaled_mass is None:
        return []
    target = folder / "scaled_mass_fit.json"
    condition.scaled_mass.save(target)
    return [target]


def _write_report(
    folder: Path, *, title: str, score: str, sections: Sequence[ReportSection]
) -> Path:
    page = render_report(
        title=title,
        question=f"How does body mass change with {word_label(score)}, and how alike do scorers "
        "grade? A descriptive, exploratory analysis.",
        sections=sections,
        closing="Made by bodycond. A score is no diagnosis.",
    )
    target = folder / "report.html"
    write_text(target, page)
    return target


def _find_left_over(
    folder: Path, earlier: Mapping[str, str], now: Sequence[Path]
) -> tuple[Path, ...]:
    """Find what an earlier study left here, so that nobody takes it for this one's."""
    ours = {path.resolve() for path in now}
    places = [folder / name for name in sorted(earlier)]
    return tuple(path for path in places if path.is_file() and path.resolve() not in ours)


def _require_reference(imported: LegacyImport, reference: str | None) -> None:
    if reference is None or imported.ratings.empty:
        return
    scorers = sorted({str(name) for name in imported.ratings["scorer"].dropna()})
    if reference not in scorers:
        raise ArgumentError(
            needed=f"The reference scorer {reference!r} must have rated birds",
            found=f"ratings by {name_first_few(scorers, limit=12) or 'nobody'}",
            then="Name one of them, or no reference scorer",
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
            found=f"grades on {', '.join(found)}"
            + ("" if scale is not None else f"; the recipe does not describe {found[0]}"),
            then="Describe each scale in the recipe, and study the files of each apart; scales are "
            "not converted",
        )
    return scale


def _take_recipe(
    paths: Sequence[Path], recipe: str | Path | None, folder: Path, earlier: Mapping[str, str]
) -> tuple[ImportRecipe, Path, tuple[str, ...]]:
    from bodycond.legacy import ImportRecipe, draft_recipe

    if recipe is not None:
        return ImportRecipe.load(Path(recipe)), Path(recipe), ()
    drafted = draft_recipe(paths)
    target = folder / "draft_recipe.yaml"
    before = hash_file(target) if target.is_file() else None
    fresh = folder / ".draft_recipe.yaml"
    drafted.save(fresh)
    if before not in (None, hash_file(fresh), earlier.get(target.name)):
        fresh.unlink()
        raise ArgumentError(
            needed="Without a recipe a new draft is written to draft_recipe.yaml",
            found=f"{target}, which somebody has edited since it was drafted, or put there",
            then=f"Run again with --recipe {target}, or move it away; it is not overwritten",
        )
    fresh.replace(target)
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
