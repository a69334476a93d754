"""What an import did, counted by reason, and what each column was taken for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import TYPE_CHECKING

import numpy as np
import pandas as pd

from bodycond.study.drafting_words import describe_column
from bodycond.study.visible_texts import strip_cell_words

if TYPE_CHECKING:
    from bodycond.legacy import ColumnRule, LegacyImport
    from bodycond.legacy.ledger import SheetAccount

REASON_COLUMNS = (
    "outcome", "target", "reason", "cells", "first_file", "first_address", "first_raw",
    "first_value",
)  # fmt: skip
COLUMN_COLUMNS = (
    "file", "sheet", "sheets", "heading", "field", "unit", "scale", "date_order", "read_as",
    "decided_by", "confidence", "evidence",
)  # fmt: skip

# Cells accepted as they stand need no reason.
_TOLD = ("quarantined", "converted", "set_aside")


def tally_reasons(accounts: Iterable[SheetAccount]) -> pd.DataFrame:
    """Count the cells that were not simply accepted, by what became of them and why.

    The ledger is not built for it: of a large import it is the largest table.

    Parameters
    ----------
    accounts : iterable of SheetAccount
        The accounts of the import.

    Returns
    -------
    DataFrame
        Columns ``outcome target reason cells first_file first_address first_raw first_value``;
        most cells first within an outcome.
    """
    from bodycond.tables_on_disk import name_column

    counts: Counter[tuple[str, str, str]] = Counter()
    first: dict[tuple[str, str, str], tuple[str, str, str, str]] = {}
    for account in accounts:
        sheet = account.sheet
        for outcome in _TOLD:
            rows, columns = np.nonzero(account.outcomes == outcome)
            keys = list(
                zip(account.targets[rows, columns], account.reasons[rows, columns], strict=True)
            )
            # Read from the end, so that of equal keys the first place is the one that stays.
            places = dict(zip(reversed(keys), range(len(keys) - 1, -1, -1), strict=True))
            for (target, reason), number in sorted(
                Counter(keys).items(), key=lambda item: places[item[0]]
            ):
                key = (outcome, str(target), strip_cell_words(str(reason)))
                counts[key] += number
                if key not in first:
                    row, column = rows[places[target, reason]], columns[places[target, reason]]
                    address = f"{sheet.name}!{name_column(int(column) + 1)}{int(row) + 1}"
                    raw, value = sheet.texts[row, column], account.values[row, column]
                    first[key] = (sheet.file, address, str(raw), str(value))
    order = {outcome: place for place, outcome in enumerate(_TOLD)}
    ordered = sorted(counts, key=lambda key: (order[key[0]], -counts[key], key[1], key[2]))
    frame = pd.DataFrame(
        [(*key, counts[key], *first[key]) for key in ordered], columns=list(REASON_COLUMNS)
    )
    texts = dict.fromkeys((name for name in REASON_COLUMNS if name != "cells"), "str")
    return frame.astype({**texts, "cells": "int64"})


def list_columns(imported: LegacyImport) -> pd.DataFrame:
    """List what each column of the recipe was taken for, and who decided it.

    Parameters
    ----------
    imported : LegacyImport
        The import.

    Returns
    -------
    DataFrame
        One row a column of an entry: names or patterns of file and sheet, how many sheets they
        match, heading, field, unit, scale, order of dates, everything in words, who decided,
        and of a draft its confidence and evidence.
    """
    names = [(account.sheet.file, account.sheet.name) for account in imported.accounts]
    rows = []
    for rule in imported.recipe.sheets:
        matched = sum(rule.matches(file=file, sheet=sheet) for file, sheet in names)
        for column in (*rule.columns, *rule.labels):
            words = describe_column(column)
            if column.set_aside:
                words = f"set aside: {column.set_aside}"
            rows.append(
                (rule.file, rule.sheet, matched, column.heading, " + ".join(column.fields),
                 column.unit or "", column.scale or "", column.date_order or "", words,
                 _find_decider(column), column.confidence, column.evidence or "")
            )  # fmt: skip
    frame = pd.DataFrame(rows, columns=list(COLUMN_COLUMNS))
    texts = dict.fromkeys(
        (name for name in COLUMN_COLUMNS if name not in {"sheets", "confidence"}), "str"
    )
    return frame.astype({**texts, "sheets": "int64", "confidence": "float64"})


def _find_decider(column: ColumnRule) -> str:
    if column.ask:
        return "nobody yet"
    return "the recipe" if column.confidence is None else "the draft"
