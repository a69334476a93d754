"""The import as a job: files and recipe in; tables, marked workbooks, report, manifest out."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from bodycond.study.finding_files import FoundFiles, find_files
from bodycond.study.import_findings import ImportFindings, find_out, propose_links
from bodycond.study.import_report import render_import_report
from bodycond.study.import_run import LINKS_STEM, MARKED_FOLDER, TEMPLATE_STEM, ImportRun
from bodycond.study.import_tables_written import write_import_tables
from bodycond.study.manifest import read_earlier_outputs, write_manifest
from bodycond.study.safe_writing import (
    choose_form_name,
    open_workshop,
    put_in_place,
    require_folder,
)
from bodycond.tables_on_disk import hash_file, write_bytes, write_csv, write_text

if TYPE_CHECKING:
    from bodycond.legacy import LegacyImport

STAGES = (
    "reading the recipe",
    "comparing birds",
    "accounting for every cell",
    "marking held cells",
    "writing tables",
    "writing the report",
)

_CORRECTION_SUFFIXES = frozenset({".csv", ".xlsx", ".xlsm", ".ods"})

Say = Callable[[str], None]


def run_import(
    files: str | Path | Iterable[str | Path],
    *,
    recipe: str | Path,
    out: str | Path,
    corrections: Sequence[str | Path] = (),
    marked: bool = True,
    progress: Say | None = None,
) -> ImportRun:
    """Import files and folders by a recipe, and write every account of it to a folder.

    Everything is made in a hidden folder first and then put in place, so that a run that fails
    changes nothing; no file is written over that somebody put there or edited.

    Parameters
    ----------
    files : path or iterable of path
        Workbooks, text files, and folders of them.
    recipe : path
        Import recipe.
    out : path
        Folder to write to; made if need be.
    corrections : sequence of path
        Filled-in corrections and marked workbooks that came back, or folders of them.
    marked : bool, default True
        Write the marked workbooks, which takes longest where much is held.
    progress : callable, optional
        Called with the name of each stage, or of the file, as it begins.

    Returns
    -------
    ImportRun
        The import and the files written.

    Raises
    ------
    RecipeError
        If the recipe cannot be carried out.
    CorrectionError
        If a correction is incomplete or two contradict each other.
    UnreadableFileError
        If no file can be read, or a file of corrections cannot.
    ArgumentError
        If the folder is a file, or a result would be written over a file of somebody's own.
    """
    from bodycond.legacy import ImportRecipe, import_legacy
    from bodycond.legacy.corrections.correction_files import read_corrections

    folder, recipe_path = Path(out), Path(recipe)
    require_folder(folder)
    corrected = list_corrections(corrections)
    say = progress or (lambda _stage: None)
    say(STAGES[0])
    used = ImportRecipe.load(recipe_path)
    found = find_files(files, out=folder, apart=[recipe_path, *corrected])
    decided = read_corrections(corrected) if corrected else None
    imported = import_legacy(found.files, used, corrections=decided, progress=say)
    say(STAGES[1])
    links = propose_links(imported, decided, progress=lambda step: say(f"{STAGES[1]}: {step}"))
    say(STAGES[2])
    findings = find_out(imported, links=links, given=decided)
    earlier = read_earlier_outputs(folder)
    if earlier:
        # A manifest that lists outputs is one of ours, and it does not list itself.
        earlier["manifest.json"] = hash_file(folder / "manifest.json")
    # Corrections are not among them: a form that nobody filled in may be written anew, and one
    # that somebody filled in is no longer as it was written.
    given = [*found.files, recipe_path]
    with open_workshop(folder) as workshop:
        _write_forms(workshop, findings, folder=folder, earlier=earlier, marked=marked, say=say)
        say(STAGES[4])
        write_import_tables(findings, workshop)
        write_bytes(workshop / "recipe.yaml", recipe_path.read_bytes())
        say(STAGES[5])
        _write_report(workshop, findings, found=found, recipe=recipe_path, corrections=corrected)
        _write_manifest(workshop, imported, recipe=recipe_path, corrections=corrected)
        outputs = put_in_place(
            workshop, _list_made(workshop), folder=folder, earlier=earlier, given=given
        )
    used_or_made = {path.resolve() for path in (*outputs, *corrected)}
    before = [folder / name for name in sorted(earlier)]
    return ImportRun(
        folder=folder,
        findings=findings,
        found=found,
        outputs=tuple(outputs),
        left_over=tuple(
            path for path in before if path.is_file() and path.resolve() not in used_or_made
        ),
    )


def list_corrections(paths: Sequence[str | Path]) -> list[Path]:
    """List files of corrections: those named, and every one in the folders named.

    Parameters
    ----------
    paths : sequence of path
        Files and folders.

    Returns
    -------
    list of Path
        The files; of a folder those that can hold corrections, in the order of their names.
    """
    listed: list[Path] = []
    for path in map(Path, paths):
        inside = sorted(path.iterdir()) if path.is_dir() else [path]
        listed += [
            file
            for file in inside
            if file is path
            or (file.suffix.lower() in _CORRECTION_SUFFIXES and file.name[0] not in ".~")
        ]
    return listed


def _write_forms(
    workshop: Path,
    findings: ImportFindings,
    *,
    folder: Path,
    earlier: dict[str, str],
    marked: bool,
    say: Say,
) -> None:
    """Write what people fill in; a form that somebody has filled in keeps its name and place."""
    from bodycond.legacy.corrections.correction_records import draft_corrections
    from bodycond.legacy.corrections.marked_workbooks import (
        name_marked_workbooks,
        write_marked_workbook,
    )

    imported = findings.imported
    sheets = [account.sheet for account in imported.accounts]
    headings = _find_heading_rows(imported)
    names = name_marked_workbooks([str(label) for label in imported.files["file"]])
    say(STAGES[3])
    made: list[str] = []
    for label, held in findings.quarantine.groupby("file", sort=False) if marked else ():
        say(f"{STAGES[3]}: {label}")
        made.append(f"{MARKED_FOLDER}/{names[str(label)]}")
        write_marked_workbook(
            [sheet for sheet in sheets if sheet.file == label],
            held,
            workshop / made[-1],
            heading_rows=headings,
        )
    # Written where nothing is held as well: decisions of one's own need the headings, and a
    # template of an earlier run would seem to be of this one.
    made.append(f"{TEMPLATE_STEM}.csv")
    write_csv(draft_corrections(findings.quarantine), workshop / made[-1])
    made.append(f"{LINKS_STEM}.csv")
    write_csv(findings.links, workshop / made[-1])
    for name in made:
        chosen = choose_form_name(folder, name, workshop / name, earlier=earlier)
        if chosen != name:
            shutil.move(workshop / name, workshop / chosen)


def _find_heading_rows(imported: LegacyImport) -> dict[tuple[str, str], int]:
    rows: dict[tuple[str, str], int] = {}
    for account in imported.accounts:
        key = (account.sheet.file, account.sheet.name)
        rule = imported.recipe.find_rule(file=key[0], sheet=key[1])
        if rule is not None and rule.heading_rows and not rule.is_part:
            rows[key] = max(rule.heading_rows)
    return rows


def _write_report(
    workshop: Path,
    findings: ImportFindings,
    *,
    found: FoundFiles,
    recipe: Path,
    corrections: Sequence[Path],
) -> None:
    page = render_import_report(
        findings,
        found,
        recipe=recipe,
        corrections=corrections,
        made=_list_made(workshop),
    )
    write_text(workshop / "import_report.html", page)


def _write_manifest(
    workshop: Path, imported: LegacyImport, *, recipe: Path, corrections: Sequence[Path]
) -> None:
    inputs = [(row["file"], row["sha256"]) for row in imported.files.to_dict("records")]
    inputs += [(path.name, hash_file(path)) for path in corrections]
    outputs = [workshop / name for name in _list_made(workshop)]
    write_manifest(
        workshop,
        inputs=inputs,
        recipe=recipe,
        settings={"command": "import", "corrections": [path.name for path in corrections]},
        outputs=outputs,
    )


def _list_made(workshop: Path) -> list[str]:
    made = [path for path in workshop.rglob("*") if path.is_file()]
    names = sorted(path.relative_to(workshop).as_posix() for path in made)
    # Last, so that until all else is in place the old manifest tells what is there.
    return [name for name in names if name != "manifest.json"] + [
        name for name in names if name == "manifest.json"
    ]
