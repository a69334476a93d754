"""The open questions of a recipe, counted; what many sheets or columns raise is asked once."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from bodycond.errors import name_first_few
from bodycond.study.visible_texts import show_text

if TYPE_CHECKING:
    from bodycond.legacy import ColumnRule, ImportRecipe, SheetRule

# How a draft words its question about a file that it could not open.
_UNREAD = "The file could not be read"

_MOST_QUESTIONS = 60
_MOST_PLACES = 3
_LONGEST_HEADING = 60
# So many columns without a field are asked about one by one; more are one question.
_ONE_BY_ONE = 3
_LISTED = 12


class QuestionKey(NamedTuple):
    """A question by the heading that raises it and its words.

    Parameters
    ----------
    heading : str
        The heading in quotes; empty where a sheet, or many columns of one, raise it.
    words : str
        The question.
    """

    heading: str
    words: str


def is_unread(rule: SheetRule) -> bool:
    """Tell whether a draft's entry stands for a file that could not be read.

    Parameters
    ----------
    rule : SheetRule
        The entry.

    Returns
    -------
    bool
        True where it does.
    """
    opened = rule.heading_rows or rule.columns or rule.labels
    return not opened and (rule.ask or "").startswith(_UNREAD)


def key_sheet(rule: SheetRule) -> QuestionKey:
    """Give the question that a whole sheet raises.

    Parameters
    ----------
    rule : SheetRule
        The entry.

    Returns
    -------
    QuestionKey
        The question, empty where there is none.
    """
    return QuestionKey("", rule.ask or "")


def key_columns(rule: SheetRule) -> list[QuestionKey | None]:
    """Give the question that each column and label of an entry raises.

    Parameters
    ----------
    rule : SheetRule
        The entry.

    Returns
    -------
    list of QuestionKey or None
        One a column, then one a label; None where nothing is asked. Columns without a field share
        one question where they are many.
    """
    columns = (*rule.columns, *rule.labels)
    unplaced = [column for column in columns if _is_unplaced(column)]
    shared = _ask_about_many(unplaced) if len(unplaced) > _ONE_BY_ONE else None
    return [
        None if not column.ask
        else shared if shared and _is_unplaced(column)
        else QuestionKey(quote_heading(column), column.ask)
        for column in columns
    ]  # fmt: skip


def _is_unplaced(column: ColumnRule) -> bool:
    return bool(column.ask) and not column.fields and not column.split


def _ask_about_many(columns: Sequence[ColumnRule]) -> QuestionKey:
    names = name_first_few(map(quote_heading, columns), limit=_LISTED)
    words = (
        f"{len(columns)} columns have no field: {names}. Give a field to each that you want; to "
        "set the others aside together, write set_aside_rest: \"why\" beside 'table:' in the "
        "recipe."
    )
    return QuestionKey("", words)


def collect_questions(recipe: ImportRecipe) -> dict[QuestionKey, list[SheetRule]]:
    """Collect the questions of a recipe with the entries that raise them.

    Parameters
    ----------
    recipe : ImportRecipe
        The recipe.

    Returns
    -------
    dict of QuestionKey to list of SheetRule
        In the order in which they are asked: of an entry first what concerns the whole sheet, then
        the columns that seem to be a field, then those without one.
    """
    asked: dict[QuestionKey, list[SheetRule]] = {}
    for rule in recipe.sheets:
        if rule.ask and not is_unread(rule):
            asked.setdefault(key_sheet(rule), []).append(rule)
        keys = [key for key in key_columns(rule) if key]
        # A stable sort: the question about many columns, which names no heading, comes last.
        for key in dict.fromkeys(sorted(keys, key=lambda key: not key.heading)):
            asked.setdefault(key, []).append(rule)
    return asked


def list_questions(recipe: ImportRecipe, *, path: Path) -> list[str]:
    """List the questions of a recipe, counted; one that many sheets raise is told once.

    Parameters
    ----------
    recipe : ImportRecipe
        The recipe.
    path : Path
        Its file, where the rest stands.

    Returns
    -------
    list of str
        The lines.
    """
    asked = collect_questions(recipe)
    if not asked:
        return ["No question is open."]
    total = sum(len(places) for places in asked.values())
    several = f" ({len(asked)} of them different)" if len(asked) < total else ""
    lines = [f"Open questions: {total}{several}. Until they are answered, these cells are held:"]
    for number, (key, places) in enumerate(asked.items(), start=1):
        if number > _MOST_QUESTIONS:
            lines.append(f"  and {len(asked) - _MOST_QUESTIONS} more, in {path}")
            break
        column = f", column {key.heading}" if key.heading else ""
        lines.append(f"  {number}. {name_sheets(places)}{column}: {key.words}")
    return lines


def quote_heading(column: ColumnRule) -> str:
    """Write a column's heading in quotes, on one line.

    Parameters
    ----------
    column : ColumnRule
        Its rule.

    Returns
    -------
    str
        The heading, cut where it is long.
    """
    return f"'{show_text(column.heading, limit=_LONGEST_HEADING)}'"


def name_sheets(rules: Sequence[SheetRule]) -> str:
    """Name sheets, the file once where they are of one file.

    Parameters
    ----------
    rules : sequence of SheetRule
        Their entries.

    Returns
    -------
    str
        The first few and the number of the others.
    """
    if len(rules) == 1 or len({rule.file for rule in rules}) > 1:
        return name_first_few((_name_sheet(rule) for rule in rules), limit=_MOST_PLACES)
    names = name_first_few((show_text(rule.sheet) for rule in rules), limit=_MOST_PLACES)
    return f"{show_text(rules[0].file)}, sheets {names}"


def _name_sheet(rule: SheetRule) -> str:
    file, sheet = show_text(rule.file), show_text(rule.sheet)
    if Path(rule.file).stem == rule.sheet:
        return file
    return f"{file}, every sheet" if sheet == "*" else f"{file}, {sheet}"
