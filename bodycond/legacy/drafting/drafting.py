"""A first recipe from the files alone: what is certain is filled in, the rest is asked."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import Path

from bodycond.errors import ArgumentError, UnreadableFileError
from bodycond.legacy.drafting.bird_signs import (
    NO_BIRDS,
    NO_EXAMS,
    holds_exams,
    speaks_of_birds,
)
from bodycond.legacy.drafting.entry_grouping import DraftedEntry, group_entries
from bodycond.legacy.drafting.exported_tables import draft_exported_sheet
from bodycond.legacy.drafting.form_drafting import draft_forms, find_forms
from bodycond.legacy.drafting.label_drafting import (
    LabelValue,
    draft_form,
    draft_labels,
    find_label_values,
    is_form,
    is_turned,
    pool_labels,
    repeats_headings,
)
from bodycond.legacy.drafting.name_patterns import name_sheets
from bodycond.legacy.drafting.table_cutting import FoundTable, find_tables
from bodycond.legacy.drafting.table_data import gather_table
from bodycond.legacy.drafting.table_drafting import draft_columns
from bodycond.legacy.drafting.table_finding import find_table
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.files.source_files import describe_all_unreadable, label_files, read_sheets
from bodycond.legacy.recipes.recipe import ImportRecipe
from bodycond.legacy.recipes.recipe_rules import SheetRule

# A form of labels alone stands on one page or two.
_LONGEST_FORM = 80
_TURNED = (
    "The headings seem to stand below each other, with a column for each bird. Turn the table in "
    "the spreadsheet (rows to columns) and draft it anew, or set the sheet aside."
)
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
    return ImportRecipe(sheets=tuple(group_entries(entries, places)), drafted_from=tuple(places))


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
        rules, values = _draft_alone(sheet)
        if values:
            pure.setdefault(frozenset(value.label for value in values), []).append((sheet, values))
        place = (sheet.file, sheet.name)
        entries += [DraftedEntry(rule=rule, places=(place,)) for rule in rules]
    for group in pure.values():
        rule = draft_form(group)
        entries += [
            DraftedEntry(rule=replace(rule, sheet=sheet.name), places=((sheet.file, sheet.name),))
            for sheet, _ in group
        ]
    return entries + _draft_shared(forms, sheets)


def _draft_shared(forms: Sequence[Sheet], sheets: Sequence[Sheet]) -> list[DraftedEntry]:
    """Draft the entries that all copies of a form share."""
    if not forms:
        return []
    inside = tuple((sheet.file, sheet.name) for sheet in forms)
    # Without a pattern '*' serves too: the other sheets have entries of their own before it.
    names = {sheet.name for sheet in forms}
    others = [sheet.name for sheet in sheets if sheet.name not in names]
    pattern = name_sheets([sheet.name for sheet in forms], others) or "*"
    return [
        DraftedEntry(rule=replace(rule, sheet=pattern), places=inside)
        for rule in draft_forms(forms)
    ]


def _draft_alone(sheet: Sheet) -> tuple[list[SheetRule], list[LabelValue]]:
    """Draft a sheet by itself, or give its labels where it is a form of labels alone."""
    exported = draft_exported_sheet(sheet)
    if exported is not None:
        return [exported], []
    values = find_label_values(sheet) if len(sheet.texts) <= _LONGEST_FORM else []
    if is_form(values) and not repeats_headings(sheet) and not _has_table(sheet, values):
        turned = SheetRule(file=sheet.file, sheet=sheet.name, ask=_TURNED)
        return ([turned], []) if is_turned(sheet, values) else ([], values)
    rules = draft_sheet(sheet)
    return ([], values) if values and rules[0].ask == _NO_TABLE else (rules, [])


def _has_table(sheet: Sheet, values: Sequence[LabelValue]) -> bool:
    """Tell whether rows of data stand below headings, and the labels above them alone."""
    layout = find_table(sheet)
    if layout is None:
        return False
    heading = layout.heading_row - 1
    below = [value for value in values if value.row > heading]
    return len(below) < 2 and bool((sheet.filled[heading + 1 :].sum(axis=1) > 1).any())


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
    tables = [_draft_table(sheet, table) for table in found]
    # Of several tables nothing says whose the labels are.
    return (_draft_labels_above(sheet, found[0], tables[0]) if len(found) == 1 else []) + tables


def _draft_labels_above(sheet: Sheet, found: FoundTable, table: SheetRule) -> list[SheetRule]:
    """Draft labels between title and table, such as 'Observer: S1', that go with every row."""
    top = found.top + found.layout.heading_rows[0] - 1
    if not top or top > _LONGEST_FORM:
        return []
    above = replace(sheet, texts=sheet.texts[:top], kinds=sheet.kinds[:top])
    values = find_label_values(above, least=1)
    filled = {field for column in table.columns for field in column.fields}
    rules = draft_labels(pool_labels([values]), place=f"{sheet.file}\n{sheet.name}")
    rules = tuple(rule for rule in rules if not filled & set(rule.fields) or rule.ask)
    if not any(rule.fields for rule in rules):
        return []
    return [SheetRule(file=sheet.file, sheet=sheet.name, table="labels", labels=rules)]


def _draft_table(sheet: Sheet, found: FoundTable) -> SheetRule:
    data = gather_table([found])
    layout = found.layout
    ask = None
    if found.doubt:
        ask = (
            f"{found.doubt}. Is this part ({found.area}) a table of its own? Correct 'area' and "
            "heading_row if need be, then delete this line."
        )
    titles = data.columns[0].titles if data.columns else ()
    place = f"{sheet.file}\n{sheet.name}"
    if ask is None and not speaks_of_birds(data.columns, titles=titles, place=place):
        ask = NO_BIRDS
    columns = draft_columns(data)
    if ask is None and data.table == "exams" and not holds_exams(columns):
        ask = NO_EXAMS
    return SheetRule(
        file=sheet.file, sheet=sheet.name, table=data.table, area=found.area,
        heading_rows=tuple(row + found.top for row in layout.heading_rows),
        units_row=layout.units_row + found.top if layout.units_row else None,
        columns=columns, ask=ask,
    )  # fmt: skip
