"""A first recipe from the files alone: what is certain is filled in, the rest is asked."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import Path

from bodycond.errors import ArgumentError, UnreadableFileError
from bodycond.legacy.entry_grouping import DraftedEntry, group_entries
from bodycond.legacy.form_drafting import draft_forms, find_forms
from bodycond.legacy.label_drafting import LabelValue, draft_form, find_label_values, is_form
from bodycond.legacy.recipe import ImportRecipe
from bodycond.legacy.recipe_rules import SheetRule
from bodycond.legacy.sheets import Sheet
from bodycond.legacy.source_files import describe_all_unreadable, label_files, read_sheets
from bodycond.legacy.table_cutting import FoundTable, find_tables
from bodycond.legacy.table_data import gather_table
from bodycond.legacy.table_drafting import draft_columns

# A form of labels alone stands on one page or two.
_LONGEST_FORM = 80
_NO_TABLE = (
    "No row of headings was recognised. Is there a table of exams? Then write its heading_row and "
    "columns; otherwise table: set_aside with why."
)


def draft_recipe(
    paths: str | Path | Iterable[str | Path],
    *,
    progress: Callable[[str], None] | None = None,
) -> ImportRecipe:
    """Draft a recipe from headings and contents.

    A column is filled in where its heading means one field, its unit, scale or order of dates
    is stated or left no doubt by its cells, and nine in ten of its cells can be read; any other
    column carries a question, with what is proposed beside it, and is quarantined by the import
    until the question is answered. Sheets and files of one layout share an entry.

    Parameters
    ----------
    paths : str, Path or iterable of these
        The files.
    progress : callable, optional
        Called with each file's label before it is read.

    Returns
    -------
    ImportRecipe
        The draft; its ``questions`` say what is open, its ``fields`` how sure the rest is.

    Raises
    ------
    ArgumentError
        If no file is given.
    UnreadableFileError
        If no file can be read; a file beside others that can is asked about.
    """
    labels = label_files([paths] if isinstance(paths, str | Path) else paths)
    if not labels:
        raise ArgumentError(
            needed="A draft needs at least one file",
            found="no path",
            then="Name the files to read",
        )
    entries: list[DraftedEntry] = []
    places: list[tuple[str, str]] = []
    problems: list[UnreadableFileError] = []
    for path, label in labels.items():
        if progress is not None:
            progress(label)
        try:
            sheets = read_sheets(path, label=label)
        except UnreadableFileError as error:
            problems.append(error)
            ask = f"The file could not be read ({error.found}). {error.then}."
            rule = SheetRule(file=label, ask=ask)
            entries.append(DraftedEntry(rule=rule, places=((label, "*"),)))
            places.append((label, "*"))
            continue
        places += [(sheet.file, sheet.name) for sheet in sheets]
        entries += draft_file(sheets)
    if len(problems) == len(labels):
        raise describe_all_unreadable(problems)
    return ImportRecipe(sheets=tuple(group_entries(entries, places)))


def draft_file(sheets: Sequence[Sheet]) -> list[DraftedEntry]:
    """Draft the entries of one file.

    Parameters
    ----------
    sheets : sequence of Sheet
        Its sheets.

    Returns
    -------
    list of DraftedEntry
        One or more a sheet, or one set for all sheets of a form.
    """
    forms = find_forms(sheets)
    own = {id(sheet) for sheet in forms}
    entries: list[DraftedEntry] = []
    pure: dict[frozenset[str], list[tuple[Sheet, list[LabelValue]]]] = {}
    for sheet in sheets:
        if id(sheet) in own:
            continue
        values = find_label_values(sheet) if len(sheet.texts) <= _LONGEST_FORM else []
        rules = [] if is_form(values) else draft_sheet(sheet)
        if values and (not rules or rules[0].ask == _NO_TABLE):
            pure.setdefault(frozenset(value.label for value in values), []).append((sheet, values))
        else:
            place = (sheet.file, sheet.name)
            entries += [DraftedEntry(rule=rule, places=(place,)) for rule in rules]
    for group in pure.values():
        rule = draft_form(group)
        entries += [
            DraftedEntry(rule=replace(rule, sheet=sheet.name), places=((sheet.file, sheet.name),))
            for sheet, _ in group
        ]
    if forms:
        inside = tuple((sheet.file, sheet.name) for sheet in forms)
        entries += [DraftedEntry(rule=rule, places=inside) for rule in draft_forms(forms)]
    return entries


def draft_sheet(sheet: Sheet) -> list[SheetRule]:
    """Draft the entries of one sheet.

    Parameters
    ----------
    sheet : Sheet
        The sheet.

    Returns
    -------
    list of SheetRule
        One a table, with a question where no table was found.
    """
    if not sheet.filled.any():
        why = "nothing is written on it"
        return [SheetRule(file=sheet.file, sheet=sheet.name, table="set_aside", why=why)]
    found = find_tables(sheet)
    if not found:
        return [SheetRule(file=sheet.file, sheet=sheet.name, ask=_NO_TABLE)]
    return [_draft_table(sheet, table) for table in found]


def _draft_table(sheet: Sheet, found: FoundTable) -> SheetRule:
    data = gather_table([found])
    layout = found.layout
    ask = None
    if found.doubt:
        ask = (
            f"{found.doubt}. Is this part ({found.area}) a table of its own? Correct 'area' and "
            "heading_row if need be, then delete this line."
        )
    return SheetRule(
        file=sheet.file, sheet=sheet.name, table=data.table, area=found.area,
        heading_rows=tuple(row + found.top for row in layout.heading_rows),
        units_row=layout.units_row + found.top if layout.units_row else None,
        columns=draft_columns(data), ask=ask,
    )  # fmt: skip
