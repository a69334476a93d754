"""A table that bodycond exported, known by its headings and drafted without a question."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bodycond.errors import name_first_few
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.recipes.recipe_rules import ColumnRule, SheetRule
from bodycond.legacy.recipes.targets import ORIGIN_FIELDS, OWN_KINDS, known_columns
from bodycond.tables_on_disk import COLUMNS_HEADINGS, COLUMNS_SHEET

_ORIGIN = "where the exported row came from; where it is read from now is written anew"
_MEANINGS = "what the columns of an exported table mean, as bodycond wrote it"


def draft_exported_sheet(sheet: Sheet) -> SheetRule | None:
    """Draft the rule of a sheet that bodycond wrote.

    Parameters
    ----------
    sheet : Sheet
        The sheet.

    Returns
    -------
    SheetRule or None
        None where the first row is not that of an exported table, which names the exam and all
        three columns of its origin. A column that bodycond does not know is asked about.
    """
    headings = sheet.row_texts(0) if len(sheet.texts) else []
    rule = SheetRule(file=sheet.file, sheet=sheet.name, heading_rows=(1,))
    if sheet.name == COLUMNS_SHEET and tuple(headings) == COLUMNS_HEADINGS:
        return replace(rule, table="set_aside", why=_MEANINGS, heading_rows=())
    if len(set(headings)) < len(headings) or not {"exam_id", *ORIGIN_FIELDS} <= set(headings):
        return None
    table = "ratings" if "rated_on" in headings else "exams"
    form = "csv" if sheet.file.lower().endswith((".csv", ".tsv", ".txt", ".tab")) else "cells"
    return replace(rule, table=table, columns=_draft_columns(sheet, headings, table, form))


def _draft_columns(
    sheet: Sheet, headings: Sequence[str], table: str, form: str
) -> tuple[ColumnRule, ...]:
    known = known_columns(table)
    rules = []
    for position, heading in enumerate(headings):
        if heading in ORIGIN_FIELDS:
            rules.append(ColumnRule(heading=heading, set_aside=_ORIGIN, confidence=1.0))
        elif heading in known:
            rules.append(
                ColumnRule(
                    heading=heading, fields=(heading,), exact=form, ditto=False, confidence=1.0
                )
            )
        elif heading:
            texts = dict.fromkeys(str(text).strip() for text in sheet.texts[1:, position])
            shown = name_first_few(repr(text) for text in texts if text) or "nothing"
            ask = (
                f"What does it hold? Here {shown}. Give it a field with its kind "
                f"({', '.join(OWN_KINDS)}), or set it aside with a reason."
            )
            rules.append(ColumnRule(heading=heading, ask=ask, confidence=0.0))
    return tuple(rules)
